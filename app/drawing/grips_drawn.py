"""How do grips look? Open rings, crosses and strokes in ink, in logical pixels over the board; heavier under the pointer, never filled."""

import math
from functools import lru_cache
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QTransform

from app import theme
from app.board.paint import draw_text
from app.drawing.dimensions import draw_length, write
from app.drawing.grip_words import Length
from app.drawing.grips_of import Along, Beyond, Grip, measure_of
from app.theme import Style
from core.drawing.display_list import Text
from core.model.shapes import Point, Shape

RING, SMALL_RING, ARM, STROKE = 4.5, 2.5, 5.5, 7.0
"""Logical pixels: radii of the rings of points and of what becomes one, half a cross, half a stroke across an edge."""
RINGS: Final = ("point", "corner", "end", "middle")
SWEEP = 14.0
"""Logical pixels of the arc by which a shape is turned, to each side of its middle."""
MOST_SWEEP = 60.0
"""Degrees of that arc at most, where the shape is small on the board."""
TOLD_AT = QPointF(12.0, -14.0)
"""Logical pixels from the lower left of the board to the words about a grip."""
GROUND = 6.0
"""Logical pixels of board to each side of those words."""
AIR, AIR_OF_RING = 2.0, 1.0
"""Logical pixels of the board's colour at each side of a line, so that it is seen on every tint; rings stay open."""


def draw_grip(painter: QPainter, view: QTransform, style: Style, shape: Shape, grip: Grip, *, width: float) -> None:
    """One grip of a shape, its line `width` logical pixels wide; `view` takes mm to logical pixels."""
    ring = grip.kind in RINGS
    at, air = view.map(QPointF(*grip.at)), AIR_OF_RING if ring else AIR
    mark = None if ring else _mark(view, shape, grip)
    radius = SMALL_RING if grip.kind == "middle" else RING
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, wide in ((style.board, width + 2.0 * air), (style.ink, width)):
        painter.setPen(_pen(colour, wide))
        if mark is None:
            painter.drawEllipse(at, radius, radius)  # much faster than as a path, and there may be hundreds
        else:
            painter.drawPath(mark)


@lru_cache(maxsize=32)
def _pen(colour: str, wide: float) -> QPen:
    """Kept, since there may be hundreds of grips at every frame."""
    line = QPen(QColor(colour), wide)
    line.setCapStyle(Qt.PenCapStyle.RoundCap)
    return line


def draw_lengths(painter: QPainter, view: QTransform, style: Style, lengths: tuple[Length, ...]) -> None:
    """The lengths that stand beside a grip; one without length is its words alone."""
    for one in lengths:
        if one.start == one.end:
            write(painter, style, view.map(QPointF(*one.start)) + QPointF(0.0, -theme.DATA - STROKE), one.words)
        else:
            draw_length(painter, view, style, one.start, one.end, one.words, right=one.right)


def draw_told(painter: QPainter, style: Style, window: QRectF, words: str) -> None:
    """What the grip is and what can be done with it, at the lower left of the board, on a ground of its own."""
    wide = QFontMetricsF(theme.font(theme.RULER), painter.device()).horizontalAdvance(words)
    at = window.bottomLeft() + TOLD_AT
    ground = QRectF(at.x(), at.y() - theme.RULER, wide, 2.0 * theme.RULER).adjusted(-GROUND, 0.0, GROUND, 0.0)
    painter.fillRect(ground, QColor(style.board))
    draw_text(painter, Text((0.0, 0.0), words, size=theme.RULER, anchor="left"), style, at=at)


def _mark(view: QTransform, shape: Shape, grip: Grip) -> QPainterPath:
    at, mark = view.map(QPointF(*grip.at)), QPainterPath()
    if grip.kind == "centre":
        for along in (QPointF(ARM, 0.0), QPointF(0.0, ARM)):
            _line(mark, at, along)
    elif grip.kind == "turn":
        _turn(mark, view.map(QPointF(*getattr(shape, "centre", grip.at))), at)
    else:
        _line(mark, at, _across(view, shape, grip))
    return mark


def _line(mark: QPainterPath, at: QPointF, along: QPointF) -> None:
    mark.moveTo(at - along)
    mark.lineTo(at + along)


def _turn(mark: QPainterPath, centre: QPointF, at: QPointF) -> None:
    radius = math.hypot(at.x() - centre.x(), at.y() - centre.y())
    if radius <= 0.0:
        return
    half = min(math.degrees(SWEEP / radius), MOST_SWEEP)
    first = math.degrees(math.atan2(centre.y() - at.y(), at.x() - centre.x())) - half
    square = QRectF(centre.x() - radius, centre.y() - radius, 2.0 * radius, 2.0 * radius)
    mark.arcMoveTo(square, first)
    mark.arcTo(square, first, 2.0 * half)


def _across(view: QTransform, shape: Shape, grip: Grip) -> QPointF:
    """Half a stroke the way the grip goes, logical pixels."""
    measure = measure_of(shape, grip)
    way: Point = (1.0, 0.0)
    if isinstance(measure, Along):
        way = measure.way
    elif isinstance(measure, Beyond):
        way = (grip.at[0] - measure.centre[0], grip.at[1] - measure.centre[1])
    length = math.hypot(*way)
    if grip.kind == "rounding":
        way = (way[0] - way[1], way[0] + way[1])  # aslant, so that it is no side's
        length = math.hypot(*way)
    x, y = (way[0] / length, way[1] / length) if length > 0.0 else (1.0, 0.0)
    return QPointF(x * STROKE, math.copysign(STROKE, view.m22()) * y)
