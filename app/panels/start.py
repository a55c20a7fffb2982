"""The start sheet: a ruled sheet with one sentence and what to begin with."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app import theme
from app.panels.words import Line, Word, as_tip, clear_layout
from app.theme import Style

RULE_PITCH = 32
MOST_RECENT = 5
INDENT = 3
"""Logical pixels that words to press leave free at their left."""


class StartSheet(QWidget):
    """Samples to try, a project to open, and the files of before."""

    new_asked = Signal()
    open_asked = Signal()
    sample_asked = Signal(str)
    file_asked = Signal(str)

    def __init__(self, style: Style, samples: Sequence[tuple[str, str, str]], parent: QWidget | None = None) -> None:
        """`samples`: key, name and what each shows."""
        super().__init__(parent)
        self._style = style
        self.setAccessibleName(self.tr("Start"))
        column = QVBoxLayout(self)
        column.setContentsMargins(96, 3 * RULE_PITCH, 48, 0)
        column.setSpacing(0)
        head = Line(style, self.tr("Open a bay, and see whether anything in it touches anything."), size=theme.SENTENCE)
        self._open = Word(style, self.tr("Open a project"), key="Ctrl+O", size=theme.HEAD)
        self._open.clicked.connect(self.open_asked)
        self._new = Word(style, self.tr("Begin a new project"), key="Ctrl+N", size=theme.HEAD)
        self._new.clicked.connect(self.new_asked)
        rows: list[QWidget] = [head, QWidget(), _row(self._new), _row(self._open), QWidget()]
        if samples:
            rows.append(Line(style, self.tr("Or try a sample:"), tone="quiet"))
        rows += [self._sample(*sample) for sample in samples]
        for row in rows:
            row.setFixedHeight(RULE_PITCH)
            if isinstance(row, Line):
                row.setIndent(INDENT)
            column.addWidget(row)
        self._recent = QWidget()
        recent = QVBoxLayout(self._recent)
        recent.setContentsMargins(0, RULE_PITCH, 0, 0)
        recent.setSpacing(0)
        column.addWidget(self._recent)
        column.addStretch(1)

    def show_recent(self, files: Sequence[str]) -> None:
        """Offer the files of before that still exist."""
        clear_layout(self._recent)
        layout = self._recent.layout()
        there = [file for file in files if Path(file).is_file()][:MOST_RECENT]
        self._recent.setVisible(bool(there))
        if layout is None or not there:
            return
        head = Line(self._style, self.tr("Or go on with:"), tone="quiet")
        head.setFixedHeight(RULE_PITCH)
        head.setIndent(INDENT)
        layout.addWidget(head)
        for file in there:
            word = Word(self._style, Path(file).name)
            word.setToolTip(as_tip(file))
            word.clicked.connect(lambda _on=False, file=file: self.file_asked.emit(file))
            row = _row(word)
            row.setFixedHeight(RULE_PITCH)
            layout.addWidget(row)

    def first(self) -> QWidget:
        """What has the keyboard at first."""
        return self._open

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._style.board))
        painter.setPen(QColor(self._style.grid_ten))
        for y in range(RULE_PITCH, self.height(), RULE_PITCH):
            painter.drawLine(0, y, self.width(), y)
        painter.setPen(QColor(self._style.breach_text))
        painter.drawLine(72, 0, 72, self.height())

    def _sample(self, key: str, name: str, shows: str) -> QWidget:
        word = Word(self._style, name)
        word.setMinimumWidth(140)
        word.setAccessibleDescription(shows)
        word.clicked.connect(lambda: self.sample_asked.emit(key))
        return _row(word, Line(self._style, shows, tone="quiet"))


def _row(word: Word, line: Line | None = None) -> QWidget:
    row = QWidget()
    across = QHBoxLayout(row)
    across.setContentsMargins(0, 0, 0, 0)
    across.setSpacing(12)
    across.addWidget(word)
    if line is None:
        across.addStretch(1)
    else:
        across.addWidget(line, 1)
    return row
