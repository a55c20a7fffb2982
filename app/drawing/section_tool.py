"""A tool that is given points among the bodies of the section shown."""

from collections.abc import Sequence

from PySide6.QtCore import QObject

from app.board.board import Board
from app.document.choice import section_named
from app.document.desk import Desk
from app.drawing.point_tool import PointTool
from core.model.joints import Joint
from core.model.project import Body, Section


class SectionTool(PointTool):
    """Snaps to bodies that show, and to pins."""

    def __init__(self, desk: Desk, board: Board, parent: QObject | None = None) -> None:
        super().__init__(board, parent)
        self._desk = desk

    def section(self) -> Section | None:
        """The section shown, as far as it can be drawn."""
        return section_named(self._desk.drawn(), self._desk.choice.section)

    def bodies(self) -> Sequence[Body]:
        section = self.section()
        return [body for body in section.bodies if not body.view.hidden] if section is not None else []

    def joints(self) -> Sequence[Joint]:
        section = self.section()
        return section.joints if section is not None else ()
