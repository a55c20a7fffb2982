"""All drives, every combination: for each row the verdict, the lowest gap within the resolution, and its proved floor."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.clearance.motion_in_box import Floats, Ints
from core.sweep.frontier import Effort, Pending, Progress, halves, improved, looked, whole_range, worst_first
from core.sweep.rows_at import Low, Table, descended, ends_of, lower_at, nothing_known
from core.tolerances import Tolerances

DESCENT_FROM = 64
"""A row with more boxes than this in hand first searches for a good low: each mm of it saves many boxes."""


@dataclass(frozen=True, slots=True, eq=False)
class Bounds:
    """What is known of R rows.

    low: the least gap found. floor: (R,) mm, proved over the whole range. open_share: (R,) of the range where the need
    is neither proved nor broken.
    """

    low: Low
    floor: Floats
    open_share: Floats


@dataclass(slots=True)
class _State:
    low: Low
    floor: Floats
    open_share: Floats
    spent: Ints


def sweep(
    table: Table,
    need: Floats,
    *,
    tolerances: Tolerances,
    cap: int,
    effort: Effort,
    start: Low | None = None,
    lowest: bool = True,
    loose: NDArray[np.bool_] | None = None,
    progress: Progress | None = None,
) -> Bounds:
    """Prove or find for every row. need: (R,) mm. cap: boxes a row. start: gaps already known (of the same table).

    With `lowest` false only the verdict is sought: a row stops at its first breach or when it is proved. loose: (R,)
    rows whose overlaps are only known exactly at a pose; those are narrowed to `Tolerances.loose`.
    """
    rows = len(table)
    low = start or nothing_known(rows, width=table.sight.low.shape[1])
    state = _State(low, np.full(rows, np.inf), np.zeros(rows), np.zeros(rows, dtype=np.int64))
    pending = whole_range(table, np.arange(len(table.row), dtype=np.int64))
    volume = _shares(table)
    descended_rows = np.zeros(rows, dtype=bool)
    while len(pending):
        target = _target(state.low, need, tolerances, lowest=lowest, loose=loose)
        pending = _settled(table, pending, target, state, need, cap, volume)
        if not len(pending):
            break
        if lowest:
            busy = np.bincount(table.row[pending.boxes.pair], minlength=rows) > DESCENT_FROM
            if np.any(busy & ~descended_rows):
                state.low = _deeper(table, state.low, np.flatnonzero(busy & ~descended_rows), effort)
                descended_rows |= busy
                continue
        now, later = worst_first(pending, table.row[pending.boxes.pair])
        seen = looked(table, now, enough=target[table.row[now.boxes.pair]], margin=tolerances.arithmetic, effort=effort)
        state.spent += np.bincount(table.row[now.boxes.pair], minlength=rows)
        state.low = improved(table, state.low, now.boxes, seen)
        pending = later.joined(_next(table, now, seen.lower, state, need, target, volume, tolerances))
        if progress is not None and not progress(share_done(table, pending)):
            effort.stopped = True
            _leave(table, pending, state, need, volume)
            break
    return Bounds(state.low, state.floor, state.open_share)


def _target(low: Low, need: Floats, tolerances: Tolerances, *, lowest: bool, loose: NDArray[np.bool_] | None) -> Floats:
    """(R,) mm: a box that is proved to stay this far apart needs no further look."""
    if not lowest:
        return np.where(low.gap < need, -np.inf, need)
    wanted = wanted_floor(low, loose, tolerances)
    return np.where(low.gap < need, wanted, np.maximum(wanted, need))


def wanted_floor(low: Low, loose: NDArray[np.bool_] | None, tolerances: Tolerances, *, lowest: bool = True) -> Floats:
    """(R,) mm: how far the floor must come for the lowest gaps to be narrow enough; -inf where they are not sought (`lowest` false)."""
    if not lowest:
        return np.full(len(low.gap), -np.inf)
    width = tolerances.resolution
    if loose is not None:
        return np.minimum(low.gap - np.where(loose & (low.gap < 0), max(tolerances.loose, width), width), tolerances.far)
    return np.minimum(low.gap - width, tolerances.far)


def _settled(table: Table, pending: Pending, target: Floats, state: _State, need: Floats, cap: int, volume: Floats) -> Pending:
    """Take out the boxes that are proved far enough, and those of rows that have spent their cap."""
    row = table.row[pending.boxes.pair]
    proved = pending.lower >= target[row]
    np.minimum.at(state.floor, row[proved], pending.lower[proved])
    spent = ~proved & (state.spent[row] >= cap)
    _leave(table, pending.of(spent), state, need, volume)
    return pending.of(~proved & ~spent)


def _leave(table: Table, left: Pending, state: _State, need: Floats, volume: Floats) -> None:
    """Book boxes that stay as they are: their floor counts, and their share is open where the need is not proved."""
    row = table.row[left.boxes.pair]
    np.minimum.at(state.floor, row, left.lower)
    unproved = left.lower < need[row]
    share = _part(table, left)[unproved] * volume[left.boxes.pair[unproved]]
    np.add.at(state.open_share, row[unproved], share)


def _next(
    table: Table,
    now: Pending,
    lower: Floats,
    state: _State,
    need: Floats,
    target: Floats,
    volume: Floats,
    tolerances: Tolerances,
) -> Pending:
    """The halves of the boxes that are still open; those too small to matter are left as they are."""
    open_boxes = lower < target[table.row[now.boxes.pair]]
    row = table.row[now.boxes.pair]
    np.minimum.at(state.floor, row[~open_boxes], lower[~open_boxes])
    travel = (table.sight.reach[now.boxes.pair] * now.boxes.half).sum(axis=1)
    blind = np.isneginf(lower) & np.all(now.boxes.half <= table.sight.finest[now.boxes.pair], axis=1)
    tiny = open_boxes & ((travel <= tolerances.arithmetic) | blind)
    _leave(table, Pending(now.boxes.of(tiny), lower[tiny]), state, need, volume)
    split = open_boxes & ~tiny
    return halves(table, now.boxes.of(split), lower[split])


def _part(table: Table, pending: Pending) -> Floats:
    """Share of its pair's whole range that each box covers."""
    whole = (table.sight.high - table.sight.low)[pending.boxes.pair] / 2
    shares = np.divide(pending.boxes.half, whole, out=np.ones_like(whole), where=whole > 0)
    part: Floats = shares.prod(axis=1)
    return part


def _shares(table: Table) -> Floats:
    """(T,) how much one core pair's range counts for its row's: an even part."""
    return 1.0 / np.maximum(table.pairs.length[table.row], 1)


def _deeper(table: Table, low: Low, rows: Ints, effort: Effort) -> Low:
    below, above = ends_of(table)
    if np.any(~np.isfinite(low.gap[rows])):
        low = lower_at(table, low, rows, (below[rows] + above[rows]) / 2)
    effort.poses += len(rows)
    return descended(table, low, rows, (below, above), first_step=0.25, rounds=14)


def share_done(table: Table, pending: Pending) -> float:
    """Share of the rows with nothing pending."""
    busy = np.count_nonzero(np.bincount(table.row[pending.boxes.pair], minlength=len(table)))
    return 1.0 - busy / max(len(table), 1)


def settled_low(table: Table, low: Low, need: Floats, *, tolerances: Tolerances, effort: Effort, lowest: bool = True) -> Low:
    """The lowest gaps found, moved to the bottom of their hollow where they are near the need (R,) or below it.

    Gaps that were not narrowed (far ones, all where `lowest` is false, which are moved nowhere) come from one core pair of a row
    alone; the others are looked at in that place too.
    """
    met = np.flatnonzero((low.gap >= (tolerances.far if lowest else -np.inf)) & np.isfinite(low.gap)).astype(np.int64)
    low = lower_at(table, low, met, low.at[met])
    if not lowest:
        return low
    rows = np.flatnonzero(low.gap < 2 * np.maximum(need, tolerances.resolution)).astype(np.int64)
    effort.poses += len(rows)
    return descended(table, low, rows, ends_of(table), first_step=0.001, rounds=12)
