"""In which step is what a finding tells mended, and what is in hand there? Pure."""

from dataclasses import dataclass
from typing import Literal

from app.document.choice import section_named
from core.model.finding import Datum, Finding
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Project

Step = Literal["Outline", "Joints", "Gaps", "rules"]
"""rules: those of Gaps, on the page of all pairs."""

RULES = ("gap_rules", "allowed_together")
BY_JOINTS = frozenset({"body-unheld", "undriven", "redundant", "dead-centre-drawn"})
"""Findings of bodies and freedoms that a joint or a drive mends."""


@dataclass(frozen=True, slots=True)
class Goal:
    """Where a finding leads; names only of what is there. `shape`: the place of a shape in its body."""

    step: Step
    section: SectionName | None = None
    bodies: tuple[BodyName, ...] = ()
    joint: JointName | None = None
    drive: DriveName | None = None
    shape: int | None = None


def goal_of(finding: Finding, project: Project) -> Goal:
    """Where it is mended, with what it is about picked as far as that is still there."""
    place = finding.place
    drive = next((one for one in project.drives if one.name == place.drive), None)
    moved = drive.moves[0] if drive is not None and drive.moves else None
    section = section_named(project, SectionName(place.section or (moved.section if moved is not None else "")))
    wanted = place.joint or (moved.joint if moved is not None and section is not None and moved.section == section.name else "")
    names = (*(_names(finding.data.get("joints")) if not wanted else ()), wanted)
    joint = next((one.name for name in names for one in (section.joints if section else ()) if one.name == name), None)
    about = {place.body, *_names(finding.data.get("bodies")), *_names(finding.data.get("first")), *_names(finding.data.get("second"))}
    bodies = tuple(body.name for body in (section.bodies if section else ()) if body.name in about) if joint is None else ()
    return Goal(
        _step(finding, joint=joint is not None, drive=drive is not None),
        section.name if section is not None else None,
        bodies,
        joint,
        drive.name if drive is not None else None,
        _shape(place.path),
    )


def _step(finding: Finding, *, joint: bool, drive: bool) -> Step:
    if finding.place.path.startswith(RULES):
        return "rules"
    if finding.code == "solo-unseen":
        return "Gaps"
    return "Joints" if joint or drive or finding.code in BY_JOINTS else "Outline"


def _names(found: Datum) -> tuple[str, ...]:
    if isinstance(found, tuple):
        return tuple(one for one in found if isinstance(one, str))
    return (found,) if isinstance(found, str) else ()


def _shape(path: str) -> int | None:
    """The place of the shape that a path goes through: 2 of `sections[0].bodies[4].shapes[2].holes[0]`."""
    _, found, rest = path.partition(".shapes[")
    number, _, _ = rest.partition("]")
    return int(number) if found and number.isdecimal() else None
