"""What is known so far of a project's gaps: sampled at once, then proved."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from operator import is_not

from core.model.names import BodyName, DriveName, SectionName
from core.model.project import Project
from core.sweep.profile import Profile
from core.sweep.result import Check, SweepResult
from core.sweep.timeline import Row, Timeline

RowMaker = Callable[[Project, tuple[Profile, ...], SweepResult | None], Timeline]
"""What makes the rows of a timeline: `core.sweep.timeline.timeline`, or who has them made already."""


@dataclass(frozen=True)
class Answer:
    """The gaps of one `project`: `profiles` sampled along its drives, `result` proved, `timeline` both as rows."""

    project: Project
    profiles: tuple[Profile, ...] = ()
    result: SweepResult | None = None
    timeline: Timeline = field(default_factory=Timeline)

    def with_profiles(self, profiles: tuple[Profile, ...], rows: RowMaker) -> "Answer":
        """The same with sampled gaps."""
        return replace(self, profiles=profiles, timeline=rows(self.project, profiles, self.result))

    def with_result(self, result: SweepResult, rows: RowMaker) -> "Answer":
        """The same with what is proved."""
        return replace(self, result=result, timeline=rows(self.project, self.profiles, result))


@dataclass(frozen=True, slots=True)
class Visit:
    """A breach to look at: its row, the check it comes from, and its place among all ("1 of 8")."""

    row: Row
    check: Check
    place: int
    count: int


def visits(answer: Answer | None) -> tuple[Visit, ...]:
    """The breaches by depth, one a pair, those of single drives first."""
    found = answer.timeline.breaches if answer else ()
    checks = [(row, row.lead) for row in found]
    return tuple(Visit(row, check, place + 1, len(found)) for place, (row, check) in enumerate(checks) if check)


class RowsLeft:
    """The rows of a state before an edit, as far as what they are of is still there; what it last said is kept."""

    def __init__(self) -> None:
        self._of: tuple[Answer, Project] | None = None
        self._names: object = None
        self._left = Timeline()

    def of(self, before: Answer, project: Project) -> Timeline:
        """The timeline of `before` itself where nothing it tells of has gone; the same as last time where the same rows are left."""
        if self._of is not None and self._of[0] is before and self._of[1] is project:
            return self._left
        names, same = _names(project), self._of is not None and self._of[0] is before
        self._of = (before, project)
        if not same or names != self._names:
            self._names = names
            rows = before.timeline.rows if names == _names(before.project) else _rows_left(before.timeline, *names)
            kept = before.timeline if len(rows) == len(before.timeline.rows) else Timeline(rows)
            if kept is before.timeline or len(rows) != len(self._left.rows) or any(map(is_not, rows, self._left.rows)):
                self._left = kept
        return self._left


def _names(project: Project) -> tuple[dict[SectionName, set[BodyName]], set[DriveName]]:
    """The bodies of each section, and the drives."""
    return {section.name: {body.name for body in section.bodies} for section in project.sections}, {drive.name for drive in project.drives}


def _rows_left(before: Timeline, bodies: Mapping[SectionName, set[BodyName]], drives: set[DriveName]) -> tuple[Row, ...]:
    return tuple(row for row in before.rows if bodies.get(row.section, set()).issuperset(row.between) and _drives(row) <= drives)


def _drives(row: Row) -> set[DriveName]:
    """Every drive that a row tells of."""
    told = {name for name, _ in row.at} | row.cells.keys() | row.solo.keys()
    return told | {name for name, _ in row.together.at} if row.together else told
