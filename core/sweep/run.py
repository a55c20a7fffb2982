"""The main job: a project in, a proved answer out."""

import time
from collections.abc import Iterator
from dataclasses import replace

from core.clearance.overlap import way_out
from core.clearance.pairs import BodyPair, ShapePair, still_pairs
from core.clearance.posed import drawn_gaps
from core.model.finding import Datum, Finding, Place
from core.model.project import Project
from core.motion.findings import motion_findings
from core.sweep.all_rows import RowChecks, Run, all_safe_anywhere, swept
from core.sweep.at_pose import PoseGaps
from core.sweep.frontier import Effort, Progress
from core.sweep.kept import Kept, Settings, tasks_of_rows
from core.sweep.looped import LoopSights
from core.sweep.plan import Plan, needing_sweep
from core.sweep.result import Check, Covers, Knuckle, Seek, SweepResult, Unchecked, Verdict, Work
from core.sweep.safe_travel import safe_alone
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
    progress: Progress | None = None,
    kept: Kept | None = None,
    poses: PoseGaps | None = None,
) -> SweepResult:
    """Sweep a valid project (see `core.model.validate`). resolution: mm. budget: seconds, after which it merely stops.

    safe_anywhere: also find the safe travel of each drive with the others anywhere, which takes about as long again as
    the combined sweep. progress gets the share done and returns False to stop. The answer depends on the project, `covers`, `seek`,
    `resolution`, `boxes` and `tolerances` alone, but for `work` and where it was stopped.

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
    if poses is None or (poses.project, poses.tolerances) != (project, tolerances):
        poses = PoseGaps(project, tolerances=tolerances)
    linkage = poses.linkage
    effort = Effort()
    plan = needing_sweep(poses.plan)
    run = Run(
        plan=plan,
        poses=poses,
        sights=LoopSights(linkage, low=plan.low, high=plan.high, home=plan.home, tolerances=tolerances),
        tolerances=tolerances,
        cap=boxes,
        effort=effort,
        progress=_watched(progress, started, budget),
        lowest=seek == "lowest",
    )
    found = _answers(run, covers, kept)
    checks = _in_order(plan, [check for row in found for check in row.checks])
    safe = safe_alone(project, checks) if covers != "combined" and not effort.stopped else ()
    if covers != "solo" and safe_anywhere and not effort.stopped:
        safe = (*safe, *all_safe_anywhere(run))
    findings = (
        *motion_findings(project, linkage, tolerances),
        *_nothing_left(run.plan),
        *_still_overlaps(project, run),
        *_unseen_alone(checks, covers),
    )
    seconds = time.perf_counter() - started
    return SweepResult(
        project=project.name,
        verdict=_verdict(checks, stopped=effort.stopped),
        covers=covers,
        checks=checks,
        knuckles=tuple(_knuckles(run.plan)),
        unchecked=tuple(_unchecked(run.plan)),
        findings=findings,
        work=Work(poses=effort.poses, boxes=effort.boxes, gap_queries=effort.gap_queries, seconds=seconds),
        resolution=resolution,
        stopped=effort.stopped,
        safe_travel=safe,
        without_rules=_in_order(plan, [check for row in found for check in row.without_rules]),
    )


def _answers(run: Run, covers: Covers, kept: Kept | None) -> list[RowChecks]:
    """The answer of each row of the plan: kept, or swept now."""
    if kept is None:
        return list(swept(run, covers))
    plan = run.plan
    tasks = tasks_of_rows(plan, Settings(covers, run.lowest, run.cap, run.tolerances, bool(plan.project.allowed_together)))
    known = [kept.found(task, plan, row) for task, row in zip(tasks, plan.rows, strict=True)]
    fresh = [number for number, found in enumerate(known) if found is None]
    found = dict(zip(fresh, swept(replace(run, plan=plan.of(fresh)), covers), strict=True))
    for number in fresh if not run.effort.stopped else ():
        kept.keep(tasks[number], plan, plan.rows[number], found[number])
    return [row or found[number] for number, row in enumerate(known)]


def _in_order(plan: Plan, checks: list[Check]) -> tuple[Check, ...]:
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


def _knuckles(plan: Plan) -> Iterator[Knuckle]:
    for pair in plan.pairs:
        if pair.asked.unchecked is None:
            for own in pair.knuckles:
                yield Knuckle(pair.section, own.joint, pair.between, own.shapes, own.relief, own.running, own.left)


def _unchecked(plan: Plan) -> Iterator[Unchecked]:
    for pair in plan.pairs:
        if pair.asked.unchecked is not None:
            yield Unchecked(pair.section, pair.between, "rule", pair.asked.unchecked)
        elif (across := pair.passes_over) is not None:
            yield Unchecked(pair.section, pair.between, "passes-over", depth_gap=across)


def _nothing_left(plan: Plan) -> Iterator[Finding]:
    for pair in plan.pairs:
        if pair.nothing_left and pair.asked.unchecked is None:
            joint = pair.knuckles[0].joint
            data = {"first": pair.between[0], "second": pair.between[1], "joint": joint}
            yield Finding("warning", Place(section=pair.section, joint=joint), "knuckle-nothing-left", data)


def _still_overlaps(project: Project, run: Run) -> Iterator[Finding]:
    """Bodies that never move relative to each other, looked at once as drawn."""
    for pair in still_pairs(project, run.plan.linkage, tolerances=run.tolerances):
        depth = _drawn_overlap(pair, run.tolerances)
        if depth > run.tolerances.touch and pair.asked.unchecked is None:
            data: dict[str, Datum] = {"first": pair.between[0], "second": pair.between[1], "depth": depth}
            yield Finding("warning", Place(section=pair.section, body=pair.between[0]), "still-overlap", data)


def _drawn_overlap(pair: BodyPair, tolerances: Tolerances) -> float:
    return max((_depth(shapes, tolerances) for shapes in pair.shape_pairs if shapes.across < 0), default=0.0)


def _depth(shapes: ShapePair, tolerances: Tolerances) -> float:
    depth = -float(drawn_gaps(shapes.cores).min())
    return depth if shapes.exact or depth <= 0 else way_out(*shapes.pieces, tolerances=tolerances).depth


def _unseen_alone(checks: tuple[Check, ...], covers: Covers) -> Iterator[Finding]:
    """Breaches of the combined sweep of pairs that are proved clear of each single drive."""
    if covers != "all":
        return
    seen = {(check.section, check.between) for check in checks if check.sweep == "solo" and check.verdict != "clear"}
    for check in checks:
        if check.sweep == "combined" and check.verdict == "breach" and (check.section, check.between) not in seen:
            data = {"first": check.between[0], "second": check.between[1]}
            yield Finding("note", Place(section=check.section), "solo-unseen", data)
