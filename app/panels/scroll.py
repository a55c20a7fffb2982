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
    """Lets what goes on beyond an edge fade, so that a line cut through there is seen to go on; or covers it, where that says nothing."""

    def __init__(self, over: QWidget, *, low: bool) -> None:
        super().__init__(over)
        self._low, self._whole = low, False
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.hide()

    def cover(self, *, whole: bool) -> None:
        """Cover what is there instead of letting it fade, if `whole`."""
        if whole != self._whole:
            self._whole = whole
            self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        ground = self.palette().window().color()
        if self._whole:
            QPainter(self).fillRect(self.rect(), ground)
            return
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
            changed.connect(self.place_edges)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.place_edges()

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

    def place_edges(self) -> None:
        """Put the edges where something goes on; whoever moves what is inside, and not the bar, calls it."""
        bar, seen = self.verticalScrollBar(), self.viewport().geometry()
        ways = (bar.value() - bar.minimum(), bar.maximum() - bar.value())
        for edge, more, sliver in zip(self._edges, ways, self.slivers(), strict=True):
            high = sliver or min(self.FADE, seen.height() // 2)
            top = seen.top() if edge is self._edges[0] else seen.bottom() + 1 - high
            edge.setGeometry(seen.left(), top, seen.width(), high)
            edge.cover(whole=sliver > 0)
            edge.setVisible(more > 0 and high > 0)

    def slivers(self) -> tuple[int, int]:
        """Logical pixels at the upper and at the lower edge that show so little of something that they are better covered."""
        return 0, 0

    def offer_bar(self, *, fits: bool) -> None:
        """Have no bar where all fits without one: with it words that wrap take more lines, and so it would stay for good."""
        policy = Qt.ScrollBarPolicy.ScrollBarAlwaysOff if fits else Qt.ScrollBarPolicy.ScrollBarAsNeeded
        if policy != self.verticalScrollBarPolicy():
            self.setVerticalScrollBarPolicy(policy)


class PartsScroll(Scroll):
    """Scrolls parts that stand under each other; one of which no line is seen whole at an edge is not seen there at all."""

    SLIVER = 20
    """Logical pixels: a part's margin and its first line."""

    def __init__(self, style: Style, inner: QWidget) -> None:
        super().__init__(style, inner)
        # In a turn of its own, when the parts have come to their places.
        self._placed = QTimer(self, interval=0, singleShot=True)
        self._placed.timeout.connect(self.place_edges)
        self.verticalScrollBar().rangeChanged.connect(lambda *_: self._placed.start())

    def slivers(self) -> tuple[int, int]:
        from_top, seen = self.verticalScrollBar().value(), self.viewport().height()
        upper = lower = 0
        for part in self._inner.findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly):
            top, end = part.y() - from_top, part.y() + part.height() - from_top
            if top < 0 < end < min(self.SLIVER, seen):
                upper = end
            if 0 < top < seen < end and seen - top < self.SLIVER:
                lower = seen - top
        return upper, lower


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
