"""The bands of the depth strip as things to show: its ground with the lines of depth, and the band of a slab."""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QTransform
from PySide6.QtWidgets import QWidget

from app.board.paint import colour, draw_hatch, pen
from app.board.still_picture import StillPicture
from app.theme import Style
from core.drawing.display_list import Paint
from core.drawing.hatch import CUT_ANGLE, hatch
from core.drawing.lines import HATCH_PITCH
from core.drawing.path import Run, polyline
from core.drawing.silhouette import View
from core.drawing.slabs import Slab

_AS_IT_IS = QTransform()


class Ground:
    """What lies under all bands. depths: the pixels at which lines of depth stand."""

    def __init__(self, style: Style, depths: Sequence[float]) -> None:
        self.stamp = 0
        self._style, self._depths = style, tuple(depths)

    def same(self, style: Style, depths: Sequence[float]) -> bool:
        """Whether it would look the same."""
        return style is self._style and tuple(depths) == self._depths

    def reach(self, to_pixels: QTransform) -> QRectF:  # noqa: ARG002 - as it is asked
        return QRectF(-1e5, -1e5, 2e5, 2e5)

    def show_on(self, painter: QPainter, to_pixels: QTransform, widget: QWidget, *, lasting: bool) -> None:  # noqa: ARG002 - as it is asked
        painter.fillRect(QRectF(widget.rect()), QColor(self._style.board))
        painter.setPen(QPen(QColor(self._style.grid), 1.0))
        for at in self._depths:
            painter.drawLine(QPointF(at, 0.0), QPointF(at, widget.height()))


class BandLooks:
    """Pens and tints of one theme, made once for all bands."""

    def __init__(self, style: Style) -> None:
        self.style = style
        self.narrow, self.selected = pen("narrow", QColor(style.ink)), pen("selected", QColor(style.ink))
        self.hatch = QColor(style.quiet_text)
        self._tints: dict[Paint, QColor] = {}

    def tint(self, paint: Paint) -> QColor:
        """The colour of a paint."""
        if paint not in self._tints:
            self._tints[paint] = colour(paint, self.style)
        return self._tints[paint]


class Band:
    """The band of a slab, at one place and in one style: one that looks otherwise is another band."""

    def __init__(self, slab: Slab, view: View, *, paint: Paint, selected: bool, to_pixels: QTransform, looks: BandLooks) -> None:
        self.stamp = 0
        self.slab, self.view, self.paint, self.selected = slab, view, paint, selected
        self._looks = looks
        low, high = slab.depth
        spans = ((view.low, view.high), *view.cut) if view.open else view.cut
        self._boxes = [(to_pixels.mapRect(QRectF(low, span[0], high - low, span[1] - span[0])), span in view.cut) for span in spans]
        self._reach = QRectF()
        for box, _ in self._boxes:
            self._reach = self._reach.united(box.adjusted(-1.0, -1.0, 1.0, 1.0))  # a band may be as thin as a line
        self._still = StillPicture()

    def same(self, slab: Slab, view: View, *, paint: Paint, selected: bool) -> bool:
        """Whether it would look the same at the same scale in the same style."""
        return self.slab is slab and (self.view is view or self.view == view) and self.paint == paint and self.selected == selected

    def reach(self, to_pixels: QTransform) -> QRectF:  # noqa: ARG002 - as it is asked
        return self._reach

    def show_on(self, painter: QPainter, to_pixels: QTransform, widget: QWidget, *, lasting: bool) -> None:  # noqa: ARG002 - as it is asked
        if lasting:
            self._still.show(painter, _AS_IT_IS, widget, self._reach, self._draw)
        else:
            self._draw(painter)

    def _draw(self, painter: QPainter) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for box, cut in self._boxes:
            if cut:
                painter.fillRect(box, self._looks.tint(self.paint))
            if cut and self.slab.fixed:
                draw_hatch(painter, _rect_hatch(box.left(), box.top(), box.right(), box.bottom()), self._looks.hatch)
            painter.setPen(self._looks.selected if self.selected else self._looks.narrow)
            painter.drawRect(box)


def corners(box: QRectF, *, upward: float = 1.0) -> Run:
    """The outline of a box; with `upward` -1 turned over, for y that runs the other way."""
    left, right, top, bottom = box.left(), box.right(), upward * box.top(), upward * box.bottom()
    return polyline((left, top), (right, top), (right, bottom), (left, bottom), closed=True)


@lru_cache(maxsize=256)
def _rect_hatch(left: float, top: float, right: float, bottom: float) -> list[list[list[float]]]:
    """Hatch lines at 45 degrees in pixels, whose y runs down; kept, since what is fixed asks for the same again and again."""
    box = QRectF(left, top, right - left, bottom - top)
    lines = hatch(((corners(box, upward=-1.0),),), angle=CUT_ANGLE, pitch=HATCH_PITCH)
    drawn: list[list[list[float]]] = (lines * np.array([1.0, -1.0])).tolist()
    return drawn
