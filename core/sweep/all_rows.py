"""Every row of a plan swept: open chains and loops, each drive alone and all together."""

from dataclasses import dataclass, replace

import numpy as np

from core.sweep.at_pose import PoseGaps
from core.sweep.barred import barred_checks
from core.sweep.checks import combined_check, solo_check
from core.sweep.combined import settled_low, sweep
from core.sweep.frontier import Effort, Progress
from core.sweep.looped import LoopSights
from core.sweep.plan import Plan, Row
from core.sweep.result import Check, Covers, SafeTravel, Span, Values
from core.sweep.rows_at import Low, nothing_known
from core.sweep.safe_travel import safe_alone, safe_anywhere
from core.sweep.solo import Profile, settled, sweep_alone
from core.sweep.tables import RowsOf, all_drives, one_drive, with_loops
from core.tolerances import Tolerances


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """What every stage of one answer needs. cap: boxes a row."""

    plan: Plan
    poses: PoseGaps
    tolerances: Tolerances
    cap: int
    effort: Effort
    progress: Progress


@dataclass(frozen=True, slots=True)
class Swept:
    """The checks of all rows (solo first, then combined, each in the file's order) and the safe travel of each drive."""

    checks: tuple[Check, ...]
    safe_travel: tuple[SafeTravel, ...]


def swept(run: Run, covers: Covers) -> Swept:
    """Sweep every row of the plan."""
    plan = run.plan
    sights = LoopSights(plan.linkage, low=plan.low, high=plan.high, home=plan.home, tolerances=run.tolerances)
    loops = with_loops(plan, sights)
    checks = list(barred_checks(plan, run.poses, covers, loops.left))
    tables = [(one_drive(plan), all_drives(plan)), *([(loops.alone, loops.together)] if loops.alone and loops.together else [])]
    for number, (alone, together) in enumerate(tables):
        share = _Share(run, number / len(tables), 1 / len(tables))
        checks.extend(_both(share, sights, alone, together, covers))
    safe = safe_alone(plan.project, checks) if covers != "combined" and not run.effort.stopped else ()
    if covers != "solo" and not run.effort.stopped:
        rows = [together for _, together in tables]
        safe = (*safe, *safe_anywhere(plan, rows, tolerances=run.tolerances, cap=run.cap, effort=run.effort))
    return Swept(_in_order(plan, tuple(checks)), safe)


@dataclass(frozen=True, slots=True, eq=False)
class _Share:
    """A part of the run, for its progress."""

    run: Run
    start: float
    size: float

    def part(self, start: float, size: float) -> Progress:
        """The progress of a part of this part."""
        return lambda share: self.run.progress(self.start + self.size * (start + size * share))


def _both(share: _Share, sights: LoopSights, alone: RowsOf, together: RowsOf, covers: Covers) -> tuple[Check, ...]:
    run = share.run
    if not alone.row:
        return ()
    solo: tuple[Check, ...] = ()
    known: Low | None = None
    if covers != "combined":
        need = np.array([run.plan.rows[row].need for row in alone.row])
        progress = share.part(0.0, 0.5 if covers == "all" else 1.0)
        profile = sweep_alone(alone.table, need, tolerances=run.tolerances, cap=run.cap, effort=run.effort, progress=progress)
        profile = settled(profile, alone.table, need, tolerances=run.tolerances, effort=run.effort)
        solo = tuple(
            solo_check(run.plan, run.poses, alone, profile, number, reached=_reached(run.plan, sights, alone.row[number], drive))
            for number, drive in enumerate(alone.drive)
        )
        known = _from_solo(run.plan, alone, profile, together)
    if covers == "solo":
        return solo
    deep = _deepest_alone(run.plan, alone, solo)
    return (*solo, *_combined(run, sights, together, known, deep, share.part(*((0.5, 0.5) if covers == "all" else (0.0, 1.0)))))


def _reached(plan: Plan, sights: LoopSights, number: int, drive: int) -> Span:
    row: Row = plan.rows[number]
    return sights.reached(plan.linkage.section(row.pair.section), row.pair.groups, drive)


def _deepest_alone(plan: Plan, alone: RowsOf, solo: tuple[Check, ...]) -> dict[int, Values]:
    """For each row with an overlap in a solo sweep the deepest pose found, over all drives on its path."""
    best: dict[int, tuple[float, Values]] = {}
    for row, check in zip(alone.row, solo, strict=False):
        if check.lowest_gap < min(0.0, best.get(row, (0.0, ()))[0]):
            own = [plan.project.drives[index] for index in plan.rows[row].drives]
            best[row] = check.lowest_gap, tuple((drive.name, dict(check.at).get(drive.name, drive.home)) for drive in own)
    return {row: at for row, (_, at) in best.items()}


def _combined(
    run: Run, sights: LoopSights, together: RowsOf, known: Low | None, deep: dict[int, Values], progress: Progress
) -> tuple[Check, ...]:
    need = np.array([run.plan.rows[row].need for row in together.row])
    bounds = sweep(together.table, need, tolerances=run.tolerances, cap=run.cap, effort=run.effort, start=known, progress=progress)
    bounds = replace(bounds, low=settled_low(together.table, bounds.low, need, tolerances=run.tolerances, effort=run.effort))
    return tuple(
        combined_check(
            run.plan,
            run.poses,
            together,
            bounds,
            number,
            reached=tuple(_reached(run.plan, sights, row, drive) for drive in run.plan.rows[row].drives),
            known=deep.get(row),
        )
        for number, row in enumerate(together.row)
    )


def _from_solo(plan: Plan, alone: RowsOf, profile: Profile, together: RowsOf) -> Low:
    """What the solo sweeps found, as places in the ranges of the combined ones: they save boxes there."""
    width = together.table.sight.low.shape[1]
    place = {row: number for number, row in enumerate(together.row)}
    at = np.zeros((len(alone.row), width))
    for number, (row, drive) in enumerate(zip(alone.row, alone.drive, strict=True)):
        own = list(plan.rows[row].drives)
        at[number, : len(own)] = plan.home[own]
        at[number, own.index(drive)] = profile.low.at[number, 0]
    rows = np.array([place[row] for row in alone.row], dtype=np.int64)
    first = together.table.pairs.start[rows] + profile.low.pair - alone.table.pairs.start
    return nothing_known(len(together.row), width=width).improved(rows, profile.low.gap, at, first)


def _in_order(plan: Plan, checks: tuple[Check, ...]) -> tuple[Check, ...]:
    """By pair in the file's order, solo before combined, drives in the file's order."""
    pairs = {(pair.section, pair.between): number for number, pair in enumerate(plan.pairs)}
    drives = {drive: number for number, drive in enumerate(plan.linkage.drives)}
    return tuple(
        sorted(
            checks,
            key=lambda check: (
                check.sweep == "combined",
                pairs[check.section, check.between],
                check.depth_gap is not None,
                [drives[drive] for drive in check.drives],
            ),
        )
    )
