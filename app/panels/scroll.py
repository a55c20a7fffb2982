"""A scroll area with a thin bar: a line that shows how much there is, and nothing that draws the eye."""

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QScrollBar, QWidget

from app.theme import Style

WIDTH, LINE = 10, 4
LEAST_HANDLE = 24.0


class ThinBar(QScrollBar):
    """Paints its handle alone, and only where there is something to scroll."""

    def __init__(self, style: Style) -> None:
        super().__init__(Qt.Orientation.Vertical)
        self._style = style

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(WIDTH, 40)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), self.palette().window())
        room = self.maximum() - self.minimum()
        if room <= 0:
            return
        handle = max(LEAST_HANDLE, self.height() * self.pageStep() / (room + self.pageStep()))
        top = (self.height() - handle) * (self.value() - self.minimum()) / room
        colour = self._style.quiet_text if self.underMouse() or self.isSliderDown() else self._style.rule
        painter.fillRect(QRectF(self.width() - LINE - 1, top, LINE, handle), QColor(colour))


class Scroll(QScrollArea):
    """Scrolls `inner` up and down; as wide as there is room."""

    def __init__(self, style: Style, inner: QWidget) -> None:
        super().__init__()
        self.setVerticalScrollBar(ThinBar(style))
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(inner)

    def offer_bar(self, *, fits: bool) -> None:
        """Have no bar where all fits without one: with it words that wrap take more lines, and so it would stay for good."""
        policy = Qt.ScrollBarPolicy.ScrollBarAlwaysOff if fits else Qt.ScrollBarPolicy.ScrollBarAsNeeded
        if policy != self.verticalScrollBarPolicy():
            self.setVerticalScrollBarPolicy(policy)


class LinesScroll(Scroll):
    """Scrolls lines of text, all of one height, and shows whole ones: none is cut through at its foot."""

    def __init__(self, style: Style, inner: QWidget) -> None:
        super().__init__(style, inner)
        # As words that wrap are set: not the font's own spacing, which is less by what is rounded.
        one = QFontMetrics(inner.font()).boundingRect(QRect(0, 0, 100, 100), Qt.TextFlag.TextWordWrap, "x")
        self._line, self._left = one.height(), 0
        self.verticalScrollBar().setSingleStep(self._line)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        left = self.height() % self._line
        if left != self._left:
            self._left = left
            self.setViewportMargins(0, 0, 0, left)
