"""Dimensions after ISO 129-1: a length between two points, an angle, a radius; with the words where they have room.

Lengths mm, section frame; angles radians here. `unit`: mm of the section to a drawing unit. Where a dimension may stand in
several ways all are told, the likeliest first, so that a drawing with many can choose those that leave each other free.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence

from core.drawing.display_list import Anchor, DisplayList, Fill, Paint, Stroke, Text
from core.drawing.extent import Extent
from core.drawing.path import Arc, Path, Run, Segment, polyline
from core.model.shapes import Point

TEXT_SIZE = 12.0
ARROW_LENGTH, ARROW_HALF = 7.0, 1.6
"""Drawing units; a filled arrow of about 25 degrees."""

LETTER_WIDTH = 0.55
"""Mean width of a letter in type sizes, for judging how far a text runs where no font is at hand."""

INSIDE_FROM = 24.0
"""Where a length is drawn shorter than this, in drawing units, arrows and text go outside."""

OVER, BESIDE, STEEP = 9.0, 6.0, 0.5
"""Drawing units from a line to the middle of words over it, and to the beginning of words at its side; how level a line is that has
them at its side."""

ASIDE = (0.0, 16.0, -16.0, 32.0, -32.0)
"""Drawing units by which a dimension line may move aside from its points, on extension lines."""

LEADERS, LEADER_WAYS = (18.0, 32.0, 48.0, 68.0, 92.0), 16
"""Drawing units from a dimension line to words that a leader line leads, and in how many directions they are tried at each."""

ARC_RADII = (30.0, 44.0, 60.0, 20.0)
"""Drawing units from the corner of an angle to its dimension line."""

UPON = 3.0
"""Drawing units within which one line lies upon another."""

PIECE = 8.0
"""Drawing units of a line that one box covers."""

_TAIL = 2.2 * ARROW_LENGTH
_COVERED, _CROSSED = 4.0, 1.0
"""What a place costs where its words lie over words or out of sight, and where its lines run through words or its words lie over lines."""


def arrow_head(tip: Point, back: Point, unit: float) -> Path:
    """A filled arrow head with its point at `tip` and its body along the unit vector `back`."""
    base = shifted(tip, back, ARROW_LENGTH * unit)
    across = (-back[1], back[0])
    return (polyline(tip, shifted(base, across, -ARROW_HALF * unit), shifted(base, across, ARROW_HALF * unit), closed=True),)


def shifted(point: Point, along: Point, by: float) -> Point:
    """The point moved by `by` mm along a unit vector."""
    return (point[0] + by * along[0], point[1] + by * along[1])


def length_lines(first: Point, last: Point, *, unit: float, paint: Paint) -> DisplayList:
    """The dimension line between two different points with its heads: inside it, or outside where it is too short for them."""
    length = math.dist(first, last)
    along = ((last[0] - first[0]) / length, (last[1] - first[1]) / length)
    back = (-along[0], -along[1])
    inside = length >= INSIDE_FROM * unit
    tail = 0.0 if inside else _TAIL * unit
    line = Stroke((polyline(shifted(first, along, -tail), shifted(last, along, tail)),), "narrow", paint)
    heads = (arrow_head(first, along if inside else back, unit), arrow_head(last, back if inside else along, unit))
    return (line, *(Fill((head,), paint) for head in heads))


def length_words(
    first: Point, last: Point, words: str, *, unit: float, paint: Paint, second: bool = False, leftward: bool | None = None
) -> Text:
    """The words of a length: above the middle of its line where there is room, else beyond the end that lies further right.

    second: the other way: below the line (left of a steep one), or beyond the other end. leftward: on which side of a steep line
    words stand that are beyond its end; None for that on which they are likeliest.
    """
    length = math.dist(first, last)
    along = ((last[0] - first[0]) / length, (last[1] - first[1]) / length)
    if length >= INSIDE_FROM * unit:
        middle = ((first[0] + last[0]) / 2.0, (first[1] + last[1]) / 2.0)
        (right, up), anchor = _beside(along, words, below=second)
        return Text((middle[0] + right * unit, middle[1] + up * unit), words, TEXT_SIZE, paint, anchor, strong=True, halo=True)
    rightward = (last[0] >= first[0]) != second
    tip, away = (last, along) if rightward else (first, (-along[0], -along[1]))
    at = shifted(tip, away, _TAIL * unit)
    # Away from the end that the words stand beyond; a level or falling line has them on its own side.
    if leftward is None or abs(away[0]) >= STEEP:
        leftward = away[0] < -0.1
    return Text(
        (at[0] + (-4.0 if leftward else 4.0) * unit, at[1]),
        words,
        TEXT_SIZE,
        paint,
        "right" if leftward else "left",
        strong=True,
        halo=True,
    )


def _beside(along: Point, words: str, *, below: bool) -> tuple[Point, Anchor]:
    """From the middle of a line along a unit vector, drawing units, to its words: over it, or `below` it, and clear of it."""
    if abs(along[0]) < STEEP:
        return ((-BESIDE, 0.0), "right") if below else ((BESIDE, 0.0), "left")
    across = (-along[1], along[0]) if along[0] >= 0.0 else (along[1], -along[0])
    side = -1.0 if below else 1.0
    if abs(across[0]) * LETTER_WIDTH * TEXT_SIZE * len(words) / 2.0 <= OVER - TEXT_SIZE / 2.0:
        return (side * OVER * across[0], side * OVER * across[1]), "middle"
    # Aslant: over the middle the line would run through the words; so their nearest corner stands there.
    anchor: Anchor = "left" if side * across[0] > 0.0 else "right"
    return (math.copysign(BESIDE / 2.0, side * across[0]), side * (TEXT_SIZE / 2.0 + 2.0)), anchor


def extension_lines(first: Point, last: Point, across: Point, away: float, unit: float) -> DisplayList:
    """From both points to a dimension line `away` mm aside along the unit vector `across`; none where it is not aside."""
    if away == 0.0:
        return ()
    way = math.copysign(1.0, away)
    lines = tuple(
        polyline(shifted(foot, across, way * 2.0 * unit), shifted(foot, across, away + way * 3.0 * unit)) for foot in (first, last)
    )
    return (Stroke(lines, "narrow"),)


def lengths(
    first: Point, last: Point, words: str, *, unit: float, paint: Paint = "ink", asides: Sequence[float] = ASIDE
) -> Iterator[DisplayList]:
    """The ways to draw a length: on its points, then aside; the words on one side of the line, then on the other.

    Points that coincide are told by their words alone.
    """
    length = math.dist(first, last)
    if length == 0.0:
        yield (Text((first[0] + 8.0 * unit, first[1]), words, TEXT_SIZE, paint, "left", strong=True, halo=True),)
        return
    across = (-(last[1] - first[1]) / length, (last[0] - first[0]) / length)
    for aside in asides:
        start, end = shifted(first, across, aside * unit), shifted(last, across, aside * unit)
        for second in (False, True):
            text = length_words(start, end, words, unit=unit, paint=paint, second=second)
            yield (
                *extension_lines(first, last, across, aside * unit, unit),
                *length_lines(start, end, unit=unit, paint=paint),
                text,
            )


def led_lengths(
    first: Point, last: Point, words: str, *, unit: float, paint: Paint = "ink", lines: DisplayList = ()
) -> Iterator[DisplayList]:
    """The ways to draw a length whose words have no room at its line: at the end of a leader line from there, the nearest first.

    lines: those of the dimension, between two different points, where they are not on the points themselves.
    """
    length = math.dist(first, last)
    along = ((last[0] - first[0]) / length, (last[1] - first[1]) / length)
    tail = 0.0 if length >= INSIDE_FROM * unit else _TAIL * unit
    tips = (shifted(first, along, -tail), shifted(last, along, tail))
    yield from _led(tips, words, lines or length_lines(first, last, unit=unit, paint=paint), unit, paint)


def led_words(point: Point, words: str, *, unit: float, paint: Paint = "ink") -> Iterator[DisplayList]:
    """The ways to write words at the end of a leader line from a point, the nearest first."""
    return _led((point,), words, (), unit, paint)


def _led(tips: Sequence[Point], words: str, drawn: DisplayList, unit: float, paint: Paint) -> Iterator[DisplayList]:
    for reach in LEADERS:
        for way in range(LEADER_WAYS):
            turn = 2.0 * math.pi * way / LEADER_WAYS
            out = (math.cos(turn), math.sin(turn))
            tip = max(tips, key=lambda end: end[0] * out[0] + end[1] * out[1])
            end = shifted(tip, out, reach * unit)
            anchor: Anchor = "middle" if abs(out[0]) < STEEP else "left" if out[0] > 0.0 else "right"
            at = {
                "middle": (end[0], end[1] + math.copysign(TEXT_SIZE / 2.0 + 2.0, out[1]) * unit),
                "left": (end[0] + 4.0 * unit, end[1]),
                "right": (end[0] - 4.0 * unit, end[1]),
            }[anchor]
            text = Text(at, words, TEXT_SIZE, paint, anchor, strong=True, halo=True)
            yield (*drawn, Stroke((polyline(tip, end),), "narrow", paint), text)


def angles(corner: Point, first: Point, last: Point, words: str, *, unit: float, paint: Paint = "ink") -> Iterator[DisplayList]:
    """The ways to draw the angle at `corner` from the ray through `first` to that through `last`, whichever way is less than half a turn.

    The rays are drawn to their points, or as far as the dimension line. Points at the corner itself give nothing.
    """
    if corner in (first, last):
        return
    low, high = (math.atan2(point[1] - corner[1], point[0] - corner[0]) for point in (first, last))
    sweep = math.remainder(high - low, 2.0 * math.pi)
    for radius in ARC_RADII:
        yield _angle(corner, (first, last), low, sweep, radius * unit, words, unit=unit, paint=paint)


def _angle(
    corner: Point, ends: tuple[Point, Point], low: float, sweep: float, radius: float, words: str, *, unit: float, paint: Paint
) -> DisplayList:
    arc = Arc(corner, radius, low, sweep)
    rays = tuple(polyline(corner, _beyond(corner, end, radius + 3.0 * unit)) for end in ends)
    inside = arc.length >= INSIDE_FROM * unit
    # A head lies along the chord of its own length, not along the tangent.
    bend = math.copysign(ARROW_LENGTH * unit / radius / 2.0, sweep)
    starts = (arc.heading(0.0) + bend, arc.heading(1.0) - bend + math.pi)
    if not inside:
        starts = (arc.heading(0.0) - bend + math.pi, arc.heading(1.0) + bend)
    heads = [
        Fill((arrow_head(tip, (math.cos(way), math.sin(way)), unit),), paint) for tip, way in zip((arc.start, arc.end), starts, strict=True)
    ]
    tail = 0.0 if inside else math.copysign(_TAIL * unit / radius, sweep)
    line = Arc(corner, radius, low - tail, sweep + 2.0 * tail)
    middle = low + sweep / 2.0
    out = (math.cos(middle), math.sin(middle))
    anchor: Anchor = "middle" if abs(out[0]) < 0.4 else "left" if out[0] > 0.0 else "right"
    at = shifted(corner, out, radius + (10.0 if anchor == "middle" else 6.0) * unit)
    text = Text(at, words, TEXT_SIZE, paint, anchor, strong=True, halo=True)
    return (Stroke(rays, "narrow"), Stroke((Run((line,), closed=False),), "narrow", paint), *heads, text)


def _beyond(corner: Point, end: Point, least: float) -> Point:
    """The end of a ray through `end`, at least `least` mm from the corner."""
    far = math.dist(corner, end)
    return end if far >= least else shifted(corner, ((end[0] - corner[0]) / far, (end[1] - corner[1]) / far), least)


def radii(centre: Point, rim: Point, words: str, *, unit: float, paint: Paint = "ink") -> Iterator[DisplayList]:
    """The ways to draw the radius of a round edge: a line from its centre with one head at `rim`.

    The words stand along the line where it is long enough for them, else outside the edge, to which a line with its head
    then leads from there. Nothing where rim and centre coincide.
    """
    radius = math.dist(centre, rim)
    if radius == 0.0:
        return
    out = ((rim[0] - centre[0]) / radius, (rim[1] - centre[1]) / radius)
    back = (-out[0], -out[1])
    room = (len(words) * TEXT_SIZE * LETTER_WIDTH + 3.0 * ARROW_LENGTH) * unit
    from_inside = (Stroke((polyline(centre, rim),), "narrow", paint), Fill((arrow_head(rim, back, unit),), paint))
    if radius >= room:
        for second in (False, True):
            yield (*from_inside, length_words(centre, rim, words, unit=unit, paint=paint, second=second))
    for reach in (_TAIL, 2.0 * _TAIL, 3.5 * _TAIL):
        end = shifted(rim, out, reach * unit)
        leftward = out[0] < 0.0
        at = (end[0] + (-4.0 if leftward else 4.0) * unit, end[1])
        text = Text(at, words, TEXT_SIZE, paint, "right" if leftward else "left", strong=True, halo=True)
        yield (Stroke((polyline(centre, end),), "narrow", paint), Fill((arrow_head(rim, out, unit),), paint), text)


def clearest(
    ways: Iterable[DisplayList], taken: Sequence[Extent], *, unit: float, lines: Sequence[Segment] = (), window: Extent | None = None
) -> DisplayList:
    """Of the ways to draw a dimension the first that lies least over what is there: boxes of words and lines of others, mm.

    window: what of the section is seen; words keep inside it where they can. No way is made that comes after one which
    leaves all free. Without any way nothing is drawn.
    """
    best: tuple[float, DisplayList] = (math.inf, ())
    for way in ways:
        found = 0.0
        for more in _costs(way, taken, unit, lines, window):
            found += more
            if found >= best[0]:
                break
        if found < best[0]:
            best = (found, way)
        if found == 0.0:
            break
    return best[1]


def off_words(
    ways: Iterable[DisplayList], taken: Sequence[Extent], *, unit: float, crosses: Callable[[Extent], bool] | None = None
) -> DisplayList:
    """Of the ways to draw a dimension the first whose words lie over none of these boxes, mm; the first of all where each does.

    crosses: whether a box, mm, lies over what words had better not, as outlines. A way off that comes before one that is not, unless
    its lines run through more of these boxes than those of the first do. Without any way nothing is drawn.
    """
    first: DisplayList | None = None
    off: DisplayList | None = None
    for way in ways:
        boxes = word_boxes(way, unit=unit)
        first = way if first is None else first
        if any(_meet(box, other) for box in boxes for other in taken):
            continue
        if crosses is None or not (any(crosses(box) for box in boxes) or _met_by_lines(way, taken) > _met_by_lines(first, taken)):
            return way
        off = way if off is None else off
    return off or first or ()


def _met_by_lines(way: DisplayList, boxes: Sequence[Extent]) -> int:
    lines = straight_lines(way)
    return sum(any(_runs_through(line, box) for line in lines) for box in boxes)


def _costs(way: DisplayList, taken: Sequence[Extent], unit: float, lines: Sequence[Segment], window: Extent | None) -> Iterator[float]:
    """What a way to draw a dimension costs, bit by bit, so that nobody need look at all of a way that is too dear."""
    words, own = word_boxes(way, unit=unit), straight_lines(way)
    for box in words:
        if window is not None and not _inside(box, window):
            yield _COVERED
        yield from (_COVERED for other in taken if _meet(box, other))
        yield from (_CROSSED for line in lines if _runs_through(line, box))
    for line in own:
        yield from (_CROSSED for box in taken if _runs_through(line, box))
        yield from (_CROSSED for other in lines if _lie_upon(line, other, UPON * unit))


def word_boxes(items: DisplayList, *, unit: float) -> list[Extent]:
    """About where the words of a drawing stand, mm."""
    found = []
    for item in items:
        if isinstance(item, Text):
            wide, half, (x, y) = len(item.words) * item.size * LETTER_WIDTH * unit, item.size / 2.0 * unit, item.at
            left = {"left": x, "middle": x - wide / 2.0, "right": x - wide}[item.anchor]
            found.append((left - 2.0 * unit, y - half, left + wide + 2.0 * unit, y + half))
    return found


def straight_lines(items: DisplayList) -> list[Segment]:
    """The straight strokes of a drawing."""
    strokes = (edge for item in items if isinstance(item, Stroke) for run in item.path for edge in run.edges)
    return [edge for edge in strokes if isinstance(edge, Segment)]


def line_boxes(items: DisplayList, *, unit: float) -> list[Extent]:
    """Boxes, mm, that cover the straight strokes of a drawing closely: along a slanting line many small ones."""
    found: list[Extent] = []
    for line in straight_lines(items):
        count = max(1, math.ceil(line.length / (PIECE * unit)))
        for start, end in ((line.point(piece / count), line.point((piece + 1) / count)) for piece in range(count)):
            low, high = (min(start[0], end[0]), min(start[1], end[1])), (max(start[0], end[0]), max(start[1], end[1]))
            found.append((low[0] - unit, low[1] - unit, high[0] + unit, high[1] + unit))
    return found


def _meet(a: Extent, b: Extent) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _lie_upon(one: Segment, other: Segment, near: float) -> bool:
    """Whether two straight lines lie upon each other, within `near` mm, for more than that."""
    if not all(_meet_along(axis, one, other, near) for axis in (0, 1)):
        return False
    long, short = (one, other) if one.length >= other.length else (other, one)
    if short.length <= near:
        return False
    start, along = complex(*long.start), (complex(*long.end) - complex(*long.start)) / long.length
    ends = [(complex(*end) - start) * along.conjugate() for end in (short.start, short.end)]
    low, high = sorted(end.real for end in ends)
    return max(abs(end.imag) for end in ends) <= near and min(high, long.length) - max(low, 0.0) > near


def _meet_along(axis: int, one: Segment, other: Segment, near: float) -> bool:
    """Whether two lines reach over the same x (axis 0) or y (axis 1), within `near` mm."""
    a, b, c, d = one.start[axis], one.end[axis], other.start[axis], other.end[axis]
    return min(a, b) <= max(c, d) + near and min(c, d) <= max(a, b) + near


def _inside(a: Extent, b: Extent) -> bool:
    return b[0] <= a[0] and b[1] <= a[1] and a[2] <= b[2] and a[3] <= b[3]


def _runs_through(line: Segment, box: Extent) -> bool:
    """Whether a straight line passes through the inside of a box: what is left of it between the box's sides."""
    low, high = 0.0, 1.0
    for axis in (0, 1):
        start, way = line.start[axis], line.end[axis] - line.start[axis]
        if way == 0.0:
            if not box[axis] < start < box[axis + 2]:
                return False
            continue
        enters, leaves = sorted(((box[axis] - start) / way, (box[axis + 2] - start) / way))
        low, high = max(low, enters), min(high, leaves)
    return low < high
