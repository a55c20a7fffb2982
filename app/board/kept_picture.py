"""The picture of the section that a board keeps from frame to frame: painted anew only where something is drawn otherwise."""

from collections.abc import Sequence
from typing import Protocol

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QPixmap, QRegion, QTransform
from PySide6.QtWidgets import QWidget

_ROOM_FOR_PEN = 3.0
"""Logical pixels about a piece's bounds that its widest pen takes, with a pixel for smooth edges."""


class Shown(Protocol):
    """What can be shown: while it is the same object with the same stamp, it looks the same."""

    stamp: int

    def reach(self, to_pixels: QTransform) -> QRectF:
        """The logical pixels that its outline takes; none where it is not shown."""
        ...

    def show_on(self, painter: QPainter, to_pixels: QTransform, widget: QWidget, *, lasting: bool) -> None:
        """Draw it. lasting: what is drawn stays, so that keeping a picture of it pays."""
        ...


class KeptPicture:
    """Shows pieces from low to high. Their lowest must cover all that is seen.

    Where the part seen changes with each frame, as while the user zooms or pans, pieces are drawn as they are: a picture would
    never be shown twice. From the second time that a part is seen there is a picture, and of a piece that moves only the place where
    it was and the one where it is are painted anew.
    """

    def __init__(self) -> None:
        self._seen: tuple[object, ...] = ()
        self._kept: QPixmap | None = None
        self._drawn: dict[Shown, tuple[int, QRect]] = {}

    def forget(self) -> None:
        """Other pieces are to be shown, or all look otherwise."""
        self._kept = None
        self._drawn = {}

    def show(self, painter: QPainter, pieces: Sequence[Shown], to_pixels: QTransform, widget: QWidget) -> None:
        """Draw the pieces on `widget`, whose painter has no transform of its own; `to_pixels` takes mm to its logical pixels."""
        ratio = painter.device().devicePixelRatio()
        seen = (to_pixels.m11(), to_pixels.m22(), to_pixels.dx(), to_pixels.dy(), widget.width(), widget.height(), ratio)
        if seen != self._seen:
            self.forget()
            self._seen = seen
            _show(painter, pieces, to_pixels, widget, lasting=False)
            return
        if self._kept is None:
            self._kept = QPixmap(widget.size() * ratio)
            self._kept.setDevicePixelRatio(ratio)
        self._renew(self._kept, pieces, to_pixels, widget)
        painter.resetTransform()
        painter.drawPixmap(0, 0, self._kept)

    def _renew(self, kept: QPixmap, pieces: Sequence[Shown], to_pixels: QTransform, widget: QWidget) -> None:
        """Paint anew where pieces are drawn otherwise than when they were painted."""
        region = self._changed(pieces, to_pixels, widget.rect())
        if region.isEmpty():
            return
        painter = QPainter(kept)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if region != QRegion(widget.rect()):
            painter.setClipRegion(region)
        _show(painter, [piece for piece in pieces if region.intersects(self._drawn[piece][1])], to_pixels, widget, lasting=True)
        painter.end()

    def _changed(self, pieces: Sequence[Shown], to_pixels: QTransform, window: QRect) -> QRegion:
        """Where pieces were that have changed or gone, and where those are that have changed or come."""
        before, self._drawn = self._drawn, {}
        changed: list[QRect] = []
        nowhere = (-1, QRect())
        for piece in pieces:
            known = before.pop(piece, nowhere)
            if known[0] != piece.stamp:
                changed.append(known[1])
                known = (piece.stamp, _reach(piece, to_pixels, window))
                changed.append(known[1])
            self._drawn[piece] = known
        changed += [rect for _, rect in before.values()]
        region = QRegion()
        for rect in changed:
            region += rect
        return region


def _reach(piece: Shown, to_pixels: QTransform, window: QRect) -> QRect:
    """The logical pixels that a piece may touch."""
    reach = piece.reach(to_pixels)
    if reach.isEmpty():
        return QRect()
    room = reach.adjusted(-_ROOM_FOR_PEN, -_ROOM_FOR_PEN, _ROOM_FOR_PEN, _ROOM_FOR_PEN)
    return room.intersected(QRectF(window)).toAlignedRect()


def _show(painter: QPainter, pieces: Sequence[Shown], to_pixels: QTransform, widget: QWidget, *, lasting: bool) -> None:
    for piece in pieces:
        piece.show_on(painter, to_pixels, widget, lasting=lasting)
