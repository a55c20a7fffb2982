"""Edits: functions (project, ...) -> project. Every number that an edit brings in is rounded as the file rounds it.

What was there is taken to be rounded already: a project comes from a file, or from an edit. An edit does not judge:
`core.model.validate` says what is wrong with its answer. Naming a section, body, joint or drive that is not there is a KeyError
where something had to be replaced, and changes nothing where it is renamed.
"""

from collections.abc import Callable, Iterable
from typing import TypeVar, overload

import msgspec

from core.model.joints import Joint
from core.model.leaves import change_leaves
from core.model.lookup import body_of, section_of
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.placing import moving, placed
from core.model.project import Body, Drive, Project, Section
from core.model.rounding import rounded
from core.model.shapes import Point, Shape

NEW = TypeVar("NEW", Body, Drive, Section, Joint)


def rename_section(project: Project, old: SectionName, new: SectionName) -> Project:
    """Rename a section and every reference to it."""
    return _renamed(project, SectionName, old, new, section=None)


def rename_body(project: Project, section: SectionName, old: BodyName, new: BodyName) -> Project:
    """Rename a body of one section and every reference to it; bodies of other sections keep their names."""
    return _renamed(project, BodyName, old, new, section=section)


def rename_joint(project: Project, section: SectionName, old: JointName, new: JointName) -> Project:
    """Rename a joint of one section and every reference to it."""
    return _renamed(project, JointName, old, new, section=section)


def rename_drive(project: Project, old: DriveName, new: DriveName) -> Project:
    """Rename a drive and every reference to it."""
    return _renamed(project, DriveName, old, new, section=None)


def replace_section(project: Project, name: SectionName, new: Section) -> Project:
    """Put `new` in the place of the section called `name`; references keep the old name."""
    return in_section(project, name, lambda _old: rounded(new))


def in_section(project: Project, name: SectionName, change: Callable[[Section], Section]) -> Project:
    """Put `change(section)`, whose numbers must be rounded, in the place of the section called `name`."""
    new = change(section_of(project, name))
    return msgspec.structs.replace(project, sections=_replaced(project.sections, name, new))


def replace_body(project: Project, section: SectionName, name: BodyName, new: Body) -> Project:
    """Put `new` in the place of a body; references keep the old name."""
    return in_section(project, section, lambda old: msgspec.structs.replace(old, bodies=_replaced(old.bodies, name, rounded(new))))


def replace_joint(project: Project, section: SectionName, name: JointName, new: Joint) -> Project:
    """Put `new` in the place of a joint; references keep the old name."""
    return in_section(project, section, lambda old: msgspec.structs.replace(old, joints=_replaced(old.joints, name, rounded(new))))


def replace_drive(project: Project, name: DriveName, new: Drive) -> Project:
    """Put `new` in the place of a drive; references keep the old name."""
    return msgspec.structs.replace(project, drives=_replaced(project.drives, name, rounded(new)))


@overload
def moved(record: Body, *, shift: Point, turn: float = ..., about: Point = ...) -> Body: ...
@overload
def moved(record: Shape, *, shift: Point, turn: float = ..., about: Point = ...) -> Shape: ...
def moved(record: Body | Shape, *, shift: Point, turn: float = 0.0, about: Point = (0.0, 0.0)) -> Body | Shape:
    """Turn a shape, or all shapes of a body, by `turn` degrees about the point `about`, then shift it by `shift` mm."""
    if isinstance(record, Body):
        shapes = tuple(moved(shape, shift=shift, turn=turn, about=about) for shape in record.shapes)
        return msgspec.structs.replace(record, shapes=shapes)
    return placed(record, moving(shift=shift, turn=turn, about=about))


def move_body(
    project: Project, section: SectionName, name: BodyName, *, shift: Point, turn: float = 0.0, about: Point = (0.0, 0.0)
) -> Project:
    """Move a body as drawn: turned by `turn` degrees about `about`, then shifted by `shift` mm. Joints stay where they are."""

    def moving(old: Section) -> Section:
        body = moved(body_of(old, name), shift=shift, turn=turn, about=about)
        return msgspec.structs.replace(old, bodies=_replaced(old.bodies, name, body))

    return in_section(project, section, moving)


def _renamed(project: Project, kind: object, old: str, new: str, *, section: SectionName | None) -> Project:
    if new == old:
        return project  # every record would be gone through for nothing, at each step of a drag

    def renaming(leaf: object, of: object, where: str) -> object:
        return new if of is kind and leaf == old and section in (None, where) else leaf

    return change_leaves(project, renaming)


def _replaced(records: Iterable[NEW], name: str, new: NEW) -> tuple[NEW, ...]:
    before = tuple(records)
    if all(record.name != name for record in before):
        raise KeyError(name)
    return tuple(new if record.name == name else record for record in before)
