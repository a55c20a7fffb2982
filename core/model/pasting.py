"""How is a fragment put into a section? By fresh names, placed, its joints put on bodies again, its drives set up anew."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import msgspec

from core.model.edit import in_section
from core.model.edit_drives import add_drive, free_drive_name, move_joint
from core.model.fragment import Fragment, hanging
from core.model.fresh_names import fresh_names
from core.model.gap_rights import settled
from core.model.joints import Joint, Pivot
from core.model.lookup import body_of, section_of
from core.model.names import EVERY_BODY, BodyName, DriveName, JointName, SectionName
from core.model.placing import Placing, placed_body, placed_joint
from core.model.project import Body, Drive, Move, Project, Section

Drives = Literal["copied", "shared", "none"]
"""copied: drives of their own; shared: a drive of the same name that is there already moves the pasted joints too;
none: the pasted joints are not driven."""

HERE = Placing()


@dataclass(frozen=True, slots=True)
class Pasted:
    """The project with what was pasted. Names are as pasted, in the order of the fragment.

    `left_out`: joints of the fragment that found no body to be put on.
    """

    project: Project
    bodies: tuple[BodyName, ...] = ()
    joints: tuple[JointName, ...] = ()
    drives: tuple[DriveName, ...] = ()
    left_out: tuple[JointName, ...] = ()


def pasted(
    project: Project,
    section: SectionName,
    fragment: Fragment,
    *,
    placing: Placing = HERE,
    onto: BodyName | None = None,
    drives: Drives = "copied",
) -> Pasted:
    """Put a fragment into a section. Names that are taken get the next free number, and references within it follow.

    A body that the fragment names but does not hold is `onto`; where that is None, the body of that name in the section,
    and a joint or rule that finds none is left out. A drive left with no joint is left out, too. Pivots that are mirrored
    turn the other way round for their drive (ratio times -1), so that a mirrored mechanism moves as its mirror image.
    A gap rule is not pasted where the section has one for that pair; where two rules with `*` come to meet, the stricter
    is added for that pair.
    """
    (source,) = fragment.sections
    target = section_of(project, section)
    bodies = fresh_names((body.name for body in source.bodies), (body.name for body in target.bodies))
    names = {**_carriers(fragment, target, onto), **bodies, EVERY_BODY: EVERY_BODY}
    kept = tuple(joint for joint in source.joints if names.keys() >= set(joint.between))
    joints = fresh_names((joint.name for joint in kept), (joint.name for joint in target.joints), otherwise="pin")
    project = _in_place(project, section, source.bodies, kept, Renaming(bodies, names, joints), placing)
    made: dict[DriveName, DriveName] = {}
    if drives != "none":
        moves = _moves(fragment, section, kept, joints, mirrored=placing.mirrored)
        project, made = _with_drives(project, moves, shared=drives == "shared")
    project = _with_rules(project, section, fragment, names, made)
    return Pasted(
        settled(project, section, frozenset(bodies.values())),
        bodies=tuple(bodies.values()),
        joints=tuple(joints.values()),
        drives=tuple(made.values()),
        left_out=tuple(joint.name for joint in source.joints if joint not in kept),
    )


@dataclass(frozen=True, slots=True)
class Renaming:
    """Old names to new ones: of the bodies pasted, of all bodies that may be named, of the joints pasted."""

    bodies: Mapping[BodyName, BodyName]
    names: Mapping[BodyName, BodyName]
    joints: Mapping[JointName, JointName]


def _carriers(fragment: Fragment, target: Section, onto: BodyName | None) -> dict[BodyName, BodyName]:
    """The bodies of the section that stand for those which the fragment names but does not hold."""
    if onto is not None:
        return dict.fromkeys(hanging(fragment), body_of(target, onto).name)
    return {body.name: body.name for body in target.bodies}


def _in_place(
    project: Project, section: SectionName, bodies: tuple[Body, ...], joints: tuple[Joint, ...], to: Renaming, placing: Placing
) -> Project:
    new_bodies = [msgspec.structs.replace(placed_body(body, placing), name=to.bodies[body.name]) for body in bodies]
    new_joints = [
        msgspec.structs.replace(placed_joint(joint, placing), name=to.joints[joint.name], between=_both(joint.between, to.names))
        for joint in joints
    ]

    def grow(old: Section) -> Section:
        return msgspec.structs.replace(old, bodies=(*old.bodies, *new_bodies), joints=(*old.joints, *new_joints))

    return in_section(project, section, grow)


def _both(between: tuple[BodyName, BodyName], names: Mapping[BodyName, BodyName]) -> tuple[BodyName, BodyName]:
    return (names[between[0]], names[between[1]])


def _moves(
    fragment: Fragment, section: SectionName, kept: tuple[Joint, ...], joints: Mapping[JointName, JointName], *, mirrored: bool
) -> list[tuple[Drive, tuple[Move, ...]]]:
    """The drives of a fragment with their moves as pasted, those that have any."""
    pivots = {joint.name for joint in kept if isinstance(joint, Pivot)}
    found = []
    for drive in fragment.drives:
        moves = tuple(
            Move(section=section, joint=joints[move.joint], ratio=-move.ratio if mirrored and move.joint in pivots else move.ratio)
            for move in drive.moves
            if move.joint in joints
        )
        if moves:
            found.append((drive, moves))
    return found


def _with_drives(
    project: Project, drives: list[tuple[Drive, tuple[Move, ...]]], *, shared: bool
) -> tuple[Project, dict[DriveName, DriveName]]:
    """The project with the drives, and old names to new ones of those that were added."""
    taken = {drive.name for drive in project.drives}
    added: dict[DriveName, DriveName] = {}
    for drive, moves in drives:
        if shared and drive.name in taken:
            for move in moves:
                project = move_joint(project, drive.name, move.section, move.joint, ratio=move.ratio)
        else:
            added[drive.name] = free_drive_name(project, drive.name)
            project = add_drive(project, msgspec.structs.replace(drive, moves=moves))
    return project, added


def _with_rules(
    project: Project, section: SectionName, fragment: Fragment, names: Mapping[BodyName, BodyName], drives: Mapping[DriveName, DriveName]
) -> Project:
    gap_rules = list(project.gap_rules)
    ruled = {frozenset(rule.between) for rule in gap_rules if rule.section == section}
    for rule in fragment.gap_rules:
        if names.keys() >= set(rule.between) and frozenset(between := _both(rule.between, names)) not in ruled:
            gap_rules.append(msgspec.structs.replace(rule, section=section, between=between))
            ruled.add(frozenset(between))
    together = tuple(
        msgspec.structs.replace(
            rule,
            when=msgspec.structs.replace(rule.when, drive=drives[rule.when.drive]),
            keep=msgspec.structs.replace(rule.keep, drive=drives[rule.keep.drive]),
        )
        for rule in fragment.allowed_together
        if drives.keys() >= {rule.when.drive, rule.keep.drive}
    )
    return msgspec.structs.replace(project, gap_rules=tuple(gap_rules), allowed_together=(*project.allowed_together, *together))
