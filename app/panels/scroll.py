"""A scroll area with a thin bar: a line that shows how much there is, and nothing that draws the eye."""

from PySide6.QtCore import QCoreApplication, QEvent, QRect, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import QColor, QFontMetrics, QLinearGradient, QPainter, QPaintEvent, QResizeEvent
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


class _Edge(QWidget):
    """Lets what goes on beyond an edge fade, so that a line cut through there is seen to go on."""

    def __init__(self, over: QWidget, *, low: bool) -> None:
        super().__init__(over)
        self._low = low
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def paintEvent(self, _event: QPaintEvent) -> None:
        ground = self.palette().window().color()
        clear = QColor(ground)
        clear.setAlpha(0)
        fade = QLinearGradient(0.0, 0.0, 0.0, float(self.height()))
        fade.setColorAt(0.0, clear if self._low else ground)
        fade.setColorAt(1.0, ground if self._low else clear)
        QPainter(self).fillRect(self.rect(), fade)


class Scroll(QScrollArea):
    """Scrolls `inner` up and down; as wide as there is room. What goes on above or below fades there."""

    FADE = 10
    """Logical pixels."""

    def __init__(self, style: Style, inner: QWidget) -> None:
        super().__init__()
        self.setVerticalScrollBar(ThinBar(style))
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inner = inner
        self.setWidget(inner)
        self._edges = _Edge(self, low=False), _Edge(self, low=True)
        self._later = QTimer(self, interval=0, singleShot=True)
        self._later.timeout.connect(self._fit_inner)
        bar = self.verticalScrollBar()
        for changed in (bar.valueChanged, bar.rangeChanged):
            changed.connect(self._place_edges)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place_edges()

    def fit_soon(self) -> None:
        """What is inside has been built anew: see in the next turn that it has the height it needs.

        While it was built, its parts were not shown yet and took no room; what they take when they are is not always told on.
        """
        self._later.start()

    def _fit_inner(self) -> None:
        layout = self._inner.layout()
        if layout is not None:
            layout.activate()
        if self._inner.heightForWidth(self._inner.width()) > self._inner.height():
            QCoreApplication.sendEvent(self.viewport(), QEvent(QEvent.Type.LayoutRequest))

    def _place_edges(self) -> None:
        bar, seen = self.verticalScrollBar(), self.viewport().geometry()
        high = min(self.FADE, seen.height() // 2)
        for edge, more in zip(self._edges, (bar.value() - bar.minimum(), bar.maximum() - bar.value()), strict=True):
            top = seen.top() if edge is self._edges[0] else seen.bottom() + 1 - high
            edge.setGeometry(seen.left(), top, seen.width(), high)
            edge.setVisible(more > 0 and high > 0)

    def offer_bar(self, *, fits: bool) -> None:
        """Have no bar where all fits without one: with it words that wrap take more lines, and so it would stay for good."""
        policy = Qt.ScrollBarPolicy.ScrollBarAlwaysOff if fits else Qt.ScrollBarPolicy.ScrollBarAsNeeded
        if policy != self.verticalScrollBarPolicy():
            self.setVerticalScrollBarPolicy(policy)


class LinesScroll(Scroll):
    """Scrolls lines of text, all of one height, and shows whole ones: none is cut through at its foot."""

    FADE = 0

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
