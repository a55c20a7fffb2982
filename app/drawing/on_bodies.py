"""A tool that works between the bodies under its points: it tells which, and takes others by keys or by the words of its line."""

from collections.abc import Callable, Collection

from PySide6.QtCore import QObject, QRectF, Qt
from PySide6.QtGui import QPainter, QTransform

from app.board.board import Board
from app.document.desk import Desk
from app.drawing.section_tool import SectionTool
from core.model.names import BodyName
from core.model.shapes import Point


class OnBodies(SectionTool):
    """Works on the bodies as drawn. Up and Down go through what there is to choose from."""

    def __init__(self, desk: Desk, board: Board, parent: QObject | None = None) -> None:
        super().__init__(desk, board, parent)
        self._typed: dict[str, float] = {}
        self._over = False

    def next_point(self) -> Point:
        # Before the numbers are let go: one that was typed holds to its last digit.
        self._typed = dict(self._fixed)
        return super().next_point()

    def worked_on(self) -> Collection[BodyName]:
        """The bodies that it would work on now: they have the heavier line."""
        raise NotImplementedError

    def give_up(self) -> None:
        self._over = True
        self.board.set_selected(self._desk.choice.bodies)

    def _tell(self) -> None:
        if not self._over:
            self.board.set_selected(self.worked_on())
            super()._tell()

    def cycle(self, by: int) -> None:
        """Take the next choice of bodies, or the one before."""
        raise NotImplementedError

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        painter.setClipRect(window)
        super().draw(painter, view, window)

    def _keys(self) -> dict[int, Callable[[], object]]:
        return {**super()._keys(), Qt.Key.Key_Down: lambda: self.cycle(1), Qt.Key.Key_Up: lambda: self.cycle(-1)}


def said(name: str) -> str:
    """A name as it can stand in a sentence with holes."""
    return name.replace("{", "").replace("}", "")
