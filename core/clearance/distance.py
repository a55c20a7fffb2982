"""Signed gaps of core pairs at the centres of boxes, and proved bounds of the gap over the whole boxes.

For convex cores the signed gap is the largest separation along any direction: the distance where they are apart, minus
the shortest translation that separates them where they overlap (Minkowski difference of polygons: its outward normals
are those of the two polygons; distances are corner to edge). A fixed direction n therefore bounds the gap from below
over a whole box, apart or overlapping: gap >= min_v n.x_v - max_w n.y_w - radii.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Batch, Kind
from core.clearance.motion_in_box import Boxes, Complexes, Floats, Ints, Spread, dot, spread_of

_OVERLAPS = -1e-12
"""mm: separations above this are rounding, so touching and degenerate cores are measured by their distance instead."""


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


class Look(NamedTuple):
    """What is known of N boxes: gap (N,) at the centre (NaN where `enough` was proved without it), lower and upper (N,)."""

    gap: Floats
    lower: Floats
    upper: Floats


def look(batch: Batch, boxes: Boxes, *, enough: Floats, margin: float) -> Look:
    """Gap at the centre and bounds over each box, mm. Boxes proved to stay at least `enough` (N,) apart stop there.

    margin: mm taken off every bound for rounding (`Tolerances.arithmetic`).
    """
    return look_at(batch, boxes.pair, spread_of(batch, boxes), enough=enough, margin=margin)


def look_at(batch: Batch, pair: Ints, spread: Spread, *, enough: Floats, margin: float) -> Look:
    """The same where the motion over the boxes is known already; pair: (N,) into the batch."""
    count = len(pair)
    gap, lower, upper = np.full(count, np.nan), np.full(count, -np.inf), np.full(count, np.inf)
    kind = batch.kind[pair]
    convex = kind == Kind.CONVEX
    lower[convex] = _circles(batch, pair[convex], spread.of(convex)) - margin
    for chosen, measure in (
        (np.flatnonzero(convex & ~(lower >= enough)), _look_convex),
        (np.flatnonzero(kind == Kind.BORE), _look_bore),
        (np.flatnonzero(kind == Kind.FACE), _look_face),
    ):
        if len(chosen):
            seen = measure(batch, pair[chosen], spread.of(chosen))
            gap[chosen] = seen.gap
            lower[chosen] = np.maximum(lower[chosen], seen.lower - margin)
            upper[chosen] = seen.upper + margin
    return Look(gap, lower, upper)


def _circles(batch: Batch, pair: Ints, spread: Spread) -> Floats:
    """Lower bound of the gap by the circles about the two cores."""
    middle_a, middle_b = batch.middle_a[pair], batch.middle_b[pair]
    arm_a, arm_b = spread.spin_a * middle_a, spread.spin_b * middle_b
    apart = spread.offset + arm_a - arm_b
    distance = np.abs(apart)
    normal = np.divide(apart, distance, out=np.ones_like(apart), where=distance > 0)
    slope = spread.slope + 1j * spread.rate_a * arm_a[:, None] - 1j * spread.rate_b * arm_b[:, None]
    rest = spread.rest + spread.rest_a * np.abs(middle_a) + spread.rest_b * np.abs(middle_b)
    first = np.einsum("nk,nk->n", np.abs(dot(normal[:, None], slope)), spread.half)
    bound: Floats = distance - first - rest - batch.circles[pair] - batch.radius[pair]
    return bound


def meeting(batch: Batch, pair: Ints, spread: Spread) -> Meeting:
    """The nearest features of CONVEX pairs at the box centres."""
    features = batch.features
    owner, index = features.pairs.spread(pair)
    b_moves_in_a = np.conj(spread.spin_a)
    a_moves_in_b = np.conj(spread.spin_b)
    spin = np.where(features.on_b[index], (spread.spin_a * a_moves_in_b)[owner], (spread.spin_b * b_moves_in_a)[owner])
    offset = np.where(features.on_b[index], (spread.offset * a_moves_in_b)[owner], (-spread.offset * b_moves_in_a)[owner])
    along = features.along[index]
    local = np.conj(along) * (offset + spin * features.corner[index] - features.first[index])
    over = local.real - np.clip(local.real, 0.0, features.length[index])
    is_point = features.length[index] == 0
    if np.any(is_point):
        plain = (offset + spin * features.corner[index] - features.first[index])[is_point]
        squared = over * over + local.imag * local.imag
        squared[is_point] = plain.real**2 + plain.imag**2
    else:
        squared = over * over + local.imag * local.imag
    starts = np.cumsum(features.pairs.length[pair]) - features.pairs.length[pair]
    nearest = _first_at_minimum(squared, owner, np.minimum.reduceat(squared, starts))
    apart = np.sqrt(squared[nearest])
    separation, deepest = _separation(batch, pair, -local.imag)
    overlapping = separation < _OVERLAPS
    chosen = np.where(overlapping, deepest, nearest)
    return _meeting(batch, spread, index[chosen], local[chosen], np.where(overlapping, separation, apart), overlapping)


def _first_at_minimum(values: Floats, owner: Ints, least: Floats) -> Ints:
    """For each owner the first place where its least value stands."""
    places = np.flatnonzero(values == least[owner])
    found = np.empty(len(least), dtype=np.int64)
    found[owner[places[::-1]]] = places[::-1]
    return found


def _separation(batch: Batch, pair: Ints, height: Floats) -> tuple[Floats, Ints]:
    """The largest separation along an edge normal (N,), and the feature (corner over edge) that it is measured at.

    height: of each spread feature's corner over its edge, outward. -inf where no edge has a length (two points).
    """
    edges = batch.features.edges
    owner, index = edges.spread(pair)
    runs = batch.features.run.length[index]
    least = np.minimum.reduceat(height, np.cumsum(runs) - runs)
    least = np.where(batch.features.bears[index], least, -np.inf)
    starts = np.cumsum(edges.length[pair]) - edges.length[pair]
    most = np.maximum.reduceat(least, starts)
    edge = _first_at_minimum(-least, owner, -most)
    edge_of_feature = np.repeat(np.arange(len(index)), runs)
    wanted = np.zeros(len(index), dtype=bool)
    wanted[edge] = True
    feature = np.flatnonzero(wanted[edge_of_feature] & (height == least[edge_of_feature]))
    deepest = np.zeros(len(pair), dtype=np.int64)
    deepest[owner[edge_of_feature[feature[::-1]]]] = feature[::-1]
    return np.where(np.isfinite(most), most, np.inf), deepest


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
    foot = base + turned * along * np.clip(local.real, 0.0, length)
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


def _look_convex(batch: Batch, pair: Ints, spread: Spread) -> Look:
    met = meeting(batch, pair, spread)
    radius = batch.radius[pair]
    gap = met.core - radius
    travel = np.einsum("nk,nk->n", batch.reach[pair], spread.widest)
    lower = np.maximum(gap - travel, _support(batch, pair, spread, met.normal) - radius)
    return Look(gap, lower, np.minimum(gap + travel, _stretched(spread, met) - radius))


def _stretched(spread: Spread, met: Meeting) -> Floats:
    """Upper bound of the core distance over a box: how far the two nearest material points can part. inf on overlap."""
    arm_a, arm_b = met.on_a - spread.offset, met.on_b
    slope = spread.slope + 1j * spread.rate_a * arm_a[:, None] - 1j * spread.rate_b * arm_b[:, None]
    along = np.einsum("nk,nk->n", np.abs(dot(met.normal[:, None], slope)), spread.half)
    across = np.einsum("nk,nk->n", np.abs(dot(1j * met.normal[:, None], slope)), spread.half)
    rest = spread.rest + spread.rest_a * np.abs(arm_a) + spread.rest_b * np.abs(arm_b)
    apart: Floats = np.where(met.core >= 0, np.hypot(np.maximum(met.core, 0.0) + along, across) + rest, np.inf)
    return apart


def _support(batch: Batch, pair: Ints, spread: Spread, normal: Complexes) -> Floats:
    """Lower bound over each box of min_v n.x_v - max_w n.y_w for the fixed direction n = `normal` (N,), radii left out."""
    drift = dot(normal[:, None], spread.slope)
    moves_a, moves_b = spread.rate_a != 0, spread.rate_b != 0
    owner_a, arm_a, height_a, rate_a = _own_side(batch.points_a.spread(pair), batch.a, spread.spin_a, spread.rate_a, normal)
    owner_b, arm_b, height_b, rate_b = _own_side(batch.points_b.spread(pair), batch.b, spread.spin_b, spread.rate_b, normal)
    starts_b = np.cumsum(batch.points_b.length[pair]) - batch.points_b.length[pair]
    # What both sides share of a drive is counted against B's foremost corner, so that common motion cancels.
    foremost = _first_at_minimum(-height_b, owner_b, np.minimum.reduceat(-height_b, starts_b))
    shared = np.where(moves_a & moves_b, rate_b[foremost], 0.0)
    half = spread.half
    first_a = np.abs(np.where(moves_a | ~moves_b, drift - shared, 0.0)[owner_a] + rate_a)
    first_b = np.where(moves_a[owner_b], np.abs(rate_b - shared[owner_b]), np.abs(np.where(moves_b, drift, 0.0)[owner_b] - rate_b))
    low_a = height_a - np.einsum("nk,nk->n", first_a, half[owner_a]) - spread.rest_a[owner_a] * np.abs(arm_a)
    low_b = -height_b - np.einsum("nk,nk->n", first_b, half[owner_b]) - spread.rest_b[owner_b] * np.abs(arm_b)
    starts_a = np.cumsum(batch.points_a.length[pair]) - batch.points_a.length[pair]
    bound: Floats = dot(normal, spread.offset) + np.minimum.reduceat(low_a, starts_a) + np.minimum.reduceat(low_b, starts_b) - spread.rest
    return bound


def _own_side(
    rows: tuple[Ints, Ints], points: Complexes, spin: Complexes, rate: Floats, normal: Complexes
) -> tuple[Ints, Complexes, Floats, Floats]:
    """Corners of one side: owner, arm from the pin, height along the normal, and d height / dq (corners, K)."""
    owner, index = rows
    arm = spin[owner] * points[index]
    height = dot(normal[owner], arm)
    return owner, arm, height, rate[owner] * dot(normal[owner], 1j * arm)[:, None]


def _look_face(batch: Batch, pair: Ints, spread: Spread) -> Look:
    """Room faces: B stands still in this frame, so the height over the face is known to second order both ways."""
    normal, wall = batch.normal[pair], batch.b[batch.points_b.start[pair]]
    owner, arm, height, rate = _own_side(batch.points_a.spread(pair), batch.a, spread.spin_a, spread.rate_a, normal)
    height = height + dot(normal, spread.offset - wall)[owner] - batch.radius[pair][owner]
    first = np.einsum("nk,nk->n", np.abs(dot(normal[:, None], spread.slope)[owner] + rate), spread.half[owner])
    slack = first + spread.rest[owner] + spread.rest_a[owner] * np.abs(arm)
    starts = np.cumsum(batch.points_a.length[pair]) - batch.points_a.length[pair]
    return Look(
        np.minimum.reduceat(height, starts),
        np.minimum.reduceat(height - slack, starts),
        np.minimum.reduceat(height + slack, starts),
    )


def _look_bore(batch: Batch, pair: Ints, spread: Spread) -> Look:
    """Bores: the farthest corner of A from the bore's centre, bounded to second order along and across its direction."""
    centre = spread.spin_b * batch.b[batch.points_b.start[pair]]
    owner, index = batch.points_a.spread(pair)
    arm = spread.spin_a[owner] * batch.a[index]
    apart = (spread.offset - centre)[owner] + arm
    slope = (spread.slope - 1j * spread.rate_b * centre[:, None])[owner] + 1j * spread.rate_a[owner] * arm[:, None]
    distance = np.abs(apart)
    unit = np.divide(apart, distance, out=np.ones_like(apart), where=distance > 0)
    along = np.einsum("nk,nk->n", np.abs(dot(unit[:, None], slope)), spread.half[owner])
    across = np.einsum("nk,nk->n", np.abs(dot(1j * unit[:, None], slope)), spread.half[owner])
    rest = (spread.rest + spread.rest_b * np.abs(centre))[owner] + spread.rest_a[owner] * np.abs(arm)
    starts = np.cumsum(batch.points_a.length[pair]) - batch.points_a.length[pair]
    room = batch.radius[pair]
    return Look(
        room - np.maximum.reduceat(distance, starts),
        room - np.maximum.reduceat(np.hypot(distance + along, across) + rest, starts),
        room - np.maximum.reduceat(distance - along - rest, starts),
    )
