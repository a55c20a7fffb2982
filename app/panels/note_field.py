"""A note, written in its place: Enter or leaving takes it, Shift+Enter begins a line, Esc puts the old one back."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QFrame, QPlainTextEdit, QSizePolicy

from app import theme
from app.panels.scroll import ThinBar
from app.theme import Style

MOST_LINES = 6
AIR = 8
"""Logical pixels above and below the text, together."""


class NoteField(QPlainTextEdit):
    """`taken` tells what it is about and a note that differs from the one before, without white space at its ends."""

    taken = Signal(object, str)

    def __init__(self, style: Style, what: str, note: str, *, about: object) -> None:
        """`what` it is a note on, in words, shown while it is empty."""
        super().__init__()
        self._about = about
        self._note = note
        self.setVerticalScrollBar(ThinBar(style))
        self.setAccessibleName(what)
        self.setPlaceholderText(what)
        self.setFont(theme.font(theme.TEXT))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.document().setDocumentMargin(3)
        self.setPlainText(note)
        self.textChanged.connect(self._fit)
        self.set_style(style)
        self._fit()

    def show_note(self, note: str) -> None:
        """Show another note, unless one is being written."""
        if note == self._note:
            return
        writing = self.toPlainText() != self._note
        self._note = note
        if not writing:
            self.setPlainText(note)

    def set_style(self, style: Style) -> None:
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.Base, QColor(style.board))
        palette.setColor(QPalette.ColorRole.Text, QColor(style.ink))
        palette.setColor(QPalette.ColorRole.PlaceholderText, QColor(style.quiet_text))
        self.setPalette(palette)
        self._style = style

    def sizeHint(self) -> QSize:
        return QSize(200, self.height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not shift:
            self._take()
        elif event.key() == Qt.Key.Key_Escape:
            self.setPlainText(self._note)
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """What was written is not lost by a click elsewhere."""
        super().focusOutEvent(event)
        self._take()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self.hasFocus():
            painter = QPainter(self.viewport())
            painter.setPen(QColor(self._style.focus))
            painter.drawRect(self.viewport().rect().adjusted(0, 0, -1, -1))

    def _take(self) -> None:
        written = self.toPlainText().strip()
        if written != self._note:
            self._note = written
            self.taken.emit(self._about, written)

    def _fit(self) -> None:
        """As high as its lines, up to some; then it scrolls."""
        lines = min(max(round(self.document().size().height()), 1), MOST_LINES)
        height = lines * QFontMetrics(self.font()).lineSpacing() + AIR
        if height != self.height():
            self.setFixedHeight(height)
