"""What the words under a joint and a drive do: each one step of the history with a name. They rest on names alone."""

from collections.abc import Callable
from functools import partial

from msgspec.structs import replace
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.document.desk import Desk
from app.document.driving import drive_joint
from app.document.what_went import with_what_went
from app.panels.joint_drive_sentences import drivable, joint_name, movable_by, with_pulses, with_stops
from app.panels.joint_sentences import FIRST_REACH, as_kind, kind_of, new_joint, relief_of
from app.panels.picker import Picker
from app.panels.word_row import Ways
from app.theme import Style
from core.model.deleted import Deleted
from core.model.edit_drives import change_drive, delete_drives, move_joint, release_joint, reorder_drive
from core.model.edit_joints import add_joint, change_joint, delete_joints
from core.model.fresh_names import fresh_name
from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.lookup import drive_of
from core.model.middle import middle_of_bodies
from core.model.names import BodyName, DriveName, JointName
from core.model.project import Drive, Project, Section

KINDS = ("pivot", "slide", "pin in slot", "bolt")
_BECOMES = {"pivot": "make it a pivot", "slide": "make it a slide", "pin in slot": "make it a pin in a slot", "bolt": "bolt the two"}


class JointWays(QObject):
    """The joints of the section shown."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk

    def of(self, section: Section, joint: Joint, *, driven: bool) -> Ways:
        """The words under a joint."""
        name = joint.name
        ways: dict[str, tuple[str, Callable[[], object]]] = {}
        if isinstance(joint, Pivot | Slide) and not driven:
            ways[f"drive {name}"] = (self.tr("put a drive on it"), partial(self._drive, name))
        if isinstance(joint, PinSlot):
            told = self.tr("an open slot") if joint.reach else self.tr("give the slot ends")
            ways[f"reach {name}"] = (told, partial(self._reach, name))
        if not isinstance(joint, Bolted):
            if joint.relief is not None:
                ways[f"relief {name}"] = (self.tr("the usual relief"), partial(self._relief, name))
            elif relief_of(section, joint) is not None:
                ways[f"relief {name}"] = (self.tr("a relief of its own"), partial(self._relief, name))
        ways[f"swap {name}"] = (self.tr("swap the two bodies"), partial(self._swap, name))
        for kind in KINDS:
            if kind != kind_of(joint):
                ways[f"{kind} {name}"] = (self.tr(_BECOMES[kind]), partial(self._become, name, kind))
        ways[f"delete joint {name}"] = (self.tr("delete"), partial(self._delete, name))
        return ways

    def join(self, picked: tuple[BodyName, BodyName], kind: str) -> None:
        """Join two bodies where the second has its middle."""
        section = self._desk.handwork.section
        if section is None:
            return
        joint = new_joint(kind, picked, middle_of_bodies(body for body in section.bodies if body.name == picked[1]))
        text = self.tr("Join {first} and {second}").format(first=picked[0], second=picked[1])
        self._desk.document.change(text, lambda project: add_joint(project, section.name, joint))

    def rename(self, old: JointName, wanted: str) -> JointName | None:
        """Call a joint otherwise, and give back its new name; a taken name gives the next free one. None: nothing is changed."""
        section, in_hand = self._desk.handwork.section, self._desk.choice.joint
        if section is None or not wanted or wanted == old:
            return None
        new = JointName(fresh_name(wanted, (joint.name for joint in section.joints if joint.name != old), otherwise="pin"))
        text = self.tr("Rename {old} to {new}").format(old=old, new=new)
        done = self._change(text, old, lambda joint: replace(joint, name=new))
        if done and in_hand == old:
            self._desk.choice.pick_joint(new)
        return new if done else None

    def _drive(self, name: JointName) -> None:
        joint = self._joint(name)
        if joint is not None:
            drive_joint(self._desk, joint)

    def _reach(self, name: JointName) -> None:
        text = self.tr("Slot of {joint}").format(joint=name)
        self._change(text, name, lambda joint: _with_reach(joint) if isinstance(joint, PinSlot) else joint)

    def _relief(self, name: JointName) -> None:
        section, joint = self._desk.handwork.section, self._joint(name)
        if section is None or joint is None or isinstance(joint, Bolted):
            return
        relief = None if joint.relief is not None else relief_of(section, joint)
        self._change(self.tr("Relief of {joint}").format(joint=name), name, lambda old: replace(old, relief=relief))

    def _swap(self, name: JointName) -> None:
        text = self.tr("Swap the bodies of {joint}").format(joint=name)
        self._change(text, name, lambda joint: replace(joint, between=joint.between[::-1]))

    def _become(self, name: JointName, kind: str) -> None:
        section, joint = self._desk.handwork.section, self._joint(name)
        if section is None or joint is None:
            return
        at = middle_of_bodies(body for body in section.bodies if body.name == joint.between[1])
        changed = as_kind(joint, kind, at)
        self._take(
            self.tr("{joint} as another kind of joint").format(joint=name),
            lambda p: change_joint(p, section.name, name, lambda _o: changed),
        )

    def _delete(self, name: JointName) -> None:
        section = self._desk.handwork.section
        if section is not None:
            self._take(self.tr("Delete {name}").format(name=name), lambda project: delete_joints(project, section.name, (name,)))

    def _joint(self, name: JointName) -> Joint | None:
        section = self._desk.handwork.section
        return next((joint for joint in section.joints if joint.name == name), None) if section is not None else None

    def _change(self, text: str, name: JointName, change: Callable[[Joint], Joint]) -> bool:
        section = self._desk.choice.section
        if section is None:
            return False
        return self._desk.document.change(text, lambda project: change_joint(project, section, name, change).project)

    def _take(self, text: str, edit: Callable[[Project], Deleted]) -> None:
        project = self._desk.project
        if project is not None:
            self._desk.document.cancel()
            deleted = edit(self._desk.project or project)
            self._desk.document.change(with_what_went(text, deleted.gone, self.tr), lambda _project: deleted.project)


class DriveWays(QObject):
    """The drives of the project."""

    def __init__(self, style: Style, desk: Desk, parent: QWidget) -> None:
        super().__init__(parent)
        self._style, self._desk, self._widget = style, desk, parent
        self.picker: Picker | None = None

    def set_style(self, style: Style) -> None:
        """What a picker opens in."""
        self._style = style

    def of(self, project: Project, drive: Drive) -> Ways:
        """The words under a drive."""
        name, place = drive.name, [one.name for one in project.drives].index(drive.name)
        ways: dict[str, tuple[str, Callable[[], object]]] = {}
        if drive.moves:
            ways[f"run {name}"] = (self.tr("run it"), partial(self._desk.toggle_run, name))
        if len(drivable(project)) > len(drive.moves):
            ways[f"move {name}"] = (
                self.tr("move another joint too") if drive.moves else self.tr("give it a joint"),
                partial(self._pick_joint, name),
            )
        for number, move in enumerate(drive.moves):
            told = self.tr("let go of {joint}").format(joint=joint_name(move, project, self.tr))
            ways[f"release {number} {name}"] = (told, partial(self._release, name, number))
        ways[f"drawn {name}"] = (
            self.tr("drawn at home") if drive.drawn is not None else self.tr("drawn elsewhere than at home"),
            partial(self._toggle, name, "drawn"),
        )
        ways[f"stops {name}"] = (self.tr("no stops") if drive.stops else self.tr("stops of its unit"), partial(self._toggle, name, "stops"))
        ways[f"pulse {name}"] = (
            self.tr("no pulses") if drive.pulse else self.tr("pulses at two values"),
            partial(self._toggle, name, "pulse"),
        )
        unit = self.tr("count it in mm") if drive.unit == "deg" else self.tr("count it in degrees")
        ways[f"unit {name}"] = (unit, partial(self._toggle, name, "unit"))
        if place > 0:
            ways[f"earlier {name}"] = (self.tr("earlier in the list"), partial(self._reorder, name, -1))
        if place < len(project.drives) - 1:
            ways[f"later {name}"] = (self.tr("later"), partial(self._reorder, name, 1))
        ways[f"delete drive {name}"] = (self.tr("delete"), partial(self._delete, name))
        return ways

    def rename(self, old: DriveName, wanted: str) -> DriveName | None:
        """Call a drive otherwise, and give back its new name; a taken name gives the next free one. None: nothing is changed."""
        project, in_hand = self._desk.document.at_press, self._desk.choice.drive
        if project is None or not wanted or wanted == old:
            return None
        new = DriveName(fresh_name(wanted, (drive.name for drive in project.drives if drive.name != old), otherwise="drive"))
        text = self.tr("Rename {old} to {new}").format(old=old, new=new)
        done = self._change(text, lambda p: change_drive(p, old, lambda drive: replace(drive, name=new)))
        if done and in_hand == old:
            self._desk.choice.pick_drive(new)
        return new if done else None

    def _pick_joint(self, name: DriveName) -> None:
        project = self._desk.document.at_press
        if project is None:
            return
        head = self.tr("{drive} moves another joint").format(drive=name)
        choices = movable_by(drive_of(project, name), project, self.tr)
        keys = list(drivable(project))
        self.picker = Picker(self._style, head, choices, self._widget.window(), take=self.tr("Move it too"))
        self.picker.picked.connect(lambda number: self._move(name, *keys[int(number)]))
        self.picker.finished.connect(self._forget)
        self.picker.show_picker()

    def _move(self, name: DriveName, *key: str) -> None:
        project = self._desk.project
        found = next((known for known in drivable(project) if known == key), None) if project is not None else None
        if found is not None:
            text = self.tr("{drive} moves {joint}").format(drive=name, joint=found[1])
            self._change(text, lambda p: move_joint(p, name, found[0], found[1]))

    def _release(self, name: DriveName, number: int) -> None:
        project = self._desk.document.at_press
        if project is None or number >= len(drive_of(project, name).moves):
            return
        move = drive_of(project, name).moves[number]
        text = self.tr("{drive} lets go of {joint}").format(drive=name, joint=move.joint)
        self._change(text, lambda p: release_joint(p, name, move.section, move.joint))

    def _toggle(self, name: DriveName, what: str) -> None:
        """Give a drive what it has not, or take it off."""
        texts = {
            "drawn": self.tr("Drawn value of {drive}"),
            "stops": self.tr("Stops of {drive}"),
            "pulse": self.tr("Pulses of {drive}"),
            "unit": self.tr("Unit of {drive}"),
        }
        edits: dict[str, Callable[[Drive], Drive]] = {
            "drawn": lambda drive: replace(drive, drawn=drive.home if drive.drawn is None else None),
            "stops": lambda drive: with_stops(drive) if drive.stops is None else replace(drive, stops=None),
            "pulse": lambda drive: with_pulses(drive) if drive.pulse is None else replace(drive, pulse=None),
            "unit": lambda drive: replace(drive, unit="mm" if drive.unit == "deg" else "deg"),
        }
        self._change(texts[what].format(drive=name), lambda project: change_drive(project, name, edits[what]))

    def _reorder(self, name: DriveName, by: int) -> None:
        project = self._desk.document.at_press
        if project is not None:
            to = [drive.name for drive in project.drives].index(name) + by
            self._change(self.tr("Reorder {drive}").format(drive=name), lambda p: reorder_drive(p, name, to=to))

    def _delete(self, name: DriveName) -> None:
        self._desk.document.cancel()
        project = self._desk.project
        if project is not None:
            deleted = delete_drives(project, (name,))
            text = with_what_went(self.tr("Delete {name}").format(name=name), deleted.gone, self.tr)
            self._desk.document.change(text, lambda _project: deleted.project)

    def _change(self, text: str, edit: Callable[[Project], Project]) -> bool:
        return self._desk.document.change(text, edit)

    def _forget(self) -> None:
        self.picker = None


def _with_reach(joint: PinSlot) -> PinSlot:
    return replace(joint, reach=None if joint.reach is not None else FIRST_REACH)
