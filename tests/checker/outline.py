"""How does a shape of the file look as a polygon? Chords inside or outside the true outline, with their error stated.

Lengths mm, section frame at the drawn pose. `error` is the largest distance between the true outline and the polygon.
`outer=False` gives a polygon inside the true shape, `outer=True` one that contains it.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tests.checker.pieces import convex_pieces

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Record = dict[str, Any]

ROOMS = ("bore", "frame")


def steps_for(radius: float, angle: float, *, error: float) -> int:
    """Chords needed for an arc of `angle` radians so that none leaves its arc by more than `error`; at least 2."""
    if radius <= error:
        return max(2, math.ceil(abs(angle) / (math.pi / 4)))
    half = math.acos(1.0 - error / radius)
    return max(2, math.ceil(abs(angle) / (2.0 * half) + 1e-9))


def arc(centre: Sequence[float], radius: float, *, start: float, angle: float, error: float, outer: bool) -> Floats:
    """Points of an arc from `start` through `angle` (radians): on it, or on the tangents around it where `outer`."""
    n = steps_for(radius, angle, error=error)
    turns = start + angle * np.arange(n + 1) / n
    if not outer:
        return np.asarray(centre) + radius * np.column_stack([np.cos(turns), np.sin(turns)])
    half = angle / n / 2.0
    middles = turns[:-1] + half
    corners = radius / math.cos(half) * np.column_stack([np.cos(middles), np.sin(middles)])
    ends = radius * np.column_stack([np.cos(turns[[0, -1]]), np.sin(turns[[0, -1]])])
    return np.asarray(centre) + np.vstack([ends[:1], corners, ends[1:]])


def circle(centre: Sequence[float], radius: float, *, error: float, outer: bool) -> Polygon:
    """A full circle as a polygon."""
    return Polygon(arc(centre, radius, start=0.0, angle=2.0 * math.pi, error=error, outer=outer)[:-1])


def stadium(start: Sequence[float], end: Sequence[float], radius: float, *, error: float, outer: bool) -> Polygon:
    """All points within `radius` of a segment; a circle where the segment has no length."""
    along = math.atan2(end[1] - start[1], end[0] - start[0])
    if math.dist(start, end) == 0.0:
        return circle(start, radius, error=error, outer=outer)
    first = arc(end, radius, start=along - math.pi / 2, angle=math.pi, error=error, outer=outer)
    second = arc(start, radius, start=along + math.pi / 2, angle=math.pi, error=error, outer=outer)
    return Polygon(np.vstack([first, second]))


def rectangle(centre: Sequence[float], size: Sequence[float], *, turn: float) -> Floats:
    """The four corners, counter-clockwise; `turn` in degrees."""
    w, h = size[0] / 2.0, size[1] / 2.0
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    corners = np.array([[-w, -h], [w, -h], [w, h], [-w, h]])
    return np.asarray(centre) + corners @ np.array([[c, s], [-s, c]])


def _signed_area(ring: Floats) -> float:
    x, y = ring[:, 0], ring[:, 1]
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2.0)


def _rounded_ring(ring: Floats, radius: float, *, error: float, outer: bool) -> Floats | None:
    """The ring with every left-turning corner replaced by a tangent arc; None where two arcs do not fit on an edge.

    The ring runs with the material on its left, so left turns are the corners that stick out.
    """
    ahead = np.roll(ring, -1, axis=0) - ring
    lengths = np.hypot(ahead[:, 0], ahead[:, 1])
    headings = np.arctan2(ahead[:, 1], ahead[:, 0])
    turns = (headings - np.roll(headings, 1) + math.pi) % (2.0 * math.pi) - math.pi
    cuts = np.where(turns > 0.0, radius * np.tan(np.maximum(turns, 0.0) / 2.0), 0.0)
    if np.any(cuts + np.roll(cuts, -1) > lengths + 1e-12):
        return None
    pieces = []
    for corner, turn, cut, heading in zip(ring, turns, cuts, headings, strict=True):
        if turn <= 1e-12:
            pieces.append(corner[None, :])
            continue
        normal = np.array([-math.sin(heading), math.cos(heading)])
        centre = corner + cut * np.array([math.cos(heading), math.sin(heading)]) + radius * normal
        start = heading - turn - math.pi / 2
        pieces.append(arc(centre, radius, start=start, angle=turn, error=error, outer=outer))
    return np.vstack(pieces)


def edges_of(geometry: BaseGeometry) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Every straight edge of a geometry; a point is an edge of no length."""
    if isinstance(geometry, Point):
        return [((geometry.x, geometry.y), (geometry.x, geometry.y))]
    if isinstance(geometry, LineString):
        points = [(float(x), float(y)) for x, y in geometry.coords]
        return list(itertools.pairwise(points))
    if isinstance(geometry, Polygon):
        return [edge for ring in (geometry.exterior, *geometry.interiors) for edge in edges_of(LineString(ring.coords))]
    return [edge for part in getattr(geometry, "geoms", ()) for edge in edges_of(part)]


def grown(geometry: BaseGeometry, radius: float, *, error: float, outer: bool) -> BaseGeometry:
    """All points within `radius` of the geometry: the union of a stadium for every edge."""
    if radius == 0.0 or geometry.is_empty:
        return geometry
    rims = [stadium(a, b, radius, error=error, outer=outer) for a, b in edges_of(geometry)]
    return unary_union([geometry, *rims])


def shrunk(polygon: BaseGeometry, radius: float, *, error: float, outer: bool) -> BaseGeometry:
    """All points of the polygon no nearer to its outline than `radius`."""
    if radius == 0.0:
        return polygon
    rims = [stadium(a, b, radius, error=error, outer=not outer) for a, b in edges_of(polygon)]
    return polygon.difference(unary_union(rims))


def _rounded_polygon(shell: Floats, holes: list[Floats], radius: float, *, error: float, outer: bool) -> BaseGeometry:
    shell = shell if _signed_area(shell) > 0.0 else shell[::-1]
    holes = [hole if _signed_area(hole) < 0.0 else hole[::-1] for hole in holes]
    if radius == 0.0:
        return Polygon(shell, holes)
    # The opening is the meaning and takes long; tangent arcs are quick, and the same where a coarse look finds them the same.
    look = max(error, 0.01)
    tangent, coarse = (_with_tangent_arcs(shell, holes, radius, error=e, outer=outer) for e in (error, look))
    if tangent is not None and coarse is not None:
        opened = _opened(shell, holes, radius, error=look, outer=outer)
        if coarse.symmetric_difference(opened).area <= 4.0 * look * opened.length:
            return tangent
    return _opened(shell, holes, radius, error=error, outer=outer)


def _with_tangent_arcs(shell: Floats, holes: list[Floats], radius: float, *, error: float, outer: bool) -> Polygon | None:
    rings = [_rounded_ring(ring, radius, error=error, outer=outer) for ring in (shell, *holes)]
    polygon = Polygon(rings[0], [ring for ring in rings[1:] if ring is not None]) if rings[0] is not None else None
    return polygon if polygon is not None and polygon.is_valid and len(polygon.interiors) == len(holes) else None


def _opened(shell: Floats, holes: list[Floats], radius: float, *, error: float, outer: bool) -> BaseGeometry:
    return grown(shrunk(Polygon(shell, holes), radius, error=error, outer=outer), radius, error=error, outer=outer)


def core_of(shape: Record, *, error: float) -> tuple[BaseGeometry, float]:
    """The core and the radius around it, for shapes of material (not rooms)."""
    kind = shape["kind"]
    if kind == "disc":
        return Point(shape["centre"]), float(shape["radius"])
    if kind == "bar":
        return LineString([shape["from"], shape["to"]]), float(shape["radius"])
    radius = float(shape.get("corner_radius", 0.0))
    if kind == "box":
        inner = [side - 2.0 * radius for side in shape["size"]]
        return Polygon(rectangle(shape["centre"], inner, turn=shape.get("turn", 0.0))), radius
    return shrunk(Polygon(shape["points"], shape.get("holes", ())), radius, error=error, outer=False), radius


def material(shape: Record, *, error: float, outer: bool) -> BaseGeometry:
    """The material of a shape; of a bore or frame its wall."""
    kind = shape["kind"]
    if kind == "disc":
        return circle(shape["centre"], shape["radius"], error=error, outer=outer)
    if kind == "bar":
        return stadium(shape["from"], shape["to"], shape["radius"], error=error, outer=outer)
    if kind == "box":
        corners = rectangle(shape["centre"], shape["size"], turn=shape.get("turn", 0.0))
        return _rounded_polygon(corners, [], shape.get("corner_radius", 0.0), error=error, outer=outer)
    if kind == "polygon":
        holes = [np.array(hole, float) for hole in shape.get("holes", ())]
        return _rounded_polygon(np.array(shape["points"], float), holes, shape.get("corner_radius", 0.0), error=error, outer=outer)
    return filled(shape, error=error, outer=outer).difference(free_inside(shape, error=error, outer=not outer))


def filled(shape: Record, *, error: float, outer: bool) -> BaseGeometry:
    """The outer outline of a shape, a room taken as solid."""
    if shape["kind"] == "bore":
        return circle(shape["centre"], shape["radius"] + shape["wall"], error=error, outer=outer)
    if shape["kind"] == "frame":
        size = [side + 2.0 * shape["wall"] for side in shape["size"]]
        return Polygon(rectangle(shape["centre"], size, turn=shape.get("turn", 0.0)))
    return material(shape, error=error, outer=outer)


def free_inside(shape: Record, *, error: float, outer: bool) -> Polygon:
    """The free inside of a bore or frame."""
    if shape["kind"] == "bore":
        return circle(shape["centre"], shape["radius"], error=error, outer=outer)
    return Polygon(rectangle(shape["centre"], shape["size"], turn=shape.get("turn", 0.0)))


def room_gap(room: Record, points: Floats) -> Floats:
    """Least free distance from points (..., m, 2), in the room's frame at the drawn pose, to its inner wall; (...,)."""
    away = points - np.asarray(room["centre"], float)
    if room["kind"] == "bore":
        reach = np.sqrt(np.max(np.sum(away * away, axis=-1), axis=-1))
        return np.asarray(room["radius"] - reach)
    c, s = math.cos(math.radians(room.get("turn", 0.0))), math.sin(math.radians(room.get("turn", 0.0)))
    own = away @ np.array([[c, -s], [s, c]])
    half = np.asarray(room["size"], float) / 2.0
    return np.asarray(np.min(half - np.max(np.abs(own), axis=-2), axis=-1))


@dataclass(frozen=True)
class Outline:
    """A polygon standing for a shape: how far it is off, and its vertices for quick transforms."""

    geometry: BaseGeometry
    error: float
    convex: bool
    vertices: Floats

    @cached_property
    def pieces(self) -> list[Floats]:
        """The polygon in convex pieces."""
        return convex_pieces(self.geometry)

    @property
    def empty(self) -> bool:
        """Nothing of the shape is left (its core lay wholly inside a relief disc)."""
        return bool(self.geometry.is_empty)


def outline(geometry: BaseGeometry, *, error: float) -> Outline:
    """Wrap a geometry; convex is judged by comparing it with its hull."""
    vertices = shapely.get_coordinates(geometry)
    hull = geometry.convex_hull
    convex = isinstance(geometry, Polygon) and not geometry.is_empty and hull.area - geometry.area <= 1e-9 * max(1.0, hull.area)
    return Outline(geometry=geometry, error=error, convex=convex, vertices=vertices)
