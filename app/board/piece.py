"""One thing on the board's scene that knows whether it is drawn otherwise than before, and all of them in their order."""

from operator import attrgetter

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QTransform
from PySide6.QtWidgets import QGraphicsItem, QGraphicsScene, QWidget


class Piece(QGraphicsItem):
    """`stamp` grows whenever the piece looks otherwise: elsewhere, in another style, shown or not shown any more."""

    def __init__(self) -> None:
        super().__init__()
        self.stamp = 0
        self.shown = True
        self.height = 0.0
        self._there = (0.0, 0.0, 0.0)
        self.stack: Stack | None = None

    def draw(self, painter: QPainter, there: QTransform, widget: QWidget, *, lasting: bool) -> None:
        """Draw on a painter in logical pixels of the widget, to which `there` takes the piece; leave it without a transform.

        lasting: what is drawn stays, so that keeping a picture of it pays.
        """
        raise NotImplementedError

    def reach(self, to_pixels: QTransform) -> QRectF:
        """The logical pixels that its bounds take; none where it is not shown."""
        return self.deviceTransform(to_pixels).mapRect(self.boundingRect()) if self.shown else QRectF()

    def show_on(self, painter: QPainter, to_pixels: QTransform, widget: QWidget, *, lasting: bool) -> None:
        """Draw it where it is; nothing where it is not shown."""
        if self.shown:
            self.draw(painter, self.deviceTransform(to_pixels), widget, lasting=lasting)

    def touch(self) -> None:
        """It is to be drawn anew."""
        self.stamp += 1
        self.update()

    def put(self, x: float, y: float, turn: float = 0.0) -> None:
        """Move it there; `turn` in degrees."""
        if (x, y, turn) != self._there:
            self._there = (x, y, turn)
            self.setPos(x, y)
            self.setRotation(turn)
            self.stamp += 1

    def set_shown(self, shown: bool) -> None:  # noqa: FBT001 - as setVisible
        """Show it or do not."""
        if shown != self.shown:
            self.shown = shown
            self.setVisible(shown)
            self.stamp += 1

    def set_height(self, height: float) -> None:
        """Tell how high it lies among the others."""
        if height != self.height:
            self.height = height
            self.setZValue(height)
            self.stamp += 1
            if self.stack is not None:
                self.stack.reorder()


class Stack:
    """The pieces of a scene from low to high; of equal heights the one that came first is lower."""

    def __init__(self, scene: QGraphicsScene) -> None:
        self._scene = scene
        self._pieces: dict[Piece, None] = {}
        self._ordered: list[Piece] | None = None

    def add(self, piece: Piece) -> None:
        """Put a piece on the scene."""
        self._scene.addItem(piece)
        self._pieces[piece] = None
        piece.stack, self._ordered = self, None

    def remove(self, piece: Piece) -> None:
        """Take a piece away."""
        self._scene.removeItem(piece)
        del self._pieces[piece]
        piece.stack, self._ordered = None, None

    def reorder(self) -> None:
        """One has changed its height."""
        self._ordered = None

    def ordered(self) -> list[Piece]:
        """All of them."""
        if self._ordered is None:
            self._ordered = sorted(self._pieces, key=attrgetter("height"))
        return self._ordered
