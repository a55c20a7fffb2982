"""One frontier of boxes for all rows: boxes are split, worst first, until each is decided or too small or the cap is met."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.clearance.distance import Look
from core.clearance.motion_in_box import Boxes, Floats, Ints
from core.sweep.rows_at import Low, Table

Bools = NDArray[np.bool_]
Progress = Callable[[float], bool]
"""Gets the share done, 0 to 1; answers whether to go on."""

MOST_AT_ONCE, ROW_AT_ONCE = 8192, 1024
"""Boxes looked at in one go, of all rows and of one."""


@dataclass(slots=True)
class Effort:
    """Counts what was done, for `Work`."""

    boxes: int = 0
    gap_queries: int = 0
    poses: int = 0
    stopped: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Pending:
    """Boxes not yet looked at, with the lower bound that their parents proved."""

    boxes: Boxes
    lower: Floats

    def of(self, chosen: Bools | Ints) -> "Pending":
        """The chosen boxes."""
        return Pending(self.boxes.of(chosen), self.lower[chosen])

    def __len__(self) -> int:
        """The number of boxes."""
        return len(self.lower)

    def joined(self, other: "Pending") -> "Pending":
        """Both, in order."""
        parts = zip(self.boxes, other.boxes, strict=True)
        return Pending(Boxes._make(np.concatenate(pair) for pair in parts), np.concatenate([self.lower, other.lower]))


def whole_range(table: Table, pairs: Ints) -> Pending:
    """One box a core pair, the whole travel of its drives; with rules between drives one for each cell they allow."""
    if table.cells is None:
        below, above = table.sight.low[pairs], table.sight.high[pairs]
    else:
        owner, cell = table.cells.rows.spread(table.row[pairs])
        pairs, below, above = pairs[owner], table.cells.low[cell], table.cells.high[cell]
    return Pending(Boxes(pairs, (below + above) / 2, (above - below) / 2), np.full(len(pairs), -np.inf))


def halves(table: Table, boxes: Boxes, lower: Floats) -> Pending:
    """Each box cut in two across the drive that can move the pair farthest in it."""
    if not len(boxes.pair):
        return Pending(boxes, lower)
    travel = table.sight.reach[boxes.pair] * boxes.half
    blind = np.flatnonzero(np.isneginf(lower))
    if len(blind):
        opened = table.sight.unfolding[boxes.pair[blind]] * boxes.half[blind]
        travel[blind] = np.where(np.any(opened, axis=1, keepdims=True), opened, travel[blind])
    axis = np.argmax(travel, axis=1)
    rows = np.arange(len(axis))
    half = boxes.half.copy()
    half[rows, axis] /= 2
    shift = np.zeros_like(half)
    shift[rows, axis] = half[rows, axis]
    both = Boxes(np.tile(boxes.pair, 2), np.concatenate([boxes.centre - shift, boxes.centre + shift]), np.tile(half, (2, 1)))
    return Pending(both, np.tile(lower, 2))


def looked(table: Table, pending: Pending, *, enough: Floats, margin: float, effort: Effort) -> Look:
    """Look at the boxes; a child is never told worse than its parent."""
    seen = table.sight.look(pending.boxes, enough=enough, margin=margin)
    effort.boxes += len(pending)
    effort.gap_queries += int(np.count_nonzero(~np.isnan(seen.gap)))
    return Look(seen.gap, np.maximum(seen.lower, pending.lower), seen.upper)


def improved(table: Table, low: Low, boxes: Boxes, seen: Look) -> Low:
    """What is known of the rows after the gaps at the boxes' centres."""
    real = np.flatnonzero(~np.isnan(seen.gap))
    return low.improved(table.row[boxes.pair[real]], seen.gap[real], boxes.centre[real], boxes.pair[real])


def worst_first(pending: Pending, row: Ints | None = None) -> tuple[Pending, Pending]:
    """The boxes to look at next, and the rest. row: (n,) of each box; None: they are searched as one, for one answer.

    A row takes part with its worst boxes (smallest lower bounds) or not at all, those with the worst first, so that how a row is
    searched does not depend on what other rows are searched beside it.
    """
    most = MOST_AT_ONCE if row is None else ROW_AT_ONCE
    if len(pending) <= most:
        return pending, pending.of(np.zeros(len(pending), dtype=bool))
    row = np.zeros(len(pending), dtype=np.int64) if row is None else row
    order = np.lexsort((pending.lower, row))
    rows, first, count = np.unique(row[order], return_index=True, return_counts=True)
    place = np.empty(len(order), dtype=np.int64)
    place[order] = np.arange(len(order)) - np.repeat(first, count)
    worst = np.argsort(pending.lower[order[first]], kind="stable")
    fits = np.cumsum(np.minimum(count[worst], most)) <= MOST_AT_ONCE
    now = (place < most) & np.isin(row, rows[worst[fits]])
    return pending.of(now), pending.of(~now)
