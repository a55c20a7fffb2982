"""The least gap of rows of core pairs at many poses of their bodies: few core pairs are measured, circles leave out the rest.

First whole blocks (core pairs of one row and two bodies) by the circles about all their cores, up to a cap beyond which
nothing is asked; then in each block that is left the core pair whose circles come nearest is measured, and of the others
only those whose circles come as near as that.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Batch, Kind, Ragged, ragged
from core.clearance.meeting import first_at_minimum
from core.clearance.motion_in_box import Complexes, Floats, Ints
from core.clearance.posed import gaps_at, spread_in_b
from core.clearance.small_cores import SmallCores, small_cores

POSES_AT_ONCE = 512
"""Poses looked at in one go, so that the arrays of a bay stay in the processor's cache."""

MANY = 512
"""Core pairs from which sorting them by size pays."""


class Nearest(NamedTuple):
    """For (n, B) blocks: gap mm (the cap where it is surely no less), and pair, the core pair of the batch that has it (-1 at the cap)."""

    gap: Floats
    pair: Ints


class _Blocks(NamedTuple):
    """B blocks of core pairs that lie side by side, of one row, two groups and one kind.

    cores: places in `RowGaps.pair`. a, b, kind: (B,). first, second: (B,) circles about all their cores of A and B, in
    `_Circles`. reach: (B,) mm, what those circles and the radii cover; inf where circles tell nothing.
    """

    cores: Ragged
    row: Ints
    a: Ints
    b: Ints
    kind: Ints
    first: Ints
    second: Ints
    reach: Floats


class _Circles(NamedTuple):
    """Circles, each of one group: group (C,), middle (C,) mm as drawn."""

    group: Ints
    middle: Complexes


class _Items(NamedTuple):
    """Core pairs of near blocks: near (N,) the block at its pose, core (N,) into `RowGaps.pair`, lower (N,) mm by circles."""

    near: Ints
    core: Ints
    lower: Floats


class _Near(NamedTuple):
    """Blocks that circles do not keep apart: at (M,) the pose, block (M,), and A's pose in B's frame, p' = spin p + shift."""

    at: Ints
    block: Ints
    spin: Complexes
    shift: Complexes


@dataclass(frozen=True, eq=False)
class RowGaps:
    """Core pairs of a posed batch, prepared. pair: (T,) into the batch; row (T,) sorted; group_a, group_b (T,) of A and B.

    margin: mm given away to rounding where circles leave a core pair out.
    """

    batch: Batch
    pair: Ints
    row: Ints
    group_a: Ints
    group_b: Ints
    margin: float

    def rows(self, turn: Floats, shift: Complexes, *, cap: float) -> Floats:
        """Signed gaps (n, R) mm of the rows, in order, at n poses (n, G) of the groups; `cap` where they are no less than that."""
        found = np.empty((len(turn), len(self._row_starts)))
        for start in range(0, len(turn), POSES_AT_ONCE):
            part = slice(start, start + POSES_AT_ONCE)
            blocks = self.nearest(turn[part], shift[part], cap=cap).gap
            found[part] = blocks if blocks.shape[1] == found.shape[1] else np.minimum.reduceat(blocks, self._row_starts, axis=1)
        return found

    def nearest(self, turn: Floats, shift: Complexes, *, cap: float) -> Nearest:
        """The same block by block, with the first core pair that has the least gap; see `row_of_block`."""
        shape = (len(turn), len(self.row_of_block))
        gap, pair = np.full(shape, cap), np.full(shape, -1, dtype=np.int64)
        near = self._near(np.exp(1j * turn), shift, cap)
        if len(near.at):
            least, core = self._least(near, cap)
            below = least < cap
            at, block = near.at[below], near.block[below]
            gap[at, block], pair[at, block] = least[below], self.pair[core[below]]
        return Nearest(gap, pair)

    @property
    def row_of_block(self) -> Ints:
        """(B,) the row of each block."""
        return self._blocks.row

    @cached_property
    def _row_starts(self) -> Ints:
        return np.unique(self._blocks.row, return_index=True)[1]

    @cached_property
    def _small(self) -> SmallCores:
        return small_cores(self.batch)

    @cached_property
    def _parts(self) -> tuple[_Blocks, _Circles]:
        kind = self.batch.kind[self.pair]
        keys = np.stack([self.row, self.group_a, self.group_b, kind], axis=1)
        starts = np.flatnonzero(np.concatenate([[True], np.any(keys[1:] != keys[:-1], axis=1)])[: len(keys)])
        cores = ragged(np.diff(np.append(starts, len(keys))))
        row, group_a, group_b, kind = keys[starts].T
        batch, pair = self.batch, self.pair
        sides = [
            (group, *_around(middle[pair], radius[pair], cores))
            for group, middle, radius in ((group_a, batch.middle_a, batch.circle_a), (group_b, batch.middle_b, batch.circle_b))
        ]
        rim = np.maximum.reduceat(batch.radius[pair], starts) if len(starts) else np.zeros(0)
        reach = np.where(kind == Kind.CONVEX, sides[0][2] + sides[1][2] + rim, np.inf)
        reach = np.where((kind == Kind.BORE) & (cores.length == 1), sides[0][2] - rim, reach)
        told = np.concatenate([np.stack([group, middle.real, middle.imag], axis=1) for group, middle, _ in sides])
        known, which = np.unique(told, axis=0, return_inverse=True)
        circles = _Circles(known[:, 0].astype(np.int64), known[:, 1] + 1j * known[:, 2])
        first, second = which.ravel()[: len(starts)], which.ravel()[len(starts) :]
        return _Blocks(cores, row, group_a, group_b, kind, first, second, reach), circles

    @property
    def _blocks(self) -> _Blocks:
        return self._parts[0]

    def _near(self, spin: Complexes, shift: Complexes, cap: float) -> _Near:
        """The blocks whose circles do not keep them `cap` apart."""
        blocks, circles = self._parts
        placed = spin[:, circles.group] * circles.middle + shift[:, circles.group]
        line = np.take(placed, blocks.first, axis=1) - np.take(placed, blocks.second, axis=1)
        squared = line.real**2 + line.imag**2
        bore = blocks.kind == Kind.BORE
        # A bore is left out where the body's circle lies deep inside it, any other block where its circles lie far apart.
        least = np.where(bore, np.maximum(-blocks.reach - cap - self.margin, 0.0), np.maximum(blocks.reach + cap + self.margin, 0.0))
        at, block = np.nonzero((squared < least**2) != bore)
        back, a, b = np.conj(spin[at, blocks.b[block]]), blocks.a[block], blocks.b[block]
        return _Near(at, block, spin[at, a] * back, (shift[at, a] - shift[at, b]) * back)

    def _least(self, near: _Near, cap: float) -> tuple[Floats, Ints]:
        """The least gap (M,) of each near block and the first of its core pairs (M,) that has it."""
        items = self._items(near)
        starts = np.searchsorted(items.near, np.arange(len(near.at)))
        best = first_at_minimum(items.lower, items.near, np.minimum.reduceat(items.lower, starts))
        gaps = np.full(len(items.core), np.inf)
        gaps[best] = self._measured(near, items.near[best], items.core[best])
        rest = items.lower <= np.minimum(gaps[best], cap)[items.near] + self.margin
        rest[best] = False
        others = np.flatnonzero(rest)
        if len(others):
            gaps[others] = self._measured(near, items.near[others], items.core[others])
        least = np.minimum.reduceat(gaps, starts)
        return least, items.core[first_at_minimum(gaps, items.near, least)]

    def _items(self, near: _Near) -> _Items:
        owner, core = self._blocks.cores.spread(near.block)
        pair, batch = self.pair[core], self.batch
        line = near.spin[owner] * batch.middle_a[pair] + near.shift[owner] - batch.middle_b[pair]
        lower = np.abs(line) - (batch.circle_a[pair] + batch.circle_b[pair] + batch.radius[pair])
        return _Items(owner, core, np.where(batch.kind[pair] == Kind.CONVEX, lower, -np.inf))

    def _measured(self, near: _Near, owner: Ints, core: Ints) -> Floats:
        pair, spin, shift = self.pair[core], near.spin[owner], near.shift[owner]
        if len(pair) < MANY:
            return gaps_at(self.batch, pair, spread_in_b(spin, shift))
        gaps = self._small.gaps(pair, spin, shift)
        left = np.flatnonzero(np.isnan(gaps))
        if len(left):
            gaps[left] = gaps_at(self.batch, pair[left], spread_in_b(spin[left], shift[left]))
        return gaps


def _around(middle: Complexes, radius: Floats, rows: Ragged) -> tuple[Complexes, Floats]:
    """For each row of circles a circle about them all: middle and radius."""
    if not len(rows.start):
        return np.zeros(0, dtype=complex), np.zeros(0)
    ends = [
        np.minimum.reduceat(part - radius, rows.start) + np.maximum.reduceat(part + radius, rows.start)
        for part in (middle.real, middle.imag)
    ]
    centre = (ends[0] + 1j * ends[1]) / 2
    whole = np.maximum.reduceat(np.abs(middle - np.repeat(centre, rows.length)) + radius, rows.start)
    alone: NDArray[np.bool_] = rows.length == 1
    return np.where(alone, middle[rows.start], centre), np.nextafter(np.where(alone, radius[rows.start], whole), np.inf)
