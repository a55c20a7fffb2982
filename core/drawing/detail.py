"""Detail A: the narrow spot of a pair drawn again, enlarged, in a circle of its own, as drawings do (ISO 128-3)."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from core.drawing.dimension import LETTER_WIDTH, arrow_head
from core.drawing.display_list import DisplayList, Fill, Group, Item, Paint, Stroke, Text
from core.drawing.extent import Extent, extent
from core.drawing.gap_mark import GapMark, gap_dimension
from core.drawing.hatch import CUT_ANGLE, OVERLAP_ANGLE, hatch, hatch_path
from core.drawing.lines import HATCH_PITCH, OVERLAP_PITCH, LineClass
from core.drawing.outline import outline
from core.drawing.path import Path, Pose, circle, moved, polyline
from core.drawing.region import drawn_lines, overlap, region, roomiest_place, widest_place
from core.drawing.slabs import Slab
from core.model.names import BodyName
from core.model.shapes import Bar, Point

LETTER = "A"
HEAD_SIZE, TEXT_SIZE, NAME_SIZE = 20.0, 12.0, 13.0
HALO = 2.0
"""Board's colour on both sides of the arrow, drawing units: it lies on an overlap whose colour may be near the ink."""

SPOT_LEAST = 14.0
"""Least radius of the circle on the drawing, drawing units."""

CORNERS: tuple[Point, ...] = ((-1.0, -1.0), (-1.0, 1.0), (1.0, 1.0), (1.0, -1.0))
"""Of the circle on the drawing, where its letter may stand, the likeliest first."""

BETWEEN: tuple[Point, ...] = tuple(
    (math.sqrt(2.0) * math.cos(math.radians(turn)), math.sqrt(2.0) * math.sin(math.radians(turn)))
    for turn in (180.0, 0.0, 90.0, 270.0, *(22.5 + 45.0 * step for step in range(8)))
)
"""Between them and as far off, where it stands if each of those lies over an outline."""

LETTER_ROOM = 16.0
"""Drawing units from the middle of the letter to that of a joint symbol."""

LETTERS = (1.0, 0.85)
"""Shares of the width that a name is judged to have: its letters are narrow oftener than wide."""

WINDOW = 0.92
"""Share of the enlarged circle's radius within which its words stand."""

SPOT_MOST = 0.55
"""Largest radius of the circle on the drawing, as a share of the enlarged one's."""


@dataclass(frozen=True, slots=True)
class Spot:
    """What detail A enlarges: the place and radius on the drawing, mm; the overlap there (None: apart) and its depths."""

    centre: Point
    radius: float
    overlap: Path | None
    band: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Look:
    """How bodies are shown: the paint of a slab, and the bodies drawn with the selected line."""

    paint: Callable[[Slab], Paint]
    selected: frozenset[BodyName] = frozenset()

    def line(self, slab: Slab) -> LineClass:
        """The line of a slab's outline."""
        return "selected" if slab.body in self.selected else "wide"


_SLACK = 1e-6
"""Of a hundredth of a mm: what rounding of numbers may add."""


def spot_of(
    mark: GapMark, slabs: Sequence[Slab], poses: Mapping[BodyName, Pose], *, unit: float, radius: float, least: float = SPOT_LEAST
) -> Spot:
    """The place that detail A is to enlarge, for a circle of `radius` drawing units; `unit` mm to a drawing unit.

    least: the least radius that is enlarged, drawing units.
    """
    near = ((mark.points[0][0] + mark.points[1][0]) / 2.0, (mark.points[0][1] + mark.points[1][1]) / 2.0)
    first, second = ([slab for slab in slabs if slab.body == body] for body in mark.pair)
    pair = (poses.get(mark.pair[0], Pose()), poses.get(mark.pair[1], Pose()))
    found = overlap(first, second, poses=pair, near=near, chord=unit / 20.0) if mark.gap < 0.0 else None
    most, smallest = SPOT_MOST * radius * unit, least * unit
    if found is None:
        return Spot(near, min(most, max(smallest, 2.5 * math.dist(*mark.points))), None, None)
    path, band = found
    low_x, low_y, high_x, high_y = extent(path) or (*near, *near)
    centre = ((low_x + high_x) / 2.0, (low_y + high_y) / 2.0)
    half = math.hypot(high_x - low_x, high_y - low_y) / 2.0
    return Spot(centre, min(most, max(smallest, 1.25 * half)), path, band)


def least_spot(gap: float, *, unit: float, radius: float, seen: float, closer: float) -> float:
    """The least radius to enlarge, drawing units: small enough for a gap or overlap to be `seen` units wide in a circle of `radius`.

    closer: how many times closer than usual the detail may come for that, at most.
    """
    return min(max(radius * abs(gap) / (seen * unit), SPOT_LEAST / closer), SPOT_LEAST)


def magnification(spot: Spot, *, unit: float, radius: float) -> float:
    """How many times larger the detail is than the drawing around it: the spot fills the circle, to the half below."""
    free = radius * unit / spot.radius
    return max(1.0, math.floor(2.0 * free) / 2.0)


def spot_circle(spot: Spot, *, unit: float, corner: Point = CORNERS[0]) -> DisplayList:
    """The narrow circle on the drawing, never too small to be seen, with its letter at a `corner` of it."""
    radius = max(spot.radius, SPOT_LEAST * unit)
    return (
        Stroke((circle(spot.centre, radius),), "narrow"),
        Text(_letter_at(spot, corner, unit), LETTER, NAME_SIZE, strong=True, halo=True),
    )


def free_corner(spot: Spot, off: Sequence[Point], *, unit: float, crosses: Callable[[Extent], bool] | None = None) -> Point:
    """The first corner at which the letter stands clear of all these places, as joint symbols are; else that farthest from them.

    crosses: whether a box, mm, lies over an outline. One that does not comes first, also between the corners.
    """

    def room(corner: Point) -> float:
        at = _letter_at(spot, corner, unit)
        return min(min((math.dist(at, place) for place in off), default=math.inf), LETTER_ROOM * unit)

    if crosses is not None:
        for corner in (*CORNERS, *BETWEEN):
            if room(corner) == LETTER_ROOM * unit and not crosses(_letter_box(spot, corner, unit)):
                return corner
    return max(CORNERS, key=room)


def _letter_box(spot: Spot, corner: Point, unit: float) -> Extent:
    x, y = _letter_at(spot, corner, unit)
    half, wide = NAME_SIZE / 2.0 * unit, (NAME_SIZE * LETTER_WIDTH / 2.0 + HALO) * unit
    return x - wide, y - half, x + wide, y + half


def _letter_at(spot: Spot, corner: Point, unit: float) -> Point:
    away = max(spot.radius, SPOT_LEAST * unit) + 9.0 * unit
    return (spot.centre[0] + 0.77 * away * corner[0], spot.centre[1] + 0.77 * away * corner[1])


def detail_view(
    mark: GapMark,
    spot: Spot,
    slabs: Sequence[Slab],
    poses: Mapping[BodyName, Pose],
    *,
    at: Point,
    radius: float,
    unit: float,
    look: Look,
    captions: bool = True,
    words: tuple[DisplayList, DisplayList] | None = None,
) -> DisplayList:
    """The enlarged circle of `radius` drawing units about `at` (mm), with its heading above and the number below, if `captions`.

    words: what `detail_words` gives, where it is at hand already; looking for places takes most of the time.
    """
    times, lens = _lens(spot, at, unit=unit, radius=radius)
    rim: Path = (circle(at, radius * unit),)
    ours = sorted((slab for slab in slabs if slab.body in mark.pair), key=lambda slab: slab.fixed)
    inside: list[Item] = [Fill((rim,), "board")]
    for slab in ours:
        inside += _enlarged(slab, poses.get(slab.body, Pose()), lens, times, unit=unit, look=look)
    inside += _overlap(spot, lens, times, unit=unit)
    for slab in ours:
        there = _magnified(poses.get(slab.body, Pose()), lens, times)
        inside.append(Stroke(moved(slab.lines, there, times), look.line(slab)))
    for items in words or detail_words(mark, spot, slabs, poses, at=at, radius=radius, unit=unit):
        inside += items
    told = caption_lines(mark, times, at=at, radius=radius, unit=unit) if captions else ()
    return (Group(tuple(inside), rim), Stroke(rim, "narrow"), *told)


def detail_words(
    mark: GapMark, spot: Spot, slabs: Sequence[Slab], poses: Mapping[BodyName, Pose], *, at: Point, radius: float, unit: float
) -> tuple[DisplayList, DisplayList]:
    """The names of the two bodies in the circle of `detail_view`, and what is drawn over them: the arrow out, or the gap dimension.

    Each name stands in its roomiest free place, off the lines where one is large enough; those with none are left out. The number of a
    gap keeps off the lines too, at the end of a leader line where it has no room at its own.
    """
    times, lens = _lens(spot, at, unit=unit, radius=radius)
    ours = sorted((slab for slab in slabs if slab.body in mark.pair), key=lambda slab: slab.fixed)
    window: Path = (circle(at, WINDOW * radius * unit),)
    lines = _lines(ours, poses, lens, times, window, unit)
    way_out = way_out_items(
        mark, spot, at=at, radius=radius, unit=unit, crosses=_crossing(lines, window, unit) if mark.gap >= 0.0 else None
    )
    keep_off = _arrow_room(mark, spot, lens, times, way_out, unit)
    names = _names(ours, poses, lens, times, window=window, unit=unit, keep_off=keep_off, lines=lines)
    return tuple(names), way_out


def _lines(slabs: Sequence[Slab], poses: Mapping[BodyName, Pose], lens: Pose, times: float, window: Path, unit: float) -> BaseGeometry:
    """The lines that are drawn of these slabs in the window of the circle, mm."""
    there = (moved(slab.lines, _magnified(poses.get(slab.body, Pose()), lens, times), times) for slab in slabs)
    return drawn_lines(tuple(there), chord=unit).intersection(region((window,), chord=unit))


def _crossing(lines: BaseGeometry, window: Path, unit: float) -> Callable[[Extent], bool]:
    """Tells whether a box, mm, lies over one of the lines or leaves the window."""
    shapely.prepare(lines)
    inside = region((window,), chord=unit)

    def crosses(box: Extent) -> bool:
        there = shapely.box(*box)
        return bool(lines.intersects(there)) or not inside.covers(there)

    return crosses


def _lens(spot: Spot, at: Point, *, unit: float, radius: float) -> tuple[float, Pose]:
    """How many times larger the detail is, and the pose that takes the drawing, so enlarged, to where the detail stands."""
    times = magnification(spot, unit=unit, radius=radius)
    return times, Pose(0.0, at[0] - times * spot.centre[0], at[1] - times * spot.centre[1])


def _magnified(pose: Pose, lens: Pose, times: float) -> Pose:
    """The pose that, applied to a drawing enlarged `times`, gives what the lens shows of a body at `pose`."""
    return Pose(pose.turn, times * pose.x + lens.x, times * pose.y + lens.y)


def _enlarged(slab: Slab, pose: Pose, lens: Pose, times: float, *, unit: float, look: Look) -> list[Item]:
    fills = tuple(moved(path, _magnified(pose, lens, times), times) for path in slab.fills)
    items: list[Item] = [Fill(fills, look.paint(slab))]
    if slab.fixed:
        lines = hatch(fills, angle=CUT_ANGLE, pitch=HATCH_PITCH * unit)
        items.append(Stroke(hatch_path(lines), "narrow", "quiet"))
    return items


def _overlap(spot: Spot, lens: Pose, times: float, *, unit: float) -> list[Item]:
    if spot.overlap is None:
        return []
    return overlap_items(moved(spot.overlap, lens, times), unit=unit)


def overlap_items(path: Path, *, unit: float) -> list[Item]:
    """An overlap as it is drawn everywhere: dark ground, hatched at 135 degrees, narrow outline."""
    lines = hatch((path,), angle=OVERLAP_ANGLE, pitch=OVERLAP_PITCH * unit)
    return [Fill((path,), "overlap"), Stroke(hatch_path(lines), "narrow", "hatch"), Stroke(path, "narrow")]


def _names(
    slabs: Sequence[Slab],
    poses: Mapping[BodyName, Pose],
    lens: Pose,
    times: float,
    *,
    window: Path,
    unit: float,
    keep_off: Path,
    lines: BaseGeometry,
) -> list[Item]:
    """The bodies' names, each in the roomiest place of the window that is its body's alone and off all lines; else in the widest."""
    there = {slab.body: _magnified(poses.get(slab.body, Pose()), lens, times) for slab in slabs}
    enlarged = [(slab.body, moved(path, there[slab.body], times)) for slab in slabs for path in slab.fills]
    band = lines.simplify(unit).buffer(HALO * unit, quad_segs=1)
    names: list[Item] = []
    for body in dict.fromkeys(slab.body for slab in slabs):
        own = [path for owner, path in enlarged if owner == body]
        others = [path for owner, path in enlarged if owner != body]
        size = ((NAME_SIZE * LETTER_WIDTH * len(body) + 2.0 * HALO) * unit, NAME_SIZE * unit)
        free = region(own, chord=unit).intersection(region((window,), chord=unit)).difference(region([*others, keep_off], chord=unit))
        bare = free.difference(band)
        places = (roomiest_place(bare, (share * size[0], size[1]), within=unit) for share in LETTERS)
        at = next((place for place in places if place is not None), None)
        if at is None:
            place = widest_place(own, within=unit, window=window, without=[*others, keep_off])
            at = place[0] if place is not None and place[1] > NAME_SIZE / 2.0 * unit else None
        if at is not None:
            names.append(Text(at, body, NAME_SIZE, strong=True, halo=True))
    return names


def _arrow_room(mark: GapMark, spot: Spot, lens: Pose, times: float, way_out: Sequence[Item], unit: float) -> Path:
    """What names keep clear of: the arrow, or the gap and its number, with some air."""
    air = 1.2 * NAME_SIZE * unit
    if mark.way_out is not None and mark.gap < 0.0:
        start = _through(spot.centre, lens, times)
        end = (start[0] + times * mark.way_out[0], start[1] + times * mark.way_out[1])
        return outline(Bar(start=start, end=end, radius=air))
    start, end = (_through(point, lens, times) for point in mark.points)
    room = outline(Bar(start=start, end=end, radius=air))
    for item in way_out:
        if isinstance(item, Text):
            left, right = _reach_of(item, unit)
            room = (*room, *outline(Bar(start=(left, item.at[1]), end=(right, item.at[1]), radius=air)))
    return room


def _reach_of(text: Text, unit: float) -> tuple[float, float]:
    """From where to where a text runs, mm, judged by its letters."""
    width = LETTER_WIDTH * text.size * len(text.words) * unit
    left = text.at[0] - {"left": 0.0, "middle": width / 2.0, "right": width}[text.anchor]
    return left, left + width


def way_out_items(
    mark: GapMark, spot: Spot, *, at: Point, radius: float, unit: float, crosses: Callable[[Extent], bool] | None = None
) -> DisplayList:
    """The arrow along which the second body leaves the overlap, in true length; or the gap dimension, where they are apart.

    Of a gap over the depth nothing is drawn: its number stands below the circle.
    crosses: whether a box, mm, lies over what the number of a gap had better not.
    """
    times, lens = _lens(spot, at, unit=unit, radius=radius)
    if mark.over_depth:
        return ()
    if mark.gap >= 0.0:
        ends = tuple(_through(point, lens, times) for point in mark.points)
        there = GapMark((ends[0], ends[1]), mark.gap, mark.required, mark.pair, taken=mark.taken)
        return gap_dimension(there, unit=unit, crosses=crosses)
    if mark.way_out is None:
        return ()
    start = _through(spot.centre, lens, times)
    end = (start[0] + times * mark.way_out[0], start[1] + times * mark.way_out[1])
    length = math.dist(start, end)
    if length == 0.0:
        return ()
    back = ((start[0] - end[0]) / length, (start[1] - end[1]) / length)
    head = arrow_head(end, back, 1.4 * unit)
    neck = (end[0] + 6.0 * unit * back[0], end[1] + 6.0 * unit * back[1])
    shaft: Path = (polyline(start, neck),)
    ground = outline(Bar(start=start, end=end, radius=HALO * unit))
    wider = arrow_head(_beyond(end, back, -1.5 * HALO * unit), back, 2.4 * unit)
    return (Fill((ground, wider), "board"), Stroke(shaft, "wide"), Fill((head,), "ink"))


def _beyond(point: Point, along: Point, by: float) -> Point:
    return (point[0] + by * along[0], point[1] + by * along[1])


def _through(point: Point, lens: Pose, times: float) -> Point:
    return lens.place((times * point[0], times * point[1]))


def caption_lines(mark: GapMark, times: float, *, at: Point, radius: float, unit: float) -> tuple[Text, ...]:
    """The heading above the circle of `detail_view`, enlarged `times`, and what is told below it; from the top."""
    x, y = at

    def line(away: float) -> Point:
        return (x, y + away * unit)

    scale = f"{times:g} : 1 of the board"
    head = (Text(line(radius + 34.0), LETTER, HEAD_SIZE, strong=True), Text(line(radius + 14.0), scale, TEXT_SIZE, "quiet"))
    paint: Paint = "breach" if mark.short else "ink"
    foot = Text(line(-radius - 16.0), mark.words, 15.0, paint, strong=True)
    return (*head, foot, Text(line(-radius - 34.0), _foot_note(mark), TEXT_SIZE, "quiet"))


def _foot_note(mark: GapMark) -> str:
    """What to do about an overlap; what a gap is measured against."""
    if mark.gap < 0.0 and mark.way_out is not None:
        dx, dy = mark.way_out
        return f"shortest way out: move {mark.pair[1]} by ({_signed(dx)}, {_signed(dy)}) mm"
    if mark.short and mark.gap >= 0.0:
        return f"short by {mark.required - mark.gap:.2f} mm of {mark.asked}"
    return f"required gap {mark.asked}"


def _signed(value: float) -> str:
    """Two decimals, rounded away from 0: a shorter move would not part the two."""
    hundredths = math.ceil(abs(value) * 100 - _SLACK)
    return f"{'−' if value < 0 and hundredths else ''}{hundredths / 100:.2f}"
