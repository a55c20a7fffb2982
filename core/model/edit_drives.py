"""How are drives changed, and the joints they move? Edits of drives."""

from collections.abc import Callable, Collection

import msgspec

from core.model.deleted import Deleted, Gone
from core.model.edit import rename_drive, replace_drive
from core.model.fresh_names import fresh_name
from core.model.lookup import drive_of
from core.model.names import DriveName, JointName, SectionName
from core.model.project import Drive, Move, Project
from core.model.reordered import reordered
from core.model.rounding import rounded


def free_drive_name(project: Project, wanted: str) -> DriveName:
    """`wanted`, or the next name like it that no drive has."""
    return DriveName(fresh_name(wanted, (drive.name for drive in project.drives), otherwise="drive"))


def add_drive(project: Project, drive: Drive) -> Project:
    """Put a drive at the end, by a free name like its own. Joints it moves are taken off the drives that moved them."""
    for move in drive.moves:
        project = _released(project, move.section, move.joint)
    new = rounded(msgspec.structs.replace(drive, name=free_drive_name(project, drive.name)))
    return msgspec.structs.replace(project, drives=(*project.drives, new))


def put_drive(project: Project, name: DriveName, new: Drive) -> Project:
    """Put `new` in the place of a drive; where it is called otherwise, references follow (a taken name gives the next free)."""
    if new.name != name:
        others = (drive.name for drive in project.drives if drive.name != name)
        new = msgspec.structs.replace(new, name=DriveName(fresh_name(new.name, others, otherwise="drive")))
    return rename_drive(replace_drive(project, name, msgspec.structs.replace(new, name=name)), name, new.name)


def change_drive(project: Project, name: DriveName, change: Callable[[Drive], Drive]) -> Project:
    """Put `change(drive)` in the place of a drive; see `put_drive`."""
    return put_drive(project, name, change(drive_of(project, name)))


def move_joint(project: Project, name: DriveName, section: SectionName, joint: JointName, *, ratio: float = 1.0) -> Project:
    """Let a drive move a joint by `ratio`: one more, or one it moves already. A drive that moved it before lets it go."""
    drive = drive_of(project, name)
    move = Move(section=section, joint=joint, ratio=ratio)
    if any((old.section, old.joint) == (section, joint) for old in drive.moves):
        moves = tuple(move if (old.section, old.joint) == (section, joint) else old for old in drive.moves)
        return replace_drive(project, name, msgspec.structs.replace(drive, moves=moves))
    project = _released(project, section, joint)
    return replace_drive(project, name, msgspec.structs.replace(drive, moves=(*drive.moves, move)))


def release_joint(project: Project, name: DriveName, section: SectionName, joint: JointName) -> Project:
    """Take a joint off a drive. A drive left with nothing to move stays, to be given something else."""
    drive = drive_of(project, name)
    moves = tuple(move for move in drive.moves if (move.section, move.joint) != (section, joint))
    return replace_drive(project, name, msgspec.structs.replace(drive, moves=moves))


def delete_drives(project: Project, names: Collection[DriveName]) -> Deleted:
    """Delete drives, with the rules between drives that name them. KeyError where one is not there."""
    for name in names:
        drive_of(project, name)
    together = tuple(rule for rule in project.allowed_together if {rule.when.drive, rule.keep.drive} & set(names))
    left = msgspec.structs.replace(
        project,
        drives=tuple(drive for drive in project.drives if drive.name not in names),
        allowed_together=tuple(rule for rule in project.allowed_together if rule not in together),
    )
    return Deleted(left, Gone(drives=tuple(drive.name for drive in project.drives if drive.name in names), together=together))


def reorder_drive(project: Project, name: DriveName, *, to: int) -> Project:
    """Put a drive at the place `to` among all, from 0."""
    return msgspec.structs.replace(project, drives=reordered(project.drives, drive_of(project, name), to))


def without_moves(project: Project, section: SectionName, joints: Collection[JointName]) -> Deleted:
    """Take joints that are gone off all drives; a drive that had nothing else to move is deleted."""
    emptied, drives, released = [], [], 0
    for drive in project.drives:
        moves = tuple(move for move in drive.moves if move.section != section or move.joint not in joints)
        drives.append(drive if moves == drive.moves else msgspec.structs.replace(drive, moves=moves))
        if drive.moves and not moves:
            emptied.append(drive.name)
        else:
            released += len(drive.moves) - len(moves)
    deleted = delete_drives(msgspec.structs.replace(project, drives=tuple(drives)), emptied)
    return Deleted(deleted.project, deleted.gone.and_also(Gone(released=released)))


def _released(project: Project, section: SectionName, joint: JointName) -> Project:
    for drive in project.drives:
        if any((move.section, move.joint) == (section, joint) for move in drive.moves):
            project = release_joint(project, drive.name, section, joint)
    return project
