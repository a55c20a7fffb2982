"""What is known so far of a project's gaps: sampled at once, then proved."""

from dataclasses import dataclass, field, replace

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
