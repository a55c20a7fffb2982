"""A slip of paper with sentences: the answer to "Why?", the pairs that are not checked, what a refused file says."""

import math
from collections.abc import Iterator, Sequence
from html import escape

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QKeyEvent, QTextDocument
from PySide6.QtWidgets import QFrame, QTextBrowser, QVBoxLayout, QWidget

from app import theme
from app.panels.scroll import ThinBar
from app.panels.sentence import HEIGHT as SENTENCE_HEIGHT
from app.panels.unbroken import unbroken
from app.panels.words import Word
from app.theme import Style
from app.timeline.view import HEIGHT as TIMELINE_HEIGHT

WIDTH = 520
MOST_HEIGHT = 520
ABOVE, BELOW = 4, 6
"""Logical pixels left to the window's top at least, and to the sentence below."""
FOOT = SENTENCE_HEIGHT + TIMELINE_HEIGHT
"""Logical pixels of the sentence and the timeline: what the answer is about stays in sight."""
SIDES, TOP, BOTTOM, APART = 12, 10, 8, 6


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
        column.setContentsMargins(SIDES, TOP, SIDES, BOTTOM)
        column.setSpacing(APART)
        column.addWidget(self._text, 1)
        column.addWidget(self._done, 0, Qt.AlignmentFlag.AlignRight)

    def tell(self, head: str, sentences: Sequence[str], window: QWidget) -> None:
        """Open over the foot of `window` with a head and a paragraph for each sentence."""
        paragraphs = "".join(f"<p style='margin:4px 0'>{escape(unbroken(sentence))}</p>" for sentence in sentences)
        self._text.setHtml(f"<p style='font-size:{theme.HEAD}px; font-weight:600; margin:0 0 6px 0'>{escape(head)}</p>{paragraphs}")
        self._text.setAccessibleName(head)
        rest = TOP + APART + self._done.sizeHint().height() + BOTTOM + 2 * self.frameWidth()
        self.setFixedSize(WIDTH, rest + self._height_within(min(MOST_HEIGHT, window.height() - FOOT - BELOW - ABOVE) - rest))
        self.move(window.mapToGlobal(QPoint(theme.MARGIN, window.height() - FOOT - BELOW - self.height())))
        self.show()
        self._text.setFocus()

    def words(self) -> str:
        """What stands on it."""
        return self._text.toPlainText()

    def _height_within(self, most: int) -> int:
        """Logical pixels that the text takes, `most` at most; where it takes more, as many as show whole lines."""
        # A copy: before it is shown the document takes the width of its unlaid view, whatever it is told.
        document, room = self._text.document().clone(), WIDTH - 2 * (SIDES + self.frameWidth())
        document.setTextWidth(room)
        whole = math.ceil(document.size().height())
        # With a bar words that wrap take more lines: where one stood it would stay for good.
        needed = Qt.ScrollBarPolicy.ScrollBarAlwaysOff if whole <= most else Qt.ScrollBarPolicy.ScrollBarAlwaysOn
        self._text.setVerticalScrollBarPolicy(needed)
        if whole <= most:
            return whole
        document.setTextWidth(room - self._text.verticalScrollBar().sizeHint().width())
        return max((foot for foot in _line_feet(document) if foot <= most), default=most)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.hide()
        else:
            super().keyPressEvent(event)


def _line_feet(document: QTextDocument) -> Iterator[int]:
    """Where each line of a document ends, from its top."""
    block = document.begin()
    while block.isValid():
        top, lines = document.documentLayout().blockBoundingRect(block).top(), block.layout()
        yield from (math.ceil(top + lines.lineAt(place).rect().bottom()) for place in range(lines.lineCount()))
        block = block.next()
