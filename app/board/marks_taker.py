"""Draws the marks of what was measured on the board: dimensions that stand clear of each other and of the gap dimension."""

from collections.abc import Sequence
from dataclasses import replace

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QTransform

from app.board.board import Board
from app.board.marks import Reading
from app.board.marks_kept import Marks
from app.board.paint import draw_items
from app.board.taker import Taker
from core.drawing.dimension import clearest, straight_lines, word_boxes
from core.drawing.display_list import DisplayList, Item, Stroke
from core.drawing.extent import Extent
from core.drawing.path import Segment
from core.sentences.numbers import Translator


class MarksTaker(Taker):
    """Takes nothing; draws. What is measured just now, by a tool in hand, is drawn as if it were kept already."""

    def __init__(self, board: Board, marks: Marks, tr: Translator) -> None:
        self._board, self._marks, self._tr = board, marks, tr
        self._drawn: tuple[object, tuple[DisplayList, ...]] | None = None
        marks.changed.connect(board.viewport().update)
        marks.kept_changed.connect(board.name_anew)

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:  # noqa: ARG002 - as the board asks
        for items in self._shown(1.0 / view.m11()):
            draw_items(painter, items, self._board.style_drawn(), to_pixels=view)

    def words_at(self, unit: float) -> Sequence[Extent]:
        return [box for items in self._shown(unit) for box in word_boxes(items, unit=unit)]

    def _shown(self, unit: float) -> tuple[DisplayList, ...]:
        """The dimensions; kept, since the board is painted again and again at one pose."""
        trying = self._marks.trying
        readings = (*self._marks.readings(), *((self._marks.reading(trying),) if trying is not None else ()))
        if not readings:
            return ()
        taken = self._board.words_taken()
        key = (readings, unit, tuple(taken), self._marks.pointed, self._seen())
        if self._drawn is None or self._drawn[0] != key:
            self._drawn = (key, self._placed(readings, unit, taken))
        return self._drawn[1]

    def _seen(self) -> Extent:
        """The part of the section that is seen, mm."""
        board = self._board
        box = board.viewportTransform().inverted()[0].mapRect(QRectF(board.viewport().rect()))
        return box.left(), box.top(), box.right(), box.bottom()

    def _placed(self, readings: Sequence[Reading], unit: float, taken: Sequence[Extent]) -> tuple[DisplayList, ...]:
        boxes, lines = list(taken), list[Segment]()
        made = []
        for place, reading in enumerate(readings):
            way = clearest(reading.ways(unit, self._tr), boxes, unit=unit, lines=lines, window=self._seen())
            boxes += word_boxes(way, unit=unit)
            lines += straight_lines(way)
            made.append(tuple(_heavier(item) for item in way) if place == self._marks.pointed else way)
        return tuple(made)


def _heavier(item: Item) -> Item:
    """Selection is line weight."""
    return replace(item, line="wide") if isinstance(item, Stroke) else item
