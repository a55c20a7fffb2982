"""A scroll area with a thin bar: a line that shows how much there is, and nothing that draws the eye."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Protocol, runtime_checkable

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import QColor, QLinearGradient, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QFrame, QLabel, QLineEdit, QScrollArea, QScrollBar, QWidget

from app.panels.words import line_height
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
    """Covers a line that is cut through at an edge; where there is no whole one, what goes on beyond the edge fades."""

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
    """Scrolls `inner` up and down; as wide as there is room. No line of text is cut through at its edges."""

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
        self._changing = False
        self._later = QTimer(self, interval=0, singleShot=True)
        self._later.timeout.connect(self._fit_inner)
        # In a turn of its own, when what is inside has come to its places.
        self._placed = QTimer(self, interval=0, singleShot=True)
        self._placed.timeout.connect(self.place_edges)
        bar = self.verticalScrollBar()
        for changed in (bar.valueChanged, bar.rangeChanged):
            changed.connect(self.place_edges)
        bar.rangeChanged.connect(lambda *_: self._placed.start())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.place_edges()
        self._placed.start()

    def fit_soon(self, *, ms: int = 0) -> None:
        """What is inside has been built anew: see in the next turn, or in one `ms` later, that it has the height it needs.

        While it was built, its parts were not shown yet and took no room; what they take when they are is not always told on.
        """
        self._later.start(ms)

    @contextmanager
    def placing_edges_once(self) -> Iterator[None]:
        """What is inside is changed in several ways: its edges are placed after the last of them."""
        self._changing = True
        try:
            yield
        finally:
            self._changing = False
            self.place_edges()

    def _fit_inner(self) -> None:
        layout = self._inner.layout()
        if layout is not None:
            layout.activate()
        if self._inner.heightForWidth(self._inner.width()) > self._inner.height():
            QCoreApplication.sendEvent(self.viewport(), QEvent(QEvent.Type.LayoutRequest))
        self._placed.start()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """What is inside comes to other places, also where all of it stays as high as it was."""
        if event.type() == QEvent.Type.LayoutRequest:
            self._placed.start()
        return super().eventFilter(watched, event)

    def place_edges(self) -> None:
        """Put the edges where something goes on; whoever moves what is inside, and not the bar, calls it."""
        if self._changing:
            return
        bar, seen = self.verticalScrollBar(), self.viewport().geometry()
        ways = (bar.value() - bar.minimum(), bar.maximum() - bar.value())
        cut = self._cut_through(bar.value(), bar.value() + seen.height()) if max(ways) > 0 else None
        for low, (edge, more) in enumerate(zip(self._edges, ways, strict=True)):
            high = min(self.FADE, seen.height() // 2) if cut is None else cut[low]
            edge.setGeometry(seen.left(), seen.bottom() + 1 - high if low else seen.top(), seen.width(), high)
            edge.cover(whole=cut is not None)
            edge.setVisible(more > 0 and high > 0)

    def _cut_through(self, top: int, foot: int) -> tuple[int, int] | None:
        """Logical pixels at the upper and lower edge, at heights of `inner`, that show a part of a line; None where none is whole."""
        lines = self._lines(top, foot)
        upper, lower, before = top, foot, None
        while before != (upper, lower):  # what covers a line may cut through one beside it
            before = (upper, lower)
            upper = max((end for begin, end in lines if begin < before[0] < end), default=upper)
            lower = min((begin for begin, end in lines if begin < before[1] < end), default=lower)
        return (upper - top, foot - lower) if any(upper <= begin and end <= lower for begin, end in lines) else None

    def _lines(self, top: int, foot: int) -> list[tuple[int, int]]:
        """Where lines of text begin and end that are seen between two heights of `inner`."""
        return list(_lines_between(self._inner, 0, top, foot))

    def offer_bar(self, *, fits: bool) -> None:
        """Have no bar where all fits without one: with it words that wrap take more lines, and so it would stay for good."""
        policy = Qt.ScrollBarPolicy.ScrollBarAlwaysOff if fits else Qt.ScrollBarPolicy.ScrollBarAsNeeded
        if policy != self.verticalScrollBarPolicy():
            self.setVerticalScrollBarPolicy(policy)


def _lines_between(widget: QWidget, at: int, top: int, foot: int) -> Iterator[tuple[int, int]]:
    """Of what is in a widget that begins at a height, only what is seen between two others is asked: there may be hundreds of names."""
    if at + widget.height() <= top or at >= foot:
        return
    yield from ((at + begin, at + end) for begin, end in text_lines(widget))
    for child in widget.children():
        if isinstance(child, QWidget) and not child.isHidden():
            yield from _lines_between(child, at + child.y(), top, foot)


@runtime_checkable
class Lined(Protocol):
    """A widget that writes lines of text itself."""

    def lines(self) -> Sequence[tuple[int, int]]:
        """Where each begins and ends, logical pixels from the widget's upper edge."""
        ...


def text_lines(widget: QWidget) -> Sequence[tuple[int, int]]:
    """Where the lines of text in a widget begin and end, logical pixels from its upper edge; none in what only holds others.

    A field to write in is seen with its frame.
    """
    if _is_lined(type(widget)) and isinstance(widget, Lined):
        return widget.lines()
    if isinstance(widget, QLabel) and (widget.wordWrap() or "\n" in widget.text()):
        box, one = widget.contentsRect(), line_height(widget.font())
        count = max(round(box.height() / one), 1)
        return [(box.top() + box.height() * place // count, box.top() + box.height() * (place + 1) // count) for place in range(count)]
    if isinstance(widget, QLineEdit):
        return [(0, widget.height())]
    if isinstance(widget, QLabel | QAbstractButton):
        high = min(line_height(widget.font()), widget.height())
        return [((widget.height() - high) // 2, (widget.height() + high) // 2)]
    return ()


_LINED: dict[type, bool] = {}


def _is_lined(kind: type) -> bool:
    """Asked of each kind of widget once: of a protocol it takes long, and there are many widgets."""
    if kind not in _LINED:
        _LINED[kind] = issubclass(kind, Lined)
    return _LINED[kind]
