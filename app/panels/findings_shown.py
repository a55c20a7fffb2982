"""Findings in the window: those of the drawing in every step as it is drawn, in Gaps the breaches too; each goes to its place."""

from PySide6.QtCore import QObject, Signal

from app.document.desk import Desk
from app.panels import standing
from app.panels.mended_in import goal_of
from app.panels.side_panel import SidePanel
from app.panels.standing import Stand
from core.model.finding import Finding


class FindingsShown(QObject):
    """`step_asked` names the step in which a finding that was pressed is mended; "rules": the rules of Gaps."""

    step_asked = Signal(str)

    def __init__(self, desk: Desk, panel: SidePanel, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._panel = desk, panel
        panel.findings.visit_asked.connect(desk.visit_breach)
        for found in (panel.findings, panel.faults):
            found.finding_asked.connect(self.go)

    def show(self, stand: Stand) -> None:
        """Show what is found so far."""
        if self._panel.shows_findings:
            entries = standing.entries(stand, self._desk.visits(), self.tr)
            self._panel.findings.show_entries(entries, empty=standing.no_findings(stand, self.tr))
        self._panel.show_faults(standing.faults(stand, self.tr))

    def go(self, finding: Finding) -> None:
        """Take in hand what a finding is about, in the step where it is mended."""
        project, choice = self._desk.project, self._desk.choice
        if project is None:
            return
        goal = goal_of(finding, project)
        self.step_asked.emit(goal.step)
        if goal.section is not None:
            choice.pick_section(goal.section)
        if goal.drive is not None:
            choice.pick_drive(goal.drive)
        if goal.joint is not None:
            choice.pick_joint(goal.joint)
        elif goal.section is not None:
            choice.pick_bodies(goal.bodies)
        if goal.shape is not None:
            self._panel.outline.reveal(goal.shape)
