"""Where convex cores come nearest at the centres of boxes: corner to edge where they are apart, edge normal where not."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Batch
from core.clearance.motion_in_box import Complexes, Floats, Ints, Spread

OVERLAPS = -1e-12
"""mm: separations above this are rounding, so touching and degenerate cores are measured by their distance instead."""

MANY_EDGES = 12
"""Edges a pair above which those that look away from the other core are left out at first."""


class Meeting(NamedTuple):
    """Where the cores of N boxes come nearest at the centre.

    core: (N,) signed distance of the cores. normal: (N,) unit, from B to A, common frame. on_a, on_b: (N,) the nearest
    points (or, where the cores overlap, a corner and its place on the edge that it has to cross), common frame with
    A's offset, B's pin at the origin.
    """

    core: Floats
    normal: Complexes
    on_a: Complexes
    on_b: Complexes


class _Frames(NamedTuple):
    """How each core's points go into the other's own frame: for box n at 2n A's into B's, at 2n + 1 B's into A's."""

    spin: Complexes
    offset: Complexes


class _Edges(NamedTuple):
    """Edges (E,) of the batch that are measured against all corners of the other core: owner, the box of each, sorted."""

    owner: Ints
    edge: Ints


class _Seen(NamedTuple):
    """F features, edge after edge: feature of the batch, of_edge the edge of each, box its box, local its corner in the edge's frame.

    squared: of its corner's distance from the edge, mm. starts: (N,) the first feature of each box.
    """

    feature: Ints
    of_edge: Ints
    box: Ints
    local: Complexes
    squared: Floats
    starts: Ints


def meeting(batch: Batch, pair: Ints, spread: Spread) -> Meeting:
    """The nearest features of CONVEX pairs (N,) at the box centres."""
    frames = _frames(spread)
    edges, all_of_them = _edges(batch, pair, frames)
    found = _measured(batch, spread, frames, edges)
    again = np.flatnonzero(found.core < 0)
    if not all_of_them and len(again):
        # An edge that looks away may still be the shortest way out of an overlap.
        whole = _measured(batch, spread.of(again), _of(frames, again), _Edges(*batch.features.edges.spread(pair[again])))
        for values, part in zip(found, whole, strict=True):
            values[again] = part
    return found


def core_gaps(batch: Batch, pair: Ints, spread: Spread) -> Floats:
    """The signed distances (N,) mm alone, as `meeting` tells them."""
    frames = _frames(spread)
    edges, all_of_them = _edges(batch, pair, frames)
    found = _core_of(batch, frames, edges, len(pair))
    again = np.flatnonzero(found < 0)
    if not all_of_them and len(again):
        found[again] = _core_of(batch, _of(frames, again), _Edges(*batch.features.edges.spread(pair[again])), len(again))
    return found


def _frames(spread: Spread) -> _Frames:
    back_a, back_b = np.conj(spread.spin_a), np.conj(spread.spin_b)
    spin, offset = (np.empty((len(back_a), 2), dtype=np.complex128) for _ in range(2))
    np.multiply(spread.spin_a, back_b, out=spin[:, 0])
    np.multiply(spread.spin_b, back_a, out=spin[:, 1])
    np.multiply(spread.offset, back_b, out=offset[:, 0])
    np.multiply(-spread.offset, back_a, out=offset[:, 1])
    return _Frames(spin.ravel(), offset.ravel())


def _of(frames: _Frames, boxes: Ints) -> _Frames:
    return _Frames(*(both.reshape(-1, 2)[boxes].ravel() for both in frames))


def _edges(batch: Batch, pair: Ints, frames: _Frames) -> tuple[_Edges, bool]:
    """The edges that are to be measured at first, and whether they are all there are."""
    owner, edge = batch.features.edges.spread(pair)
    if len(edge) <= MANY_EDGES * len(pair):
        return _Edges(owner, edge), True
    facing = _facing(batch, pair, frames, owner, edge)
    return _Edges(owner[facing], edge[facing]), False


def _facing(batch: Batch, pair: Ints, frames: _Frames, owner: Ints, edge: Ints) -> NDArray[np.bool_]:
    """The edges that the other core's circle rises above; all of a pair where there is none.

    Where two convex cores are apart the nearest features and a separating edge are among them.
    """
    features = batch.features
    first = features.run.start[edge]
    on_b = features.on_b[first]
    frame = 2 * owner + ~on_b
    middle = np.where(on_b, batch.middle_a[pair][owner], batch.middle_b[pair][owner])
    radius = np.where(on_b, batch.circle_a[pair][owner], batch.circle_b[pair][owner])
    seen = frames.offset[frame] + frames.spin[frame] * middle - features.first[first]
    rises = -(np.conj(features.along[first]) * seen).imag > -radius
    # A point's own edge faces everything, also a polygon that the point lies inside; it does not count as one that faces.
    bears = features.bears[edge]
    some = np.bincount(owner[rises & bears], minlength=len(pair)) > 0
    rises |= ~bears
    faces: NDArray[np.bool_] = rises | ~some[owner]
    return faces


def _seen(batch: Batch, frames: _Frames, edges: _Edges, count: int) -> _Seen:
    """The chosen edges of `count` boxes, every box at least once, against all corners."""
    features = batch.features
    of_edge, index = features.run.spread(edges.edge)
    box = edges.owner[of_edge]
    frame = 2 * box + ~features.on_b[index]
    away = frames.offset[frame] + frames.spin[frame] * features.corner[index] - features.first[index]
    local = np.conj(features.along[index]) * away
    length = features.length[index]
    over = local.real - np.minimum(np.maximum(local.real, 0.0), length)
    squared = over * over + local.imag * local.imag
    is_point = length == 0
    if np.any(is_point):
        squared[is_point] = away[is_point].real ** 2 + away[is_point].imag ** 2
    return _Seen(index, of_edge, box, local, squared, np.searchsorted(box, np.arange(count)))


def _measured(batch: Batch, spread: Spread, frames: _Frames, edges: _Edges) -> Meeting:
    seen = _seen(batch, frames, edges, len(spread.offset))
    least = np.minimum.reduceat(seen.squared, seen.starts)
    nearest = first_at_minimum(seen.squared, seen.box, least)
    separation, deepest = _separation(batch, edges, seen)
    overlapping = separation < OVERLAPS
    chosen = np.where(overlapping, deepest, nearest)
    core = np.where(overlapping, separation, np.sqrt(least))
    return _meeting(batch, spread, seen.feature[chosen], seen.local[chosen], core, overlapping)


def _core_of(batch: Batch, frames: _Frames, edges: _Edges, count: int) -> Floats:
    seen = _seen(batch, frames, edges, count)
    separation = _heights(batch, edges, -seen.local.imag)[1]
    distance = np.sqrt(np.minimum.reduceat(seen.squared, seen.starts))
    core: Floats = np.where(separation < OVERLAPS, separation, distance)
    return core


def first_at_minimum(values: Floats, owner: Ints, least: Floats) -> Ints:
    """For each owner the first place where its least value stands."""
    places = np.flatnonzero(values == least[owner])
    found = np.empty(len(least), dtype=np.int64)
    found[owner[places[::-1]]] = places[::-1]
    return found


def _heights(batch: Batch, edges: _Edges, height: Floats) -> tuple[Floats, Floats]:
    """The lowest corner over each edge (E,), -inf over points, and the largest of those of each box (N,).

    height: of each feature's corner over its edge, outward. inf where no edge of a box has a length (two points).
    """
    runs = batch.features.run.length[edges.edge]
    least = np.where(batch.features.bears[edges.edge], np.minimum.reduceat(height, np.cumsum(runs) - runs), -np.inf)
    most = np.maximum.reduceat(least, np.searchsorted(edges.owner, np.arange(edges.owner[-1] + 1)))
    return least, np.where(np.isfinite(most), most, np.inf)


def _separation(batch: Batch, edges: _Edges, seen: _Seen) -> tuple[Floats, Ints]:
    """The largest separation along an edge normal (N,), and the feature (corner over edge) that it is measured at."""
    height = -seen.local.imag
    least, most = _heights(batch, edges, height)
    best = first_at_minimum(-least, edges.owner, -np.where(np.isinf(most), -np.inf, most))
    wanted = np.zeros(len(edges.edge), dtype=bool)
    wanted[best] = True
    feature = np.flatnonzero(wanted[seen.of_edge] & (height == least[seen.of_edge]))
    deepest = np.zeros(len(most), dtype=np.int64)
    deepest[edges.owner[seen.of_edge[feature[::-1]]]] = feature[::-1]
    return most, deepest


def _meeting(batch: Batch, spread: Spread, feature: Ints, local: Complexes, core: Floats, overlapping: NDArray[np.bool_]) -> Meeting:
    """Nearest points and direction of one feature a box, turned back into the common frame."""
    features = batch.features
    on_b, along, length = features.on_b[feature], features.along[feature], features.length[feature]
    turned = np.where(on_b, spread.spin_b, spread.spin_a)
    corner = np.where(
        on_b,
        spread.offset + spread.spin_a * features.corner[feature],
        spread.spin_b * features.corner[feature],
    )
    base = np.where(on_b, 0j, spread.offset) + turned * features.first[feature]
    foot = base + turned * along * np.minimum(np.maximum(local.real, 0.0), length)
    line = corner - foot
    distance = np.abs(line)
    outward = turned * along * -1j
    unit = np.divide(line, distance, out=np.where(length > 0, outward, 1.0 + 0j), where=distance > 1e-9)
    unit = np.where(overlapping, outward, unit)
    foot = np.where(overlapping, base + turned * along * local.real, foot)
    return Meeting(
        core=core,
        normal=np.where(on_b, unit, -unit),
        on_a=np.where(on_b, corner, foot),
        on_b=np.where(on_b, foot, corner),
    )
