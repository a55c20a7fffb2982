"""What takes the board's pointer and keys before bodies do: a drawing tool, the grips of a body, marks of measuring."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QTransform

from core.drawing.extent import Extent
from core.model.shapes import Point


class Taker:
    """Takes nothing and draws nothing; those that do override what they need. Points are mm in the section's frame."""

    def press(self, at: Point, event: QMouseEvent) -> bool:  # noqa: ARG002 - for those that override
        """A left press. True where it is taken: moves and the release then come here alone."""
        return False

    def move(self, at: Point, event: QMouseEvent) -> bool:  # noqa: ARG002
        """The pointer is at `at`, pressed or not. True where no body under it should be told of."""
        return False

    def release(self, at: Point, event: QMouseEvent) -> None:
        """The left button that was taken came up."""

    def double_click(self, at: Point, event: QMouseEvent) -> bool:  # noqa: ARG002
        """The second press of a double click; True where it is taken, and nothing else comes of it."""
        return False

    def leave(self) -> None:
        """The pointer has left the board."""

    def wants(self, event: QKeyEvent) -> bool:  # noqa: ARG002
        """Whether a key comes here although the window has an action for it. Asked while the board has the keyboard."""
        return False

    def key(self, event: QKeyEvent) -> bool:  # noqa: ARG002
        """A key pressed while the board has the keyboard; True where it is taken."""
        return False

    def cursor(self) -> Qt.CursorShape | None:
        """The pointer's look over the board, where it is this one's to say."""
        return None

    def words_at(self, unit: float) -> Sequence[Extent]:  # noqa: ARG002
        """Where its words stand, mm, `unit` mm to a logical pixel: names of bodies keep off there."""
        return ()

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        """Draw over the bodies, in logical pixels of the viewport; `view` takes section mm there."""
