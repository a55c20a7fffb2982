"""A tool that works between the bodies under its points: it tells which, and takes others by keys or by the words of its line."""

from collections.abc import Callable, Collection, Sequence

from PySide6.QtCore import QObject, QRectF, Qt
from PySide6.QtGui import QPainter, QTransform

from app.board.board import Board
from app.board.tools.snap import Candidate, candidates
from app.document.choice import section_named
from app.document.desk import Desk
from app.drawing.point_tool import GRID, PointTool
from core.model.names import BodyName
from core.model.project import Body, Section
from core.model.shapes import Point


class OnBodies(PointTool):
    """Works on the bodies as drawn. Up and Down go through what there is to choose from."""

    def __init__(self, desk: Desk, board: Board, parent: QObject | None = None) -> None:
        super().__init__(board, parent)
        self._desk = desk
        self._typed: dict[str, float] = {}
        self._over = False

    def section(self) -> Section | None:
        """The section shown, as far as it can be drawn."""
        return section_named(self._desk.drawn(), self._desk.choice.section)

    def bodies(self) -> Sequence[Body]:
        section = self.section()
        return [body for body in section.bodies if not body.view.hidden] if section is not None else []

    def found(self, at: Point, within: float) -> tuple[Candidate, ...]:
        section = self.section()
        joints = section.joints if section is not None else ()
        start = self.points[-1] if self.points else None
        return candidates(self.bodies(), at, within=within, grid=GRID, joints=joints, from_=start)

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
