"""Says that the board shows all as drawn, in the steps that change the drawing, while the pose at hand is another."""

from app import theme
from app.document.desk import Desk
from app.panels.words import Line
from app.theme import Style


class AsDrawn(Line):
    """Shows itself while it is true, unless a drive runs: then that is seen."""

    def __init__(self, style: Style, desk: Desk, *, brief: bool = False) -> None:
        """brief: in the few words that stand beside a head."""
        super().__init__(style, size=theme.DATA, tone="quiet", wrap=not brief)
        self._desk = desk
        self.say(self.tr("shown as drawn, not at this pose") if brief else self.tr("Shown as drawn, not at the pose at hand."))
        self.hide()
        for changed in (desk.posed, desk.run.changed):
            changed.connect(self.refresh)

    def refresh(self) -> None:
        """Show or hide: what the timeline tells of the pose at hand may not be what the board shows."""
        beside = self.parentWidget()
        if beside is None or not beside.isVisible():
            return
        at, drives = self._desk.pose.shown, self._desk.project.drives if self._desk.project is not None else ()
        here = [drive for drive in drives if any(move.section == self._desk.choice.section for move in drive.moves)]
        moved = any(at.get(drive.name) != drive.drawn_value for drive in here)
        self.setVisible(moved and self._desk.run.drive is None)
