"""What stands on the board: slabs of moving bodies, lines of what lies underneath, joint symbols, names, still layers.

Items know how to draw themselves in a frozen style and nothing else. They move by `put` alone; the
board's transform turns y up, so a rotation here is counter-clockwise.
"""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPixmap, QTransform
from PySide6.QtWidgets import QGraphicsItem, QGraphicsView, QWidget

from app.board.paint import HALO, colour, draw_text, pen, qt_path
from app.board.piece import Piece
from app.board.still_picture import Pictured
from app.theme import MEDIUM, TEXT, Style, font
from core.drawing.display_list import DisplayList, Fill, Paint, Stroke
from core.drawing.display_list import Text as DrawnText
from core.drawing.lines import LineClass
from core.drawing.path import Path
from core.drawing.slabs import Slab
from core.model.names import BodyName
from core.model.shapes import Point

EVERYWHERE = QRectF(-1e5, -1e5, 2e5, 2e5)
"""mm; more than any bay."""


class SlabItem(Pictured):
    """A slab of a moving body: its tint and its outline."""

    def __init__(self, slab: Slab, tint: QColor) -> None:
        super().__init__()
        self._known: tuple[Slab, QPainterPath, QPainterPath] | None = None
        self.show_slab(slab)
        self._looks: tuple[Paint, Style, LineClass] | None = None
        self._brush = QBrush(tint)
        self._pen = pen("wide", tint)

    def show_slab(self, slab: Slab, *, like: Slab | None = None, by: Point = (0.0, 0.0)) -> None:
        """Stand for this slab from now on, where it is drawn. like: the slab that it is, `by` mm beside it."""
        like = like or slab
        if self._known is None or self._known[0] is not like:
            self._known = like, qt_path(like.fills), qt_path((like.lines,))
        self.slab = slab
        _, fill, lines = self._known
        self.fill, self.lines = fill.translated(*by), lines.translated(*by)
        self.take_bounds(self.fill.boundingRect())

    def dress(self, paint: Paint, style: Style, line: LineClass) -> None:
        """Give the item its colours and line."""
        if self._looks is not None and self._looks[1] is style and (paint, line) == (self._looks[0], self._looks[2]):
            return
        self._looks = (paint, style, line)
        self._brush, self._pen = QBrush(colour(paint, style)), pen(line, QColor(style.ink))
        self.looks_otherwise()

    def _draw(self, painter: QPainter) -> None:
        painter.fillPath(self.fill, self._brush)
        painter.strokePath(self.lines, self._pen)


class LineItem(Pictured):
    """Outlines without a fill: what passes underneath (dashed), a hovered pose (dashed), ends of travel."""

    def __init__(self, path: Path, line: LineClass, ink: QColor) -> None:
        super().__init__()
        self._line = line
        self._pen = pen(line, ink)
        self.show_path(qt_path((path,)))

    def show_path(self, path: QPainterPath) -> None:
        """Be this outline from now on."""
        self._path = path
        self.take_bounds(self._path.boundingRect())

    def dress(self, ink: QColor) -> None:
        """Give the item its colour."""
        if ink != self._pen.color():
            self._pen = pen(self._line, ink)
            self.looks_otherwise()

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

    def draw(self, painter: QPainter, there: QTransform, widget: QWidget, *, lasting: bool) -> None:  # noqa: ARG002 - as a piece is drawn
        view = widget.parent()
        if not isinstance(view, QGraphicsView):
            return
        to_pixels = view.viewportTransform()
        ratio = painter.device().devicePixelRatio()
        key = (to_pixels.m11(), to_pixels.dx(), to_pixels.dy(), widget.width(), widget.height(), ratio)
        if self._kept is None or key != self._key:
            self._kept, self._key = self._painted(widget, to_pixels, ratio), key
        painter.drawPixmap(0, 0, self._kept)

    def _painted(self, widget: QWidget, to_pixels: QTransform, ratio: float) -> QPixmap:
        kept = QPixmap(widget.size() * ratio)
        kept.setDevicePixelRatio(ratio)
        kept.fill(Qt.GlobalColor.transparent)
        painter = QPainter(kept)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._draw(painter, to_pixels, QRectF(widget.rect()))
        painter.end()
        return kept


class SymbolItem(Pictured):
    """A joint symbol of one size at every zoom, about its pin; made of fills and strokes, in logical pixels."""

    def __init__(self, symbol: DisplayList, style: Style) -> None:
        super().__init__()
        self._parts: list[tuple[QPainterPath, QBrush | None, QPen | None]] = []
        self._looks: tuple[DisplayList, Style] | None = None
        self.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
        self.dress(symbol, style)

    def dress(self, symbol: DisplayList, style: Style) -> None:
        """Give the item its strokes and its style."""
        if self._looks is not None and self._looks[1] is style and self._looks[0] == symbol:
            return
        self._looks = symbol, style
        upright = QTransform.fromScale(1.0, -1.0)
        self._parts = []
        for item in symbol:
            if isinstance(item, Fill):
                self._parts.append((upright.map(qt_path(item.outlines)), QBrush(colour(item.paint, style)), None))
            elif isinstance(item, Stroke):
                self._parts.append((upright.map(qt_path((item.path,))), None, pen(item.line, colour(item.paint, style))))
        reach = QRectF()
        for path, _, _ in self._parts:
            reach = reach.united(path.boundingRect())
        self.take_bounds(reach)

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

    def draw(self, painter: QPainter, there: QTransform, widget: QWidget, *, lasting: bool) -> None:  # noqa: ARG002 - as a piece is drawn
        ratio = painter.device().devicePixelRatio()
        box = self.boundingRect()
        if self._kept is None or self._kept.devicePixelRatio() != ratio:
            self._kept = self._painted(box, ratio)
        # Between pixels the letters would blur, and shimmer while the body moves.
        at = QPointF(round((there.dx() + box.left()) * ratio) / ratio, round((there.dy() + box.top()) * ratio) / ratio)
        painter.drawPixmap(at, self._kept)

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
