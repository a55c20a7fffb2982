"""Which two-drive maps tell most: those of the drives that bring a pair too close only when they move together."""

import numpy as np

from core.model.names import DriveName
from core.model.project import Project
from core.sentences.checks import judged, together_alone
from core.sweep.drive_map import BREACH, DriveMap, Others, map_of
from core.sweep.plan import Plan
from core.sweep.result import Check, SweepResult

MOST_MAPS = 4
CELLS = 64
"""Cells a side, about: a finer map would not print finer."""

Choice = tuple[DriveName, DriveName, Others]


def maps_that_tell(project: Project, result: SweepResult, *, plan: Plan | None = None) -> tuple[DriveMap, ...]:
    """At most `MOST_MAPS` maps, of the deepest such breaches first; none where no pair breaches together only. plan: see `map_of`.

    A map that breaches all over is left out: with the others anywhere, it tells nothing of its two drives.
    """
    spans = {drive.name: drive.end - drive.start for drive in project.drives}
    maps = (
        map_of(project, first, second, others=others, leaf=max(spans[first], spans[second]) / CELLS, plan=plan)
        for first, second, others in choices(project, result)
    )
    return tuple(found for found in maps if not np.all(found.state == BREACH))


def choices(project: Project, result: SweepResult) -> tuple[Choice, ...]:
    """Two drives and where the others are: at home where the two are enough for the breach, else anywhere."""
    hidden = sorted((check for checks in result.by_pair.values() for check in checks if together_alone(check, checks)), key=judged)
    found = dict.fromkeys(choice for check in hidden if (choice := _two_drives(project, check)) is not None)
    return tuple(found)[:MOST_MAPS]


def _two_drives(project: Project, check: Check) -> Choice | None:
    """The two drives of a breach that are farthest from home, as shares of their travel, in the order of the file."""
    at = dict(check.at)
    away = {drive.name: abs(at[drive.name] - drive.home) / (drive.end - drive.start) for drive in project.drives if drive.name in at}
    moved = sorted((name for name, share in away.items() if share > 0), key=lambda name: -away[name])
    if len(moved) < 2:
        return None
    first, second = sorted(moved[:2], key=list(away).index)
    return first, second, "home" if len(moved) == 2 else "any"
