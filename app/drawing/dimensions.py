"""Live lengths of what is being drawn: narrow dimension lines with their words, in logical pixels over the board."""

import math

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QTransform

from app import theme
from app.board.paint import draw_text, pen
from app.theme import Style
from core.drawing.display_list import Text
from core.model.shapes import Point
from core.sentences import degree_sign, plain

AWAY = 16.0
"""Logical pixels from what is measured to the words."""
BESIDE = QPointF(8.0, 0.0)
TICK = 4.0
"""Logical pixels of the slanted stroke at the end of a dimension line."""


def draw_length(painter: QPainter, view: QTransform, style: Style, start: Point, end: Point, words: str, *, right: bool = False) -> None:
    """A line from `start` to `end` (mm) with its words over its middle, or to the right of it; ends with slanted strokes."""
    first, last = view.map(QPointF(*start)), view.map(QPointF(*end))
    painter.setPen(pen("narrow", QColor(style.ink)))
    painter.drawLine(first, last)
    for tip in (first, last):
        painter.drawLine(tip + QPointF(-TICK, TICK), tip + QPointF(TICK, -TICK))
    if right:
        draw_text(painter, Text((0.0, 0.0), words, size=theme.DATA, anchor="left", halo=True), style, at=(first + last) / 2.0 + BESIDE)
        return
    along = last - first
    size = math.hypot(along.x(), along.y())
    across = QPointF(along.y() / size, -along.x() / size) if size else QPointF(0.0, -1.0)
    if across.y() > 0.0:
        across = -across
    write(painter, style, (first + last) / 2.0 + across * AWAY, words)


def write(painter: QPainter, style: Style, at: QPointF, words: str) -> None:
    """Words about a place, logical pixels, with the board's colour round the letters."""
    draw_text(painter, Text((0.0, 0.0), words, size=theme.DATA, anchor="middle", halo=True), style, at=at)


def millimetres(value: float) -> str:
    """A length as a dimension tells it."""
    return f"{value:.2f}"


def radius_words(value: float) -> str:
    """A radius as a dimension tells it (ISO 129-1: R before the number)."""
    return f"R {value:.2f}"


def degrees(value: float) -> str:
    """An angle as a dimension tells it."""
    return degree_sign(plain)("{value} deg").format(value=f"{value:.1f}")


def box_of(view: QTransform, one: Point, other: Point) -> QRectF:
    """The upright rectangle between two corners, logical pixels."""
    return view.mapRect(QRectF(QPointF(*one), QPointF(*other)).normalized())
