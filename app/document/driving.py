"""A joint is given a drive: which joint in hand can be, and with what numbers a new drive begins."""

from app.document.choice import section_named
from app.document.desk import Desk
from core.model.edit_drives import add_drive
from core.model.joints import Joint, Pivot, Slide
from core.model.names import DriveName, SectionName
from core.model.project import Drive, Move

FIRST_TURN, FIRST_SHIFT = (-45.0, 45.0), (-10.0, 10.0)
FIRST_SPEED = {"deg": 100.0, "mm": 20.0}
"""What a new drive begins with, to be given the user's own numbers at once: no claim of any machine."""


def new_drive(section: SectionName, joint: Joint) -> Drive:
    """A drive for a pivot or a slide, drawn and at home at 0."""
    unit = "deg" if isinstance(joint, Pivot) else "mm"
    low, high = FIRST_TURN if unit == "deg" else FIRST_SHIFT
    move = Move(section=section, joint=joint.name)
    return Drive(
        name=DriveName(f"{joint.name} drive"),
        unit="deg" if unit == "deg" else "mm",
        start=low,
        end=high,
        home=0.0,
        speed=FIRST_SPEED[unit],
        moves=(move,),
    )


def drivable(desk: Desk) -> Pivot | Slide | None:
    """The joint in hand, where a drive can move it and none does."""
    project, section = desk.project, section_named(desk.project, desk.choice.section)
    if project is None or section is None:
        return None
    joint = next((one for one in section.joints if one.name == desk.choice.joint), None)
    driven = any((move.section, move.joint) == (section.name, desk.choice.joint) for drive in project.drives for move in drive.moves)
    return joint if isinstance(joint, Pivot | Slide) and not driven else None


def drive_joint(desk: Desk, joint: Joint) -> None:
    """Put a new drive on a joint of the section shown, one step of the history, and take the drive in hand."""
    section = desk.choice.section
    if section is None:
        return
    drive = new_drive(section, joint)
    done = desk.document.change(desk.tr("Drive {joint}").format(joint=joint.name), lambda project: add_drive(project, drive))
    if done and desk.project is not None:
        desk.choice.pick_drive(desk.project.drives[-1].name)
