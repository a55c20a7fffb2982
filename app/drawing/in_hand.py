"""Which tool is in hand? One at most; while it is, the board's pointer and keys are its first."""

from collections.abc import Sequence

from PySide6.QtCore import QObject, Qt, Signal

from app.board.board import Board
from app.board.taker import Taker
from app.drawing.tool import Tool


class InHand(QObject):
    """Takes tools in hand and puts them away. Other takers of the board stand behind the tool, in the order they were given."""

    changed = Signal()
    """Another tool is in hand, or none."""

    def __init__(self, board: Board, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.board = board
        self._behind: tuple[Taker, ...] = ()
        self.tool: Tool | None = None

    def stand_behind(self, takers: Sequence[Taker]) -> None:
        """What takes pointer and keys where no tool is in hand, or the tool leaves them."""
        self._behind = tuple(takers)
        self._arrange()

    def take(self, tool: Tool) -> None:
        """Take a tool in hand; the one before is put away."""
        self._let_go()
        self.tool = tool
        tool.ended.connect(self.put_away)
        self._arrange()
        self.board.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.changed.emit()

    def put_away(self) -> None:
        """Have nothing in hand."""
        if self.tool is not None:
            self._let_go()
            self._arrange()
            self.changed.emit()

    def _let_go(self) -> None:
        tool, self.tool = self.tool, None
        if tool is not None:
            tool.ended.disconnect(self.put_away)
            tool.give_up()
            tool.deleteLater()

    def _arrange(self) -> None:
        self.board.set_takers((self.tool, *self._behind) if self.tool is not None else self._behind)
