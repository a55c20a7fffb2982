"""A slip of paper with sentences: the answer to "Why?", the pairs that are not checked, what a refused file says."""

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QTextBrowser, QVBoxLayout, QWidget

from app import theme
from app.panels.scroll import ThinBar
from app.panels.words import Word
from app.theme import Style

WIDTH = 520
MOST_HEIGHT = 420


class Slip(QFrame):
    """Opens over the window and goes with Esc, with its "Done", or with a click elsewhere."""

    def __init__(self, style: Style, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Popup)
        self.setFrameShape(QFrame.Shape.Box)
        self._text = QTextBrowser()
        self._text.setFrameShape(QFrame.Shape.NoFrame)
        self._text.setFont(theme.font(theme.TEXT))
        self._text.setVerticalScrollBar(ThinBar(style))
        self._text.viewport().setAutoFillBackground(False)
        self._done = Word(style, self.tr("Done"), key="Esc")
        self._done.clicked.connect(self.hide)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 10, 12, 8)
        column.addWidget(self._text, 1)
        column.addWidget(self._done, 0, Qt.AlignmentFlag.AlignRight)

    def tell(self, head: str, sentences: Sequence[str], window: QWidget) -> None:
        """Open over the foot of `window` with a head and a paragraph for each sentence."""
        paragraphs = "".join(f"<p style='margin:4px 0'>{escape(sentence)}</p>" for sentence in sentences)
        self._text.setHtml(f"<p style='font-size:{theme.HEAD}px; font-weight:600; margin:0 0 6px 0'>{escape(head)}</p>{paragraphs}")
        self._text.setAccessibleName(head)
        self._text.document().setTextWidth(WIDTH - 40)
        self.setFixedSize(WIDTH, min(int(self._text.document().size().height()) + 64, MOST_HEIGHT))
        corner = window.mapToGlobal(QPoint(theme.MARGIN, window.height() - 228 - 42 - self.height() - 6))
        self.move(corner)
        self.show()
        self._text.setFocus()

    def words(self) -> str:
        """What stands on it."""
        return self._text.toPlainText()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.hide()
        else:
            super().keyPressEvent(event)
