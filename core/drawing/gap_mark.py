"""The gap dimension: the two nearest points of a pair joined, and the gap written to it, after ISO 129-1."""

import math
from dataclasses import dataclass

from core.drawing.display_list import Anchor, DisplayList, Fill, Paint, Stroke, Text
from core.drawing.path import Path, polyline
from core.model.shapes import Point
from core.sweep.result import Pair
from core.tolerances import DEFAULT_TOLERANCES

TEXT_SIZE = 12.0
ARROW_LENGTH, ARROW_HALF = 7.0, 1.6
"""Drawing units; a filled arrow of about 25 degrees."""

ASIDE = 14.0
"""Drawing units between an overlap and its dimension."""

INSIDE_FROM = 24.0
"""Where the gap is drawn shorter than this, in drawing units, arrows and text go outside."""


@dataclass(frozen=True, slots=True)
class GapMark:
    """A gap as the sweep or the pose tells it; nothing here is computed from the drawing.

    points: the nearest points of the first and the second body, posed, mm. gap: mm, negative: overlap depth.
    way_out: the shortest translation of the second body that separates them, mm, where they overlap.
    """

    points: tuple[Point, Point]
    gap: float
    required: float
    pair: Pair
    way_out: Point | None = None

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
        return f"{math.floor(100.0 * self.gap + 1e-6) / 100.0:.2f} mm"


def gap_dimension(mark: GapMark, *, unit: float, beside: Path | None = None) -> DisplayList:
    """The dimension of `mark`, `unit` mm of the section to a drawing unit.

    An overlap is dimensioned along its way out; where its outline is given as `beside`, clear of it, with extension lines
    from its ends. Points that coincide with no way out are marked by their text alone, to the right. The text is in breach
    colour where the gap is short.
    """
    first, last = _ends(mark)
    paint: Paint = "breach" if mark.short else "ink"
    length = math.dist(first, last)
    if length == 0.0:
        return (Text((first[0] + 8.0 * unit, first[1]), mark.words, TEXT_SIZE, paint, "left", strong=True, halo=True),)
    along = ((last[0] - first[0]) / length, (last[1] - first[1]) / length)
    across, away = _clear_of(beside, first, along, unit)
    start, end = _shifted(first, across, away), _shifted(last, across, away)
    inside = length >= INSIDE_FROM * unit
    tail = 0.0 if inside else 2.2 * ARROW_LENGTH * unit
    line = Stroke((polyline(_shifted(start, along, -tail), _shifted(end, along, tail)),), "narrow", paint)
    heads = (_head(start, along, unit, outside=not inside), _head(end, (-along[0], -along[1]), unit, outside=not inside))
    words = _words(mark, start, end, along, unit, paint, inside=inside)
    return (*_extensions(first, last, across, away, unit), line, *(Fill((head,), paint) for head in heads), words)


def _clear_of(path: Path | None, foot: Point, along: Point, unit: float) -> tuple[Point, float]:
    """Which way, and how far, the dimension moves to lie beside `path`: to its right, or upwards where that is neither."""
    across = (-along[1], along[0])
    if across[0] < 0.0 or (across[0] == 0.0 and across[1] < 0.0):
        across = (-across[0], -across[1])
    if path is None:
        return across, 0.0
    corners = [edge.start for run in path for edge in run.edges]
    reach = max(((x - foot[0]) * across[0] + (y - foot[1]) * across[1] for x, y in corners), default=0.0)
    return across, max(0.0, reach) + ASIDE * unit


def _extensions(first: Point, last: Point, across: Point, away: float, unit: float) -> DisplayList:
    if away == 0.0:
        return ()
    lines = tuple(polyline(_shifted(foot, across, 2.0 * unit), _shifted(foot, across, away + 3.0 * unit)) for foot in (first, last))
    return (Stroke(lines, "narrow"),)


def _ends(mark: GapMark) -> tuple[Point, Point]:
    start, end = mark.points
    if mark.gap < 0.0 and mark.way_out is not None:
        middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
        half = (mark.way_out[0] / 2.0, mark.way_out[1] / 2.0)
        return (middle[0] - half[0], middle[1] - half[1]), (middle[0] + half[0], middle[1] + half[1])
    return start, end


def _shifted(point: Point, along: Point, by: float) -> Point:
    return (point[0] + by * along[0], point[1] + by * along[1])


def _head(tip: Point, along: Point, unit: float, *, outside: bool) -> Path:
    return arrow_head(tip, (-along[0], -along[1]) if outside else along, unit)


def arrow_head(tip: Point, back: Point, unit: float) -> Path:
    """A filled arrow head with its point at `tip` and its body along the unit vector `back`."""
    base = _shifted(tip, back, ARROW_LENGTH * unit)
    across = (-back[1], back[0])
    return (polyline(tip, _shifted(base, across, -ARROW_HALF * unit), _shifted(base, across, ARROW_HALF * unit), closed=True),)


def _words(mark: GapMark, start: Point, end: Point, along: Point, unit: float, paint: Paint, *, inside: bool) -> Text:
    """Above the middle of the line where there is room, else beyond the end that lies further right."""
    if inside:
        across = (-along[1], along[0]) if along[0] >= 0.0 else (along[1], -along[0])
        middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
        steep = abs(along[0]) < 0.5
        at = _shifted(middle, across if not steep else (1.0, 0.0), (9.0 if not steep else 6.0) * unit)
        return Text(at, mark.words, TEXT_SIZE, paint, "left" if steep else "middle", strong=True, halo=True)
    rightward = end[0] >= start[0]
    tip, away = (end, along) if rightward else (start, (-along[0], -along[1]))
    at = _shifted(tip, away, 2.2 * ARROW_LENGTH * unit)
    anchor: Anchor = "left"
    return Text((at[0] + 4.0 * unit, at[1]), mark.words, TEXT_SIZE, paint, anchor, strong=True, halo=True)
