"""Safe travel: the largest travel of a drive about home with no breach, the others at home or anywhere in their travel."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from core.clearance.motion_in_box import Floats, Ints
from core.model.names import DriveName
from core.model.project import Drive, Project
from core.sweep.frontier import Effort, Pending, halves, looked, whole_range, worst_first
from core.sweep.plan import Plan
from core.sweep.result import Check, SafeTravel, Span
from core.sweep.rows_at import Table
from core.sweep.tables import RowsOf
from core.tolerances import Tolerances


def safe_alone(project: Project, checks: Sequence[Check]) -> tuple[SafeTravel, ...]:
    """Of each drive with the others at home, from its solo checks; outside the breaches told, those are proved clear.

    None at both ends where a solo check of the drive is undecided, or home itself is in a breach.
    """
    own: dict[DriveName, list[Check]] = {drive.name: [] for drive in project.drives}
    for check in checks:
        for name in check.drives if check.sweep == "solo" else ():
            own[name].append(check)
    return tuple(_alone(drive, own[drive.name]) for drive in project.drives)


def _alone(drive: Drive, checks: Sequence[Check]) -> SafeTravel:
    if any(check.verdict == "undecided" for check in checks):
        return SafeTravel(drive.name, "home", None, None, "undecided")
    low, high = drive.start, drive.end
    for breach in (breach for check in checks for breach in check.breaches):
        if breach.start <= drive.home <= breach.end:
            return SafeTravel(drive.name, "home", None, None, "home-breaches")
        if breach.end < drive.home:
            low = max(low, breach.end)
        else:
            high = min(high, breach.start)
    return SafeTravel(drive.name, "home", low, high)


class _Search(NamedTuple):
    """Rows of a table, each to be searched along one of its drives from home one way.

    axis: (R,) the place of the drive in the row's ranges. way: (R,) +1 or -1. group: (R,) which search they share.
    """

    table: Table
    need: Floats
    axis: Ints
    way: Ints
    group: Ints


def safe_anywhere(plan: Plan, tables: Sequence[RowsOf], *, tolerances: Tolerances, cap: int, effort: Effort) -> tuple[SafeTravel, ...]:
    """Of each drive with the others anywhere in their travel, over the pairs that depend on it; ends proved, to 0.001.

    None at both ends where the drive lies on the path of a pair that no table holds, or some combination breaches at home.
    """
    count = len(plan.project.drives)
    ends = np.concatenate([plan.high, plan.low])
    breach = np.repeat([np.inf, -np.inf], count)
    for rows in tables:
        ends, breach = _nearest_trouble(_searches(plan, rows), ends, breach, tolerances=tolerances, cap=cap, effort=effort)
    held = {row for rows in tables for row in rows.row}
    missing = {drive for number, row in enumerate(plan.rows) if number not in held for drive in row.drives}
    answers = []
    for number, drive in enumerate(plan.project.drives):
        low, high = _inward((float(ends[count + number]), float(ends[number])))
        if number in missing:
            answers.append(SafeTravel(drive.name, "any", None, None, "undecided"))
        # Less than the digits of a file is none: a breach half of `sweep_end` from home may be one at home.
        elif not low <= drive.home <= high or low == high:
            hit = min(abs(breach[number] - drive.home), abs(breach[count + number] - drive.home)) <= tolerances.sweep_end
            answers.append(SafeTravel(drive.name, "any", None, None, "home-breaches" if hit else "undecided"))
        else:
            answers.append(SafeTravel(drive.name, "any", low, high))
    return tuple(answers)


def _searches(plan: Plan, rows: RowsOf) -> _Search:
    """Every row along each of its drives, up and down; the range of that drive is cut at home."""
    told = [
        (place, axis, drive, way)
        for place, number in enumerate(rows.row)
        for axis, drive in enumerate(plan.rows[number].drives)
        for way in (1, -1)
    ]
    place, axis, drive, way = (np.array(column, dtype=np.int64) for column in (zip(*told, strict=True) if told else ((), (), (), ())))
    sight = rows.table.sight
    first = rows.table.pairs.start[place]
    low, high = sight.low[first].copy(), sight.high[first].copy()
    each = np.arange(len(place))
    home = plan.home[drive]
    low[each, axis] = np.where(way > 0, home, low[each, axis])
    high[each, axis] = np.where(way > 0, high[each, axis], home)
    need = np.array([plan.rows[number].need for number in rows.row])[place]
    group = np.where(way > 0, drive, drive + len(plan.project.drives))
    return _Search(rows.table.of(place, low, high), need, axis, way, group)


def _nearest_trouble(
    search: _Search, ends: Floats, known: Floats, *, tolerances: Tolerances, cap: int, effort: Effort
) -> tuple[Floats, Floats]:
    """For each group the value up to which every row is proved clear, and the nearest value known to breach.

    Counted from home outward; at most `ends`, and at first `known`.

    Boxes farther out than a value that is known to breach do not matter; of the others the nearest are looked at first.
    """
    table = search.table
    breach, clear_to = known.copy(), ends.copy()
    sign = np.where(np.arange(len(ends)) < len(ends) // 2, 1, -1)
    pending = whole_range(table, np.arange(len(table.row), dtype=np.int64))
    spent = np.zeros(len(table), dtype=np.int64)
    while len(pending):
        pending, dropped = _that_matter(search, pending, breach, sign, spent, cap, tolerances)
        _keep_nearest(clear_to, search.group[table.row[dropped.boxes.pair]], _near_end(search, dropped), sign)
        if not len(pending):
            break
        now, later = worst_first(pending, search.group[table.row[pending.boxes.pair]])
        row = table.row[now.boxes.pair]
        seen = looked(table, now, enough=search.need[row], margin=tolerances.arithmetic, effort=effort)
        spent += np.bincount(row, minlength=len(table))
        hit = np.flatnonzero(seen.gap < search.need[row])
        at = now.boxes.centre[hit, search.axis[row[hit]]]
        whole = np.flatnonzero(seen.upper < search.need[row])
        _keep_nearest(breach, search.group[row[hit]], at, sign)
        _keep_nearest(breach, search.group[row[whole]], _near_end(search, now.of(whole)), sign)
        still = np.flatnonzero(seen.lower < search.need[row])
        pending = later.joined(halves(table, now.boxes.of(still), seen.lower[still]))
    # Boxes within half of `sweep_end` of a breach were not looked at: only what lies before them is proved.
    before = breach - sign * tolerances.sweep_end / 2
    nearer: Floats = np.where(sign > 0, np.minimum(clear_to, before), np.maximum(clear_to, before))
    return nearer, breach


def _that_matter(
    search: _Search, pending: Pending, breach: Floats, sign: Ints, spent: Ints, cap: int, tolerances: Tolerances
) -> tuple[Pending, Pending]:
    """Boxes to go on with, and those that are left: too small, spent, or as far out as a known breach."""
    row = search.table.row[pending.boxes.pair]
    group = search.group[row]
    beyond = sign[group] * (_near_end(search, pending) - breach[group]) >= -tolerances.sweep_end / 2
    travel = (search.table.sight.reach[pending.boxes.pair] * pending.boxes.half).sum(axis=1)
    finest = np.all(pending.boxes.half <= search.table.sight.finest[pending.boxes.pair], axis=1)
    looked_at = spent[row] > 0
    left = beyond | (looked_at & (travel <= tolerances.arithmetic)) | (spent[row] >= cap) | (np.isneginf(pending.lower) & finest)
    return pending.of(~left), pending.of(left & ~beyond)


def _near_end(search: _Search, pending: Pending) -> Floats:
    """The end of each box nearest to home, on the drive that is searched."""
    row = search.table.row[pending.boxes.pair]
    each, axis = np.arange(len(row)), search.axis[row]
    near: Floats = pending.boxes.centre[each, axis] - search.way[row] * pending.boxes.half[each, axis]
    return near


def _keep_nearest(ends: Floats, group: Ints, values: Floats, sign: Ints) -> None:
    up = sign[group] > 0
    np.minimum.at(ends, group[up], values[up])
    np.maximum.at(ends, group[~up], values[~up])


def _inward(span: Span) -> Span:
    """Rounded to the file's digits, inside the span."""
    units = 1e6
    return float(np.ceil(span[0] * units) / units) + 0.0, float(np.floor(span[1] * units) / units) + 0.0
