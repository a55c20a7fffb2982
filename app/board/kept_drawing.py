"""What floats over a drawing and stays for some frames: shown by pictures of its display list."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QTransform

from app.board.paint import Ink, inks
from app.board.still_picture import picture_of
from app.theme import Style
from core.drawing.display_list import DisplayList

_Draw = Callable[[QPainter], object]

_Of = tuple[DisplayList, Style, QTransform, QRect, float]
"""What is drawn, in which style, where mm go, and the logical pixels to draw on, with how many device pixels to each."""


class KeptDrawing:
    """Draws a display list; its pictures are kept while list, style and place stay the same.

    There are pictures from the first frame on: Qt smooths a thin line otherwise where it ends at a picture's edge, and a hatch that
    were drawn without one at first would stir.
    """

    def __init__(self) -> None:
        self._of: _Of | None = None
        self._ready: tuple[_Draw, ...] = ()

    def draw(self, painter: QPainter, items: DisplayList, style: Style, *, to_pixels: QTransform) -> None:
        """Draw; `items` is another list where it is another object."""
        of = (items, style, QTransform(to_pixels), painter.window(), painter.device().devicePixelRatio())
        if self._of is None or self._of[0] is not items or self._of[1:] != of[1:]:
            self._of, self._ready = of, tuple(_pictured(inks(items, style, to_pixels), *of[3:]))
        for draw in self._ready:
            draw(painter)


def _pictured(ready: Iterable[Ink], window: QRect, ratio: float) -> Iterator[_Draw]:
    """What draws the same in the same order, with a picture of each run that can be shown by one."""
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
