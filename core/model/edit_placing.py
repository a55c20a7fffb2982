"""How are bodies moved, turned, scaled and mirrored as drawn, and what goes along? One edit for all, by a `Placing`.

>>> place_bodies(project, section, names, moving(shift=(5, 0)))
>>> place_bodies(project, section, names, moving(turn=30, about=pin))
>>> place_bodies(project, section, names, scaling(1.02, about=centre))
>>> place_bodies(project, section, names, mirroring(about=centre))
"""

from collections.abc import Collection

import msgspec

from core.model.belonging import joints_of
from core.model.edit import in_section, replace_body
from core.model.fragment import fragment_of
from core.model.joints import Pivot
from core.model.lookup import body_of, section_of
from core.model.names import BodyName, JointName, SectionName
from core.model.pasting import Drives, Pasted, pasted
from core.model.placing import Placing, moving, placed, placed_body, placed_joint
from core.model.project import Drive, Project, Section
from core.model.shapes import Point


def place_bodies(
    project: Project, section: SectionName, names: Collection[BodyName], placing: Placing, *, with_joints: bool = True
) -> Project:
    """Place bodies elsewhere as drawn. KeyError where one is not there.

    Joints that belong to them (`core.model.belonging`) go along, unless `with_joints` is False. Where they are mirrored,
    their pivots turn the other way round for their drive (ratio times -1): the mirror image of the motion.
    """
    old = section_of(project, section)
    for name in names:
        body_of(old, name)
    along = {joint.name for joint in joints_of(old, names)} if with_joints else set()

    def place(before: Section) -> Section:
        bodies = tuple(placed_body(body, placing) if body.name in names else body for body in before.bodies)
        joints = tuple(placed_joint(joint, placing) if joint.name in along else joint for joint in before.joints)
        return msgspec.structs.replace(before, bodies=bodies, joints=joints)

    after = in_section(project, section, place)
    if not placing.mirrored:
        return after
    return _turned_round(after, section, {joint.name for joint in old.joints if joint.name in along and isinstance(joint, Pivot)})


def place_shapes(project: Project, section: SectionName, body: BodyName, shapes: Collection[int], placing: Placing) -> Project:
    """Place some shapes of a body elsewhere, by their places in it. IndexError where one is not there. Joints stay."""
    old = body_of(section_of(project, section), body)
    if any(not 0 <= index < len(old.shapes) for index in shapes):
        raise IndexError(shapes)
    new = tuple(placed(shape, placing) if index in shapes else shape for index, shape in enumerate(old.shapes))
    return replace_body(project, section, body, msgspec.structs.replace(old, shapes=new))


def duplicate_bodies(
    project: Project, section: SectionName, names: Collection[BodyName], *, shift: Point = (0.0, 0.0), drives: Drives = "copied"
) -> Pasted:
    """Copies of bodies in their own section, `shift` mm beside them, with joints, drives and rules; see `pasted`."""
    return pasted(project, section, fragment_of(project, section, names), placing=moving(shift=shift), drives=drives)


def mirror_copy(
    project: Project, section: SectionName, names: Collection[BodyName], placing: Placing, *, drives: Drives = "copied"
) -> Pasted:
    """Copies of bodies where `placing` (see `mirroring`) takes them, with joints, drives and rules; see `pasted`."""
    return pasted(project, section, fragment_of(project, section, names), placing=placing, drives=drives)


def _turned_round(project: Project, section: SectionName, pivots: Collection[JointName]) -> Project:
    def turned(drive: Drive) -> Drive:
        moves = tuple(
            msgspec.structs.replace(move, ratio=-move.ratio) if move.section == section and move.joint in pivots else move
            for move in drive.moves
        )
        return drive if moves == drive.moves else msgspec.structs.replace(drive, moves=moves)

    return msgspec.structs.replace(project, drives=tuple(map(turned, project.drives)))
