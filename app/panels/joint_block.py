"""A joint or a drive in the side panel: its name to be changed, its sentence with numbers, what is wrong with it, and words that act."""

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app import theme
from app.document.adjusting import Adjusting
from app.panels.adjustable import Adjustable
from app.panels.name_field import NameField
from app.panels.number_sentence import NumberSentence
from app.panels.word_row import Ways, WordRow, focused, give_focus
from app.panels.words import Line, Word, as_tip, tone_colour
from app.theme import Style

ROOM = 268
"""Logical pixels for a name and what is told of it, on one line of the side panel."""
BELOW, INDENT = 14, 6
"""Logical pixels of a second line, and of the margins of both."""


class NameLine(Word):
    """The name of a joint or a drive that does not stand open, with a few quiet words; a press opens it.

    The words stand behind the name, or below it where they do not fit there.
    """

    def __init__(self, style: Style, name: str) -> None:
        super().__init__(style, name)
        self._below = ""

    def say(self, told: str) -> None:
        """Show other words with the name."""
        self.setAccessibleDescription(told)
        self.setToolTip(as_tip(told))
        metrics = QFontMetrics(theme.font(theme.RULER))
        fits = metrics.horizontalAdvance(told) <= ROOM - self._text_width()
        self._key, self._below = (told, "") if fits else ("", metrics.elidedText(told, Qt.TextElideMode.ElideRight, ROOM))
        self.updateGeometry()
        self.update()

    def told(self) -> str:
        """The words with the name as they are shown."""
        return self._key or self._below

    def sizeHint(self) -> QSize:
        name = super().sizeHint()
        if not self._below:
            return name
        below = QFontMetrics(theme.font(theme.RULER)).horizontalAdvance(self._below) + INDENT
        return QSize(max(name.width(), below), name.height() + BELOW)

    def text_area(self) -> QRect:
        return super().text_area().adjusted(0, 0, 0, -BELOW if self._below else 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self._below:
            painter = QPainter(self)
            painter.setFont(theme.font(theme.RULER))
            painter.setPen(tone_colour(self._style, "quiet"))
            area = self.rect().adjusted(INDENT // 2, self.height() - BELOW - 5, 0, -5)
            painter.drawText(area, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, self._below)


class Block(QWidget):
    """Keeps its fields and words while only values change, so that what is being typed stays and the keyboard too."""

    renamed = Signal(str)

    def __init__(self, style: Style, adjusting: Adjusting, what: str, name: str) -> None:
        """`what` it is, for those who do not see it."""
        super().__init__()
        self._style = style
        self._found = Adjustable()
        self._ways: tuple[tuple[str, str], ...] = ()
        self._row: WordRow | None = None
        self.setAccessibleName(name)
        self.name = NameField(style, what, name)
        self.name.taken.connect(self.renamed)
        self.sentence = NumberSentence(style)
        self.sentence.tried.connect(lambda key, value: adjusting.try_out(*self._found.change(key, value)))
        self.sentence.committed.connect(lambda key, value: adjusting.take(*self._found.change(key, value)))
        self.sentence.left.connect(adjusting.give_back)
        self.faults = Line(style, size=theme.DATA, tone="breach", wrap=True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 2, 0, 4)
        self._column.setSpacing(0)
        for widget in (self.name, self.sentence, self.faults):
            self._column.addWidget(widget)

    @property
    def words(self) -> Mapping[str, Word]:
        """The words that act, by their keys."""
        return self._row.words if self._row is not None else {}

    def show_of(self, found: Adjustable, ways: Callable[[], Ways] | None, faults: Sequence[str]) -> None:
        """Show its sentence, its words and what is wrong. What words do must not rest on anything but names; None: they stay.

        Words stay while a gesture goes on: which of them there are takes longer to find than a frame has.
        """
        self._found = found
        self.sentence.say(found.text, found.numbers, about=found.about)
        self.faults.say(" ".join(faults))
        self.faults.setVisible(bool(faults))
        if ways is not None or self._row is None:
            self._show_ways(ways() if ways is not None else {})

    def _show_ways(self, ways: Ways) -> None:
        written = tuple((key, text) for key, (text, _do) in ways.items())
        if written == self._ways and self._row is not None:
            return
        self._ways = written
        held = focused(self.words)
        if self._row is not None:
            self._column.removeWidget(self._row)
            self._row.hide()
            self._row.deleteLater()
        self._row = WordRow(self._style, "", ways)
        self._column.addWidget(self._row)
        give_focus(self.words, held)

    def set_style(self, style: Style) -> None:
        self._style = style
