"""What is a report made of? A project is swept once, and what was laid out for that serves all that is drawn of it."""

from dataclasses import dataclass

from core.handover.limits import Origin
from core.handover.map_choice import maps_that_tell
from core.handover.timeline_figure import samples_of
from core.model.project import Project
from core.sweep.at_pose import PoseGaps
from core.sweep.drive_map import DriveMap
from core.sweep.frontier import Progress
from core.sweep.kept import Kept
from core.sweep.profile import profiles
from core.sweep.result import SweepResult
from core.sweep.run import check_project
from core.sweep.timeline import Row, timeline, with_cells
from core.tolerances import DEFAULT_TOLERANCES

MOST_ROWS = 36
"""Rows of the timeline at most: a page's height of them; the tightest are kept."""


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """A project with its answer. poses: its gaps at poses, as they were laid out for the sweep."""

    project: Project
    result: SweepResult
    poses: PoseGaps


@dataclass(frozen=True, slots=True, eq=False)
class Findings:
    """What a report is made of. date: as it shall stand, ISO 8601, or empty.

    rows: a row a pair, tightest first; in one that is drawn the first `MOST_ROWS` have their gaps along the drives.
    """

    project: Project
    result: SweepResult
    poses: PoseGaps
    rows: tuple[Row, ...]
    maps: tuple[DriveMap, ...]
    origin: Origin
    date: str = ""


def swept(project: Project, *, budget: float | None = None, progress: Progress | None = None) -> Swept:
    """Sweep a valid project for its hand-over. budget: seconds, after which it merely stops; progress: see `check_project`."""
    kept = Kept()
    poses = kept.poses(project, DEFAULT_TOLERANCES)
    return Swept(project, check_project(project, budget=budget, progress=progress, kept=kept, poses=poses), poses)


def findings_of(found: Swept, *, origin: Origin, date: str, drawn: bool = True) -> Findings:
    """All that a report tells of a project. drawn: with what its figures show; a table for spreadsheets has none."""
    project, result, poses = found.project, found.result, found.poses
    if not drawn:
        return Findings(project, result, poses, (), (), origin, date)
    # Most pairs of a large bay stand nowhere near the page: only those drawn are sampled.
    rows = timeline(project, (), result).rows
    shown = {(row.section, row.between) for row in rows[:MOST_ROWS]}
    sampled = profiles(project, samples_of(project), poses=poses, pairs=shown)
    return Findings(project, result, poses, with_cells(rows, sampled), maps_that_tell(project, result, plan=poses.plan), origin, date)
