"""Overlap depth of shapes cut into convex pieces: the shortest translation that separates them.

B shifted by t overlaps A where t lies in the union of the pieces' Minkowski differences, each grown by both radii; the
depth is the distance from the origin to the outline of that union (holes count: a pin may be freed into a slot).
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from core.clearance.rounded import Piece
from core.tolerances import Tolerances

Complexes = NDArray[np.complex128]

COARSE_SAGITTA = 0.02
"""mm, for the first look at grown outlines; the points found are then put exactly on their features."""

DIRECTIONS = np.arange(32) * math.pi / 16
"""Radians; along each a way out is known at once."""


class WayOut(NamedTuple):
    """depth: mm, 0 where nothing overlaps. move: the translation of B that separates the two, mm."""

    depth: float
    move: complex


def way_out(first: Sequence[Piece], second: Sequence[Piece], *, tolerances: Tolerances) -> WayOut:
    """Depth and shortest translation of B, both bodies posed in one frame. Pieces without area or radius overlap nothing."""
    if not first or not second:
        return WayOut(0.0, 0j)
    radius = first[0].radius + second[0].radius
    cores = _near(_hulls([np.subtract.outer(a.points, b.points).ravel() for a in first for b in second]), radius)
    for sagitta in (COARSE_SAGITTA, tolerances.chord):
        outline = _outline(cores, radius, sagitta)
        if outline is None:
            return WayOut(0.0, 0j)
        moves = [_polished(start, cores, radius, sagitta, tolerances) for start in _nearest(outline, sagitta if radius > 0 else 0.0)]
        if radius == 0 or all(move is not None for move in moves):
            break
    # Only where not even the fine outline could be put exactly on its features is the answer off, by that sagitta.
    found = [move for move in moves if move is not None] or _nearest(outline, 0.0)
    move = min(found, key=abs)
    return WayOut(float(abs(move)), complex(move))


def _hulls(sums: list[Complexes]) -> NDArray[np.object_]:
    """The convex hull of each set of points. Lines through them are made at once; the first comes twice since a line needs two."""
    points = np.concatenate([np.append(points, points[0]) for points in sums])
    owner = np.repeat(np.arange(len(sums)), [len(points) + 1 for points in sums])
    hulls: NDArray[np.object_] = shapely.convex_hull(shapely.linestrings(points.real, points.imag, indices=owner))
    return hulls


def _near(cores: NDArray[np.object_], radius: float) -> NDArray[np.object_]:
    """The cores that can matter: the way out is no longer than the shortest along one of a few directions."""
    points = shapely.get_coordinates(cores)
    heights = points @ np.stack([np.cos(DIRECTIONS), np.sin(DIRECTIONS)])
    longest = float(heights.max(axis=0).min()) + radius
    near: NDArray[np.object_] = cores[shapely.distance(cores, shapely.Point(0, 0)) <= longest + radius + COARSE_SAGITTA]
    return near


def _outline(cores: NDArray[np.object_], radius: float, sagitta: float) -> shapely.Geometry | None:
    """The outline of the union of the grown cores, or None where the origin is not inside it."""
    grown = shapely.buffer(cores, radius, quad_segs=_quarter_segments(radius, sagitta)) if radius > 0 else cores
    whole = shapely.union_all([shape for shape in grown if shape.area > 0])
    return whole.boundary if not whole.is_empty and whole.covers(shapely.Point(0, 0)) else None


def _nearest(outline: shapely.Geometry, sagitta: float) -> list[complex]:
    """Points of the outline nearest to the origin: all that may be once curves are put right, one every 0.1 mm or so."""
    found: dict[tuple[float, float], complex] = {}
    parts = shapely.get_parts(outline)
    lines = [(line[:, 0] + 1j * line[:, 1]) for line in map(shapely.get_coordinates, parts)]
    starts, ends = np.concatenate([line[:-1] for line in lines]), np.concatenate([line[1:] for line in lines])
    edges = ends - starts
    shares = np.clip(-(edges.conj() * starts).real / np.maximum(np.abs(edges) ** 2, np.finfo(float).tiny), 0, 1)
    feet = starts + shares * edges
    away = np.abs(feet)
    for place in np.flatnonzero(away <= away.min() + 2 * sagitta):
        foot = complex(feet[place])
        key = (round(foot.real, 1), round(foot.imag, 1))
        if key not in found or abs(foot) < abs(found[key]):
            found[key] = foot
    return list(found.values())


def _quarter_segments(radius: float, sagitta: float) -> int:
    """Segments a quarter turn so that the sagitta stays below the given one."""
    return max(2, math.ceil(math.pi / (4 * math.acos(max(1 - sagitta / radius, 0.5)))))


def _polished(start: complex, cores: NDArray[np.object_], radius: float, sagitta: float, tolerances: Tolerances) -> complex | None:
    """Put the point exactly on the grown outlines it lies on: least translation that keeps `radius` from their cores."""
    if radius == 0:
        return start
    move = start
    for _ in range(12):
        gap, normal = _from_cores(move, cores)
        active = np.flatnonzero(gap < radius + 4 * sagitta)
        if not len(active):
            return None
        step = _least_move(normal[active], radius - gap[active] + (normal[active].conj() * move).real)
        if step is None:
            return None
        moved, move = abs(step - move), step
        if moved < tolerances.arithmetic:
            break
    gap, _ = _from_cores(move, cores)
    settled = bool(np.all(gap >= radius - 10 * tolerances.arithmetic)) and abs(move - start) <= 0.1 + 4 * sagitta
    return move if settled else None


def _from_cores(move: complex, cores: NDArray[np.object_]) -> tuple[NDArray[np.float64], Complexes]:
    """Distance of the point from each core and the direction away from it."""
    lines = shapely.get_coordinates(shapely.shortest_line(cores, shapely.Point(move.real, move.imag)))
    feet = lines[::2, 0] + 1j * lines[::2, 1]
    away = move - feet
    gap = np.abs(away)
    return gap, np.divide(away, gap, out=np.ones_like(away), where=gap > 0)


def _least_move(normals: Complexes, heights: NDArray[np.float64]) -> complex | None:
    """The point nearest to the origin with n.t >= height for all (one or two bind in the plane); None if there is none."""
    candidates = [height * normal for normal, height in zip(normals, heights, strict=True)]
    for i in range(len(normals)):
        for j in range(i):
            cross = (normals[i].conjugate() * normals[j]).imag
            if abs(cross) > 1e-9:
                candidates.append(1j * (heights[i] * normals[j] - heights[j] * normals[i]) / -cross)
    met = [point for point in candidates if np.all((normals.conj() * point).real >= heights - 1e-9)]
    return min(met, key=abs, default=None)
