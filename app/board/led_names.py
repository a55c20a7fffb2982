"""Which names stand off their bodies, led to them by a leader line as on any drawing? Those that would lie over a line otherwise. Pure."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from app.board.names import Covers, NamePlace, Wanted, name_box
from core.drawing.extent import Extent, extent_within, extents_meet
from core.model.names import BodyName
from core.model.shapes import Point

RINGS = (26.0, 36.0, 48.0, 64.0, 84.0, 108.0, 136.0, 168.0)
"""Logical pixels from the spot on a body to the end of its name, in which a free place is looked for."""

TOO_MUCH = 200.0
"""A leader that costs more, in logical pixels, is harder to follow than a name over a line is to read."""

SHORT, PLAIN = 64.0, 1
"""A name is led off a line that it only touches where its leader need be no longer than the first of these, logical pixels, and run over
no more outlines of others than the second."""

LONGER, PLAINER = 136.0, 3
"""The same for one that stands over a line hidden under its body."""

WAYS = 16
"""So many places are tried around each."""

SIDEWAYS = 0.5
"""A leader less steep than this (its height by its length) meets the side of its name, otherwise the foot or the head."""

AIR, DEEP, BELOW = 2.0, frozenset("gjpqy,;"), 1.5
"""Logical pixels about a name in which there should be no line either; letters that reach below a name's box, and how far."""

APART = 3.0
"""Logical pixels between a leader and the words it leads."""

ASIDE, OVER = 8.0, 2.0
"""Logical pixels free between words side by side, which would read as one, and between words over each other."""

CROSSED, THIN = 30.0, 10.0
"""Logical pixels that a leader may be longer sooner than run over the outline of another body, or over a thin one at an end of travel."""


class Lines(Protocol):
    """What leaders and the names at their ends keep off; mm."""

    @property
    def symbols(self) -> Sequence[Extent]:
        """Boxes of joint symbols."""

    def spot(self, body: BodyName, taken: Sequence[Extent]) -> Point | None:
        """A place well inside what is seen of a body, off `taken`."""

    def shows_line(self, box: Extent) -> bool:
        """Whether a name there lies over an outline that is seen: nothing higher covers it."""

    def crosses(self, box: Extent) -> bool:
        """Whether a name there lies over an outline, seen or hidden."""

    def interrupts(self, box: Extent) -> bool:
        """Whether a name there lies over the thin outline of a body at an end of its travel."""

    def backs(self, body: BodyName, box: Extent) -> bool:
        """Whether nothing lies under a name there but one large body behind its own."""

    def run_over(self, body: BodyName, start: Point, end: Point) -> tuple[int, int]:
        """How many outlines a straight line crosses: of other bodies, and thin ones at ends of travel."""

    def runs_through(self, start: Point, end: Point, box: Extent) -> bool:
        """Whether a straight line passes a box."""


def led_names(
    wanted: Sequence[Wanted],
    places: Mapping[BodyName, NamePlace],
    *,
    pixels: float,
    window: Extent,
    covers: Covers,
    taken: Sequence[Extent],
    around: Lines,
) -> Iterator[NamePlace | None]:
    """New places for names that do not stay where they are in `places`; arguments as those of `name_places`.

    window: what is seen of the section, mm; names stand wholly in it.
    The look is taken in many steps, most of which give None.
    """
    boxes = {want.body: name_box(places[want.body].at, want, pixels) for want in wanted if want.body in places}
    search = _Leaders(pixels, window, covers, taken, around, boxes)
    for want in wanted:
        box = boxes.get(want.body)
        over = box is not None and (around.shows_line(box) or around.interrupts(box))
        if box is not None and (over or search.touches(want, box)):
            hidden = (LONGER, PLAINER) if around.crosses(box) else (SHORT, PLAIN)
            yield from search.led(want, *((TOO_MUCH, math.inf) if over else hidden))
        yield None


@dataclass(frozen=True, slots=True)
class _Leaders:
    """`boxes`: where names stand by now, mm; `lines`: the leaders drawn by now."""

    pixels: float
    window: Extent
    covers: Covers
    taken: Sequence[Extent]
    around: Lines
    boxes: dict[BodyName, Extent]
    lines: list[tuple[Point, Point]] = field(default_factory=list)

    def touches(self, want: Wanted, box: Extent) -> bool:
        """Whether a name there lies over a line, be it hidden, or all but does."""
        air, below = AIR / self.pixels, (AIR + (BELOW if DEEP & set(want.body) else 0.0)) / self.pixels
        about = (box[0] - air, box[1] - below, box[2] + air, box[3] + air)
        return self.around.crosses(about) or self.around.interrupts(about)

    def led(self, want: Wanted, longest: float, crossed: float) -> Iterator[NamePlace | None]:
        """At last the place from which the shortest leader runs over least.

        longest: logical pixels of a leader; crossed: outlines of others that it may run over.
        """
        spot = self.around.spot(want.body, self._others(want))
        best: tuple[float, NamePlace | None] = (TOO_MUCH, None)
        for ring in RINGS if spot is not None else ():
            if ring >= best[0] or ring > longest:
                break
            for way in range(WAYS):
                found = self._at(want, spot, ring, 2.0 * math.pi * way / WAYS) if spot is not None else None
                if found is None or found.lead is None:
                    continue
                over, thin = self.around.run_over(want.body, *found.lead)
                cost = ring + CROSSED * over + THIN * thin
                if over <= crossed and cost < best[0]:
                    best = (cost, found)
            yield None  # a ring is work enough for a turn
        if best[1] is not None and best[1].lead is not None:
            self.boxes[want.body] = name_box(best[1].at, want, self.pixels)
            self.lines.append(best[1].lead)
            yield best[1]

    def _others(self, want: Wanted) -> list[Extent]:
        """Where other words stand."""
        return [*self.taken, *(box for name, box in self.boxes.items() if name != want.body)]

    def _at(self, want: Wanted, spot: Point, ring: float, way: float) -> NamePlace | None:
        """The name at the end of a leader that runs `way` from a spot; None where it or the leader would lie over something."""
        across, up = math.cos(way), math.sin(way)
        end = (spot[0] + ring * across / self.pixels, spot[1] + ring * up / self.pixels)
        if abs(up) <= SIDEWAYS:
            at = (end[0] + math.copysign(APART + want.width / 2.0, across) / self.pixels, end[1])
        else:
            at = (end[0], end[1] + math.copysign(APART + want.height / 2.0, up) / self.pixels)
        box, around = name_box(at, want, self.pixels), self.around
        others = self._others(want)
        aside, over = ASIDE / self.pixels, OVER / self.pixels
        roomy = (box[0] - aside, box[1] - over, box[2] + aside, box[3] + over)
        if any(extents_meet(roomy, other) for other in others) or any(extents_meet(box, other) for other in around.symbols):
            return None
        if not extent_within(box, self.window) or (self.covers(box) and not around.backs(want.body, box)):
            return None
        if self.touches(want, box):
            return None
        if any(around.runs_through(*line, box) for line in self.lines) or any(around.runs_through(end, spot, other) for other in others):
            return None
        return NamePlace(want.body, at, inside=False, lead=(end, spot))
