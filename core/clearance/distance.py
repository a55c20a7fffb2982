"""Signed gaps of core pairs at the centres of boxes, and proved bounds of the gap over the whole boxes.

For convex cores the signed gap is the largest separation along any direction: the distance where they are apart, minus
the shortest translation that separates them where they overlap (Minkowski difference of polygons: its outward normals
are those of the two polygons; distances are corner to edge). A fixed direction n therefore bounds the gap from below
over a whole box, apart or overlapping: gap >= min_v n.x_v - max_w n.y_w - radii.
"""

from typing import NamedTuple

import numpy as np

from core.clearance.batch import Batch, Kind
from core.clearance.meeting import Meeting, core_gaps, first_at_minimum, meeting
from core.clearance.motion_in_box import Boxes, Complexes, Floats, Ints, Spread, dot, spread_of

MOST_FEATURES = 100_000
"""Corner-edge features measured in one go: few enough for the processor's cache, and for a window to breathe between."""

FEW_CORNERS = 12
"""Corners of both cores up to which measuring costs no more than a further bound."""


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
    convex = np.flatnonzero(kind == Kind.CONVEX)
    near = spread if len(convex) == count else spread.of(convex)
    bound, toward = _circles(batch, pair[convex], near)
    lower[convex] = bound - margin
    # Along the line of the middles a support bound costs a corner each; only what it leaves open is measured.
    left = np.flatnonzero(~(lower[convex] >= enough[convex]) & (batch.corners[pair[convex]] > FEW_CORNERS))
    if len(left):
        bound = _support(batch, pair[convex[left]], near.of(left), toward[left]) - batch.radius[pair[convex[left]]] - margin
        lower[convex[left]] = np.maximum(lower[convex[left]], bound)
    measured = convex[~(lower[convex] >= enough[convex])]
    for chosen, measure in (
        *((part, _look_convex) for part in _in_parts(batch, pair, measured)),
        (np.flatnonzero(kind == Kind.BORE), _look_bore),
        (np.flatnonzero(kind == Kind.FACE), _look_face),
    ):
        if len(chosen):
            seen = measure(batch, pair[chosen], spread.of(chosen))
            gap[chosen] = seen.gap
            lower[chosen] = np.maximum(lower[chosen], seen.lower - margin)
            upper[chosen] = seen.upper + margin
    return Look(gap, lower, upper)


def centre_gaps(batch: Batch, pair: Ints, spread: Spread) -> Floats:
    """The signed gaps (N,) mm at the centres alone, without a bound."""
    gap = np.empty(len(pair))
    kind = batch.kind[pair]
    convex = np.flatnonzero(kind == Kind.CONVEX)
    for part in _in_parts(batch, pair, convex):
        if len(part) == len(pair):
            return core_gaps(batch, pair, spread) - batch.radius[pair]
        if len(part):
            gap[part] = core_gaps(batch, pair[part], spread.of(part)) - batch.radius[pair[part]]
    if len(convex) < len(pair):
        for room, measure in ((Kind.BORE, _room_in_bore), (Kind.FACE, _room_over_face)):
            chosen = np.flatnonzero(kind == room)
            if len(chosen):
                gap[chosen] = measure(batch, pair[chosen], spread.of(chosen))
    return gap


def _room_in_bore(batch: Batch, pair: Ints, spread: Spread) -> Floats:
    """The gaps of `_look_bore` alone."""
    owner, index = batch.points_a.spread(pair)
    centre = spread.spin_b * batch.b[batch.points_b.start[pair]]
    apart = (spread.offset - centre)[owner] + spread.spin_a[owner] * batch.a[index]
    gap: Floats = batch.radius[pair] - np.maximum.reduceat(np.abs(apart), np.searchsorted(owner, np.arange(len(pair))))
    return gap


def _room_over_face(batch: Batch, pair: Ints, spread: Spread) -> Floats:
    """The gaps of `_look_face` alone."""
    owner, index = batch.points_a.spread(pair)
    normal, wall = batch.normal[pair], batch.b[batch.points_b.start[pair]]
    height = dot(normal[owner], spread.spin_a[owner] * batch.a[index])
    height = height + dot(normal, spread.offset - wall)[owner] - batch.radius[pair][owner]
    gap: Floats = np.minimum.reduceat(height, np.searchsorted(owner, np.arange(len(pair))))
    return gap


def _in_parts(batch: Batch, pair: Ints, chosen: Ints) -> list[Ints]:
    """The chosen boxes in parts that do not hold too many features at once: outlines of 500 corners make 500,000 a box."""
    load = np.cumsum(batch.features.pairs.length[pair[chosen]])
    if not len(load) or load[-1] <= MOST_FEATURES:
        return [chosen]
    return np.split(chosen, np.flatnonzero(np.diff(load // MOST_FEATURES)) + 1)


def _circles(batch: Batch, pair: Ints, spread: Spread) -> tuple[Floats, Complexes]:
    """Lower bound of the gap by the circles about the two cores, and the unit direction from B's middle to A's."""
    middle_a, middle_b = batch.middle_a[pair], batch.middle_b[pair]
    arm_a, arm_b = spread.spin_a * middle_a, spread.spin_b * middle_b
    apart = spread.offset + arm_a - arm_b
    distance = np.abs(apart)
    normal = np.divide(apart, distance, out=np.ones_like(apart), where=distance > 0)
    slope = spread.slope + 1j * spread.rate_a * arm_a[:, None] - 1j * spread.rate_b * arm_b[:, None]
    rest = spread.rest + spread.rest_a * np.abs(middle_a) + spread.rest_b * np.abs(middle_b)
    first = np.einsum("nk,nk->n", np.abs(dot(normal[:, None], slope)), spread.half)
    bound: Floats = distance - first - rest - batch.circle_a[pair] - batch.circle_b[pair] - batch.radius[pair]
    return bound, normal


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
    foremost = first_at_minimum(-height_b, owner_b, np.minimum.reduceat(-height_b, starts_b))
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
