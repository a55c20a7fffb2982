"""What is selected, at the head of the side panel: a body or a pair as sentences with its numbers."""

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app import theme
from app.panels.number_sentence import NumberSentence
from app.panels.scroll import Scroll
from app.panels.unbroken import unbroken
from app.panels.words import Line
from app.theme import Style

TOLD_SHARE = 0.3
"""The share of the panel's height that words have before they scroll where others need room too."""


class Tint(QWidget):
    """A small square in a body's colour; hatched with its outline alone for a fixed body."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._colour: str | None = None
        self.setFixedSize(14, 14)

    def show_colour(self, colour: str | None) -> None:
        """Show a tint, or None for a fixed body."""
        self._colour = colour
        self.update()

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        area = self.rect().adjusted(1, 1, -2, -2)
        if self._colour:
            painter.fillRect(area, QColor(self._colour))
        painter.setPen(QPen(QColor(self._style.ink), 1.0))
        painter.drawRect(area)
        if not self._colour:
            painter.drawLine(area.bottomLeft(), area.topRight())


class _AsHighAsTold(Scroll):
    """Words that wrap, as high as they are where there is room; they scroll where there is not."""

    def __init__(self, style: Style, told: Line) -> None:
        super().__init__(style, told)
        # Its least height is none of what it takes at another width: the bar would come where all fits.
        policy = told.sizePolicy()
        policy.setVerticalPolicy(QSizePolicy.Policy.Preferred)
        told.setSizePolicy(policy)
        self._told = told
        self.least = 0
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)

    def sizeHint(self) -> QSize:
        return QSize(120, self._told.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:
        return QSize(120, min(self.sizeHint().height(), self.least))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.offer_bar(fits=self.height() >= self.sizeHint().height())
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()


class Selected(QWidget):
    """Head, what kind it is, and its sentences; a line says what to do while nothing is selected."""

    changed_size = Signal()

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._of: tuple[str | bool | None, ...] = ()
        self._high = (False, 0)
        self._head = Line(style, size=theme.HEAD, weight=theme.SEMIBOLD)
        self._kind = Line(style, size=theme.DATA, tone="quiet")
        self._kind.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._tint = Tint(style)
        self._told = Line(style, size=theme.TEXT, wrap=True)
        self._told.setTextFormat(Qt.TextFormat.RichText)
        self._told.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.numbers = NumberSentence(style)
        self.setAccessibleName(self.tr("What is selected"))
        row = QHBoxLayout()
        row.setSpacing(6)
        row.addWidget(self._head, 1)
        row.addWidget(self._tint)
        row.addWidget(self._kind)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(row)
        column.addWidget(self.numbers)
        self._scroll = _AsHighAsTold(style, self._told)
        column.addWidget(self._scroll)

    def show_selected(self, head: str, kind: str, *, tint: str | None, tinted: bool, sentences: Sequence[str]) -> None:
        """Tell what is selected; rich text sentences."""
        of = (head, kind, tint, tinted, *sentences)
        if of == self._of:
            return
        self._of = of
        self._head.say(head)
        self._kind.say(kind)
        self._kind.setFixedWidth(self._kind.sizeHint().width())
        self._tint.show_colour(tint)
        self._tint.setVisible(tinted)
        self._told.say("<br>".join(map(unbroken, sentences)))
        self._scroll.setVisible(bool(sentences))
        # A layout tells the one around it of another least size, but not of another height for the same width.
        high = (bool(sentences), self._scroll.sizeHint().height())
        if high != self._high:  # words of the same height lay nothing out anew: they follow a hand that drags
            self._high = high
            self._scroll.updateGeometry()
            self.updateGeometry()

    def set_room(self, height: int) -> None:
        """How high the panel is, logical pixels."""
        self._scroll.least = round(TOLD_SHARE * height)
        self._scroll.updateGeometry()

    def head(self) -> str:
        """The name of what is selected."""
        return self._head.whole()
