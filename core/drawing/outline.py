"""What is the outline of a shape? Exact arcs and straight edges; outer runs counter-clockwise, holes clockwise."""

import math
from collections.abc import Sequence
from functools import singledispatch

import numpy as np
import shapely

from core.drawing.path import Arc, Edge, Path, Run, Segment, circle, polyline, reversed_run
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape

# A corner that shapely's erosion leaves must be mitred however sharp it is; this is the longest spike kept, in radii.
_MITRE = 1e6


@singledispatch
def outline(shape: Shape) -> Path:
    """The closed outline of `shape` in the section frame at the drawn pose, mm.

    A bore or frame gives the outer wall and, as a hole, the free inside. A bar of no length gives a disc. A polygon
    whose corners cannot be rounded by its `corner_radius` gives what a disc of that radius can reach inside it, which
    may be several runs or none.
    """
    raise TypeError(f"no outline for {shape!r}")


@outline.register
def _disc(shape: Disc) -> Path:
    return (circle(shape.centre, shape.radius),)


@outline.register
def _bar(shape: Bar) -> Path:
    if shape.start == shape.end:
        return (circle(shape.start, shape.radius),)
    return _grown([shape.start, shape.end], shape.radius)


@outline.register
def _box(shape: Box) -> Path:
    radius = min(shape.corner_radius, min(shape.size) / 2.0)
    core = _rectangle(shape.centre, (shape.size[0] - 2.0 * radius, shape.size[1] - 2.0 * radius), turn=shape.turn)
    return _grown(core, radius)


@outline.register
def _bore(shape: Bore) -> Path:
    return (circle(shape.centre, shape.radius + shape.wall), circle(shape.centre, shape.radius, hole=True))


@outline.register
def _frame(shape: Frame) -> Path:
    outer = _rectangle(shape.centre, (shape.size[0] + 2.0 * shape.wall, shape.size[1] + 2.0 * shape.wall), turn=shape.turn)
    inner = _rectangle(shape.centre, shape.size, turn=shape.turn)
    return (polyline(*outer, closed=True), reversed_run(polyline(*inner, closed=True)))


@outline.register
def _polygon(shape: Polygon) -> Path:
    sharp = shapely.orient_polygons(shapely.Polygon(shape.points, shape.holes))
    if shape.corner_radius == 0.0:
        return tuple(polyline(*_ring(ring), closed=True) for ring in (sharp.exterior, *sharp.interiors))
    core = sharp.buffer(-shape.corner_radius, join_style="mitre", mitre_limit=_MITRE)
    parts = [shapely.orient_polygons(part) for part in shapely.get_parts(core) if not part.is_empty]
    rings = [_ring(ring) for part in parts for ring in (part.exterior, *part.interiors)]
    return tuple(run for ring in rings for run in _grown(ring, shape.corner_radius))


def _ring(ring: shapely.LinearRing) -> list[Point]:
    return [(float(x), float(y)) for x, y in np.asarray(ring.coords)[:-1]]


def _rectangle(centre: Point, size: Point, *, turn: float) -> list[Point]:
    """The corners, counter-clockwise."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    w, h = size[0] / 2.0, size[1] / 2.0
    return [(centre[0] + c * x - s * y, centre[1] + s * x + c * y) for x, y in ((-w, -h), (w, -h), (w, h), (-w, h))]


def _grown(core: Sequence[Point], radius: float) -> Path:
    """The outline around a core whose material lies to its left, at `radius` outside it.

    Corners that stick out become arcs about the core's corner; the others stay sharp, where the two shifted edges meet.
    """
    corners = _distinct(core)
    if radius == 0.0:
        return (polyline(*corners, closed=True),)
    if len(corners) == 1:
        return (circle(corners[0], radius),)
    ahead = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in _cyclic_pairs(corners)]
    edges: list[Edge] = []
    joints: list[tuple[Point, Point, Arc | None]] = []
    for index, corner in enumerate(corners):
        joints.append(_corner(corner, ahead[index - 1], ahead[index], radius))
    for index, (_, leave, arc) in enumerate(joints):
        if arc is not None:
            edges.append(arc)
        reach = joints[(index + 1) % len(joints)][0]
        if math.dist(leave, reach) > 0.0:
            edges.append(Segment(leave, reach))
    return (Run(tuple(edges)),)


def _corner(corner: Point, before: float, after: float, radius: float) -> tuple[Point, Point, Arc | None]:
    """Where the outline reaches the corner, where it leaves it, and the arc between; headings in radians."""
    turn = math.remainder(after - before, 2.0 * math.pi)
    if turn > 0.0 or abs(abs(turn) - math.pi) < 1e-12:  # the end of a bar turns back by half a turn, either sign
        arc = Arc(corner, radius, before - math.pi / 2.0, abs(turn))
        return arc.start, arc.end, arc
    middle = before + turn / 2.0 - math.pi / 2.0
    away = radius / math.cos(turn / 2.0)
    sharp = (corner[0] + away * math.cos(middle), corner[1] + away * math.sin(middle))
    return sharp, sharp, None


def _distinct(points: Sequence[Point]) -> list[Point]:
    """The points without repeats of the one before; a ring of one place gives that place alone."""
    kept = [point for point, before in zip(points, (points[-1], *points[:-1]), strict=True) if point != before]
    return kept or [points[0]]


def _cyclic_pairs(points: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(zip(points, (*points[1:], points[0]), strict=True))
