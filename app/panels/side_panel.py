"""The side panel: what is selected, and for the step at hand bodies, joints, drives, findings or what can be handed over."""

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app import theme
from app.document.desk import Desk
from app.panels.as_drawn import AsDrawn
from app.panels.drives import DriveLines
from app.panels.findings import Entry, Faults, FindingsList
from app.panels.hand_over import HandOver
from app.panels.joint_work import JointWork
from app.panels.name_list import NameList
from app.panels.number_sentence import NumberSentence
from app.panels.outline import Outline
from app.panels.pairs_in_hand import PairInHand
from app.panels.rules import Rules
from app.panels.section_list import SectionList
from app.panels.selected import Selected
from app.panels.words import Hairline, Line, paint_panel
from app.theme import Style
from core.model.names import SectionName
from core.model.project import Body

WIDTH = 320
MARGINS = (theme.MARGIN, theme.MARGIN - 6)
"""Logical pixels at its left and its right."""

LEAST_SHARED = 440
"""Logical pixels of the panel from which drives have as much room as findings, and bodies a line each with what is said of them;
below, the finding in hand is to be read, and the names of all bodies."""

LEAST_DETAILED = 620
"""Under this height the findings that are not selected lose their details."""


LIST_SHARE = 3
"""The room for what is at work, where the other of list and work takes 1."""


class SidePanel(QWidget):
    """Holds the parts and shows those that the step needs."""

    def __init__(
        self, style: Style, actions: Mapping[str, QAction], handed: Sequence[tuple[str, str]], desk: Desk, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._style, self._step, self._at_work = style, "", False
        self.setFixedWidth(WIDTH)
        self.setAccessibleName(self.tr("Side panel"))
        self.selected = Selected(style)
        self.findings, self.faults = FindingsList(style), Faults(style, width=WIDTH - MARGINS[0] - MARGINS[1])
        self.drives = DriveLines(style)
        self.travel = NumberSentence(style)
        self.bodies = NameList(style, self.tr("Bodies of the section"))
        self.sections = SectionList(style, desk.sections)
        self.sections.picked.connect(lambda name: desk.choice.pick_section(SectionName(name)))
        for told in (desk.project_shown, desk.choice.section_changed):
            told.connect(lambda: self.sections.show_sections(desk.sections.names(), desk.choice.section))
        self.outline, self.joints = Outline(style, desk), JointWork(style, desk)
        self.hand_over = HandOver(style, actions, handed, desk)
        self.rules = Rules(style, desk)
        self.pair = PairInHand(style, desk)
        self._findings_note = Line(style, size=theme.DATA, tone="quiet")
        self._drives_note = Line(style, size=theme.DATA, tone="quiet")
        self._rule = Hairline(style)
        self._findings = self._part(self.tr("Findings"), self._findings_note, self.findings)
        self._findings.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self._rules = self._part(self.tr("Rules"), None, self.rules)
        self._faults = self._part(self.tr("To mend"), None, self.faults)
        self.as_drawn = AsDrawn(style, desk, brief=True)
        self._bodies = self._part(self.tr("Bodies"), self.as_drawn, self.bodies)
        self._joints = self._part(self.tr("Joints"), None, self.joints)
        self._drives = self._part(self.tr("Drives"), self._drives_note, self.drives)
        self._under(self.selected, self.pair)
        self._under(self._drives, self.travel)
        self._under(self._bodies, self.outline)
        self._end(self._bodies)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(MARGINS[0], 10, MARGINS[1], 6)
        self._column.setSpacing(8)
        for part, stretch in (
            (self.selected, 0),
            (self._rule, 0),
            (self._faults, 0),
            (self._findings, 3),
            (self._rules, 3),
            (self._bodies, 3),
            (self.sections, 0),
            (self._joints, 3),
            (self._drives, 2),
            (self.hand_over, 3),
        ):
            self._column.addWidget(part, stretch)

    def show_step(self, step: str, *, rules: bool = False) -> None:
        """Show what the step needs; in *Gaps* either findings and drives, or the rules."""
        self.selected.setVisible(step != "Hand-over")
        self._rule.setVisible(step != "Hand-over")
        self.pair.set_on(on=step == "Gaps" and not rules)
        self._step = step
        self._offer_faults()
        self._findings.setVisible(step == "Gaps" and not rules)
        self._rules.setVisible(step == "Gaps" and rules)
        self._bodies.setVisible(step == "Outline")
        self.as_drawn.refresh()
        self.sections.setVisible(step == "Outline")
        self._joints.setVisible(step == "Joints")
        self._drives.setVisible(step in ("Travel", "Gaps") and not rules)
        self.hand_over.setVisible(step == "Hand-over")

    @property
    def shows_findings(self) -> bool:
        """Whether the list of all findings stands in the panel, as in *Gaps*."""
        return not self._findings.isHidden()

    def show_work(self, bodies: Sequence[Body]) -> None:
        """Show the work on the bodies picked: one of them takes most of the room, otherwise the list of all does."""
        self.outline.show_of(bodies)
        self.joints.show_of(bodies)
        self.as_drawn.refresh()
        self.make_room(bodies)

    def make_room(self, bodies: Sequence[Body]) -> None:
        """Share the room between the work on the bodies picked and the list of all."""
        column = self._bodies.layout()
        at_work = self._at_work = len(bodies) == 1
        self._offer_names()
        if isinstance(column, QVBoxLayout):
            column.setStretchFactor(self.bodies, 1 if at_work else LIST_SHARE)
            column.setStretchFactor(self.outline, LIST_SHARE if at_work else 1)

    def _offer_names(self) -> None:
        """Where there is little room the names alone: detail goes first."""
        self.bodies.set_brief(brief=self._at_work or self.height() < LEAST_SHARED)

    def show_faults(self, entries: Sequence[Entry]) -> None:
        """What is to be mended, in the steps that draw; in Gaps it stands among all findings."""
        self.faults.show_entries(entries)
        self._offer_faults()

    def _offer_faults(self) -> None:
        self._faults.setVisible(self._step in ("Outline", "Joints", "Travel") and bool(self.faults.entries()))

    def show_notes(self, *, findings: str, drives: str) -> None:
        """The quiet words beside the heads."""
        self._findings_note.say(findings)
        self._drives_note.say(drives)

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        paint_panel(self, self._style)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._offer_names()
        self.selected.set_room(self.height())
        self.findings.set_detailed(self.height() >= LEAST_DETAILED)
        self._column.setStretchFactor(self._drives, 3 if self.height() >= LEAST_SHARED else 2)

    @staticmethod
    def _under(part: QWidget, widget: QWidget) -> None:
        column = part.layout()
        if column is not None:
            column.addWidget(widget)

    @staticmethod
    def _end(part: QWidget) -> None:
        """What stands there stands together, where there is more room than it takes."""
        column = part.layout()
        if isinstance(column, QVBoxLayout):
            column.addStretch()

    def _part(self, head: str, note: Line | None, content: QWidget) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        row = QHBoxLayout()
        title = Line(self._style, head, size=theme.HEAD, weight=theme.SEMIBOLD)
        title.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        row.addWidget(title)
        if note is not None:
            note.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            row.addWidget(note, 1)
        row.addStretch()  # for where there is no note, or none is shown
        column.addLayout(row)
        column.addWidget(content, 1)
        return part
