"""Asks one thing, in a sentence or two, with words as answers. It opens over the window and never stops the program."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from app import theme
from app.palette import palette_of
from app.panels.words import Line, Word
from app.theme import Style

WIDTH = 480
LEAVE = "leave"
"""The answer of Esc, and of closing: nothing is done."""


class Question(QDialog):
    """`answered` tells the key of the answer, once; Esc tells `LEAVE`. It goes by itself."""

    answered = Signal(str)

    def __init__(self, style: Style, head: str, sentences: Sequence[str], answers: Sequence[tuple[str, str]], parent: QWidget) -> None:
        """`answers`: key and words of each, the first of them on Enter."""
        super().__init__(parent)
        self.setWindowTitle(head)
        self.setAccessibleName(head)
        self.setPalette(palette_of(style))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._told = False
        self.sentences = tuple(sentences)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 12)
        column.setSpacing(8)
        column.addWidget(Line(style, head, size=theme.HEAD, weight=theme.MEDIUM))
        for sentence in sentences:
            line = Line(style, sentence, wrap=True)
            line.setTextFormat(Qt.TextFormat.PlainText)
            column.addWidget(line)
        row = QHBoxLayout()
        row.setContentsMargins(0, 8, 0, 0)
        row.setSpacing(16)
        self._words = {key: Word(style, words, key="Enter" if number == 0 else "") for number, (key, words) in enumerate(answers)}
        for key, word in self._words.items():
            word.clicked.connect(lambda _on=False, key=key: self._answer(key))
            row.addWidget(word)
        row.addStretch(1)
        column.addLayout(row)
        self.setFixedWidth(WIDTH)
        self.finished.connect(self._leave)
        self._first = next(iter(self._words.values()))

    def ask(self) -> None:
        """Open over the window."""
        self.open()
        self._first.setFocus()

    def word(self, key: str) -> Word:
        """The word of an answer."""
        return self._words[key]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._answer(next((key for key, word in self._words.items() if word.hasFocus()), next(iter(self._words))))
        else:
            super().keyPressEvent(event)

    def _answer(self, key: str) -> None:
        if not self._told:
            self._told = True
            self.hide()
            self.answered.emit(key)
            self.close()

    def _leave(self) -> None:
        if not self._told:
            self._told = True
            self.answered.emit(LEAVE)
