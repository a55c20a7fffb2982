"""The picture of one thing at one place, so that it need not be drawn anew while others move before or behind it."""

import math
from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPixmap, QTransform
from PySide6.QtWidgets import QWidget

from app.board.piece import Piece

_ROOM_FOR_PEN = 3.0
"""Logical pixels about an item's place that its widest pen takes, with a pixel for smooth edges."""

_ROOM_FOR_LINE = 2.0
"""Added about an outline for its line: mm of the section, or pixels of a symbol."""


class StillPicture:
    """Keeps the picture for as long as it is shown at the same place of a widget of the same size."""

    def __init__(self) -> None:
        self._there = QTransform()
        self._seen: tuple[float, ...] = ()
        self._kept: tuple[QPixmap, QPointF] | None = None

    def forget(self) -> None:
        """It looks otherwise."""
        self._kept = None

    def show(self, painter: QPainter, there: QTransform, widget: QWidget, bounds: QRectF, draw: Callable[[QPainter], object]) -> None:
        """Draw by the picture on a painter in logical pixels of `widget`; `there` takes `bounds`, and what is drawn, to them."""
        ratio = painter.device().devicePixelRatio()
        seen: tuple[float, ...] = (widget.width(), widget.height(), ratio)
        if self._kept is None or seen != self._seen or there != self._there:
            reach = there.mapRect(bounds).adjusted(-_ROOM_FOR_PEN, -_ROOM_FOR_PEN, _ROOM_FOR_PEN, _ROOM_FOR_PEN)
            self._kept = picture_of(there, reach.intersected(QRectF(widget.rect())), ratio, draw)
            self._seen, self._there = seen, there
        picture, corner = self._kept
        painter.drawPixmap(corner, picture)


def picture_of(there: QTransform, reach: QRectF, ratio: float, draw: Callable[[QPainter], object]) -> tuple[QPixmap, QPointF]:
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


class Pictured(Piece):
    """A piece that is shown by a picture where it lasts; `bounds` hold its outlines with their lines."""

    def __init__(self) -> None:
        super().__init__()
        self._bounds = QRectF()
        self._still = StillPicture()

    def take_bounds(self, outlines: QRectF) -> None:
        """It has other outlines from now on, which reach so far."""
        self.prepareGeometryChange()
        self._bounds = outlines.adjusted(-_ROOM_FOR_LINE, -_ROOM_FOR_LINE, _ROOM_FOR_LINE, _ROOM_FOR_LINE)
        self.looks_otherwise()

    def looks_otherwise(self) -> None:
        """It is to be drawn anew in another look."""
        self._still.forget()
        self.touch()

    def boundingRect(self) -> QRectF:
        return self._bounds

    def draw(self, painter: QPainter, there: QTransform, widget: QWidget, *, lasting: bool) -> None:
        if lasting:
            self._still.show(painter, there, widget, self._bounds, self._draw)
        else:
            painter.setWorldTransform(there)
            self._draw(painter)
            painter.resetTransform()

    def _draw(self, painter: QPainter) -> None:
        """Draw its fills and lines in its own coordinates."""
        raise NotImplementedError
