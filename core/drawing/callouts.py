"""Where does the name of every body stand on a sheet? In the body where it has room, else beside it on a leader (ISO 128-2)."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.drawing.dimension import LETTER_WIDTH
from core.drawing.display_list import DisplayList, Fill, Item, Stroke, Text
from core.drawing.outline import outline
from core.drawing.path import DRAWN, Path, Pose, circle, moved, polyline
from core.drawing.region import region
from core.drawing.slabs import Slab
from core.model.names import BodyName
from core.model.shapes import Bar, Point

SIZE = 12.0
"""Type size of the names, drawing units."""

_AIR = 2.5
_HIGH = 1.35 * SIZE
_DOT = 1.4
"""Drawing units: round a name, height of its box, and the radius of the dot that ends a leader."""

_AWAY = (16.0, 24.0, 34.0, 46.0, 60.0, 78.0, 100.0)
_GRID = 15
"""Places tried across and along a body for its name."""

_TURNS = np.radians(np.arange(0.0, 360.0, 15.0))
_OUTLINE_COSTS, _MATERIAL_COSTS, _CROSSING_COSTS = 70.0, 30.0, 40.0
"""What a place costs besides its distance, drawing units: outlines under the name, material under it, crossed leaders."""


@dataclass(slots=True)
class _Sheet:
    """What is on the sheet so far. solid: all material; lines: its outlines; hatched: the bay's; taken: where no name may stand."""

    unit: float
    solid: BaseGeometry
    lines: BaseGeometry
    hatched: BaseGeometry
    taken: list[BaseGeometry]
    leaders: list[BaseGeometry] = field(default_factory=list)


def callouts(slabs: Sequence[Slab], poses: Mapping[BodyName, Pose], *, unit: float, keep_off: Iterable[tuple[Point, float]]) -> DisplayList:
    """The names of all bodies of `slabs` that can be seen; `keep_off`: circles, mm, that names leave free."""
    fills = {
        number: region([moved(path, poses.get(slab.body, DRAWN)) for path in slab.fills], chord=unit / 4.0)
        for number, slab in enumerate(slabs)
    }
    discs = [shapely.Point(at).buffer(radius) for at, radius in keep_off]
    solid = shapely.union_all([*fills.values()])
    hatched = shapely.union_all([fills[number] for number, slab in enumerate(slabs) if slab.fixed])
    sheet = _Sheet(unit, solid, shapely.union_all([shape.boundary for shape in fills.values()]), hatched, discs)
    seen = _seen(slabs, fills, shapely.union_all(discs))
    fixed = {slab.body: slab.fixed for slab in slabs}
    items: list[Item] = []
    outside = []
    for body, shape in seen.items():
        place = _inside(body, shape, sheet)
        if place is None:
            outside.append((body, shape))
        else:
            items += _ground(body, place, unit) if fixed[body] else ()
            items.append(Text(place, body, SIZE, halo=True))
    for body, shape in sorted(outside, key=lambda entry: (float(entry[1].area), entry[0])):
        items += _beside(body, shape, sheet)
    return tuple(items)


def _seen(slabs: Sequence[Slab], fills: dict[int, BaseGeometry], discs: BaseGeometry) -> dict[BodyName, BaseGeometry]:
    """The largest part of each body that nothing lies over, without the symbols where some is left."""
    seen: dict[BodyName, BaseGeometry] = {}
    above: BaseGeometry = shapely.Polygon()
    for number in reversed(range(len(slabs))):
        free = fills[number].difference(above)
        above = above.union(fills[number])
        clear = free.difference(discs)
        parts = [part for part in shapely.get_parts(clear if clear.area > 0.0 else free) if part.area > 0.0]
        best = max(
            [*parts, *([seen[slabs[number].body]] if slabs[number].body in seen else [])], key=lambda part: float(part.area), default=None
        )
        if best is not None:
            seen[slabs[number].body] = best
    return {slab.body: seen[slab.body] for slab in slabs if slab.body in seen}


def _middle(shape: BaseGeometry, unit: float) -> Point:
    line = shapely.maximum_inscribed_circle(shape, tolerance=unit)
    (x, y) = line.coords[0]
    return float(x), float(y)


def _boxes(body: BodyName, centres: NDArray[np.float64], unit: float) -> NDArray[np.object_]:
    """The rooms that a name needs about centres (n, 2)."""
    wide, high = (LETTER_WIDTH * SIZE * len(body) / 2.0 + _AIR) * unit, _HIGH / 2.0 * unit
    x, y = centres[:, 0], centres[:, 1]
    made: NDArray[np.object_] = np.asarray(shapely.box(x - wide, y - high, x + wide, y + high))
    return made


def _inside(body: BodyName, shape: BaseGeometry, sheet: _Sheet) -> Point | None:
    """The place in a body where its name has the most room, nearest to its middle where several have as much; None without."""
    low_x, low_y, high_x, high_y = shape.bounds
    middle = np.array(shape.centroid.coords[0])
    x, y = np.meshgrid(np.linspace(low_x, high_x, _GRID), np.linspace(low_y, high_y, _GRID))
    centres = np.vstack([middle, _middle(shape, sheet.unit), np.column_stack([x.ravel(), y.ravel()])])
    boxes = _boxes(body, centres, sheet.unit)
    shapely.prepare(shape)
    fits = shapely.covers(shape, boxes) & ~shapely.intersects(boxes, shapely.union_all(sheet.taken))
    if not fits.any():
        return None
    room = np.minimum(shapely.distance(boxes, shape.boundary) / sheet.unit, SIZE)
    worth = np.where(fits, room - 0.1 * np.hypot(*(centres - middle).T) / sheet.unit, -np.inf)
    best = int(np.argmax(worth))
    sheet.taken.append(boxes[best])
    return float(centres[best, 0]), float(centres[best, 1])


def _beside(body: BodyName, shape: BaseGeometry, sheet: _Sheet) -> tuple[Item, ...]:
    """The name at the cheapest free place about the body, with its leader; nothing where there is none."""
    foot, unit = _middle(shape, sheet.unit), sheet.unit
    wide = LETTER_WIDTH * SIZE * len(body) / 2.0 + _AIR
    away = np.array([[(wide * abs(math.cos(turn)) + far, turn) for turn in _TURNS] for far in _AWAY]).reshape(-1, 2)
    centres = np.array(foot) + unit * away[:, :1] * np.column_stack([np.cos(away[:, 1]), np.sin(away[:, 1])])
    boxes = _boxes(body, centres, unit)
    ends = np.array([_edge(box, foot) for box in boxes])
    lines = shapely.linestrings(np.stack([np.broadcast_to(foot, ends.shape), ends], axis=1))
    taken = shapely.union_all(sheet.taken)
    free = ~shapely.intersects(boxes, taken) & ~shapely.intersects(boxes, shapely.Point(foot))
    if sheet.leaders:
        free &= ~shapely.intersects(boxes, shapely.union_all(sheet.leaders))
    if not free.any():
        return ()
    cost = shapely.length(lines) / unit
    cost += _OUTLINE_COSTS * shapely.length(shapely.intersection(boxes, sheet.lines)) / (2.0 * wide * unit)
    cost += _MATERIAL_COSTS * shapely.area(shapely.intersection(boxes, sheet.solid)) / shapely.area(boxes)
    for other in (*sheet.leaders, taken):
        cost += _CROSSING_COSTS * shapely.intersects(lines, other)
    best = int(np.argmin(np.where(free, cost, np.inf)))
    sheet.taken.append(boxes[best])
    sheet.leaders.append(lines[best])
    (x, y), end = centres[best].tolist(), tuple(ends[best].tolist())
    dot: Path = (circle(foot, _DOT * unit),)
    hatched = boxes[best].intersects(sheet.hatched) and not boxes[best].intersects(sheet.lines)
    ground = _ground(body, (x, y), unit) if hatched else ()
    return (*ground, Stroke((polyline(foot, end),), "narrow"), Fill((dot,), "ink"), Text((x, y), body, SIZE, halo=True))


def _edge(box: BaseGeometry, foot: Point) -> Point:
    """Where a leader ends: the middle of that side of the name which faces the body, its ends before its top and bottom."""
    low_x, low_y, high_x, high_y = box.bounds
    middle_x, middle_y = (low_x + high_x) / 2.0, (low_y + high_y) / 2.0
    if foot[0] < low_x:
        return low_x, middle_y
    if foot[0] > high_x:
        return high_x, middle_y
    return middle_x, (low_y if foot[1] < middle_y else high_y)


def _ground(body: BodyName, place: Point, unit: float) -> tuple[Item, ...]:
    """The hatch of cut material leaves room for words (ISO 128-3)."""
    half = max(LETTER_WIDTH * SIZE * len(body) / 2.0 - SIZE / 2.0, 0.0) * unit
    bar = Bar(start=(place[0] - half, place[1]), end=(place[0] + half, place[1]), radius=0.6 * SIZE * unit)
    return (Fill((outline(bar),), "board"),)
