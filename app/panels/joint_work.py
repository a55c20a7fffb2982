"""The Joints step's work by words and numbers: how a section can move, its joints and drives, and joining two bodies."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app import theme
from app.document.choice import section_named
from app.document.desk import Desk
from app.panels.as_drawn import AsDrawn
from app.panels.joint_block import Block, NameLine
from app.panels.joint_drive_sentences import moved_joints, of_whole_drive
from app.panels.joint_mobility import MobilityLine, mobility_parts
from app.panels.joint_sentences import of_joint
from app.panels.joint_told import joint_kind
from app.panels.joint_ways import KINDS, DriveWays, JointWays
from app.panels.number_sentence import NumberSentence
from app.panels.scroll import Scroll
from app.panels.word_row import WordRow
from app.panels.words import Line, Word
from app.theme import Style
from core.model.joints import Joint
from core.model.names import BodyName, DriveName, JointName
from core.model.project import Body, Drive, Project, Section
from core.sentences import finding_sentence

PAIR = 2
HEAD = 24
"""Logical pixels of the heading of drives: nearer to them than to the joints above."""
FEW = 6
"""Joints and drives that all stand open at once; of more only those of what is in hand do, and the others are lines to press."""


class JointWork(QWidget):
    """Everything it does is one step of the history. Widgets stay while what they are of is there, with what is typed in them."""

    def __init__(self, style: Style, desk: Desk) -> None:
        super().__init__()
        self._style, self._desk = style, desk
        self._ways, self._drive_ways = JointWays(desk, self), DriveWays(style, desk, self)
        self._of: object = None
        self._picked: tuple[Body, ...] = ()
        self._open_drive: DriveName | None = None
        self._parts: dict[str, QWidget] = {}
        self.mobility = MobilityLine(style)
        self.mobility.joint_asked.connect(lambda name: desk.choice.pick_joint(JointName(name)))
        self.mobility.body_asked.connect(lambda name: desk.choice.pick_bodies((BodyName(name),)))
        self.stands = AsDrawn(style, desk)
        self.setAccessibleName(self.tr("Work on joints and drives"))
        self._inner = QWidget()
        self._column = QVBoxLayout(self._inner)
        self._column.setContentsMargins(0, 0, 8, 0)
        self._column.setSpacing(2)
        self._column.addStretch(1)
        self._scroll = Scroll(style, self._inner)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.mobility)
        outer.addWidget(self.stands)
        outer.addWidget(self._scroll, 1)
        desk.document.gesture_changed.connect(self._show_mobility)

    @property
    def words(self) -> dict[str, Word]:
        """Every word shown that acts, by its key; "open joint NAME" and "open drive NAME" are the lines to press."""
        found: dict[str, Word] = {}
        for key, part in self._parts.items():
            if isinstance(part, Block | WordRow):
                found |= part.words
            elif isinstance(part, Word):
                found[key] = part
        return found

    def show_of(self, bodies: Sequence[Body]) -> None:
        """Show the joints and drives of the section, and how the two bodies picked can be joined; hidden, only keep what is picked."""
        self._picked = tuple(bodies)
        # As it is now: while a pin is dragged its numbers follow.
        project, section = self._desk.project, section_named(self._desk.project, self._desk.choice.section)
        if not self.isVisible() or project is None or section is None:
            return
        if self._of != (self._desk.document.opened, section.name):
            self._of = (self._desk.document.opened, section.name)
            self._open_drive = None
            self._arrange({})
        joints, drives = self._opened(project, section)
        self._arrange(self._wanted(project, section, joints, drives))
        self._fill(project, section, joints, drives)
        if not self._desk.document.in_gesture:
            self._scroll.fit_soon()
        self._show_mobility()
        self.stands.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.show_of(self._picked)

    def sentence_of(self, key: str) -> NumberSentence:
        """The sentence of "joint NAME" or "drive NAME", where it stands open."""
        return self.block_of(key).sentence

    def block_of(self, key: str) -> Block:
        """All of "joint NAME" or "drive NAME", where it stands open; KeyError where it does not."""
        part = self._parts[key]
        if not isinstance(part, Block):
            raise KeyError(key)
        return part

    def set_style(self, style: Style) -> None:
        self._style = style
        self._drive_ways.set_style(style)

    def _opened(self, project: Project, section: Section) -> tuple[set[JointName], set[DriveName]]:
        """The joints and drives that stand open: of what is in hand, or, where there are few, all."""
        in_hand, picked = self._desk.choice.joint, {body.name for body in self._picked}
        if in_hand is not None:
            joints = {in_hand}
        elif picked:
            joints = {joint.name for joint in section.joints if picked.intersection(joint.between)}
        else:
            joints = {joint.name for joint in section.joints}
        joints = joints if len(joints) <= FEW else set()
        drives = {drive.name for drive in project.drives if any(m.section == section.name and m.joint in joints for m in drive.moves)}
        if not (in_hand or picked) and len(section.joints) + len(project.drives) > FEW:
            joints, drives = set(), set()
        drives |= {drive.name for drive in project.drives if not drive.moves or drive.name == self._open_drive}
        return joints, drives

    def _wanted(
        self, project: Project, section: Section, joints: set[JointName], drives: set[DriveName]
    ) -> dict[str, Callable[[], QWidget]]:
        """What stands in the column, from the top, and how each is made where it is not there yet."""
        wanted: dict[str, Callable[[], QWidget]] = {}
        if self._desk.choice.joint is not None:
            wanted["leave"] = self._leave_row
        elif len(self._picked) == PAIR:
            first, second = (body.name for body in self._picked)
            wanted[f"join {first} {second}"] = partial(self._join_row, first, second)
        else:
            wanted["hint" if len(section.bodies) >= PAIR else "begin"] = partial(self._hint, enough=len(section.bodies) >= PAIR)
        for joint in sorted(section.joints, key=lambda one: one.name not in joints):
            if joint.name in joints:
                wanted[f"joint {joint.name}"] = partial(self._joint_block, joint.name)
            else:
                wanted[f"open joint {joint.name}"] = partial(self._joint_line, joint.name)
        if project.drives:
            wanted["drives"] = self._drives_head
        for drive in project.drives:
            if drive.name in drives:
                wanted[f"drive {drive.name}"] = partial(self._drive_block, drive.name)
            else:
                wanted[f"open drive {drive.name}"] = partial(self._drive_line, drive.name)
        return wanted

    def _arrange(self, wanted: Mapping[str, Callable[[], QWidget]]) -> None:
        if list(wanted) == list(self._parts):
            return
        for key, part in self._parts.items():
            self._column.removeWidget(part)
            if key not in wanted:
                part.hide()
                part.deleteLater()
        self._parts = {key: self._parts[key] if key in self._parts else make() for key, make in wanted.items()}
        for place, part in enumerate(self._parts.values()):
            self._column.insertWidget(place, part)

    def _fill(self, project: Project, section: Section, joints: set[JointName], drives: set[DriveName]) -> None:
        driven = {(move.section, move.joint) for drive in project.drives for move in drive.moves}
        goes_on = self._desk.document.in_gesture
        for joint in section.joints:
            if joint.name in joints:
                ways = None if goes_on else partial(self._ways.of, section, joint, driven=(section.name, joint.name) in driven)
                self.block_of(f"joint {joint.name}").show_of(of_joint(section.name, joint, self.tr), ways, self._faults(section, joint))
            else:
                self._say(f"open joint {joint.name}", self._joint_told(joint))
        for drive in project.drives:
            if drive.name in drives:
                block, told = self.block_of(f"drive {drive.name}"), of_whole_drive(drive, project, self.tr)
                block.show_of(told, None if goes_on else partial(self._drive_ways.of, project, drive), self._faults(None, drive))
            else:
                moved = moved_joints(drive, section.name, self.tr)
                self._say(f"open drive {drive.name}", self.tr("moves {joints}").format(joints=moved))

    def _say(self, key: str, told: str) -> None:
        line = self._parts[key]
        if isinstance(line, NameLine):
            line.say(told)

    def _joint_told(self, joint: Joint) -> str:
        first, second = joint.between
        return self.tr("{kind}, {second} on {first}").format(kind=joint_kind(joint, self.tr), first=first, second=second)

    def _faults(self, section: Section | None, of: Joint | Drive) -> tuple[str, ...]:
        """What is wrong with a joint of a section, or with a drive."""
        place = ("", of.name) if section is None else (section.name, of.name)
        return tuple(
            finding_sentence(finding, self.tr)
            for finding in self._desk.document.findings
            if place == (("", finding.place.drive) if section is None else (finding.place.section, finding.place.joint))
        )

    def _show_mobility(self) -> None:
        """Told anew once an edit has come to its end, and only where something that mobility depends on has changed."""
        project, mechanism = self._desk.project, self._desk.mechanism
        if project is None or not self.isVisible() or self._desk.document.in_gesture:
            return
        if mechanism is None or mechanism.project is not project:
            self.mobility.say(self.tr("How it can move is told once the faults are mended."))
            return
        known = self._desk.mobility.of(project, mechanism.linkage)
        found = next((each for each in known if each.section == self._desk.choice.section), None)
        links, alone = mechanism.linkage.section(found.section) if found is not None else None, len(project.sections) == 1
        self.mobility.show_parts(mobility_parts(found, links, self.tr, alone=alone) if found is not None and links is not None else ())

    def _hint(self, *, enough: bool) -> QWidget:
        told = self.tr("Pick two bodies to join them: first what carries, then what moves.")
        if not enough:
            told = self.tr("A joint joins two bodies; draw them in Outline first.")
        return Line(self._style, told, size=theme.DATA, tone="quiet", wrap=True)

    def _join_row(self, first: BodyName, second: BodyName) -> QWidget:
        head = self.tr("{second} on {first}, joined by a").format(first=first, second=second)
        return WordRow(
            self._style, head, {f"join {kind}": (self.tr(kind), partial(self._ways.join, (first, second), kind)) for kind in KINDS}
        )

    def _leave_row(self) -> QWidget:
        return WordRow(self._style, "", {"all joints": (self.tr("all joints"), partial(self._desk.choice.pick_joint, None))})

    def _drives_head(self) -> QWidget:
        head = Line(self._style, self.tr("Drives"), size=theme.TEXT, weight=theme.SEMIBOLD)
        head.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
        head.setFixedHeight(HEAD)
        return head

    def _joint_block(self, name: JointName) -> QWidget:
        block = Block(self._style, self._desk.adjusting, self.tr("Name of the joint"), name)
        block.renamed.connect(lambda wanted: self._go_on("joint", self._ways.rename(name, wanted)))
        return block

    def _drive_block(self, name: DriveName) -> QWidget:
        block = Block(self._style, self._desk.adjusting, self.tr("Name of the drive"), name)
        block.renamed.connect(lambda wanted: self._rename_drive(name, wanted))
        return block

    def _joint_line(self, name: JointName) -> QWidget:
        line = NameLine(self._style, name)
        line.clicked.connect(lambda _on=False: self._desk.choice.pick_joint(name))
        return line

    def _drive_line(self, name: DriveName) -> QWidget:
        line = NameLine(self._style, name)
        line.clicked.connect(lambda _on=False: self._open(name))
        return line

    def _open(self, name: DriveName) -> None:
        self._open_drive = name
        self._desk.choice.pick_drive(name)
        self.show_of(self._picked)
        self.block_of(f"drive {name}").name.setFocus()

    def _rename_drive(self, name: DriveName, wanted: str) -> None:
        new = self._drive_ways.rename(name, wanted)
        if new is not None and self._open_drive == name:
            self._open_drive = new
            self.show_of(self._picked)
        self._go_on("drive", new)

    def _go_on(self, what: str, name: str | None) -> None:
        """What was renamed keeps the keyboard under its new name."""
        part = self._parts.get(f"{what} {name}")
        if isinstance(part, Block):
            part.name.setFocus()
