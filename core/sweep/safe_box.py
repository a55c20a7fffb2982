"""The joint safe box: travels of all drives about home in which nothing breaches, in any combination, rules or no rules.

Poses that breach are looked for, and each is brought as near to home as it still breaches. A box is laid out that holds none of
those that are known: all sides grow from home at once, each by the same share of its travel on that side; a pose that comes into
reach stops the side that had to go farthest for it; at last sides that were stopped are tried alone, for room that the stop of
another side has left, those that reach least first. The box is then swept as a whole. Where that finds a pose that breaches, a new
box is laid out; where it does not, the box is proved, and told.

What is promised of it: it is proved by that combined sweep, over all pairs that the travels asked for do not leave clear. And no
single side that is not an end of travel can be grown by 2 * `Tolerances.sweep_end` without a pose that breaches, unless a pair
could not be decided on the way. Another box, with one side shorter and others longer, may be larger.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from core.clearance.motion_in_box import Boxes, Floats, Ints
from core.sweep.box_growth import grown
from core.sweep.checks import floor_of
from core.sweep.combined import sweep
from core.sweep.frontier import Bools, Effort
from core.sweep.plan import Plan
from core.sweep.result import Check, SafeBox
from core.sweep.rows_at import Table, chosen_rows, descended, ends_of, lower_at, nothing_known
from core.sweep.tables import RowsOf
from core.tolerances import Tolerances

MOST_ROUNDS = 400
"""Boxes laid out at most; bays of ten drives need some ten to forty."""

AT_ONCE = 16
"""A pose is brought nearer to home through so many steps at once, each time within the last of them."""

DESCENT = 8
"""Rounds in which a row's gap is followed down before it is swept."""

MOST_CORNERS = 64
"""Corners of a row's box that are looked at before anything is swept."""

HALVINGS = 10
"""How finely the part of a row's box that can be decided is found, where the whole cannot."""


_Way = Callable[[Floats], Floats]


def safe_box(
    plan: Plan, tables: Sequence[RowsOf], checks: Sequence[Check | None], *, tolerances: Tolerances, cap: int, effort: Effort
) -> SafeBox:
    """The joint safe box of all drives, with the others of every pair anywhere in it and no rule between drives relied on.

    tables: rows over all drives on their path. checks: of each row of the plan the combined check without rules between drives;
    those that it leaves clear are clear in any part of the travels. cap: boxes a row of each sweep.
    """
    if any(check is None or check.proof == "sampled" for check in checks):
        return SafeBox((), None, "undecided")
    parts = [part for rows in tables if len((part := _open(plan, rows, checks)).row)]
    search = _Search(plan, parts, tolerances, cap, effort)
    floors, code = search.floors()
    if code:
        return SafeBox((), None, code)
    floors += [_proved(check) for check in checks if check is not None and check.verdict == "clear"]
    low, high = _ends(plan, search.reach)
    travels = tuple((drive.name, low[number], high[number]) for number, drive in enumerate(plan.project.drives))
    return SafeBox(travels, min(floors, default=None))


def _proved(check: Check) -> float:
    """The proved gap of a clear pair after outline tolerances and play."""
    return (check.lowest_gap - check.play if check.floor is None else check.floor) - check.tolerance


class _Open(NamedTuple):
    """Rows of a table that breach, or are not decided, somewhere in the travels. drives: (R, K) of each, -1 where it has fewer."""

    table: Table
    need: Floats
    drives: Ints
    row: tuple[int, ...]

    def over(self, chosen: Ints, low: Floats, high: Floats) -> "_Open":
        """The chosen rows over other ranges (n, K)."""
        rows = tuple(self.row[number] for number in chosen.tolist())
        return _Open(self.table.of(chosen, low, high), self.need[chosen], self.drives[chosen], rows)

    def breach(self, rows: Ints, values: Floats) -> Bools:
        """Whether the rows (n,) are known to come too close at values (n, K)."""
        owner, pair = self.table.pairs.spread(rows)
        at = values[owner]
        need = self.need[rows]
        seen = self.table.sight.look(Boxes(pair, at, np.zeros_like(at)), enough=need[owner], margin=0.0)
        close: Bools = np.bincount(owner[seen.gap < need[owner]], minlength=len(rows)) > 0
        return close


def _open(plan: Plan, rows: RowsOf, checks: Sequence[Check | None]) -> _Open:
    table = replace(rows.table, cells=None)
    low, high = ends_of(table)
    drives = np.full(low.shape, -1, dtype=np.int64)
    for place, number in enumerate(rows.row):
        drives[place, : len(plan.rows[number].drives)] = plan.rows[number].drives
    told = [checks[number] for number in rows.row]
    chosen = np.array([place for place, check in enumerate(told) if check is None or check.verdict != "clear"], dtype=np.int64)
    need = np.array([plan.rows[number].need for number in rows.row])
    return _Open(table, need, drives, rows.row).over(chosen, low[chosen], high[chosen])


def _ends(plan: Plan, reach: Floats) -> tuple[list[float], list[float]]:
    """Where sides that reach so far (2, D) end; exactly at the ends of travel where they reach those."""
    full = reach >= _room(plan)
    low = np.where(full[0], plan.low, plan.home - reach[0])
    high = np.where(full[1], plan.high, plan.home + reach[1])
    return [round(value, 6) + 0.0 for value in low.tolist()], [round(value, 6) + 0.0 for value in high.tolist()]


def _corners(low: Floats, high: Floats) -> tuple[Ints, Floats]:
    """Rows and corners of their ranges (n, K); of rows with many drives the first corners only."""
    free = high > low
    count = np.minimum(2 ** np.count_nonzero(free, axis=1), MOST_CORNERS)
    row = np.repeat(np.arange(len(low)), count)
    corner = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    upper = free[row] & ((corner[:, None] >> np.maximum(np.cumsum(free, axis=1) - 1, 0)[row]) & 1 > 0)
    return row, np.where(upper, high[row], low[row])


def _room(plan: Plan) -> Floats:
    """(2, D): how far the ends of travel lie from home, down and up."""
    return np.stack([plan.home - plan.low, plan.high - plan.home])


@dataclass(slots=True)
class _Search:
    """Boxes laid out and swept until one is proved.

    known: poses that breach, as how far each drive stands from home, (D,) signed; NaN for drives that do not matter. limit (2, D):
    how far sides may reach at all. For each part and row: the reach (2, D) over which nothing was met of it (quiet), and over
    which it was proved, both last, and the floor proved then (told), mm, less outline tolerance and play.
    """

    plan: Plan
    parts: list[_Open]
    tolerances: Tolerances
    cap: int
    effort: Effort
    known: list[Floats] = field(default_factory=list)
    limit: Floats = field(init=False)
    reach: Floats = field(init=False)
    quiet: dict[tuple[int, int], Floats] = field(default_factory=dict)
    proved: dict[tuple[int, int], Floats] = field(default_factory=dict)
    told: dict[tuple[int, int], float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.limit = _room(self.plan)
        self.reach = np.zeros_like(self.limit)

    def floors(self) -> tuple[list[float], str]:
        """The proved gaps of all open rows over the box found, less outline tolerance and play; or why there is no box."""
        for number, part in enumerate(self.parts):
            if not np.isnan(self._met(part, np.arange(len(part.row)))).all():
                return [], "home-breaches"
            if len(self._sweep(number, part, np.arange(len(part.row)))[1]):
                return [], "undecided"
        self.proved.clear()
        for _ in range(MOST_ROUNDS):
            self.reach = grown(self.known, self.limit, self.plan.home, close=self.tolerances.sweep_end)
            if not self._anything_met():
                return list(self.told.values()), ""
        return [], "undecided"

    def _anything_met(self) -> bool:
        """Whether the box as it is laid out holds anything but what is proved; what is met is noted."""
        met = False
        for number, part in enumerate(self.parts):
            rows = self._not_within(number, part, self.quiet)
            poses = self._met(part, rows)
            self.quiet |= {(number, int(row)): self.reach for row, pose in zip(rows, poses, strict=True) if np.isnan(pose).any()}
            met |= self._note(part, rows, poses)
        if met:
            return True
        for number, part in enumerate(self.parts):
            hits, undecided = self._sweep(number, part, self._not_within(number, part, self.proved))
            for row, values in hits.items():
                met |= self._note(part, np.array([row]), values[None])
            for row in undecided:
                self._hold_back(part, row)
                met = True
        return met

    def _not_within(self, number: int, part: _Open, told: Mapping[tuple[int, int], Floats]) -> Ints:
        """The rows of a part whose box is not all within the one that something was told of."""

        def within(row: int) -> bool:
            own = [drive for drive in part.drives[row].tolist() if drive >= 0]
            return (number, row) in told and bool(np.all(self.reach[:, own] <= told[number, row][:, own]))

        return np.array([row for row in range(len(part.row)) if not within(row)], dtype=np.int64)

    def _ranges(self, part: _Open, rows: Ints) -> tuple[Floats, Floats]:
        """(n, K): the rows' ranges in the box as it is laid out."""
        low, high = (np.array(ends) for ends in _ends(self.plan, self.reach))
        drives = part.drives[rows]
        return np.where(drives >= 0, low[drives], 0.0), np.where(drives >= 0, high[drives], 0.0)

    def _met(self, part: _Open, rows: Ints) -> Floats:
        """(n, K) poses of rows, NaN where none was met: the corners of their box are looked at, then ways down from there."""
        low, high = self._ranges(part, rows)
        own = part.over(rows, low, high)
        each, at = _corners(low, high)
        self.effort.poses += len(each)
        lowest = lower_at(own.table, nothing_known(len(rows), width=low.shape[1]), each, at)
        still = chosen_rows(lowest.gap >= own.need)
        lowest = descended(own.table, lowest, still, (low, high), first_step=0.25, rounds=DESCENT)
        return np.where((lowest.gap < own.need)[:, None], lowest.at, np.nan)

    def _sweep(self, number: int, part: _Open, rows: Ints) -> tuple[dict[int, Floats], list[int]]:
        """Sweep rows over the box: what is proved is kept. Poses that breach by row, and the rows that stay undecided."""
        if not len(rows):
            return {}, []
        table = part.over(rows, *self._ranges(part, rows)).table
        need = part.need[rows]
        found = sweep(table, need, tolerances=self.tolerances, cap=self.cap, effort=self.effort, lowest=False)
        hit = found.low.gap < need
        proved = ~hit & (found.floor >= need) & (found.open_share == 0)
        for place in np.flatnonzero(proved).tolist():
            row = self.plan.rows[part.row[int(rows[place])]]
            floor = floor_of(row, float(found.floor[place]), max(float(found.floor[place]), 0.0), self.tolerances)
            key = number, int(rows[place])
            self.proved[key], self.told[key] = self.reach, row.required if floor is None else floor - row.pair.tolerance
        hits = {int(rows[place]): found.low.at[place] for place in np.flatnonzero(hit).tolist()}
        return hits, [int(rows[place]) for place in np.flatnonzero(~hit & ~proved).tolist()]

    def _hold_back(self, part: _Open, row: int) -> None:
        """A row that cannot be decided over the box: its sides may reach no farther than over the part of it that can."""
        rows = np.array([row])
        low, high = self._ranges(part, rows)
        home = np.where(part.drives[rows] >= 0, self.plan.home[part.drives[rows]], 0.0)
        share, step = 0.0, 0.5
        for _ in range(HALVINGS):
            tried = share + step
            table = part.over(rows, home + (low - home) * tried, home + (high - home) * tried).table
            need = part.need[rows]
            found = sweep(table, need, tolerances=self.tolerances, cap=self.cap, effort=self.effort, lowest=False)
            if found.low.gap[0] >= need[0] and found.floor[0] >= need[0] and found.open_share[0] == 0:
                share = tried
            step /= 2
        for drive in (drive for drive in part.drives[row].tolist() if drive >= 0):
            self.limit[:, drive] = np.minimum(self.limit[:, drive], self.reach[:, drive] * share)

    def _note(self, part: _Open, rows: Ints, poses: Floats) -> bool:
        """Note poses that breach (n, K), NaN where a row has none, each as near to home as it still breaches; whether there are any."""
        some = np.flatnonzero(~np.any(np.isnan(poses), axis=1))
        rows, poses = rows[some], poses[some]
        drives = part.drives[rows]
        home = np.where(drives >= 0, self.plan.home[drives], 0.0)
        away = poses - home
        room = np.where(drives >= 0, np.where(away < 0, _room(self.plan)[0][drives], _room(self.plan)[1][drives]), 1.0)
        away = self._nearer(part, rows, home, away, lambda step: np.clip(away, -step * room, step * room), times=self._times())
        for column in range(away.shape[1]):
            at = away.copy()

            def shorter(step: Floats, at: Floats = at, column: int = column) -> Floats:
                moved = at.copy()
                moved[:, column] *= step[:, 0]
                return moved

            away = self._nearer(part, rows, home, away, shorter, times=1)
        for own, at in zip(drives.tolist(), away, strict=True):
            pose = np.full(len(self.plan.home), np.nan)
            for drive, value in zip(own, at.tolist(), strict=True):
                if drive >= 0:
                    pose[drive] = value
            self.known.append(pose)
        return len(rows) > 0

    def _times(self) -> int:
        """How often steps must be refined so that a pose is known well within `sweep_end` on every drive."""
        fine = float(_room(self.plan).max()) / (self.tolerances.sweep_end / 8)
        return max(math.ceil(math.log(fine) / math.log(AT_ONCE)), 1) if fine > 1 else 1

    def _nearer(self, part: _Open, rows: Ints, home: Floats, away: Floats, at: _Way, *, times: int) -> Floats:
        """The pose of each row nearest to home that breaches, among those that `at` gives for steps (n, 1) from 0 to 1."""
        below, above = np.zeros(len(rows)), np.ones(len(rows))
        best = away
        for _ in range(times):
            steps = below[:, None] + (above - below)[:, None] * np.linspace(0, 1, AT_ONCE + 1)[None, :-1]
            poses = np.stack([at(steps[:, [place]]) for place in range(AT_ONCE)], axis=1)
            flat = (poses + home[:, None]).reshape(-1, home.shape[1])
            close = part.breach(np.repeat(rows, AT_ONCE), flat).reshape(len(rows), AT_ONCE)
            self.effort.poses += len(flat)
            some: Bools = np.any(close, axis=1)
            first = close.argmax(axis=1)
            each = np.arange(len(rows))
            best = np.where(some[:, None], poses[each, first], best)
            above = np.where(some, steps[each, first], above)
            below = np.where(some, np.where(first > 0, steps[each, first - 1], above), steps[:, -1])
        return best
