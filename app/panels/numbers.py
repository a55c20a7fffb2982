"""The numbers of the side panel that can be changed: shown as the project has them, tried out and taken through the desk."""

from collections.abc import Sequence

from PySide6.QtCore import QObject

from app.document.desk import Desk
from app.panels import adjustable
from app.panels.adjustable import Adjustable
from app.panels.number_sentence import NumberSentence
from app.panels.side_panel import SidePanel
from core.model.project import Body


class Numbers(QObject):
    """Joins the sentences with numbers to the desk's adjusting."""

    def __init__(self, desk: Desk, panel: SidePanel, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._panel = desk, panel
        self._shown: dict[NumberSentence, Adjustable] = {}
        for sentence in (panel.selected.numbers, panel.travel):
            self._shown[sentence] = Adjustable()
            self._listen(sentence)

    def show_of(self, bodies: Sequence[Body]) -> None:
        """Show the numbers of what is selected, and of the drive in hand."""
        desk, section = self._desk, self._desk.choice.section
        if desk.project is None or section is None:
            return
        row = desk.timeline.rows[desk.row] if desk.row is not None else None
        asked = row.required if row is not None and not desk.outdated else None
        own = adjustable.of_bodies(desk.project, section, bodies, asked, desk.choice.pair, self.tr)
        if desk.choice.joint is not None:
            own = Adjustable()  # its numbers stand with the work on joints
        numbers = self._panel.selected.numbers
        # What a pair must keep is not known while an edit of it goes on: the field that is typed into stays.
        if own.text or not (desk.outdated and self._shown[numbers].about == (section, desk.choice.pair)):
            self._show(numbers, own)
        self._show(self._panel.travel, adjustable.of_drive(desk.drive(desk.choice.drive), self.tr))

    def _show(self, sentence: NumberSentence, found: Adjustable) -> None:
        self._shown[sentence] = found
        sentence.say(found.text, found.numbers, about=found.about)

    def _listen(self, sentence: NumberSentence) -> None:
        adjusting = self._desk.adjusting
        sentence.tried.connect(lambda key, value: adjusting.try_out(*self._shown[sentence].change(key, value)))
        sentence.committed.connect(lambda key, value: adjusting.take(*self._shown[sentence].change(key, value)))
        sentence.left.connect(adjusting.give_back)
