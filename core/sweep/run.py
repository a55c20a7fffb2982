"""The main job: a project in, a proved answer out."""

import time
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import chain

from core.clearance.pairs import BodyPair
from core.model.project import Project
from core.sweep.all_rows import RowChecks, Run, all_safe_anywhere, joint_safe_box, swept
from core.sweep.at_pose import PoseGaps
from core.sweep.beside import drawn_overlaps, knuckles_of, nothing_left, still_overlaps, unchecked_of, unseen_alone
from core.sweep.frontier import Effort, Progress
from core.sweep.kept import Kept, LaidOut
from core.sweep.plan import Row, plan_with
from core.sweep.result import Check, Covers, Seek, SweepResult, Verdict, Work
from core.sweep.safe_travel import safe_alone
from core.sweep.task import Settings
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

BOXES = 50_000
"""Default cap of boxes a row: far above what bays need, low enough that a hopeless row ends in seconds."""


def check_project(
    project: Project,
    *,
    covers: Covers = "all",
    seek: Seek = "lowest",
    resolution: float = 0.01,
    boxes: int = BOXES,
    budget: float | None = None,
    tolerances: Tolerances = DEFAULT_TOLERANCES,
    safe_anywhere: bool = True,
    safe_box: bool = True,
    progress: Progress | None = None,
    kept: Kept | None = None,
    poses: PoseGaps | None = None,
) -> SweepResult:
    """Sweep a valid project (see `core.model.validate`). resolution: mm. budget: seconds, after which it merely stops.

    safe_anywhere: also find the safe travel of each drive with the others anywhere, which takes about as long again as
    the combined sweep. safe_box: also find the joint safe box of all drives (`core.sweep.safe_box`). progress gets the share done
    and returns False to stop. The answer depends on the project, `covers`, `seek`, `resolution`, `boxes` and `tolerances` alone, but
    for `work` and where it was stopped.

    seek: "verdict" finds verdicts and breaches only, in a fraction of the time. Verdicts are those of "lowest", but that a row may
    be decided that spent its cap on the lowest gap there. Floors of clear pairs are then at least what is asked, lowest gaps are
    the least of the gaps that were met on the way (`Check.far` where the floor lies lower), and a breach is told by a pose
    in it, not by its deepest.

    kept: answers of rows that were found before, in this process; rows that nothing has changed for are not swept again, and
    what is swept now is kept in it. The answer is the same as without, but for `work`, which counts what is done now. Of
    an answer that was stopped nothing is kept.

    poses: the gaps of this project at poses, where they are prepared already; taken where they are of these tolerances.
    """
    started = time.perf_counter()
    tolerances = replace(tolerances, resolution=resolution)
    kept = Kept() if kept is None else kept
    laid = kept.laid_out(project, tolerances)
    ready = poses if poses is not None and (poses.project, poses.tolerances) == (project, tolerances) else None
    effort = Effort()
    progress = _watched(progress, started, budget)

    @cache
    def run_of(rows: tuple[Row, ...]) -> Run:
        plan = plan_with(project, laid.mechanism.linkage, tuple(laid.moving), rows, laid.mechanism.motions)
        told = ready or PoseGaps(project, linkage=plan.linkage, tolerances=tolerances, plan=plan)
        return Run(plan, told, laid.mechanism.sights, tolerances, boxes, effort, progress, lowest=seek == "lowest")

    def find(rows: list[Row]) -> tuple[tuple[RowChecks, ...], bool]:
        return swept(run_of(tuple(rows)), covers), not effort.stopped

    settings = Settings(covers, seek == "lowest", boxes, tolerances, bool(project.allowed_together))
    found = kept.answers(laid, settings, find)
    checks = _in_order(laid, [row.checks for row in found])
    safe = safe_alone(project, checks) if covers != "combined" and not effort.stopped else ()
    if covers != "solo" and safe_anywhere and not effort.stopped:
        safe = (*safe, *all_safe_anywhere(run_of(laid.rows)))
    boxed = covers != "solo" and safe_box and bool(project.drives) and not effort.stopped
    box = joint_safe_box(run_of(laid.rows), found) if boxed else None

    def depths(pairs: Sequence[BodyPair]) -> list[float]:
        return drawn_overlaps(pairs, tolerances)

    findings = (
        *laid.mechanism.findings,
        *nothing_left(laid.moving),
        *still_overlaps(laid.still, kept.depths(laid, depths), tolerances),
        *unseen_alone(checks, covers),
    )
    seconds = time.perf_counter() - started
    return SweepResult(
        project=project.name,
        verdict=_verdict(checks, stopped=effort.stopped),
        covers=covers,
        checks=checks,
        knuckles=tuple(knuckles_of(laid.moving)),
        unchecked=tuple(unchecked_of(laid.moving)),
        findings=findings,
        work=Work(poses=effort.poses, boxes=effort.boxes, gap_queries=effort.gap_queries, seconds=seconds),
        resolution=resolution,
        stopped=effort.stopped,
        safe_travel=safe,
        without_rules=_in_order(laid, [row.without_rules for row in found]),
        safe_box=box,
    )


def _in_order(laid: LaidOut, found: list[tuple[Check, ...]]) -> tuple[Check, ...]:
    """Solo before combined, by pair in the file's order, rows by their depth and drives in the file's order. found: by row."""
    if not any(found):
        return ()
    drives = {drive: number for number, drive in enumerate(laid.mechanism.linkage.drives)}
    solo: list[Check] = []
    combined: list[Check] = []
    first = 0
    while first < len(laid.rows):
        last = first + 1
        while last < len(laid.rows) and laid.rows[last].pair is laid.rows[first].pair:
            last += 1
        own = found[first]
        if last > first + 1:
            every = chain.from_iterable(found[first:last])
            own = tuple(sorted(every, key=lambda check: (check.depth_gap is not None, [drives[drive] for drive in check.drives])))
        for check in own:
            (solo if check.sweep == "solo" else combined).append(check)
        first = last
    return (*solo, *combined)


def _watched(progress: Progress | None, started: float, budget: float | None) -> Progress:
    """Stop where the caller says so, or when the time is up."""

    def go_on(share: float) -> bool:
        timely = budget is None or time.perf_counter() - started < budget
        return (progress is None or progress(share)) and timely

    return go_on


def _verdict(checks: tuple[Check, ...], *, stopped: bool) -> Verdict:
    verdicts = {check.verdict for check in checks}
    if "breach" in verdicts:
        return "breach"
    return "undecided" if "undecided" in verdicts or stopped else "clear"
