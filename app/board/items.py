"""What stands on the board: slabs of moving bodies, lines of what lies underneath, joint symbols, names, still layers.

Items know how to draw themselves in a frozen style and nothing else. They move by `put` alone; the
board's transform turns y up, so a rotation here is counter-clockwise.
"""

import math
from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPixmap, QTransform
from PySide6.QtWidgets import QGraphicsItem, QGraphicsView, QWidget

from app.board.paint import HALO, colour, draw_text, pen, qt_path
from app.board.piece import Piece
from app.theme import MEDIUM, TEXT, Style, font
from core.drawing.display_list import DisplayList, Fill, Paint, Stroke
from core.drawing.display_list import Text as DrawnText
from core.drawing.lines import LineClass
from core.drawing.path import Path
from core.drawing.slabs import Slab
from core.model.names import BodyName

EVERYWHERE = QRectF(-1e5, -1e5, 2e5, 2e5)
"""mm; more than any bay."""

_ROOM_FOR_PEN = 3.0
"""Logical pixels about an item's place that its widest pen takes, with a pixel for smooth edges."""

_ROOM_FOR_LINE = 2.0
"""Added about an outline for its line: mm of the section, or pixels of a symbol."""


class Standing:
    """The picture of an item at one place, so that it need not be drawn anew while others move before or behind it."""

    def __init__(self) -> None:
        self._seen: tuple[object, ...] = ()
        self._kept: tuple[QPixmap, QPointF] | None = None

    def forget(self) -> None:
        """The item looks otherwise."""
        self._seen, self._kept = (), None

    def show(self, painter: QPainter, window: QSize, bounds: QRectF, draw: Callable[[QPainter], None]) -> None:
        """Draw by the picture. window: logical pixels; bounds: mm."""
        there, ratio = painter.worldTransform(), painter.device().devicePixelRatio()
        seen = (*_numbers(there), window.width(), window.height(), ratio)
        if self._kept is None or seen != self._seen:
            reach = there.mapRect(bounds).adjusted(-_ROOM_FOR_PEN, -_ROOM_FOR_PEN, _ROOM_FOR_PEN, _ROOM_FOR_PEN)
            self._kept = _picture(there, reach.intersected(QRectF(0.0, 0.0, window.width(), window.height())), ratio, draw)
            self._seen = seen
        picture, corner = self._kept
        painter.resetTransform()
        painter.drawPixmap(corner, picture)
        painter.setWorldTransform(there)


def _numbers(transform: QTransform) -> tuple[float, ...]:
    return transform.m11(), transform.m12(), transform.m21(), transform.m22(), transform.dx(), transform.dy()


def _picture(there: QTransform, reach: QRectF, ratio: float, draw: Callable[[QPainter], None]) -> tuple[QPixmap, QPointF]:
    """What `draw` paints of `reach` (logical pixels), and its corner: on a whole pixel of the screen, so that no line is blurred."""
    left, top = math.floor(reach.left() * ratio), math.floor(reach.top() * ratio)
    picture = QPixmap(math.ceil(reach.right() * ratio) - left, math.ceil(reach.bottom() * ratio) - top)
    corner = QPointF(left / ratio, top / ratio)
    if not picture.isNull():
        picture.setDevicePixelRatio(ratio)
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setWorldTransform(there * QTransform.fromTranslate(-corner.x(), -corner.y()))
        draw(painter)
        painter.end()
    return picture, corner


class SlabItem(Piece):
    """A slab of a moving body: its tint and its outline."""

    def __init__(self, slab: Slab, tint: QColor) -> None:
        super().__init__()
        self.slab = slab
        self.fill = qt_path(slab.fills)
        self.lines = qt_path((slab.lines,))
        self._bounds = self.fill.boundingRect().adjusted(-_ROOM_FOR_LINE, -_ROOM_FOR_LINE, _ROOM_FOR_LINE, _ROOM_FOR_LINE)
        self._looks: tuple[Paint, Style, LineClass] | None = None
        self._brush = QBrush(tint)
        self._pen = pen("wide", tint)
        self._standing = Standing()

    def dress(self, paint: Paint, style: Style, line: LineClass) -> None:
        """Give the item its colours and line."""
        if self._looks is not None and self._looks[1] is style and (paint, line) == (self._looks[0], self._looks[2]):
            return
        self._looks = (paint, style, line)
        self._brush, self._pen = QBrush(colour(paint, style)), pen(line, QColor(style.ink))
        self._standing.forget()
        self.touch()

    def boundingRect(self) -> QRectF:
        return self._bounds

    def draw(self, painter: QPainter, widget: QWidget, *, lasting: bool) -> None:
        if lasting:
            self._standing.show(painter, widget.size(), self._bounds, self._draw)
        else:
            self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        painter.fillPath(self.fill, self._brush)
        painter.strokePath(self.lines, self._pen)


class LineItem(Piece):
    """Outlines without a fill: what passes underneath (dashed), a hovered pose (dashed), ends of travel."""

    def __init__(self, path: Path, line: LineClass, ink: QColor) -> None:
        super().__init__()
        self._path = qt_path((path,))
        self._line = line
        self._pen = pen(line, ink)
        self._standing = Standing()
        self._bounds = self._path.boundingRect().adjusted(-_ROOM_FOR_LINE, -_ROOM_FOR_LINE, _ROOM_FOR_LINE, _ROOM_FOR_LINE)

    def dress(self, ink: QColor) -> None:
        """Give the item its colour."""
        if ink != self._pen.color():
            self._pen = pen(self._line, ink)
            self._standing.forget()
            self.touch()

    def boundingRect(self) -> QRectF:
        return self._bounds

    def draw(self, painter: QPainter, widget: QWidget, *, lasting: bool) -> None:
        if lasting:
            self._standing.show(painter, widget.size(), self._bounds, self._draw)
        else:
            self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        painter.strokePath(self._path, self._pen)


class StillLayer(Piece):
    """All that does not move between two depths, painted once for each view and then shown from a pixmap.

    `draw` paints in logical pixels of the viewport, given the transform from mm. bodies: those whose lines it draws by whether they
    are picked. `forget` drops the pixmap.
    """

    def __init__(self, draw: Callable[[QPainter, QTransform, QRectF], None], bodies: frozenset[BodyName] = frozenset()) -> None:
        super().__init__()
        self.bodies = bodies
        self._draw = draw
        self._kept: QPixmap | None = None
        self._key: tuple[object, ...] = ()

    def forget(self) -> None:
        """Paint anew at the next chance."""
        self._kept = None
        self.touch()

    def boundingRect(self) -> QRectF:
        return EVERYWHERE

    def draw(self, painter: QPainter, widget: QWidget, *, lasting: bool) -> None:  # noqa: ARG002 - as a piece is drawn
        view = widget.parent()
        if not isinstance(view, QGraphicsView):
            return
        to_pixels = view.viewportTransform()
        ratio = painter.device().devicePixelRatio()
        key = (to_pixels.m11(), to_pixels.dx(), to_pixels.dy(), widget.width(), widget.height(), ratio)
        if self._kept is None or key != self._key:
            self._kept, self._key = self._painted(widget, to_pixels, ratio), key
        painter.save()
        painter.resetTransform()
        painter.drawPixmap(0, 0, self._kept)
        painter.restore()

    def _painted(self, widget: QWidget, to_pixels: QTransform, ratio: float) -> QPixmap:
        kept = QPixmap(widget.size() * ratio)
        kept.setDevicePixelRatio(ratio)
        kept.fill(Qt.GlobalColor.transparent)
        painter = QPainter(kept)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._draw(painter, to_pixels, QRectF(widget.rect()))
        painter.end()
        return kept


class SymbolItem(Piece):
    """A joint symbol of one size at every zoom, about its pin; made of fills and strokes, in logical pixels."""

    def __init__(self, symbol: DisplayList, style: Style) -> None:
        super().__init__()
        self._parts: list[tuple[QPainterPath, QBrush | None, QPen | None]] = []
        self._bounds = QRectF()
        self._standing = Standing()
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.dress(symbol, style)

    def dress(self, symbol: DisplayList, style: Style) -> None:
        """Give the item its strokes and its style."""
        upright = QTransform.fromScale(1.0, -1.0)
        self.prepareGeometryChange()
        self._parts = []
        self._standing.forget()
        for item in symbol:
            if isinstance(item, Fill):
                self._parts.append((upright.map(qt_path(item.outlines)), QBrush(colour(item.paint, style)), None))
            elif isinstance(item, Stroke):
                self._parts.append((upright.map(qt_path((item.path,))), None, pen(item.line, colour(item.paint, style))))
        reach = QRectF()
        for path, _, _ in self._parts:
            reach = reach.united(path.boundingRect())
        self._bounds = reach.adjusted(-_ROOM_FOR_LINE, -_ROOM_FOR_LINE, _ROOM_FOR_LINE, _ROOM_FOR_LINE)
        self.touch()

    def boundingRect(self) -> QRectF:
        return self._bounds

    def draw(self, painter: QPainter, widget: QWidget, *, lasting: bool) -> None:
        if lasting:
            self._standing.show(painter, widget.size(), self._bounds, self._draw)
        else:
            self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        for path, brush, line in self._parts:
            if brush is not None:
                painter.fillPath(path, brush)
            if line is not None:
                painter.strokePath(path, line)


class NameItem(Piece):
    """A body's name, upright and of one size at every zoom, kept as a picture since letters with a halo are slow to draw."""

    def __init__(self, words: str, style: Style, *, size: int = TEXT) -> None:
        super().__init__()
        self.words, self._style, self._size = words, style, size
        self._strong = False
        metrics = QFontMetricsF(font(size, weight=MEDIUM))
        self.width, self.tall = metrics.horizontalAdvance(words), metrics.capHeight()
        self._kept: QPixmap | None = None
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)

    def dress(self, style: Style, *, strong: bool) -> None:
        """Give the item its style; `strong` for bodies in hand."""
        if (style, strong) != (self._style, self._strong):
            self._style, self._strong, self._kept = style, strong, None
            self.touch()

    def boundingRect(self) -> QRectF:
        w, h = self.width / 2.0 + HALO + 2.0, self.tall / 2.0 + HALO + 6.0
        return QRectF(-w, -h, 2.0 * w, 2.0 * h)

    def draw(self, painter: QPainter, widget: QWidget, *, lasting: bool) -> None:  # noqa: ARG002 - as a piece is drawn
        ratio = painter.device().devicePixelRatio()
        box = self.boundingRect()
        if self._kept is None or self._kept.devicePixelRatio() != ratio:
            self._kept = self._painted(box, ratio)
        # Between pixels the letters would blur, and shimmer while the body moves.
        there = painter.worldTransform()
        at = QPointF(round((there.dx() + box.left()) * ratio) / ratio, round((there.dy() + box.top()) * ratio) / ratio)
        painter.resetTransform()
        painter.drawPixmap(at, self._kept)
        painter.setWorldTransform(there)

    def _painted(self, box: QRectF, ratio: float) -> QPixmap:
        kept = QPixmap((box.size() * ratio).toSize())
        kept.setDevicePixelRatio(ratio)
        kept.fill(Qt.GlobalColor.transparent)
        painter = QPainter(kept)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        words = DrawnText((0.0, 0.0), self.words, self._size, halo=True, strong=self._strong)
        draw_text(painter, words, self._style, at=QPointF(-box.left(), -box.top()))
        painter.end()
        return kept
