"""What is snapped to, on the board: its edges thicker, and its name at the pointer."""

from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QPainter, QPen, QTransform

from app import theme
from app.board.paint import draw_text, qt_path
from app.board.tools.snap import Candidate
from app.theme import Style
from core.drawing.display_list import Text
from core.drawing.path import Run, Segment

NAMED_AT = QPointF(14.0, 22.0)
"""Logical pixels from the pointer to the name of what it snaps to."""


def draw_snapped(painter: QPainter, view: QTransform, style: Style, snapped: Candidate, *, named_at: QPointF = NAMED_AT) -> None:
    """The edges a place lies on, thicker, and what the place is, `named_at` off it; `view` takes mm to logical pixels."""
    edges = snapped.edges or ((Segment(*snapped.line),) if snapped.line is not None else ())
    painter.setPen(QPen(QColor(style.ink), theme.SELECTED))
    for edge in edges:
        painter.drawPath(view.map(qt_path(((Run((edge,), closed=False),),))))
    write_beside(painter, style, view.map(QPointF(*snapped.at)) + named_at, snapped.told)


def write_beside(painter: QPainter, style: Style, at: QPointF, words: str) -> None:
    """Words that begin at a place, logical pixels, with the board's colour round the letters."""
    draw_text(painter, Text((0.0, 0.0), words, size=theme.RULER, anchor="left", halo=True), style, at=at)
