"""Overlap depth of shapes cut into convex pieces: the shortest translation that separates them.

B shifted by t overlaps A where t lies in the union of the pieces' Minkowski differences, each grown by both radii; the
depth is the distance from the origin to the outline of that union (holes count: a pin may be freed into a slot).

Many pairs are measured in one go: most of the time of a single one goes into calls, not into geometry.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from core.clearance.on_features import Cores, put_on_features
from core.clearance.rounded import Piece
from core.tolerances import Tolerances

Complexes = NDArray[np.complex128]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Sides = tuple[Sequence[Piece], Sequence[Piece]]
"""The pieces of A and of B, both posed in one frame."""

COARSE_SAGITTA = 0.02
"""mm, for the first look at grown outlines; the points found are then put exactly on their features."""

DIRECTIONS = np.arange(32) * math.pi / 16
"""Radians; along each a way out is known at once."""

MOST_PAIRS, MOST_CORES = 256, 20_000
"""Pairs of shapes, and Minkowski differences, that are measured in one go at most: it bounds what they take of memory."""

_AXES = np.stack([np.cos(DIRECTIONS), np.sin(DIRECTIONS)])
_ORIGIN = shapely.Point(0, 0)


class WayOut(NamedTuple):
    """depth: mm, 0 where nothing overlaps. move: the translation of B that separates the two, mm."""

    depth: float
    move: complex


_APART = WayOut(0.0, 0j)


def way_out(first: Sequence[Piece], second: Sequence[Piece], *, tolerances: Tolerances) -> WayOut:
    """Depth and shortest translation of B, both bodies posed in one frame. Pieces without area or radius overlap nothing."""
    return ways_out([(first, second)], tolerances=tolerances)[0]


def ways_out(pairs: Sequence[Sides], *, tolerances: Tolerances) -> list[WayOut]:
    """The way out of each pair, as `way_out` tells it: nothing that another pair does changes it."""
    found = [_APART] * len(pairs)
    for chosen in _in_parts(pairs):
        cores = _meeting(_cores([pairs[number] for number in chosen]))
        left = np.flatnonzero(np.bincount(cores.owner))
        for sagitta in (COARSE_SAGITTA, tolerances.chord):
            left, moves, settled = _moves(cores, left, sagitta, tolerances)
            for number, move in zip(left.tolist(), moves, strict=True):
                found[chosen[number]] = WayOut(abs(move), move)
            # Only where not even the fine outline could be put exactly on its features is the answer off, by that sagitta.
            left = left[~settled]
    return found


def _in_parts(pairs: Sequence[Sides]) -> Iterator[list[int]]:
    """The numbers of the pairs that have pieces on both sides, in parts of bounded size."""
    part: list[int] = []
    size = 0
    for number, (first, second) in enumerate(pairs):
        more = len(first) * len(second)
        if part and (len(part) == MOST_PAIRS or size + more > MOST_CORES):
            yield part
            part, size = [], 0
        if more:
            part.append(number)
            size += more
    if part:
        yield part


def _cores(pairs: Sequence[Sides]) -> Cores:
    """The Minkowski differences that can matter: the way out is no longer than the shortest along one of a few directions."""
    points: list[Complexes] = []
    sizes: list[Ints] = []
    longest: list[float] = []
    radius = np.array([first[0].radius + second[0].radius for first, second in pairs])
    for (first, second), own in zip(pairs, radius.tolist(), strict=True):
        a, of_a, low_a, high_a = _laid_out(first)
        b, of_b, low_b, high_b = _laid_out(second)
        longest.append(float((high_a.max(axis=0) - low_b.min(axis=0)).min()) + 2 * own + COARSE_SAGITTA)
        apart = (low_a[:, None] - high_b[None]).max(axis=2).ravel()
        label = np.add.outer(of_a * len(second), of_b).ravel()
        kept = np.flatnonzero((apart <= longest[-1])[label])
        label = label[kept]
        order = np.argsort(label, kind="stable")
        points.append(np.subtract.outer(a, b).ravel()[kept[order]])
        counts = np.bincount(label)
        sizes.append(counts[counts > 0])
    owner = np.repeat(np.arange(len(pairs)), [len(own) for own in sizes])
    hulls = _hulls(np.concatenate(points), np.concatenate(sizes))
    away = shapely.distance(hulls, _ORIGIN)
    near = away <= np.array(longest)[owner]
    return Cores(hulls[near], owner[near], away[near], radius)


def _laid_out(pieces: Sequence[Piece]) -> tuple[Complexes, Ints, Floats, Floats]:
    """Corners of pieces, the piece of each, and how far each piece reaches along the directions, down and up (n, 32)."""
    points = np.concatenate([piece.points for piece in pieces])
    counts = np.array([len(piece.points) for piece in pieces])
    heights = points.view(np.float64).reshape(-1, 2) @ _AXES
    starts = np.cumsum(counts) - counts
    low, high = np.minimum.reduceat(heights, starts, axis=0), np.maximum.reduceat(heights, starts, axis=0)
    return points, np.repeat(np.arange(len(pieces)), counts), low, high


def _hulls(points: Complexes, sizes: Ints) -> NDArray[np.object_]:
    """The convex hull of each set of points, side by side; lines through them are made at once, and a line needs two points."""
    owner = np.repeat(np.arange(len(sizes)), sizes)
    twice = np.where(sizes == 1, 2, 1)[owner]
    points, owner = np.repeat(points, twice), np.repeat(owner, twice)
    hulls: NDArray[np.object_] = shapely.convex_hull(shapely.linestrings(points.real, points.imag, indices=owner))
    return hulls


def _meeting(cores: Cores) -> Cores:
    """Without the pairs that are apart: no core comes as near to the origin as both radii."""
    nearest = np.full(len(cores.radius), np.inf)
    np.minimum.at(nearest, cores.owner, cores.away)
    return cores.of(np.flatnonzero(nearest <= cores.radius))


def _moves(cores: Cores, pairs: Ints, sagitta: float, tolerances: Tolerances) -> tuple[Ints, list[complex], NDArray[np.bool_]]:
    """Of the pairs that overlap: their numbers, the shortest way out of each, and whether it is known exactly."""
    if not len(pairs):
        return pairs, [], np.zeros(0, dtype=bool)
    own = cores.of(pairs)
    pairs, outlines = _outlines(own, pairs, sagitta)
    starts, owner = _nearest(outlines, np.where(cores.radius[pairs] > 0, sagitta, 0.0))
    ends = put_on_features(starts, pairs[owner], own, sagitta, tolerances)
    moves, settled = [], np.ones(len(pairs), dtype=bool)
    first = np.searchsorted(owner, np.arange(len(pairs) + 1)).tolist()
    for place, (start, end) in enumerate(pairwise(first)):
        exact = [move for move in ends[start:end] if move is not None]
        settled[place] = len(exact) == end - start
        moves.append(min(exact or starts[start:end].tolist(), key=abs))
    return pairs, moves, settled


def _outlines(cores: Cores, pairs: Ints, sagitta: float) -> tuple[Ints, NDArray[np.object_]]:
    """The outlines of the unions of grown cores, and the pairs that have one: the others do not have the origin inside."""
    grown = cores.hulls.copy()
    radius = cores.radius[cores.owner]
    segments = np.array([_quarter_segments(own, sagitta) if own > 0 else 0 for own in cores.radius.tolist()], dtype=int)[cores.owner]
    for count in sorted(set(segments[segments > 0].tolist())):
        own = segments == count
        grown[own] = shapely.buffer(grown[own], radius[own], quad_segs=count)
    solid = shapely.area(grown) > 0
    grown, place = grown[solid], np.searchsorted(pairs, cores.owner[solid])
    count = np.bincount(place, minlength=len(pairs))
    table = np.full((len(pairs), int(count.max())), None)
    table[place, np.arange(len(place)) - (np.cumsum(count) - count)[place]] = grown
    whole = shapely.union_all(table, axis=1)
    inside = shapely.covers(whole, _ORIGIN)
    return pairs[inside], shapely.boundary(whole[inside])


def _nearest(outlines: NDArray[np.object_], sagitta: Floats) -> tuple[Complexes, Ints]:
    """Points of each outline nearest to the origin, all that may be once curves are put right, one every 0.1 mm or so; whose."""
    parts, outline = shapely.get_parts(outlines, return_index=True)
    corners, part = shapely.get_coordinates(parts, return_index=True)
    points = corners.view(np.complex128).ravel()
    line = np.flatnonzero(part[:-1] == part[1:])
    owner = outline[part[line]]
    starts, edges = points[line], points[line + 1] - points[line]
    shares = np.clip(-(edges.conj() * starts).real / np.maximum(np.abs(edges) ** 2, np.finfo(float).tiny), 0, 1)
    feet = starts + shares * edges
    away = np.abs(feet)
    least = np.full(len(outlines), np.inf)
    np.minimum.at(least, owner, away)
    found: dict[tuple[int, float, float], complex] = {}
    for place in np.flatnonzero(away <= (least + 2 * sagitta)[owner]).tolist():
        foot = complex(feet[place])
        key = (int(owner[place]), round(foot.real, 1), round(foot.imag, 1))
        if key not in found or abs(foot) < abs(found[key]):
            found[key] = foot
    return np.array(list(found.values()), dtype=complex), np.array([key[0] for key in found], dtype=int)


def _quarter_segments(radius: float, sagitta: float) -> int:
    """Segments a quarter turn so that the sagitta stays below the given one."""
    return max(2, math.ceil(math.pi / (4 * math.acos(max(1 - sagitta / radius, 0.5)))))
