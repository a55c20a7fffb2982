"""Which record has this name? KeyError of the name where there is none."""

from collections.abc import Iterable
from typing import TypeVar

from core.model.joints import Joint
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Body, Drive, Project, Section

NAMED = TypeVar("NAMED", Body, Drive, Section, Joint)


def section_of(project: Project, name: SectionName) -> Section:
    """The section called `name`."""
    return _named(project.sections, name)


def body_of(section: Section, name: BodyName) -> Body:
    """The body of a section called `name`."""
    return _named(section.bodies, name)


def joint_of(section: Section, name: JointName) -> Joint:
    """The joint of a section called `name`."""
    return _named(section.joints, name)


def drive_of(project: Project, name: DriveName) -> Drive:
    """The drive called `name`."""
    return _named(project.drives, name)


def _named(records: Iterable[NAMED], name: str) -> NAMED:
    for record in records:
        if record.name == name:
            return record
    raise KeyError(name)
