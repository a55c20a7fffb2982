"""Core pairs at given poses of their bodies: signed gaps, and where the two come nearest."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Batch, CorePair, Kind, batch_of
from core.clearance.distance import centre_gaps
from core.clearance.meeting import first_at_minimum, meeting
from core.clearance.motion_in_box import Complexes, Floats, Ints, Spread, dot
from core.clearance.reach import between


class Witness(NamedTuple):
    """Where core pairs come nearest, section frame: core points on_a, on_b (N,) mm, normal (N,) unit from B to A."""

    on_a: Complexes
    on_b: Complexes
    normal: Complexes


def posed_batch(cores: Sequence[CorePair]) -> Batch:
    """Core pairs to be looked at where `spread_at` puts them; points as drawn."""
    nothing = np.zeros(0)
    return batch_of(cores, [0] * len(cores), [between((), (), drawn=())], [(nothing, nothing)])


def spread_at(
    turn_a: Floats, shift_a: Complexes, turn_b: Floats, shift_b: Complexes, *, in_frame_of_b: NDArray[np.bool_] | None = None
) -> Spread:
    """The bodies of N core pairs at their poses p' = exp(i turn) p + shift; nothing moves. FACE pairs are seen from B."""
    count = len(turn_a)
    offset, spin_a, spin_b = shift_a - shift_b, np.exp(1j * turn_a), np.exp(1j * turn_b)
    if in_frame_of_b is not None:
        back = np.where(in_frame_of_b, np.conj(spin_b), 1.0)
        offset, spin_a, spin_b = offset * back, spin_a * back, np.where(in_frame_of_b, 1.0, spin_b)
    none, still = np.zeros(count), np.zeros((count, 0))
    return Spread(offset, still.astype(complex), none, spin_a, still, none, spin_b, still, none, still, still)


def spread_in_b(spin: Complexes, shift: Complexes) -> Spread:
    """The same with A at p' = spin p + shift in B's own frame, both (N,), spin unit; B as drawn. Any kind of pair."""
    count = len(spin)
    none, still, one = np.zeros(count), np.zeros((count, 0)), np.ones(count, dtype=complex)
    return Spread(shift, still.astype(complex), none, spin, still, none, one, still, none, still, still)


def gaps_at(batch: Batch, pair: Ints, spread: Spread) -> Floats:
    """Signed gaps (N,) mm."""
    return centre_gaps(batch, pair, spread)


def drawn_gaps(cores: Sequence[CorePair]) -> Floats:
    """The signed gap of each core pair as drawn, (n,) mm."""
    none, origin = np.zeros(len(cores)), np.zeros(len(cores), dtype=np.complex128)
    still = spread_at(none, origin, none, origin)
    return gaps_at(posed_batch(cores), np.arange(len(cores)), still)


def witness(batch: Batch, pair: Ints, spread: Spread) -> Witness:
    """The nearest core points and their direction, in the frame of `spread` with B's own shift left out.

    Rooms: the corner of A that is nearest to the wall, and the wall's point there.
    """
    kind = batch.kind[pair]
    if (kind == Kind.CONVEX).all():
        return _met(batch, pair, spread)
    found = Witness(np.zeros(len(pair), dtype=complex), np.zeros(len(pair), dtype=complex), np.ones(len(pair), dtype=complex))
    for own, measure in ((Kind.CONVEX, _met), (Kind.BORE, _in_bore), (Kind.FACE, _over_face)):
        chosen = np.flatnonzero(kind == own)
        if len(chosen):
            for whole, part in zip(found, measure(batch, pair[chosen], spread.of(chosen)), strict=True):
                whole[chosen] = part
    return found


def _met(batch: Batch, pair: Ints, spread: Spread) -> Witness:
    met = meeting(batch, pair, spread)
    return Witness(met.on_a, met.on_b, met.normal)


def _in_bore(batch: Batch, pair: Ints, spread: Spread) -> Witness:
    owner, corners = _corners(batch, pair, spread)
    centre = spread.spin_b * batch.b[batch.points_b.start[pair]]
    away = -np.abs(corners - centre[owner])
    farthest = corners[_first_lowest(away, owner, len(pair))]
    out = farthest - centre
    unit = np.divide(out, np.abs(out), out=np.ones_like(out), where=np.abs(out) > 0)
    # The core radius of the inner body is inside `radius` already, so the wall point is that far from the corner.
    return Witness(farthest, centre + unit * batch.radius[pair], -unit)


def _over_face(batch: Batch, pair: Ints, spread: Spread) -> Witness:
    normal, wall = batch.normal[pair], batch.b[batch.points_b.start[pair]]
    owner, corners = _corners(batch, pair, spread)
    lowest = corners[_first_lowest(dot(normal[owner], corners), owner, len(pair))]
    return Witness(lowest, lowest - normal * dot(normal, lowest - wall), normal)


def _corners(batch: Batch, pair: Ints, spread: Spread) -> tuple[Ints, Complexes]:
    """The corners of A of all pairs side by side, in the common frame, and the pair that each belongs to."""
    owner, index = batch.points_a.spread(pair)
    return owner, spread.offset[owner] + spread.spin_a[owner] * batch.a[index]


def _first_lowest(values: Floats, owner: Ints, count: int) -> Ints:
    return first_at_minimum(values, owner, np.minimum.reduceat(values, np.searchsorted(owner, np.arange(count))))
