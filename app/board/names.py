"""Where does a body's name go? Inside it where it fits, else beside it, at the upper right if that is free, else nowhere.

It hides no joint symbol, and stands nowhere where it would be taken for the name of another. Beside what lies before a large
fixed body it may stand on that. Pure.
"""

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from core.drawing.extent import Extent, extent_within
from core.model.names import BodyName
from core.model.shapes import Point

Covers = Callable[[Extent], bool]

BESIDE = 6.0
"""Logical pixels between a body and a name that stands beside it."""

SLIM = 3.0
"""A body that reaches this many times the radius of its widest place both across and up is slim and lies aslant, or is bent:
the corners of its box are far from it, and a name there seems to name something else."""

NEAR, FARTHER = (0.0, 8.0, 16.0), (28.0, 40.0)
"""Logical pixels beyond that radius at which a name is tried about the widest place of such a body; farther off where it must show."""

FITS = 1.15
"""A name's corners may reach this many times the radius of the widest place, since letters leave them empty; its ends may not."""

LINE = 2.0
"""Logical pixels at either end of a name in which no line should be."""

OVER = 1.6
"""A name in hand that finds no place close by lies over its body where it is up to this many times as wide as the body's widest place."""

TALL = 3.0
"""A body that is this many times as high as wide has its name beside its middle, at most half way to its ends: at its top it seems to
name what is there."""


class Around(Protocol):
    """What stands about names; boxes and sizes in mm."""

    @property
    def symbols(self) -> Sequence[Extent]:
        """Boxes of joint symbols."""

    def room(self, body: BodyName, size: tuple[float, float], taken: Sequence[Extent]) -> Point | None:
        """The middle of a place for a box of this size on what is seen of a body, off symbols and `taken`."""

    def misleads(self, body: BodyName, box: Extent) -> bool:
        """Whether a name there would be taken for that of another."""

    def doubtful(self, body: BodyName, box: Extent) -> bool:
        """Whether another body is about as near to a name there as its own."""

    def parted(self, body: BodyName, box: Extent) -> bool:
        """Whether another body lies between a name there and its own, clearly nearer to the name."""

    def unsure(self, body: BodyName, box: Extent, named: Collection[BodyName]) -> bool:
        """Whether a body that is not among those `named` is so near that a name there might be taken for its."""

    def holds(self, body: BodyName, box: Extent) -> bool:
        """Whether a box lies as a whole on what is seen of a body."""

    def interrupts(self, box: Extent) -> bool:
        """Whether a name there lies over the thin outline of a body at an end of its travel."""

    def crosses(self, box: Extent) -> bool:
        """Whether a name there lies over an outline."""

    def backs(self, body: BodyName, box: Extent) -> bool:
        """Whether nothing lies under a name there but one large body behind its own."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A name that looks for a place. `room`: widest place of the body, mm, posed; `extent`: the body's, mm, posed.

    width, height: of the words, logical pixels. must: it is shown even where it covers another (bodies in hand).
    beside: it may stand beside its body; beside one that is half hidden it would seem to name what hides it.
    """

    body: BodyName
    room: tuple[Point, float] | None
    extent: Extent
    width: float
    height: float
    must: bool = False
    beside: bool = True


@dataclass(frozen=True, slots=True)
class NamePlace:
    """The middle of the name, mm; `inside` its body or beside it. lead: the ends of the line that leads it, the second on its body."""

    body: BodyName
    at: Point
    inside: bool
    lead: tuple[Point, Point] | None = None


def name_places(
    wanted: Sequence[Wanted],
    *,
    pixels: float,
    covers: Covers | None = None,
    taken: Sequence[Extent] = (),
    around: Around | None = None,
    window: Extent | None = None,
) -> Iterator[NamePlace | None]:
    """Places for the names, one a step, `pixels` logical pixels a mm; None for one that finds none without covering another.

    Names inside their bodies come first, then names beside them, bodies in hand before others. `covers` tells whether a
    box (mm) lies over any body: a name beside its body keeps off those, but where nothing is free one in hand covers them.
    `taken`: boxes in mm that words have already. `window`: what is seen, mm; None for all. A body may be told again: what is told
    last holds.
    """
    search = _Search(pixels, covers, around, taken, window)
    choices = [(want, search.widest(want)) for want in wanted]
    choices.sort(key=lambda choice: (choice[1] is None, not choice[0].must))
    for want, inside in choices:
        yield search.take(want, search.place(want, inside))
    # Only now it is known which bodies have no name, and seem to have the one beside them.
    moved = False
    for want, _ in choices:
        surer = search.surer(want)
        moved = moved or surer is not None
        yield search.take(want, surer)  # a step, also where it stays: of many bodies all looks together take longer than a frame
    for want, inside in choices if moved else ():
        if want.body not in search.named:
            yield search.take(want, search.place(want, inside))


@dataclass(frozen=True, slots=True)
class _Search:
    """`taken`: boxes that other words have, mm; `named`: those of the names placed by now."""

    pixels: float
    covers: Covers | None
    around: Around | None
    taken: Sequence[Extent]
    window: Extent | None
    named: dict[BodyName, Extent] = field(default_factory=dict)

    def take(self, want: Wanted, found: NamePlace | None) -> NamePlace | None:
        """Note a place that was found, and give it back."""
        if found is not None:
            self.named[want.body] = self._at(found.at, want)
        return found

    def surer(self, want: Wanted) -> NamePlace | None:
        """A better place for a name beside its body that might be taken for the name of a body which has none; None for none."""
        box = self.named.get(want.body)
        if box is None or self.around is None or not self.around.unsure(want.body, box, self.named):
            return None
        del self.named[want.body]
        close, next_to, _ = _places(want, self.pixels)
        known = {*self.named, want.body}
        sure = (place for place in (*close, *next_to) if not self.around.unsure(want.body, self._at(place, want), known))
        found = self._first(want, sure, [])
        self.named[want.body] = box
        return None if found is None else NamePlace(want.body, found, inside=False)

    def widest(self, want: Wanted) -> Point | None:
        """The widest place of the body where it is wide enough and holds no symbol."""
        inside = _inside(want, self.pixels)
        return inside if inside is not None and self._off_symbols(self._at(inside, want)) else None

    def place(self, want: Wanted, inside: Point | None) -> NamePlace | None:
        """Where the name goes; `inside`: what `widest` told."""
        if inside is not None and self._off_words(self._at(inside, want)):
            if self._held(want, inside):
                return NamePlace(want.body, inside, inside=True)
            if (room := self._room(want)) is not None:
                return NamePlace(want.body, room, inside=True)
            off = self._first(want, _places(want, self.pixels)[0], []) if want.beside else None
            return NamePlace(want.body, off or inside, inside=off is None)
        if (room := self._room(want)) is not None:
            return NamePlace(want.body, room, inside=True)
        if (inside is not None or not want.beside) and not want.must:
            return None
        at = self._beside(want, inside)
        return None if at is None else NamePlace(want.body, at, at == inside)

    def _held(self, want: Wanted, inside: Point) -> bool:
        """Whether at its widest place the letters lie over no line, neither the body's own nor one of what lies before it."""
        low_x, low_y, high_x, high_y = self._at(inside, want)
        line = LINE / self.pixels
        return self.around is None or self.around.holds(want.body, (low_x - line, low_y, high_x + line, high_y))

    def _room(self, want: Wanted) -> Point | None:
        if self.around is None:
            return None
        low_x, low_y, high_x, high_y = self._at((0.0, 0.0), want)
        return self.around.room(want.body, (high_x - low_x, high_y - low_y), [*self.taken, *self.named.values()])

    def _beside(self, want: Wanted, inside: Point | None) -> Point | None:
        close, next_to, far = _places(want, self.pixels)
        doubtful: list[Point] = []
        found = self._first(want, close, doubtful)
        if found is None and want.must:
            if want.room is not None and self._lies_over(want, want.room):
                return want.room[0]  # over the edges of its own body rather than far from it
            found = self._over(want, close, next_to, doubtful)
        if found is None:
            found = self._first(want, (*next_to, *far), doubtful)
        if found is not None:
            return found
        places = (*close, *next_to, *far)
        if not want.must:
            doubtful = [place for place in doubtful if not self._parted(want, place)]
        doubtful = doubtful or self._backed(want, places)
        if doubtful or not want.must:
            return next(iter(doubtful), None)
        # A name over a name cannot be read.
        free = [place for place in places if self._free(self._at(place, want))]
        return next(iter((*self._clear(want, (*next_to, *far)), *free)), inside or places[0])

    def _over(self, want: Wanted, close: Sequence[Point], next_to: Sequence[Point], doubtful: list[Point]) -> Point | None:
        """Where a name in hand goes that finds no place of its own close by.

        Over a body it can be read, and is read sooner than far off; but best over no outline, for which it may stand a little off.
        """
        if doubtful:
            return doubtful[0]
        over = self._backed(want, close) or self._clear(want, close)
        whole = [place for place in over if not self._crosses(want, place)]
        if whole or not over:
            return next(iter(whole), None)
        off = self._first(want, next_to, doubtful)
        return off or next(iter(doubtful), over[0])

    def _lies_over(self, want: Wanted, room: tuple[Point, float]) -> bool:
        """Whether the name can lie over its body, which is then not hidden by it."""
        return want.width / 2.0 <= OVER * room[1] * self.pixels and self._free(self._at(room[0], want))

    def _first(self, want: Wanted, places: Iterable[Point], doubtful: list[Point]) -> Point | None:
        """The first place that lies over nothing and names nothing else, if it can over no thin line; `doubtful` takes those that might."""
        for place in sorted(places, key=lambda place: self.around is not None and self.around.interrupts(self._at(place, want))):
            box = self._at(place, want)
            if not self._free(box) or self._misleads(want, place) or (self.covers is not None and self.covers(box)):
                continue
            if self.around is None or not self.around.doubtful(want.body, box):
                return place
            doubtful.append(place)
        return None

    def _backed(self, want: Wanted, places: Iterable[Point]) -> list[Point]:
        """The places in sight on a large body that its own lies before, which name nothing else."""
        if self.around is None:
            return []
        seen = [place for place in places if self.window is None or extent_within(self._at(place, want), self.window)]
        return [place for place in self._clear(want, seen) if self.around.backs(want.body, self._at(place, want))]

    def _clear(self, want: Wanted, places: Iterable[Point]) -> list[Point]:
        """The places off words and symbols at which it does not seem to name another, whatever bodies lie there."""
        return [place for place in places if self._free(self._at(place, want)) and not self._misleads(want, place)]

    def _misleads(self, want: Wanted, place: Point) -> bool:
        return self.around is not None and self.around.misleads(want.body, self._at(place, want))

    def _parted(self, want: Wanted, place: Point) -> bool:
        return self.around is not None and self.around.parted(want.body, self._at(place, want))

    def _crosses(self, want: Wanted, place: Point) -> bool:
        return self.around is not None and self.around.crosses(self._at(place, want))

    def _at(self, place: Point, want: Wanted) -> Extent:
        return name_box(place, want, self.pixels)

    def _free(self, box: Extent) -> bool:
        return self._off_words(box) and self._off_symbols(box)

    def _off_words(self, box: Extent) -> bool:
        return not any(_overlap(box, other) for boxes in (self.taken, self.named.values()) for other in boxes)

    def _off_symbols(self, box: Extent) -> bool:
        return self.around is None or not any(_overlap(box, symbol) for symbol in self.around.symbols)


def _inside(want: Wanted, pixels: float) -> Point | None:
    """The widest place of the body where it is wide enough for the name."""
    if want.room is None or want.width / 2.0 > want.room[1] * pixels:
        return None
    return want.room[0] if math.hypot(want.width, want.height) / 2.0 <= FITS * want.room[1] * pixels else None


def _places(want: Wanted, pixels: float) -> tuple[list[Point], list[Point], list[Point]]:
    """Places beside the body in the order in which they are tried: upper right, right, lower right, and so on the left, above, below.

    Those of a slim body that lies aslant are about its widest place. Then those a little off and those farther off, of a body
    whose name must show.
    """
    left, low, right, high = want.extent
    sides = _sides(want, pixels, 0.0)
    if want.room is None or min(right - left, high - low) <= SLIM * want.room[1]:
        off = [[place for more in distances for place in _sides(want, pixels, more)] for distances in (NEAR[1:], FARTHER)]
        return (sides, off[0], off[1]) if want.must else (sides, [], [])
    away, above = (BESIDE + want.width / 2.0) / pixels, (BESIDE + want.height / 2.0) / pixels
    (x, y), radius = want.room
    ways = [*((i, j) for i in (1.0, -1.0) for j in (1.0, 0.0, -1.0)), (0.0, 1.0), (0.0, -1.0)]
    near, far = (
        [(x + i * (radius + away + more / pixels), y + j * (radius + above + more / pixels)) for more in distances for i, j in ways]
        for distances in (NEAR, FARTHER)
    )
    return near, [], [*far, *sides] if want.must else []


def _sides(want: Wanted, pixels: float, more: float) -> list[Point]:
    """Places beside all of the body, `more` logical pixels farther off than need be: those in line with one of its sides come last."""
    left, low, right, high = want.extent
    away, up = (BESIDE + more + want.width / 2.0) / pixels, (more + want.height / 2.0) / pixels
    middle_x, middle_y = (left + right) / 2.0, (low + high) / 2.0
    above = (BESIDE + more + want.height / 2.0) / pixels
    beyond = (high + above, low - above)
    over = [(x, y) for x in (middle_x, right - want.width / 2.0 / pixels, left + want.width / 2.0 / pixels) for y in beyond]
    levels = [high + up, middle_y, low - up]
    if high - low >= TALL * (right - left):
        levels = [*(middle_y + share * (high - low) for share in (0.0, 0.125, -0.125, 0.25, -0.25)), high + up, low - up]
        over = over[: len(beyond)]
    return [*((x, y) for x in (right + away, left - away) for y in levels), *over]


def name_box(at: Point, want: Wanted, pixels: float) -> Extent:
    """The box, mm, of a name about `at`, `pixels` logical pixels a mm."""
    w, h = want.width / 2.0 / pixels, (want.height / 2.0 + 2.0) / pixels
    return at[0] - w, at[1] - h, at[0] + w, at[1] + h


def _overlap(a: Extent, b: Extent) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
