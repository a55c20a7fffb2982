"""The sentence: the verdict in words a person believes, full width under the board, with "Why?" behind it."""

from html import escape
from typing import Literal

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from app import theme
from app.panels.words import Tone, Word, as_tip, tone_colour
from app.theme import Style
from app.timeline.cells import paint_cell, paint_undecided

HEIGHT = 42
SIZES = (theme.SENTENCE, 17, theme.HEAD, theme.TEXT, theme.DATA, theme.RULER)
SWATCH = (10, 20)

Kind = Literal["breach", "undecided", "clear", "working", "plain"]
_TONES: dict[Kind, Tone] = {"breach": "breach", "clear": "proved"}


class SentenceBar(QWidget):
    """One sentence, set as large as it fits. Its mark is hatched for a breach, dotted while not decided."""

    why_asked = Signal()

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._kind: Kind = "plain"
        self._text = ""
        self.setFixedHeight(HEIGHT)
        self.setAccessibleName(self.tr("The sentence"))
        self._label = QLabel()
        self._label.setTextFormat(Qt.TextFormat.RichText)
        self._label.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._label.setAlignment(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
        self._why = Word(style, self.tr("Why?"), key="W", tone="quiet")
        self._why.clicked.connect(self.why_asked)
        row = QHBoxLayout(self)
        row.setContentsMargins(theme.MARGIN + SWATCH[0] + 6, 0, theme.RHYTHM, 0)
        row.addWidget(self._label, 1)
        row.addWidget(self._why)

    def say(self, text: str, kind: Kind) -> None:
        """Show a sentence of one kind."""
        self._text, self._kind = text, kind
        self._label.setAccessibleName(text)
        self._label.setToolTip("")
        self._why.setVisible(kind in ("breach", "undecided", "clear"))
        self._set()
        self.update()

    def text(self) -> str:
        """The sentence shown."""
        return self._text

    def why_place(self) -> QWidget:
        """The word that the answer to "Why?" opens at."""
        return self._why

    def set_style(self, style: Style) -> None:
        self._style = style
        self._set()
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._set()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._style.panel))
        painter.fillRect(0, 0, self.width(), 1, QColor(self._style.ink))
        painter.fillRect(0, self.height() - 1, self.width(), 1, QColor(self._style.ink))
        area = QRectF(theme.MARGIN, (self.height() - SWATCH[1]) / 2, *SWATCH)
        if self._kind == "breach":
            paint_cell(painter, self._style, area, 6)
        elif self._kind in ("undecided", "working"):
            painter.fillRect(area, QColor(self._style.heat[0]))
            paint_undecided(painter, self._style, area)
        elif self._kind == "clear":
            painter.fillRect(area, QColor(self._style.heat[0]))
            painter.fillRect(QRectF(area.left(), area.top(), 2, area.height()), QColor(self._style.proved_text))

    def _set(self) -> None:
        """Choose the largest size that fits: on one line, on two from a head's size down, on three below text's."""
        width = max(self._room(), 1)
        for size in SIZES:
            font = theme.font(size)
            metrics = QFontMetrics(font)
            lines = 1 if size > theme.HEAD else 2 if size >= theme.TEXT else 3
            used = metrics.boundingRect(QRect(0, 0, int(width * 0.97), 1000), Qt.TextFlag.TextWordWrap, self._text)
            if used.height() <= metrics.lineSpacing() * lines + 1 and used.height() <= HEIGHT - 2:
                break
        else:
            self._label.setToolTip(as_tip(self._text))
        self._label.setFont(font)
        self._label.setWordWrap(lines > 1)
        self._label.setText(self._marked_up())

    def _room(self) -> int:
        taken = self._why.sizeHint().width() + theme.RHYTHM if self._why.isVisibleTo(self) else 0
        return self.width() - theme.MARGIN - SWATCH[0] - 6 - theme.RHYTHM - taken

    def _marked_up(self) -> str:
        head, mark, rest = self._text.partition(":")
        if not mark or self._kind not in ("breach", "undecided", "clear") or len(head) > 24:
            return escape(self._text)
        colour = tone_colour(self._style, _TONES.get(self._kind, "ink")).name()
        return f'<span style="color:{colour}; font-weight:600">{escape(head)}:</span>{escape(rest)}'
