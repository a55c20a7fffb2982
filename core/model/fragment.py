"""What goes along when bodies are copied? A fragment: a project of one section, so that it has the project's own file form.

A fragment holds the bodies, the joints that belong to them (`core.model.belonging`), the drives that move these joints, and
the rules that name any of them. A joint or rule of a fragment may name a body that is not in it: the body it stood on.
It is put on a body again when it is pasted (`core.model.pasting`). Such a fragment decodes, but does not validate.
"""

from collections.abc import Collection

import msgspec

from core.model.belonging import joints_of
from core.model.lookup import body_of, section_of
from core.model.names import EVERY_BODY, BodyName, JointName, SectionName
from core.model.project import AllowedTogether, Drive, GapRule, Project

Fragment = Project
"""A project with exactly one section; its own name and required gaps are not pasted."""


def fragment_of(project: Project, section: SectionName, names: Collection[BodyName]) -> Fragment:
    """The bodies called `names`, in the order of the section, with what belongs to them. KeyError where one is not there.

    Of a drive that moves other joints too, only the moves of joints taken along are taken.
    """
    old = section_of(project, section)
    for name in names:
        body_of(old, name)
    joints = joints_of(old, names)
    bodies = tuple(body for body in old.bodies if body.name in names)
    drives = _drives_of(project, section, {joint.name for joint in joints})
    return msgspec.structs.replace(
        project,
        notes="",
        sections=(msgspec.structs.replace(old, bodies=bodies, joints=joints, notes=""),),
        drives=drives,
        gap_rules=_gap_rules_of(project, section, names),
        allowed_together=_together_of(project, drives),
    )


def hanging(fragment: Fragment) -> tuple[BodyName, ...]:
    """The bodies that a fragment names but does not hold, in the order of its joints and rules: what it is to be put on."""
    (section,) = fragment.sections
    held = {body.name for body in section.bodies} | {EVERY_BODY}
    named = [name for record in (*section.joints, *fragment.gap_rules) for name in record.between]
    return tuple(dict.fromkeys(name for name in named if name not in held))


def _drives_of(project: Project, section: SectionName, joints: Collection[JointName]) -> tuple[Drive, ...]:
    found = []
    for drive in project.drives:
        moves = tuple(move for move in drive.moves if move.section == section and move.joint in joints)
        if moves:
            found.append(msgspec.structs.replace(drive, moves=moves))
    return tuple(found)


def _gap_rules_of(project: Project, section: SectionName, names: Collection[BodyName]) -> tuple[GapRule, ...]:
    return tuple(rule for rule in project.gap_rules if rule.section == section and set(rule.between) & set(names))


def _together_of(project: Project, drives: tuple[Drive, ...]) -> tuple[AllowedTogether, ...]:
    names = {drive.name for drive in drives}
    return tuple(rule for rule in project.allowed_together if {rule.when.drive, rule.keep.drive} <= names)
