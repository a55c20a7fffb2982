"""How are joints changed? Edits of the joints of a section."""

from collections.abc import Callable, Collection

import msgspec

from core.model.deleted import Deleted, Gone
from core.model.edit import in_section, rename_joint, replace_joint
from core.model.edit_drives import without_moves
from core.model.fresh_names import fresh_name
from core.model.joints import Joint, Pivot, Slide
from core.model.lookup import joint_of, section_of
from core.model.names import JointName, SectionName
from core.model.project import Project, Section
from core.model.rounding import rounded


def free_joint_name(project: Project, section: SectionName, wanted: str) -> JointName:
    """`wanted`, or the next name like it that no joint of the section has."""
    taken = (joint.name for joint in section_of(project, section).joints)
    return JointName(fresh_name(wanted, taken, otherwise="pin"))


def add_joint(project: Project, section: SectionName, joint: Joint) -> Project:
    """Put a joint at the end of a section, by a free name like its own (see `free_joint_name`)."""
    new = rounded(msgspec.structs.replace(joint, name=free_joint_name(project, section, joint.name)))
    return in_section(project, section, lambda old: msgspec.structs.replace(old, joints=(*old.joints, new)))


def put_joint(project: Project, section: SectionName, name: JointName, new: Joint) -> Deleted:
    """Put `new` in the place of a joint; where it is called otherwise, references follow (a taken name gives the next free).

    A joint that becomes one no drive can move (pin-in-slot, bolted) is taken off its drives, and a drive that had
    nothing else to move is deleted.
    """
    if new.name != name:
        others = (joint.name for joint in section_of(project, section).joints if joint.name != name)
        new = msgspec.structs.replace(new, name=JointName(fresh_name(new.name, others, otherwise="pin")))
    changed = replace_joint(project, section, name, msgspec.structs.replace(new, name=name))
    deleted = Deleted(changed) if isinstance(new, Pivot | Slide) else without_moves(changed, section, (name,))
    return Deleted(rename_joint(deleted.project, section, name, new.name), deleted.gone)


def change_joint(project: Project, section: SectionName, name: JointName, change: Callable[[Joint], Joint]) -> Deleted:
    """Put `change(joint)` in the place of a joint; see `put_joint`."""
    return put_joint(project, section, name, change(joint_of(section_of(project, section), name)))


def delete_joints(project: Project, section: SectionName, names: Collection[JointName]) -> Deleted:
    """Delete joints; drives let them go, and a drive that had nothing else to move is deleted. KeyError where one is not there."""
    old = section_of(project, section)
    for name in names:
        joint_of(old, name)

    def leave(before: Section) -> Section:
        return msgspec.structs.replace(before, joints=tuple(joint for joint in before.joints if joint.name not in names))

    gone = Gone(joints=tuple(joint.name for joint in old.joints if joint.name in names))
    deleted = without_moves(in_section(project, section, leave), section, names)
    return Deleted(deleted.project, gone.and_also(deleted.gone))
