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


class WayOut(NamedTuple):
    """depth: mm, 0 where nothing overlaps. move: the translation of B that separates the two, mm."""

    depth: float
    move: complex


def way_out(first: Sequence[Piece], second: Sequence[Piece], *, tolerances: Tolerances) -> WayOut:
    """Depth and shortest translation of B, both bodies posed in one frame. Pieces without area or radius overlap nothing."""
    if not first or not second:
        return WayOut(0.0, 0j)
    radius = first[0].radius + second[0].radius
    sums = [np.subtract.outer(a.points, b.points).ravel() for a in first for b in second]
    cores = np.array([shapely.convex_hull(shapely.MultiPoint(np.column_stack([hull.real, hull.imag]))) for hull in sums])
    grown = shapely.buffer(cores, radius, quad_segs=_quarter_segments(radius, tolerances)) if radius > 0 else cores
    whole = shapely.union_all([shape for shape in grown if shape.area > 0])
    origin = shapely.Point(0, 0)
    if whole.is_empty or not whole.covers(origin):
        return WayOut(0.0, 0j)
    nearest = shapely.get_coordinates(shapely.shortest_line(whole.boundary, origin))[0]
    move = _polished(complex(*nearest), cores, radius, tolerances)
    return WayOut(float(abs(move)), complex(move))


def _quarter_segments(radius: float, tolerances: Tolerances) -> int:
    """Segments a quarter turn so that the sagitta stays below the chord tolerance."""
    return max(4, math.ceil(math.pi / (4 * math.acos(max(1 - tolerances.chord / radius, 0.5)))))


def _polished(move: complex, cores: NDArray[np.object_], radius: float, tolerances: Tolerances) -> complex:
    """Put the point exactly on the grown outlines it lies on: least translation that keeps `radius` from their cores."""
    if radius == 0:
        return move
    start = move
    for _ in range(8):
        gap, normal = _from_cores(move, cores)
        active = np.flatnonzero(gap < radius + 4 * tolerances.chord)
        if not len(active):
            return start
        step = _least_move(normal[active], radius - gap[active] + (normal[active].conj() * move).real)
        if step is None:
            return start
        moved, move = abs(step - move), step
        if moved < tolerances.arithmetic:
            break
    gap, _ = _from_cores(move, cores)
    return move if np.all(gap >= radius - 10 * tolerances.arithmetic) else start


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
