"""What floats over a drawing and stays for some frames: its display list ready for the painter, and where it pays a picture of it."""

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QTransform

from app.board.paint import Ink, inks
from app.board.still_picture import picture_of
from app.theme import Style
from core.drawing.display_list import DisplayList

PAYS = 2
"""Where the list before was drawn so often, a picture of the next one pays: a hand drags bodies, and all that is told of them waits."""

_Draw = Callable[[QPainter], object]

_Of = tuple[DisplayList, Style, QTransform, QRect, float]
"""What is drawn, in which style, where mm go, and the logical pixels to draw on, with how many device pixels to each."""


class KeptDrawing:
    """Draws a display list as `draw_items` does; what is ready for the painter is kept while list, style and place stay the same."""

    def __init__(self) -> None:
        self._of: _Of | None = None
        self._ready: tuple[_Draw, ...] = ()
        self._times = 0

    def draw(self, painter: QPainter, items: DisplayList, style: Style, *, to_pixels: QTransform) -> None:
        """Draw; `items` is another list where it is another object."""
        of = (items, style, to_pixels, painter.window(), painter.device().devicePixelRatio())
        if self._of is None or self._of[0] is not items or self._of[1:] != of[1:]:
            pays, self._times = self._times >= PAYS, 0
            self._of = (items, style, QTransform(to_pixels), *of[3:])
            ready = tuple(inks(items, style, to_pixels))
            self._ready = tuple(_pictured(ready, *of[3:]) if pays else (ink.draw for ink in ready))
        self._times += 1
        for draw in self._ready:
            draw(painter)


def _pictured(ready: Sequence[Ink], window: QRect, ratio: float) -> Iterator[_Draw]:
    """The same with pictures of all that can be shown by one, in the same order."""
    for known, run in groupby(ready, key=lambda ink: ink.reach is not None):
        if known:
            yield _picture(tuple(run), window, ratio)
        else:
            yield from (ink.draw for ink in run)


def _picture(run: Sequence[Ink], window: QRect, ratio: float) -> _Draw:
    reach = QRectF()
    for ink in run:
        reach = reach if ink.reach is None else reach.united(ink.reach)

    def draw_all(painter: QPainter) -> None:
        for ink in run:
            ink.draw(painter)

    picture, corner = picture_of(QTransform(), reach.intersected(QRectF(window)), ratio, draw_all)
    return lambda painter: painter.drawPixmap(corner, picture)
