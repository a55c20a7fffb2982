"""How are sections changed? Edits of whole sections."""

import msgspec

from core.model.deleted import Deleted, Gone
from core.model.edit import rename_section
from core.model.edit_bodies import delete_bodies
from core.model.edit_joints import delete_joints
from core.model.fragment import fragment_of
from core.model.fresh_names import fresh_name
from core.model.lookup import section_of
from core.model.names import EVERY_BODY, SectionName
from core.model.pasting import Drives, pasted
from core.model.project import Project, Section
from core.model.reordered import reordered


def free_section_name(project: Project, wanted: str) -> SectionName:
    """`wanted`, or the next name like it that no section has."""
    return SectionName(fresh_name(wanted, (section.name for section in project.sections), otherwise="section"))


def add_section(project: Project, name: str = "Section") -> Project:
    """Put an empty section at the end, by a free name like `name` (see `free_section_name`)."""
    return msgspec.structs.replace(project, sections=(*project.sections, Section(name=free_section_name(project, name), bodies=())))


def call_section(project: Project, old: SectionName, new: str) -> Project:
    """Rename a section, with every reference to it; a taken name gives the next free one."""
    section_of(project, old)
    others = (section.name for section in project.sections if section.name != old)
    return rename_section(project, old, SectionName(fresh_name(new, others, otherwise="section")))


def duplicate_section(project: Project, name: SectionName, *, drives: Drives = "copied") -> Project:
    """A copy of a section right after it, with its joints, drives and rules; drives as `core.model.pasting` has it."""
    old = section_of(project, name)
    added = add_section(project, name)
    new = added.sections[-1].name
    copy = pasted(added, new, fragment_of(project, name, [body.name for body in old.bodies]), drives=drives).project
    overall = tuple(
        msgspec.structs.replace(rule, section=new)
        for rule in project.gap_rules
        if rule.section == name and set(rule.between) == {EVERY_BODY}
    )
    copy = msgspec.structs.replace(copy, gap_rules=(*copy.gap_rules, *overall))
    section = msgspec.structs.replace(copy.sections[-1], notes=old.notes)
    place = [one.name for one in project.sections].index(name) + 1
    return msgspec.structs.replace(copy, sections=(*copy.sections[:place], section, *copy.sections[place:-1]))


def reorder_section(project: Project, name: SectionName, *, to: int) -> Project:
    """Put a section at the place `to` among all, from 0."""
    return msgspec.structs.replace(project, sections=reordered(project.sections, section_of(project, name), to))


def delete_section(project: Project, name: SectionName) -> Deleted:
    """Delete a section, with its joints, its gap rules, and drives that had nothing else to move."""
    old = section_of(project, name)
    joints = delete_joints(project, name, [joint.name for joint in old.joints])
    bodies = delete_bodies(joints.project, name, [body.name for body in old.bodies])
    rules = tuple(rule for rule in bodies.project.gap_rules if rule.section == name)
    left = msgspec.structs.replace(
        bodies.project,
        sections=tuple(section for section in bodies.project.sections if section.name != name),
        gap_rules=tuple(rule for rule in bodies.project.gap_rules if rule not in rules),
    )
    return Deleted(left, Gone(sections=(name,), gap_rules=rules).and_also(joints.gone).and_also(bodies.gone))
