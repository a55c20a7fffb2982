"""The gap dimension: the two nearest points of a pair joined, and the gap written to it, after ISO 129-1."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, product

from core.drawing.dimension import extension_lines, led_lengths, led_words, length_lines, length_words, lengths, off_words, shifted
from core.drawing.display_list import DisplayList, Paint
from core.drawing.extent import Extent
from core.drawing.path import Path
from core.model.shapes import Point
from core.sweep.at_pose import PoseGap
from core.sweep.result import Pair
from core.tolerances import DEFAULT_TOLERANCES

ASIDE = 14.0
"""Drawing units between an overlap and its dimension."""

FARTHER = (8.0, 16.0, 24.0, 32.0, 40.0)
"""Drawing units by which that dimension moves farther off where its words have no room."""

BETWEEN = (8.0, -8.0, 24.0, -24.0, 40.0, -40.0, 48.0, -48.0)
"""Drawing units by which a gap's dimension moves aside where its words have no room at those of every dimension."""

SYMBOL_ROOM = 7.0
"""Drawing units about the middle of a joint's symbol."""


@dataclass(frozen=True, slots=True)
class GapMark:
    """A gap as the sweep or the pose tells it; nothing here is computed from the drawing.

    points: the nearest points of the first and the second body, posed, mm. gap: mm, negative: overlap depth. required: mm that
    the gap is to be, of which `taken` is for the tolerances of both outlines. way_out: the shortest translation of the second
    body that separates them, mm, where they overlap. over_depth: one passes over the other and the depth between them is counted,
    so that no line of the drawing is as long as the gap: it has a number and no dimension.
    """

    points: tuple[Point, Point]
    gap: float
    required: float
    pair: Pair
    way_out: Point | None = None
    taken: float = 0.0
    over_depth: bool = False

    @property
    def asked(self) -> str:
        """What the gap is to be, in words: what is asked, and what tolerances take."""
        asked = f"{self.required - self.taken:.2f} mm"
        return f"{asked} and {self.taken:.2f} mm for tolerances" if self.taken else asked

    @property
    def short(self) -> bool:
        """Whether the gap is less than asked for (a gap that meets it by a rounding is not)."""
        return self.gap < self.required - DEFAULT_TOLERANCES.touch

    @property
    def words(self) -> str:
        """The number as it is written to the dimension."""
        if self.gap < 0.0:
            return f"{-self.gap:.2f} mm deep"
        # Rounded down: a drawing claims no more than there is.
        told = f"{math.floor(100.0 * self.gap + 1e-6) / 100.0:.2f} mm"
        return f"{told}, depth counted" if self.over_depth else told


def mark_of(found: PoseGap) -> GapMark:
    """How a gap is drawn that was found at a pose. Depths that touch add nothing to what lies between two in the section."""
    a_length = abs(math.dist(*found.points) - found.gap) <= DEFAULT_TOLERANCES.touch
    over_depth = found.depth_gap is not None and (found.depth_gap > 0.0 or not a_length)
    required = found.required_gap + found.tolerance
    return GapMark(found.points, found.gap, required, found.between, found.way_out, found.tolerance, over_depth=over_depth)


def gap_dimension(
    mark: GapMark,
    *,
    unit: float,
    beside: Path | None = None,
    off: Sequence[Extent] = (),
    crosses: Callable[[Extent], bool] | None = None,
) -> DisplayList:
    """The dimension of `mark`, `unit` mm of the section to a drawing unit.

    off: boxes, mm, that the text stands off where it can: on the other side of its line, or with the line moved aside.
    crosses: whether a box, mm, lies over what the text had better not: the outlines of bodies.

    An overlap is dimensioned along its way out; where its outline is given as `beside`, clear of it, with extension lines
    from its ends. Points that coincide with no way out are marked by their text alone, to the right. The text is in breach
    colour where the gap is short.
    """
    ways = _apart(mark, unit) if beside is None else _beside(mark, beside, unit)
    return off_words(chain(ways, _led(mark, beside, unit) if crosses is not None else ()), off, unit=unit, crosses=crosses)


def _apart(mark: GapMark, unit: float) -> Iterator[DisplayList]:
    """The ways to draw it where nothing lies between its ends; the last of them for want of room."""
    yield from gap_dimensions(mark, unit=unit)
    yield from lengths(*_ends(mark), mark.words, unit=unit, paint=_paint(mark), asides=BETWEEN)


def _led(mark: GapMark, beside: Path | None, unit: float) -> Iterator[DisplayList]:
    """The ways with the words at the end of a leader line."""
    first, last = _ends(mark)
    if mark.over_depth:
        yield from led_words(first, mark.words, unit=unit, paint=_paint(mark))
    if first == last:
        return
    if beside is None:
        yield from led_lengths(first, last, mark.words, unit=unit, paint=_paint(mark))
        return
    for across in _across(first, last):
        away = _reach(beside, first, across) + ASIDE * unit
        start, end = shifted(first, across, away), shifted(last, across, away)
        lines = (*extension_lines(first, last, across, away, unit), *length_lines(start, end, unit=unit, paint=_paint(mark)))
        yield from led_lengths(start, end, mark.words, unit=unit, paint=_paint(mark), lines=lines)


def around_symbols(places: Iterable[Point], *, unit: float) -> list[Extent]:
    """Boxes, mm, about the middles of joint symbols that the gap's text keeps off."""
    room = SYMBOL_ROOM * unit
    return [(x - room, y - room, x + room, y + room) for x, y in places]


def _beside(mark: GapMark, overlap: Path, unit: float) -> Iterator[DisplayList]:
    """The ways to draw it clear of an overlap: to its right, or upwards, and on the other side; close to it, then farther off."""
    first, last = _ends(mark)
    paint = _paint(mark)
    if first == last:
        yield from gap_dimensions(mark, unit=unit)
        return
    for more, across in product((0.0, *FARTHER), _across(first, last)):
        away = _reach(overlap, first, across) + (ASIDE + more) * unit
        start, end = shifted(first, across, away), shifted(last, across, away)
        for second in (False, True):
            # Words stand away from the overlap.
            words = length_words(start, end, mark.words, unit=unit, paint=paint, second=second, leftward=across[0] < 0.0)
            yield (*extension_lines(first, last, across, away, unit), *length_lines(start, end, unit=unit, paint=paint), words)


def _across(first: Point, last: Point) -> tuple[Point, Point]:
    """Both unit vectors across the way from one point to another, that to the right, or upwards, first."""
    length = math.dist(first, last)
    right = (-(last[1] - first[1]) / length, (last[0] - first[0]) / length)
    if right[0] < 0.0 or (right[0] == 0.0 and right[1] < 0.0):
        right = (-right[0], -right[1])
    return right, (-right[0], -right[1])


def gap_dimensions(mark: GapMark, *, unit: float) -> Iterator[DisplayList]:
    """The ways to draw the same where other dimensions stand about, the likeliest first."""
    return lengths(*_ends(mark), mark.words, unit=unit, paint=_paint(mark))


def _paint(mark: GapMark) -> Paint:
    return "breach" if mark.short else "ink"


def _reach(path: Path, foot: Point, across: Point) -> float:
    """How far a path reaches from a point along a unit vector, mm; at least 0."""
    corners = [edge.start for run in path for edge in run.edges]
    return max(0.0, *((x - foot[0]) * across[0] + (y - foot[1]) * across[1] for x, y in corners), 0.0)


def _ends(mark: GapMark) -> tuple[Point, Point]:
    start, end = mark.points
    if mark.over_depth:
        middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
        return middle, middle
    if mark.gap < 0.0 and mark.way_out is not None:
        middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
        half = (mark.way_out[0] / 2.0, mark.way_out[1] / 2.0)
        return (middle[0] - half[0], middle[1] - half[1]), (middle[0] + half[0], middle[1] + half[1])
    return start, end
