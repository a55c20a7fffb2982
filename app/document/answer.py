"""What is known so far of a project's gaps: sampled at once, then proved."""

from dataclasses import dataclass, field, replace

from core.model.names import DriveName
from core.model.project import Project
from core.sweep.profile import Profile
from core.sweep.result import Check, SweepResult
from core.sweep.timeline import Row, Timeline, timeline


@dataclass(frozen=True)
class Answer:
    """The gaps of one `project`: `profiles` sampled along its drives, `result` proved, `timeline` both as rows."""

    project: Project
    profiles: tuple[Profile, ...] = ()
    result: SweepResult | None = None
    timeline: Timeline = field(default_factory=Timeline)

    def with_profiles(self, profiles: tuple[Profile, ...]) -> "Answer":
        """The same with sampled gaps."""
        return replace(self, profiles=profiles, timeline=timeline(self.project, profiles, self.result))

    def with_result(self, result: SweepResult) -> "Answer":
        """The same with what is proved."""
        return replace(self, result=result, timeline=timeline(self.project, self.profiles, result))


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
        self._of: tuple[Timeline, Project] | None = None
        self._names: object = None
        self._left = Timeline()

    def of(self, before: Timeline, project: Project) -> Timeline:
        """`before` itself where nothing it tells of has gone; the same as last time where the same rows are left."""
        if self._of is not None and self._of[0] is before and self._of[1] is project:
            return self._left
        there = {section.name: {body.name for body in section.bodies} for section in project.sections}
        drives = {drive.name for drive in project.drives}
        names, same = (there, drives), self._of is not None and self._of[0] is before
        self._of = (before, project)
        if not same or names != self._names:
            self._names = names
            rows = tuple(row for row in before.rows if there.get(row.section, set()).issuperset(row.between) and _drives(row) <= drives)
            kept = before if len(rows) == len(before.rows) else Timeline(rows)
            if kept is before or len(rows) != len(self._left.rows) or any(a is not b for a, b in zip(rows, self._left.rows, strict=True)):
                self._left = kept
        return self._left


def _drives(row: Row) -> set[DriveName]:
    """Every drive that a row tells of."""
    told = {name for name, _ in row.at} | row.cells.keys() | row.solo.keys()
    return told | {name for name, _ in row.together.at} if row.together else told
