"""One drive at a time, the others at home: where a pair breaches, where it touches, its lowest gap and the floor.

Intervals of the drive are split until each is proved clear, proved a breach with or without contact, or half as wide
as `Tolerances.sweep_end`. Outside the intervals that are told, clear is proved.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.distance import Look
from core.clearance.motion_in_box import Boxes, Floats, Ints
from core.sweep.combined import settled_low, share_done, sweep, wanted_floor
from core.sweep.frontier import Effort, Pending, Progress, improved, looked, whole_range, worst_first
from core.sweep.rows_at import Low, Table, lower_at, nothing_known
from core.tolerances import Tolerances

Bools = NDArray[np.bool_]
CLEAR, SHORT, CONTACT, OPEN = range(4)

FEW = 8
"""Intervals of a row in hand up to which they are cut in PARTS; in FINE_PARTS once they are narrower than travel / NARROW."""
PARTS, FINE_PARTS, NARROW = 4, 16, 64


class Leaf(NamedTuple):
    """Settled intervals: row (n,), start, end, state (CLEAR, SHORT, CONTACT, OPEN), gap at the middle (NaN: not measured)."""

    row: Ints
    start: Floats
    end: Floats
    state: Ints
    gap: Floats


@dataclass(frozen=True, slots=True)
class Interval:
    """A breach as the sweep sees it; see `core.sweep.result.Breach`. proved: some value inside is known to breach."""

    start: float
    end: float
    contacts: tuple[tuple[float, float], ...]
    grazes: bool
    proved: bool
    lowest: float = np.inf
    at: float = np.nan


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """For R rows (a pair and a drive each): low, floor (R,) mm, and the intervals that are not proved clear."""

    low: Low
    floor: Floats
    intervals: tuple[tuple[Interval, ...], ...]


def sweep_alone(
    table: Table,
    need: Floats,
    *,
    tolerances: Tolerances,
    cap: int,
    effort: Effort,
    loose: Bools | None = None,
    lowest: bool = True,
    progress: Progress | None = None,
) -> Profile:
    """Sweep R rows over one drive each. need: (R,) mm. cap: boxes a row; what is left beyond it is told as not clear.

    loose: see `core.sweep.combined.sweep`. With `lowest` false lowest gaps are not narrowed, only breaches are found.
    """
    rows = len(table)
    everything = np.arange(rows, dtype=np.int64)
    home = _middle(table)
    low = lower_at(table, nothing_known(rows, width=1), everything, home)
    floor = np.full(rows, np.inf)
    spent = np.zeros(rows, dtype=np.int64)
    leaves: list[Leaf] = []
    pending = whole_range(table, np.arange(len(table.row), dtype=np.int64))
    while len(pending):
        now, later = worst_first(pending, table.row[pending.boxes.pair])
        row = table.row[now.boxes.pair]
        wanted = wanted_floor(low, loose, tolerances, lowest=lowest)
        enough = np.maximum(wanted, need)[row]
        seen = looked(table, now, enough=enough, margin=tolerances.arithmetic, effort=effort)
        spent += np.bincount(row, minlength=rows)
        low = improved(table, low, now.boxes, seen)
        state = _state(seen, need[row], width=now.boxes.half[:, 0], tolerances=tolerances)
        blind = np.isneginf(seen.lower) & (now.boxes.half <= table.sight.finest[now.boxes.pair])[:, 0]
        least = np.maximum(table.sight.grain[now.boxes.pair][:, 0], tolerances.sweep_end / 4)
        small = (now.boxes.half[:, 0] <= least) | blind
        done = (state != OPEN) & (seen.lower >= wanted_floor(low, loose, tolerances, lowest=lowest)[row]) | small | (spent[row] >= cap)
        np.minimum.at(floor, row[done], seen.lower[done])
        leaves.append(_leaf(table, now, seen, state, done))
        pending = later.joined(_parts(table, now.boxes.of(~done), seen.lower[~done]))
        if progress is not None and not progress(share_done(table, pending)):
            effort.stopped = True
            leaves.append(_left(table, pending, floor))
            break
    found = _intervals(_joined(leaves), need, rows, tolerances)
    return Profile(low, floor, _with_lowest(table, need, found, low, tolerances, effort, lowest=lowest))


def settled(profile: Profile, table: Table, need: Floats, *, tolerances: Tolerances, effort: Effort, lowest: bool = True) -> Profile:
    """The same with the lowest gaps near the need, or below it, moved to the bottom of their hollow."""
    low = settled_low(table, profile.low, need, tolerances=tolerances, effort=effort, lowest=lowest)
    intervals = tuple(_of_row(own, low, row) if len(own) == 1 else own for row, own in enumerate(profile.intervals))
    return Profile(low, profile.floor, intervals)


def _parts(table: Table, boxes: Boxes, lower: Floats) -> Pending:
    """Each interval cut up evenly: in two, and where a row has few in finer parts, since few cost a round no less than many."""
    row = table.row[boxes.pair]
    few = (np.bincount(row, minlength=len(table)) <= FEW)[row]
    narrow = boxes.half[:, 0] * NARROW <= (table.sight.high - table.sight.low)[boxes.pair, 0]
    parts = np.where(few, np.where(narrow, FINE_PARTS, PARTS), 2)
    owner = np.repeat(np.arange(len(row)), parts)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(parts) - parts, parts)
    half = boxes.half[owner] / parts[owner, None]
    centre = boxes.centre[owner] + half * (2 * number + 1 - parts[owner])[:, None]
    return Pending(Boxes(boxes.pair[owner], centre, half), lower[owner])


def _middle(table: Table) -> Floats:
    middle = np.zeros((len(table), 1))
    middle[table.row] = (table.sight.low + table.sight.high) / 2
    return middle


def _state(seen: Look, need: Floats, *, width: Floats, tolerances: Tolerances) -> Ints:
    """What is proved of each interval. A breach is settled once it is also known whether all or none of it touches.

    Bodies that slide along each other hover about 0 for rounding: there contact is told to `rubbing` ends.
    """
    touch = tolerances.touch
    rubs = (np.abs(seen.gap) <= touch) & (seen.lower >= -touch) & (width <= tolerances.rubbing)
    touches, free = (seen.upper <= touch) | rubs, seen.lower > 0.0
    short = seen.upper < need
    return np.select([seen.lower >= need, short & touches, short & free], [CLEAR, CONTACT, SHORT], default=OPEN)


def _leaf(table: Table, now: Pending, seen: Look, state: Ints, done: Bools) -> Leaf:
    half = now.boxes.half[done, 0]
    middle = now.boxes.centre[done, 0]
    return Leaf(table.row[now.boxes.pair[done]], middle - half, middle + half, state[done], seen.gap[done])


def _left(table: Table, pending: Pending, floor: Floats) -> Leaf:
    """Intervals that were never looked at since the sweep was stopped."""
    row = table.row[pending.boxes.pair]
    np.minimum.at(floor, row, pending.lower)
    middle, half = pending.boxes.centre[:, 0], pending.boxes.half[:, 0]
    return Leaf(row, middle - half, middle + half, np.full(len(row), OPEN), np.full(len(row), np.nan))


def _joined(leaves: list[Leaf]) -> Leaf:
    """All leaves that are not clear, by row and start."""
    every = Leaf._make(np.concatenate(parts) for parts in zip(*leaves, strict=True))
    kept = np.flatnonzero(every.state != CLEAR)
    order = kept[np.lexsort((every.end[kept], every.start[kept], every.row[kept]))]
    return Leaf._make(values[order] for values in every)


def _intervals(leaf: Leaf, need: Floats, rows: int, tolerances: Tolerances) -> list[tuple[Interval, ...]]:
    """Leaves of a row that touch each other are one interval, whichever core pairs they come from."""
    found: list[list[Interval]] = [[] for _ in range(rows)]
    row, start, end = leaf.row.tolist(), leaf.start.tolist(), leaf.end.tolist()
    first = 0
    while first < len(row):
        last, reach = first + 1, end[first]
        while last < len(row) and row[last] == row[first] and start[last] <= reach + tolerances.arithmetic:
            reach = max(reach, end[last])
            last += 1
        part = Leaf._make(values[first:last] for values in leaf)
        found[row[first]].append(_interval(part, need[row[first]], tolerances))
        first = last
    return [tuple(own) for own in found]


def _interval(part: Leaf, need: float, tolerances: Tolerances) -> Interval:
    start, end = float(part.start[0]), float(part.end.max())
    known = (part.state != OPEN) | (part.gap < need)
    touching = (part.state == CONTACT) | ((part.state == OPEN) & (part.gap <= tolerances.touch))
    proved = bool(np.any(known))
    slack = np.inf
    if proved:
        # Of an interval that was left open only its middle is known.
        middle, settled = (part.start + part.end) / 2, part.state != OPEN
        first, last = np.where(settled, part.start, middle)[known].min(), np.where(settled, part.end, middle)[known].max()
        slack = max(float(first) - start, end - float(last))
    return Interval(
        start=start,
        end=end,
        contacts=_unions(part.start[touching], part.end[touching], join=tolerances.arithmetic),
        grazes=slack > tolerances.sweep_end,
        proved=proved,
    )


def _unions(starts: Floats, ends: Floats, *, join: float) -> tuple[tuple[float, float], ...]:
    """Sorted intervals with those that touch made one."""
    merged: list[list[float]] = []
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        if merged and start <= merged[-1][1] + join:
            merged[-1][1] = max(merged[-1][1], end)
        else:
            merged.append([start, end])
    return tuple((start, end) for start, end in merged)


def _with_lowest(
    table: Table, need: Floats, found: list[tuple[Interval, ...]], low: Low, tolerances: Tolerances, effort: Effort, *, lowest: bool
) -> tuple[tuple[Interval, ...], ...]:
    """Give each interval its own lowest gap: the row's where it is the only one, else by a second sweep over each."""
    told = [_of_row(own, low, row) if len(own) == 1 else own for row, own in enumerate(found)]
    where = [(row, interval) for row, own in enumerate(found) if len(own) > 1 for interval in own]
    if where:
        rows = np.array([row for row, _ in where])
        part = table.of(rows, *np.array([[interval.start, interval.end] for _, interval in where]).T[:, :, None])
        lows = sweep(part, need[rows], tolerances=tolerances, cap=2000, effort=effort, lowest=lowest).low
        each = iter(zip(lows.gap.tolist(), lows.at[:, 0].tolist(), strict=True))
        for row, own in enumerate(found):
            if len(own) > 1:
                told[row] = tuple(_told(interval, *next(each)) for interval in own)
    return tuple(told)


def _of_row(intervals: tuple[Interval, ...], low: Low, row: int) -> tuple[Interval, ...]:
    return tuple(_told(interval, float(low.gap[row]), float(low.at[row, 0])) for interval in intervals)


def _told(interval: Interval, lowest: float, at: float) -> Interval:
    return replace(interval, lowest=lowest, at=at)
