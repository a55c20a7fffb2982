"""The Joints step's work by words and numbers: how a section can move, its joints and drives, and joining two bodies."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app import theme
from app.document.desk import Desk
from app.document.driving import drive_joint
from app.document.what_went import with_what_went
from app.panels.adjustable import Adjustable
from app.panels.joint_sentences import mobility_sentence, new_joint, of_joint, of_whole_drive
from app.panels.number_sentence import NumberSentence
from app.panels.scroll import Scroll
from app.panels.word_row import Ways, WordRow
from app.panels.words import Line, Word, clear_layout
from app.theme import Style
from core.model.deleted import Deleted
from core.model.edit_drives import delete_drives
from core.model.edit_joints import add_joint, delete_joints
from core.model.joints import Joint, Pivot, Slide
from core.model.middle import middle_of_bodies
from core.model.names import BodyName, DriveName
from core.model.project import Body, Drive, Project, Section
from core.motion.linkage import linkage_of
from core.motion.mobility import SectionMobility, mobility

KINDS = ("pivot", "slide", "pin in slot", "bolt")
PAIR = 2


class JointWork(QWidget):
    """Everything it does is one step of the history. Rows are built anew only where what they are of has changed."""

    def __init__(self, style: Style, desk: Desk) -> None:
        super().__init__()
        self._style, self._desk = style, desk
        self._made: object = None
        self._told_of: Project | None = None
        self._mobility: Sequence[SectionMobility] = ()
        self._picked: tuple[Body, ...] = ()
        self._said: dict[str, tuple[NumberSentence, Adjustable]] = {}
        self.words: dict[str, Word] = {}
        self.mobility = Line(style, size=theme.TEXT, wrap=True)
        self.setAccessibleName(self.tr("Work on joints and drives"))
        self._inner = QWidget()
        self._column = QVBoxLayout(self._inner)
        self._column.setContentsMargins(0, 0, 8, 0)
        self._column.setSpacing(2)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self.mobility)
        outer.addWidget(Scroll(style, self._inner), 1)

    def show_of(self, bodies: Sequence[Body]) -> None:
        """Show the joints and drives of the section, and how the two bodies picked can be joined; hidden, only keep what is picked."""
        self._picked = tuple(bodies)
        if not self.isVisible():
            return
        project, section = self._desk.project, self._desk.handwork.section
        if project is None or section is None:
            return
        names = tuple(body.name for body in bodies)
        driven = tuple((drive.name, tuple((move.section, move.joint) for move in drive.moves)) for drive in project.drives)
        joints = tuple((joint.name, joint.between, type(joint)) for joint in section.joints)
        made = (self._desk.document.opened, section.name, names, joints, driven, self._desk.choice.joint)
        if made != self._made:
            self._made = made
            self._build(project, names)
        for joint in self._joints(section):
            self._say(f"joint {joint.name}", of_joint(section.name, joint, self.tr))
        for drive in self._drives(project, section):
            self._say(f"drive {drive.name}", of_whole_drive(drive, self.tr))
        self._show_mobility(project)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.show_of(self._picked)

    def sentence_of(self, key: str) -> NumberSentence:
        """The sentence of "joint NAME" or "drive NAME"."""
        return self._said[key][0]

    def set_style(self, style: Style) -> None:
        self._style = style

    def _show_mobility(self, project: Project) -> None:
        if not self._desk.document.is_valid:
            self.mobility.say(self.tr("How it can move is told once the faults are mended."))
            return
        if project is not self._told_of:
            self._told_of, self._mobility = project, mobility(project, linkage_of(project))
        found = [each for each in self._mobility if each.section == self._desk.choice.section]
        self.mobility.say(mobility_sentence(found[0], self.tr) if found else "")

    def _build(self, project: Project, picked: tuple[BodyName, ...]) -> None:
        section = self._desk.handwork.section
        clear_layout(self._inner)
        self._said, self.words = {}, {}
        if section is None:
            return
        if self._desk.choice.joint is not None:
            self._row("", {"all joints": (self.tr("all joints"), partial(self._desk.choice.pick_joint, None))})
        elif len(picked) == PAIR:
            pair = (picked[0], picked[1])
            head = self.tr("{second} on {first}, joined by a").format(first=picked[0], second=picked[1])
            self._row(head, {f"join {kind}": (self.tr(kind), partial(self._join, pair, kind)) for kind in KINDS})
        else:
            told = Line(
                self._style, self.tr("Pick two bodies to join them: first what carries, then what moves."), size=theme.DATA, wrap=True
            )
            self._column.addWidget(told)
        driven = {(move.section, move.joint) for drive in project.drives for move in drive.moves}
        for joint in self._joints(section):
            self._sentence(f"joint {joint.name}")
            ways: dict[str, tuple[str, Callable[[], object]]] = {}
            if isinstance(joint, Pivot | Slide) and (section.name, joint.name) not in driven:
                ways[f"drive {joint.name}"] = (self.tr("put a drive on it"), partial(drive_joint, self._desk, joint))
            ways[f"delete joint {joint.name}"] = (self.tr("delete"), partial(self._delete_joint, joint))
            self._row("", ways)
        for drive in self._drives(project, section):
            self._sentence(f"drive {drive.name}")
            self._row("", {f"delete drive {drive.name}": (self.tr("delete"), partial(self._delete_drive, drive.name))})
        self._column.addStretch(1)

    def _joints(self, section: Section) -> Sequence[Joint]:
        """The joint in hand, or, with none, all of the section."""
        joint = self._desk.choice.joint
        return [one for one in section.joints if joint in (None, one.name)]

    def _drives(self, project: Project, section: Section) -> Sequence[Drive]:
        """The drives of the joint in hand, or, with none, all."""
        joint = self._desk.choice.joint
        return [one for one in project.drives if joint is None or any((m.section, m.joint) == (section.name, joint) for m in one.moves)]

    def _sentence(self, key: str) -> None:
        sentence = NumberSentence(self._style)
        adjusting = self._desk.adjusting
        sentence.tried.connect(lambda part, value: adjusting.try_out(*self._said[key][1].change(part, value)))
        sentence.committed.connect(lambda part, value: adjusting.take(*self._said[key][1].change(part, value)))
        sentence.left.connect(adjusting.give_back)
        self._said[key] = (sentence, Adjustable())
        self._column.addWidget(sentence)

    def _say(self, key: str, found: Adjustable) -> None:
        sentence, _old = self._said[key]
        self._said[key] = (sentence, found)
        sentence.say(found.text, found.numbers, about=found.about)

    def _row(self, head: str, ways: Ways) -> None:
        row = WordRow(self._style, head, ways)
        self.words |= row.words
        self._column.addWidget(row)

    def _join(self, picked: tuple[BodyName, BodyName], kind: str) -> None:
        section = self._desk.handwork.section
        if section is None:
            return
        at = middle_of_bodies(body for body in section.bodies if body.name == picked[1])
        joint = new_joint(kind, picked, at)
        text = self.tr("Join {first} and {second}").format(first=picked[0], second=picked[1])
        self._desk.document.change(text, lambda project: add_joint(project, section.name, joint))

    def _delete_joint(self, joint: Joint) -> None:
        project, section = self._desk.project, self._desk.choice.section
        if project is not None and section is not None:
            self._take(self.tr("Delete {name}").format(name=joint.name), delete_joints(project, section, (joint.name,)))

    def _delete_drive(self, name: DriveName) -> None:
        if self._desk.project is not None:
            self._take(self.tr("Delete {name}").format(name=name), delete_drives(self._desk.project, (name,)))

    def _take(self, text: str, deleted: Deleted) -> None:
        self._desk.document.change(with_what_went(text, deleted.gone, self.tr), lambda _project: deleted.project)
