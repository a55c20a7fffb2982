"""Asks for a reason in words. It opens over the window; where a reason is needed, none is taken without one."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from app import theme
from app.palette import palette_of
from app.panels.words import Line, Word
from app.theme import Style

WIDTH = 480
MOST_EARLIER = 4
"""Reasons given before that are offered again."""


class ReasonAsk(QDialog):
    """`given` tells the reason, without white space at its ends, on Enter; Esc leaves all as it was."""

    given = Signal(str)

    def __init__(
        self,
        style: Style,
        head: str,
        done: str,
        parent: QWidget,
        *,
        first: str = "",
        earlier: Sequence[str] = (),
        needed: bool = True,
        note: str = "",
    ) -> None:
        """`first`: what stands in the field. `earlier`: reasons given before, to take one of them by a press."""
        super().__init__(parent)
        self._needed = needed
        self.setWindowTitle(head)
        self.setAccessibleName(head)
        self.setPalette(palette_of(style))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 12)
        column.setSpacing(8)
        title = Line(style, head, size=theme.HEAD, weight=theme.MEDIUM, wrap=True)
        title.setTextFormat(Qt.TextFormat.PlainText)
        column.addWidget(title)
        if note:
            column.addWidget(Line(style, note, tone="quiet", wrap=True))
        self.field = QLineEdit(first)
        self.field.setAccessibleName(self.tr("The reason"))
        self.field.setPlaceholderText(self.tr("Because ..."))
        self.field.setFont(theme.font(theme.HEAD))
        self.field.setMinimumHeight(30)
        column.addWidget(self.field)
        self.refusal = Line(style, "", tone="breach", wrap=True)
        self.refusal.hide()
        column.addWidget(self.refusal)
        offered = list(dict.fromkeys(reason for reason in earlier if reason != first))[:MOST_EARLIER]
        self.earlier = {reason: Word(style, reason, size=theme.DATA, tone="proved") for reason in offered}
        if self.earlier:
            column.addWidget(Line(style, self.tr("Given before:"), size=theme.DATA, tone="quiet"))
        for reason, word in self.earlier.items():
            word.setMaximumWidth(WIDTH - 40)
            word.clicked.connect(lambda _on=False, reason=reason: self._take_earlier(reason))
            column.addWidget(word)
        row = QHBoxLayout()
        row.setContentsMargins(0, 8, 0, 0)
        row.setSpacing(16)
        self.done_word = Word(style, done, key="Enter")
        self.done_word.clicked.connect(self.take)
        leave = Word(style, self.tr("Leave"), key="Esc")
        leave.clicked.connect(self.reject)
        for word in (self.done_word, leave):
            row.addWidget(word)
        row.addStretch(1)
        column.addLayout(row)
        self.field.textEdited.connect(lambda _text: self.refusal.hide())
        self.setFixedWidth(WIDTH)

    def ask(self) -> None:
        """Open over the window."""
        self.open()
        self.field.setFocus()
        self.field.selectAll()

    def take(self) -> None:
        """Tell the reason and go; without one, where it is needed, say so and stay."""
        reason = self.field.text().strip()
        if self._needed and not reason:
            self.refusal.say(self.tr("A pair is left out with a reason only: every answer tells it. Type why."))
            self.refusal.show()
            self.field.setFocus()
            return
        self.given.emit(reason)
        self.close()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.take()
        else:
            super().keyPressEvent(event)

    def _take_earlier(self, reason: str) -> None:
        self.field.setText(reason)
        self.take()
