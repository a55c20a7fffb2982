"""Every row of a plan swept: open chains and loops, each drive alone and all together."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import ragged
from core.sweep.allowed import Cells, bounds_of, cells_of
from core.sweep.asked_together import answered
from core.sweep.at_pose import PoseGaps
from core.sweep.barred import barred_checks
from core.sweep.checks import combined_check, solo_check
from core.sweep.combined import settled_low, sweep
from core.sweep.frontier import Effort, Progress
from core.sweep.looped import LoopSights
from core.sweep.plan import Plan, Row
from core.sweep.result import Check, Covers, SafeBox, SafeTravel, Span, Values
from core.sweep.rows_at import Low, ends_of, nothing_known
from core.sweep.safe_box import safe_box
from core.sweep.safe_travel import safe_anywhere
from core.sweep.sight import OpenSight
from core.sweep.solo import Profile, settled, sweep_alone
from core.sweep.tables import RowsOf, all_drives, loop_batches, one_drive, with_loops
from core.tolerances import Tolerances


@dataclass(frozen=True, eq=False)
class Run:
    """What every stage of one answer needs. sights: how rows with closed loops are looked at. cap: boxes a row.

    lowest: lowest gaps are narrowed and searched for; else only verdicts and breaches are.
    """

    plan: Plan
    poses: PoseGaps
    sights: LoopSights
    tolerances: Tolerances
    cap: int
    effort: Effort
    progress: Progress
    lowest: bool = True

    @cached_property
    def open_chains(self) -> RowsOf:
        """The rows without loops over all drives on their path."""
        return all_drives(self.plan)

    @cached_property
    def together(self) -> list[RowsOf]:
        """All rows that can be swept, over all drives on their path."""
        loops = with_loops(self.plan, self.sights)
        return [self.open_chains, *([loops.together] if loops.together else [])]


@dataclass(frozen=True, slots=True)
class RowChecks:
    """The answer for one row of a plan: solo checks by drive, then the combined one.

    without_rules: the combined check as it would be without rules between drives; empty where there are none.
    """

    checks: tuple[Check, ...]
    without_rules: tuple[Check, ...] = ()


def swept(run: Run, covers: Covers) -> tuple[RowChecks, ...]:
    """Sweep every row of the plan; one answer a row, which does not depend on what other rows the plan has."""
    plan, sights = run.plan, run.sights
    loops = loop_batches(plan, sights)
    found: list[tuple[list[Check], list[Check]]] = [([], []) for _ in plan.rows]
    for row, check in barred_checks(plan, run.poses, covers, loops.left):
        found[row][0].append(check)
    alone = None if covers == "combined" else one_drive(plan)
    tables: list[tuple[RowsOf | None, RowsOf]] = [(alone, run.open_chains), *((alone, together) for together, alone in loops.batches)]
    tables = [both for both in tables if both[1].row]
    for number, (alone, together) in enumerate(tables):
        share = _Share(run, number / len(tables), 1 / len(tables))
        own = _both(share, sights, alone, together, covers)
        for row, check in own.checks:
            found[row][0].append(check)
        for row, check in own.without_rules:
            found[row][1].append(check)
    return tuple(RowChecks(tuple(checks), tuple(without)) for checks, without in found)


def all_safe_anywhere(run: Run) -> tuple[SafeTravel, ...]:
    """The safe travel of each drive with the others anywhere, over all rows of the plan."""
    allowed = [restricted(run.plan, together) for together in run.together if together.row]
    return safe_anywhere(run.plan, allowed, tolerances=run.tolerances, cap=run.cap, effort=run.effort)


def joint_safe_box(run: Run, found: Sequence[RowChecks]) -> SafeBox:
    """The box of travels in which no row of the plan breaches in any combination; found: the answer of each row."""
    checks = [next((check for check in row.without_rules or row.checks if check.sweep == "combined"), None) for row in found]
    return safe_box(run.plan, run.together, checks, tolerances=run.tolerances, cap=run.cap, effort=run.effort)


@dataclass(frozen=True, slots=True, eq=False)
class _Share:
    """A part of the run, for its progress."""

    run: Run
    start: float
    size: float

    def part(self, start: float, size: float) -> Progress:
        """The progress of a part of this part."""
        return lambda share: self.run.progress(self.start + self.size * (start + size * share))


class _Found(NamedTuple):
    """The checks of two tables of the same rows, each with its row of the plan."""

    checks: list[tuple[int, Check]]
    without_rules: list[tuple[int, Check]]


def _both(share: _Share, sights: LoopSights, alone: RowsOf | None, together: RowsOf, covers: Covers) -> _Found:
    """alone: not looked at where only combined sweeps are asked for."""
    run = share.run
    profile: Profile | None = None
    by_row: list[tuple[int, Check]] = []
    deep: dict[int, Values] = {}
    if covers != "combined" and alone is not None and alone.row:
        need = np.array([run.plan.rows[row].need for row in alone.row])
        progress = share.part(0.0, 0.5 if covers == "all" else 1.0)
        profile = sweep_alone(
            alone.table,
            need,
            tolerances=run.tolerances,
            cap=run.cap,
            effort=run.effort,
            loose=_loose(run.plan, alone),
            lowest=run.lowest,
            progress=progress,
        )
        profile = settled(profile, alone.table, need, tolerances=run.tolerances, effort=run.effort, lowest=run.lowest)
        questions = (
            solo_check(
                run.plan,
                run.poses,
                alone,
                profile,
                number,
                reached=_reached(run.plan, sights, alone.row[number], drive),
                lowest=run.lowest,
            )
            for number, drive in enumerate(alone.drive)
        )
        solo = answered(run.poses, questions)
        by_row = list(zip(alone.row, solo, strict=True))
        deep = _deepest_alone(run.plan, alone, solo)
    if covers == "solo":
        return _Found(by_row, [])
    progress = share.part(*((0.5, 0.5) if covers == "all" else (0.0, 1.0)))

    def combined(table: RowsOf) -> list[tuple[int, Check]]:
        known = None if profile is None or alone is None else _from_solo(run.plan, alone, profile, table)
        return list(zip(table.row, _combined(run, sights, table, known, deep, progress), strict=True))

    if not run.plan.project.allowed_together:
        return _Found([*by_row, *combined(together)], [])
    with_rules, without = _both_ways(run.plan, together, combined)
    return _Found([*by_row, *with_rules], without)


def _both_ways(plan: Plan, together: RowsOf, combined: Callable[[RowsOf], list[tuple[int, Check]]]) -> tuple[list[tuple[int, Check]], ...]:
    """The combined checks as rules between drives have them, and without rules; of what no rule binds they are the same."""
    bound = [number for number, row in enumerate(together.row) if bounds_of(plan.project, plan.rows[row].drives)]
    allowed = restricted(plan, together)
    if isinstance(together.table.sight, OpenSight):
        told = combined(_followed_by(allowed, together, bound))
        with_rules, free = told[: len(together.row)], told[len(together.row) :]
    else:
        with_rules = combined(allowed)
        whole = combined(together) if bound else []
        free = [whole[number] for number in bound]
    without = list(with_rules)
    for number, check in zip(bound, free, strict=True):
        without[number] = check
    return with_rules, without


def _followed_by(allowed: RowsOf, together: RowsOf, bound: Sequence[int]) -> RowsOf:
    """What rules leave of all rows, and then the bound ones whole: swept in one go, since a round costs little more for more rows."""
    cells = allowed.table.cells
    if cells is None or not bound:
        return allowed
    numbers = [*range(len(together.row)), *bound]
    below, above = ends_of(together.table)
    beside = Cells(
        ragged(np.concatenate([cells.rows.length, np.ones(len(bound), dtype=np.int64)])),
        np.concatenate([cells.low, below[bound]]),
        np.concatenate([cells.high, above[bound]]),
    )
    table = together.table.of(np.array(numbers, dtype=np.int64), below[numbers], above[numbers])
    return RowsOf(replace(table, cells=beside), *(tuple(of[number] for number in numbers) for of in (together.row, together.drive)))


def restricted(plan: Plan, together: RowsOf) -> RowsOf:
    """The table cut to what rules between drives allow."""
    if not plan.project.allowed_together:
        return together
    sight, first = together.table.sight, together.table.pairs.start
    drives = [plan.rows[row].drives for row in together.row]
    cells = cells_of(plan.project, drives, low=sight.low[first], high=sight.high[first])
    return together._replace(table=replace(together.table, cells=cells))


def _loose(plan: Plan, rows: RowsOf) -> NDArray[np.bool_]:
    """The rows whose overlaps are only known exactly at a pose."""
    return np.array([not plan.rows[row].exact for row in rows.row], dtype=bool)


def _reached(plan: Plan, sights: LoopSights, number: int, drive: int) -> Span:
    row: Row = plan.rows[number]
    section = plan.linkage.section(row.pair.section)
    if not section.loops:
        return float(plan.low[drive]), float(plan.high[drive])
    return sights.reached(section, row.pair.groups, drive)


def _deepest_alone(plan: Plan, alone: RowsOf, solo: tuple[Check, ...]) -> dict[int, Values]:
    """For each row with an overlap in a solo sweep the deepest pose found, over all drives on its path."""
    best: dict[int, tuple[float, Values]] = {}
    for row, check in zip(alone.row, solo, strict=True):
        if check.lowest_gap < min(0.0, best.get(row, (0.0, ()))[0]):
            own = [plan.project.drives[index] for index in plan.rows[row].drives]
            best[row] = check.lowest_gap, tuple((drive.name, dict(check.at).get(drive.name, drive.home)) for drive in own)
    return {row: at for row, (_, at) in best.items()}


def _combined(
    run: Run, sights: LoopSights, together: RowsOf, known: Low | None, deep: dict[int, Values], progress: Progress
) -> tuple[Check, ...]:
    need = np.array([run.plan.rows[row].need for row in together.row])
    bounds = sweep(
        together.table,
        need,
        tolerances=run.tolerances,
        cap=run.cap,
        effort=run.effort,
        start=known,
        lowest=run.lowest,
        loose=_loose(run.plan, together),
        progress=progress,
    )
    low = settled_low(together.table, bounds.low, need, tolerances=run.tolerances, effort=run.effort, lowest=run.lowest)
    bounds = replace(bounds, low=low)
    questions = (
        combined_check(
            run.plan,
            run.poses,
            together,
            bounds,
            number,
            reached=tuple(_reached(run.plan, sights, row, drive) for drive in run.plan.rows[row].drives),
            known=_deep_pose(together, deep, number),
            lowest=run.lowest,
        )
        for number, row in enumerate(together.row)
    )
    return answered(run.poses, questions)


def _deep_pose(together: RowsOf, deep: dict[int, Values], number: int) -> Values | None:
    """The deepest solo pose of a row, where rules between drives allow it."""
    known = deep.get(together.row[number])
    return known if known is not None and together.allows(number, known) else None


def _from_solo(plan: Plan, alone: RowsOf, profile: Profile, together: RowsOf) -> Low:
    """What the solo sweeps found, as places in the ranges of the combined ones: they save boxes there."""
    width = together.table.sight.low.shape[1]
    places: dict[int, list[int]] = {}
    for number, row in enumerate(together.row):
        places.setdefault(row, []).append(number)
    chosen = np.repeat(np.arange(len(alone.row)), [len(places[row]) for row in alone.row])
    at = np.zeros((len(alone.row), width))
    for number, (row, drive) in enumerate(zip(alone.row, alone.drive, strict=True)):
        own = list(plan.rows[row].drives)
        at[number, : len(own)] = plan.home[own]
        at[number, own.index(drive)] = profile.low.at[number, 0]
    rows = np.array([number for row in alone.row for number in places[row]], dtype=np.int64)
    first = together.table.pairs.start[rows] + (profile.low.pair - alone.table.pairs.start)[chosen]
    allowed = together.table.allows(rows, at[chosen])
    known = nothing_known(len(together.row), width=width)
    return known.improved(rows[allowed], profile.low.gap[chosen[allowed]], at[chosen[allowed]], first[allowed])
