"""Pages one below the other, as wide as there is room or enlarged; only those in view are asked for and kept."""

from collections.abc import Sequence

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QImage, QKeyEvent, QPainter, QPaintEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractScrollArea, QFrame

from app import theme
from app.jobs.file_ask import PageImage
from app.panels.scroll import ThinBar
from app.panels.words import paint_focus
from app.theme import Style

BETWEEN = 16
LEAST_ZOOM, MOST_ZOOM, STEP = 0.25, 4.0, 1.25
PAPER = "#ffffff"
"""Pages are white in both themes: they are shown as they will be printed."""
SIZE_AT_FIT = 1.0
WIDEST = 3000
"""Device pixels that a page is rendered wide at most; wider ones are enlarged: an image of more would take 100 MB and hold up a turn."""

Size = tuple[float, float]


class Pages(QAbstractScrollArea):
    """Shows page images of a file. `wanted` asks for pages: numbers with their widths in device pixels."""

    wanted = Signal(object)
    zoomed = Signal()

    def __init__(self, style: Style) -> None:
        super().__init__()
        self._style = style
        self._sizes: tuple[Size, ...] = ()
        self._images: dict[int, tuple[int, QImage, bytes]] = {}
        self.zoom = SIZE_AT_FIT
        """Width of a page as a share of the room there is."""
        self.setVerticalScrollBar(ThinBar(style))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.tr("Pages of the file"))
        self.verticalScrollBar().valueChanged.connect(self._scrolled)
        self.horizontalScrollBar().valueChanged.connect(self._scrolled)

    def show_file(self, sizes: Sequence[Size]) -> None:
        """Show a file's pages, sizes in mm. The images shown stay until new ones come, so that a change does not flash."""
        if tuple(sizes) != self._sizes:
            self._images.clear()
        self._sizes = tuple(sizes)
        self.setAccessibleDescription(self.tr("{number} pages").format(number=len(sizes)))
        self._arrange()
        self._ask(anew=True)

    def take(self, image: PageImage) -> None:
        """Show an image of a page."""
        rows = QImage(image.data, image.width, image.height, image.stride, QImage.Format.Format_RGB32)
        # The image does not own the bytes it was given, so they are kept beside it: a copy would take as long as a slow turn.
        self._images[image.number] = (image.width, rows, image.data)
        self.viewport().update()

    def shown(self) -> frozenset[int]:
        """The pages there are images of."""
        return frozenset(self._images)

    def set_zoom(self, zoom: float) -> None:
        """Show pages so wide, as a share of the room there is; what is at the top stays there."""
        place = self.verticalScrollBar().value() / max(self._height(), 1)
        self.zoom = min(max(zoom, LEAST_ZOOM), MOST_ZOOM)
        self._arrange()
        self.verticalScrollBar().setValue(round(place * self._height()))
        self._ask()
        self.zoomed.emit()

    def whole(self) -> float:
        """The zoom at which the first page is seen whole, at most that at which it fits across."""
        if not self._sizes:
            return SIZE_AT_FIT
        width, height = self._sizes[0]
        across, up = max(self.viewport().width() - 2 * BETWEEN, 1), max(self.viewport().height() - 2 * BETWEEN, 1)
        return min(SIZE_AT_FIT, up * width / (height * across))

    def set_style(self, style: Style) -> None:
        self._style = style
        self.viewport().update()

    def areas(self) -> tuple[QRect, ...]:
        """Where the pages are, logical pixels from the top left of all of them."""
        areas, top = [], BETWEEN
        for width, height in self._sizes:
            shown = QSize(self._width(), round(self._width() * height / width))
            areas.append(QRect(max((self.viewport().width() - shown.width()) // 2, BETWEEN), top, shown.width(), shown.height()))
            top += shown.height() + BETWEEN
        return tuple(areas)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar, key = self.verticalScrollBar(), event.key()
        steps = {
            Qt.Key.Key_Down: bar.singleStep(),
            Qt.Key.Key_Up: -bar.singleStep(),
            Qt.Key.Key_PageDown: bar.pageStep(),
            Qt.Key.Key_Space: bar.pageStep(),
            Qt.Key.Key_PageUp: -bar.pageStep(),
            Qt.Key.Key_Home: -bar.maximum(),
            Qt.Key.Key_End: bar.maximum(),
        }
        if key in steps:
            bar.setValue(bar.value() + steps[Qt.Key(key)])
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.set_zoom(self.zoom * STEP)
        elif key == Qt.Key.Key_Minus:
            self.set_zoom(self.zoom / STEP)
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.set_zoom(self.zoom * STEP ** (event.angleDelta().y() / 120))
        else:
            super().wheelEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()
        self._ask()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        painter.fillRect(self.viewport().rect(), QColor(self._style.grid_ten))
        painter.translate(-self.horizontalScrollBar().value(), -self.verticalScrollBar().value())
        for number, area in enumerate(self.areas()):
            if number in self._images:
                painter.drawImage(area, self._images[number][1])
            else:
                painter.fillRect(area, QColor(PAPER))
            painter.setPen(QColor(self._style.rule))
            painter.drawRect(area.adjusted(-1, -1, 0, 0))
        painter.resetTransform()
        paint_focus(painter, self, self._style, self.viewport().rect())

    def _scrolled(self) -> None:
        self._ask()
        self.viewport().update()

    def _width(self) -> int:
        return max(round((self.viewport().width() - 2 * BETWEEN) * self.zoom), 1)

    def _height(self) -> int:
        areas = self.areas()
        return areas[-1].bottom() + BETWEEN if areas else 0

    def _arrange(self) -> None:
        view, bar, across = self.viewport(), self.verticalScrollBar(), self.horizontalScrollBar()
        bar.setRange(0, max(self._height() - view.height(), 0))
        bar.setPageStep(view.height())
        bar.setSingleStep(4 * theme.MARGIN)
        across.setRange(0, max(self._width() + 2 * BETWEEN - view.width(), 0))
        across.setPageStep(view.width())
        across.setSingleStep(4 * theme.MARGIN)
        view.update()

    def _ask(self, *, anew: bool = False) -> None:
        """Ask for the pages in view and the next one that are not there in this width; let those far away go."""
        if not self.isVisible():
            return
        view = self.viewport().rect().translated(0, self.verticalScrollBar().value())
        near = [number for number, area in enumerate(self.areas()) if area.intersects(view)]
        if not near:
            return
        near += [near[-1] + 1] if near[-1] + 1 < len(self._sizes) else []
        self._images = {number: image for number, image in self._images.items() if near[0] - 2 <= number <= near[-1] + 2}
        width = min(round(self._width() * self.devicePixelRatioF()), WIDEST)
        lacking = [(number, width) for number in near if anew or self._images.get(number, (0,))[0] != width]
        if lacking:
            self.wanted.emit(lacking)
