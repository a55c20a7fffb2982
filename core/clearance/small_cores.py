"""Signed gaps of many small convex core pairs at once: pairs with as many corners side by side, corner by corner and edge by edge.

The same gap as `core.clearance.meeting` tells, without where it is: the largest separation along an edge normal where
the cores overlap, the least corner-edge distance where they are apart. An edge's own frame turns with its body, so the
place of a corner in it is one product of a number known beforehand with the pair's relative turn, plus its shift.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from core.clearance.batch import Batch, Kind, Ragged
from core.clearance.meeting import OVERLAPS
from core.clearance.motion_in_box import Complexes, Floats, Ints

SIZES = (1, 2, 3, 4, 6, 8, 12, 16)
"""Corners that cores are filled up to by repeating the last; pairs with a larger core are not small."""

MOST_AT_ONCE = 60_000
"""Corner-edge features measured in one go, few enough for the processor's cache."""


class _Way(NamedTuple):
    """One core's edges and the other's corners, of the T pairs of a size.

    turned: (2, E, V, T) corner over edge direction, real and imaginary. back: (E, T) complex, conjugate edge direction
    (1 for a point). start: (E, T) complex, where the edge begins in its own frame. length: (E, T) mm.
    """

    turned: Floats
    back: Complexes
    start: Complexes
    length: Floats


class _Size(NamedTuple):
    """The pairs with as many corners: A's corners over B's edges, and the reverse."""

    over_b: _Way
    over_a: _Way


@dataclass(frozen=True, slots=True, eq=False)
class SmallCores:
    """T core pairs sorted into sizes: size (T,) of each, -1 where it is not small; place (T,) in its size. radius: (T,) mm."""

    size: Ints
    place: Ints
    radius: Floats
    sizes: Sequence[_Size]

    def gaps(self, pair: Ints, spin: Complexes, shift: Complexes) -> Floats:
        """Signed gaps (N,) mm where A is at p' = spin p + shift in B's frame, spin (N,) unit; NaN for pairs that are not small.

        Points count as in the batch: A's and B's from their own pins.
        """
        found = np.full(len(pair), np.nan)
        size = self.size[pair]
        for number, own in enumerate(self.sizes):
            for chosen in _in_parts(np.flatnonzero(size == number), own.over_b.turned[0].size // own.over_b.turned.shape[3]):
                place = self.place[pair[chosen]]
                found[chosen] = _core_gaps(own, place, spin[chosen], shift[chosen]) - self.radius[pair[chosen]]
        return found


def small_cores(batch: Batch) -> SmallCores:
    """Sort the batch's convex core pairs with small cores into sizes."""
    ladder = np.array(SIZES)
    fits = (batch.kind == Kind.CONVEX) & (np.maximum(batch.points_a.length, batch.points_b.length) <= SIZES[-1])
    steps = [np.searchsorted(ladder, np.minimum(side.length, SIZES[-1])) for side in (batch.points_a, batch.points_b)]
    key = np.where(fits, steps[0] * len(SIZES) + steps[1], -1)
    known, size = np.unique(key, return_inverse=True)
    size = size.astype(np.int64) - int(bool(len(known)) and known[0] < 0)
    place = np.zeros(len(batch), dtype=np.int64)
    sizes = []
    for number, own in enumerate(known[known >= 0].tolist()):
        pairs = np.flatnonzero(size == number)
        place[pairs] = np.arange(len(pairs))
        a = _filled(batch.a, batch.points_a, pairs, SIZES[own // len(SIZES)])
        b = _filled(batch.b, batch.points_b, pairs, SIZES[own % len(SIZES)])
        sizes.append(_Size(_way(a, b), _way(b, a)))
    return SmallCores(size, place, batch.radius, sizes)


def _filled(points: Complexes, rows: Ragged, pairs: Ints, corners: int) -> Complexes:
    """(corners, T): the cores' corners, the last one repeated."""
    within = np.minimum(np.arange(corners)[:, None], rows.length[pairs] - 1)
    filled: Complexes = points[rows.start[pairs] + within]
    return filled


def _way(corners: Complexes, ring: Complexes) -> _Way:
    edges = np.roll(ring, -1, axis=0) - ring
    length = np.abs(edges)
    back = np.conj(np.divide(edges, length, out=np.ones_like(edges), where=length > 0))
    turned = back[:, None] * corners[None]
    return _Way(np.stack([turned.real, turned.imag]), back, back * ring, length)


def _in_parts(chosen: Ints, features: int) -> Iterator[Ints]:
    many = max(1, MOST_AT_ONCE // features)
    for start in range(0, len(chosen), many):
        yield chosen[start : start + many]


def _core_gaps(size: _Size, place: Ints, spin: Complexes, shift: Complexes) -> Floats:
    """Signed distances of the cores themselves, (N,) mm."""
    squared, apart = _seen(size.over_b, place, spin, shift)
    other, further = _seen(size.over_a, place, np.conj(spin), -shift * np.conj(spin))
    separation = np.maximum(apart, further)
    separation[np.isneginf(separation)] = np.inf
    core: Floats = np.where(separation < OVERLAPS, separation, np.sqrt(np.minimum(squared, other)))
    return core


def _seen(way: _Way, place: Ints, spin: Complexes, shift: Complexes) -> tuple[Floats, Floats]:
    """The least squared distance of a corner from an edge, and the largest separation along an edge's outward normal, (N,)."""
    real, imag = np.take(way.turned, place, axis=3)
    length = np.take(way.length, place, axis=1)
    base = np.take(way.back, place, axis=1) * shift - np.take(way.start, place, axis=1)
    cosine, sine = np.ascontiguousarray(spin.real), np.ascontiguousarray(spin.imag)
    along = real * cosine
    along -= imag * sine
    along += base.real[:, None]
    # Corners of a ring that runs counter-clockwise lie on the left of its edges; what is outside lies on the right.
    imag *= cosine
    real *= sine
    aside = np.add(real, imag, out=imag)
    aside += base.imag[:, None]
    separation: Floats = np.where(length > 0, -aside.max(axis=1), -np.inf).max(axis=0)
    over = np.maximum(along, 0.0, out=real)
    along -= np.minimum(over, length[:, None], out=over)
    along *= along
    aside *= aside
    along += aside
    squared: Floats = along.min(axis=(0, 1))
    return squared, separation
