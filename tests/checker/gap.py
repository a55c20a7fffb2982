"""How far apart are two outlines, and how deep do they overlap? By shapely and by Minkowski differences.

All poses are relative: the first outline is moved, the second stands. mm, radians here.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from tests.checker.outline import Bools, Floats, Outline
from tests.checker.pieces import convex_pieces


def moved_points(points: Floats, turns: Floats, shifts: Floats) -> Floats:
    """Points (m, 2) under n poses: (n, m, 2)."""
    c, s = np.cos(turns)[:, None], np.sin(turns)[:, None]
    x, y = points[:, 0], points[:, 1]
    return np.stack([c * x - s * y + shifts[:, :1], s * x + c * y + shifts[:, 1:]], axis=-1)


def moved_geometries(geometry: BaseGeometry, turns: Floats, shifts: Floats) -> list[BaseGeometry]:
    """The geometry under n poses, as shapely objects."""
    n = len(turns)
    many = np.full(n, geometry)
    coordinates = moved_points(shapely.get_coordinates(geometry), turns, shifts).reshape(-1, 2)
    return list(shapely.set_coordinates(many.copy(), coordinates))


def distances(a: Outline, b: Outline, turns: Floats, shifts: Floats) -> Floats:
    """Distances of the polygons, 0 where they meet; (n,)."""
    return np.asarray(shapely.distance(np.array(moved_geometries(a.geometry, turns, shifts)), b.geometry), float)


def nearer(a: Outline, b: Outline, turns: Floats, shifts: Floats, than: float) -> Bools:
    """Whether the polygons come nearer than a distance above 0; (n,). Many times quicker than measuring it."""
    shapely.prepare(b.geometry)
    return np.asarray(shapely.dwithin(b.geometry, np.array(moved_geometries(a.geometry, turns, shifts)), than), bool)


@dataclass(frozen=True)
class _Faces:
    """The outward normals of a convex polygon's edges by their headings, and the corner at the end of each edge."""

    headings: Floats
    normals: Floats
    corners: Floats


def _faces(polygon: BaseGeometry) -> _Faces:
    ring = shapely.get_coordinates(shapely.orient_polygons(polygon.convex_hull).exterior)
    ahead = np.diff(ring, axis=0)
    long = np.hypot(ahead[:, 0], ahead[:, 1]) > 1e-12
    ahead, ends = ahead[long], ring[1:][long]
    normals = np.column_stack([ahead[:, 1], -ahead[:, 0]]) / np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    headings = np.arctan2(normals[:, 1], normals[:, 0])
    order = np.argsort(headings)
    return _Faces(headings[order], normals[order], ends[order])


def _farthest(faces: _Faces, directions: Floats) -> Floats:
    """How far the polygon reaches along each direction (n, 2): the corner between the two edges whose normals lie either side.

    The corners next to it are looked at too, for headings are rounded.
    """
    place = np.searchsorted(faces.headings, np.arctan2(directions[:, 1], directions[:, 0])) - 1
    near = (place[:, None] + np.arange(-1, 2)) % len(faces.headings)
    return np.asarray(np.max(np.sum(faces.corners[near] * directions[:, None, :], axis=-1), axis=1))


def convex_depths(a: Outline, b: Outline, turns: Floats, shifts: Floats) -> Floats:
    """Shortest translations that separate two convex polygons that overlap: the nearest face of their Minkowski difference; (n,)."""
    faces_a, faces_b = _faces(a.geometry), _faces(b.geometry)
    own_a = _farthest(faces_a, faces_a.normals)
    own_b = _farthest(faces_b, faces_b.normals)
    depths = np.empty(len(turns))
    for i, (turn, shift) in enumerate(zip(turns, shifts, strict=True)):
        c, s = math.cos(turn), math.sin(turn)
        spin = np.array([[c, s], [-s, c]])
        out_of_a = own_a + (faces_a.normals @ spin) @ shift + _farthest(faces_b, -(faces_a.normals @ spin))
        out_of_b = own_b - faces_b.normals @ shift + _farthest(faces_a, -(faces_b.normals @ spin.T))
        depths[i] = min(out_of_a.min(), out_of_b.min())
    return depths


def depth(first: BaseGeometry, second: BaseGeometry) -> tuple[float, Floats]:
    """Shortest translation that separates two geometries: its length and the vector to move the first by.

    The first moved by t meets the second where t lies in the union of the Minkowski differences of their convex pieces; the
    nearest point outside the union is on its outline. 0 where they do not overlap. A gap of no width in that union (a pin
    exactly as wide as its slot) may be lost: such a depth is only exact to either side of it.
    """
    return depth_of_pieces(convex_pieces(first), convex_pieces(second))


def depth_of_pieces(first: list[Floats], second: list[Floats]) -> tuple[float, Floats]:
    """`depth` of two unions of convex pieces."""
    origin = Point(0.0, 0.0)
    differences = [(q[:, None, :] - p[None, :, :]).reshape(-1, 2) for p in first for q in second]
    owners = np.repeat(np.arange(len(differences)), [len(d) for d in differences])
    sums = shapely.convex_hull(shapely.multipoints(shapely.points(np.vstack(differences)), indices=owners))
    union = shapely.union_all(sums)
    if not union.contains(origin):
        return 0.0, np.zeros(2)
    way = shapely.get_coordinates(shapely.shortest_line(origin, union.boundary))[1]
    return float(np.hypot(*way)), way


def depth_by_directions(first: BaseGeometry, second: BaseGeometry, *, directions: int = 720, step: float = 0.01) -> float:
    """The same depth by brute force: the first is pushed in small steps in every direction until they no longer overlap.

    Never less than the true depth, and no more than it by about `step` and the turn between two directions. Slow: a check on `depth`.
    """
    best = math.inf
    reach = sum(math.hypot(g.bounds[2] - g.bounds[0], g.bounds[3] - g.bounds[1]) for g in (first, second))
    for k in range(directions):
        turn = 2.0 * math.pi * k / directions
        lengths = np.arange(0.0, min(best, reach), step)
        if len(lengths) == 0:
            break
        shifts = lengths[:, None] * np.array([math.cos(turn), math.sin(turn)])
        areas = shapely.area(shapely.intersection(np.array(moved_geometries(first, np.zeros(len(lengths)), shifts)), second))
        free = np.flatnonzero(areas <= 1e-9)
        if len(free):
            best = min(best, float(lengths[free[0]]))
    return best
