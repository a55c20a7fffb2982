"""The picture of the section that a board keeps from frame to frame: painted anew only where something is drawn otherwise."""

from collections.abc import Iterable, Sequence
from itertools import compress, count
from operator import attrgetter, is_not, ne
from typing import Protocol

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QPixmap, QRegion, QTransform
from PySide6.QtWidgets import QWidget

MANY = 12
"""Where more pieces than this change at once they are drawn in passing: without a picture of each, which takes longer than drawing it."""

_ROOM_FOR_PEN = 3.0
"""Logical pixels about a piece's bounds that its widest pen takes, with a pixel for smooth edges."""

_Box = tuple[int, int, int, int]
"""The first and last column and row of pixels, left, top, right, bottom."""

_NOWHERE: _Box = (0, 0, -1, -1)

_NEVER = -1
"""The stamp of a piece that was not painted yet."""


class Shown(Protocol):
    """What can be shown: while it is the same object with the same stamp, it looks the same."""

    stamp: int

    def reach(self, to_pixels: QTransform) -> QRectF:
        """The logical pixels that its outline takes; none where it is not shown."""
        ...

    def show_on(self, painter: QPainter, to_pixels: QTransform, widget: QWidget, *, lasting: bool) -> None:
        """Draw it on a painter without a transform, and leave it so. lasting: what is drawn stays, so that a picture of it pays."""
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
        self._drawn: list[Shown] = []
        self._stamps: list[int] = []
        self._boxes: list[_Box] = []
        self._passing: list[int] = []

    @property
    def is_there(self) -> bool:
        """Whether there is a picture of what was shown last."""
        return self._kept is not None

    def forget(self) -> None:
        """Other pieces are to be shown, or all look otherwise."""
        self._kept = None
        self._drawn, self._stamps, self._boxes, self._passing = [], [], [], []

    def show(self, painter: QPainter, pieces: Sequence[Shown], to_pixels: QTransform, widget: QWidget) -> None:
        """Draw the pieces on `widget`, whose painter has no transform of its own; `to_pixels` takes mm to its logical pixels."""
        ratio = painter.device().devicePixelRatio()
        seen = (to_pixels.m11(), to_pixels.m22(), to_pixels.dx(), to_pixels.dy(), widget.width(), widget.height(), ratio)
        if seen != self._seen:
            self.forget()
            self._seen = seen
            for piece in pieces:
                piece.show_on(painter, to_pixels, widget, lasting=False)
            return
        if self._kept is None:
            self._kept = QPixmap(widget.size() * ratio)
            self._kept.setDevicePixelRatio(ratio)
        self._renew(self._kept, list(pieces), to_pixels, widget)
        painter.drawPixmap(0, 0, self._kept)

    def _renew(self, kept: QPixmap, pieces: list[Shown], to_pixels: QTransform, widget: QWidget) -> None:
        """Paint anew where pieces are drawn otherwise than when they were painted."""
        region = self._changed(pieces, to_pixels, widget.rect())
        if region.isEmpty():
            return
        painter = QPainter(kept)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if region != QRegion(widget.rect()):
            painter.setClipRegion(region)
        left, top, right, bottom = _box(region.boundingRect())
        for number, box in enumerate(self._boxes):
            meets = left <= box[2] and box[0] <= right and top <= box[3] and box[1] <= bottom
            if meets and region.intersects(_rect(box)):
                pieces[number].show_on(painter, to_pixels, widget, lasting=number not in self._passing)
        painter.end()

    def _changed(self, pieces: list[Shown], to_pixels: QTransform, window: QRect) -> QRegion:
        """Where pieces were that have changed or gone, and where those are that have changed or come."""
        first = not self._drawn
        boxes = self._take(pieces)
        stamps = list(map(attrgetter("stamp"), pieces))
        changed = _where(map(ne, stamps, self._stamps))
        many = len(changed) > MANY and not first
        boxes += [self._boxes[number] for number in (*self._passing, *changed)]
        self._stamps, self._passing = stamps, changed if many else []
        for number in changed:
            self._boxes[number] = _reach(pieces[number], to_pixels, window)
            boxes.append(self._boxes[number])
        region = QRegion()
        for box in boxes:
            region += _rect(box)
        return QRegion(region.boundingRect()) if many else region

    def _take(self, pieces: list[Shown]) -> list[_Box]:
        """Take other pieces, those that come as if they had changed; the reaches of those that have gone."""
        before, self._drawn = self._drawn, pieces
        if len(pieces) == len(before):
            # One comes in the place of another mostly, which is told as if that one had changed.
            for number in _where(map(is_not, pieces, before)):
                self._stamps[number] = _NEVER
            return []
        places = {id(piece): number for number, piece in enumerate(before)}
        found = [places.pop(id(piece), None) for piece in pieces]
        gone = [self._boxes[number] for number in places.values()]
        passing = set(self._passing)
        self._passing = [number for number, place in enumerate(found) if place in passing]
        self._stamps = [_NEVER if place is None else self._stamps[place] for place in found]
        self._boxes = [_NOWHERE if place is None else self._boxes[place] for place in found]
        return gone


def _where(told: Iterable[bool]) -> list[int]:
    """The places of what is true."""
    return list(compress(count(), told))


def _box(rect: QRect) -> _Box:
    return rect.left(), rect.top(), rect.right(), rect.bottom()


def _rect(box: _Box) -> QRect:
    left, top, right, bottom = box
    return QRect(left, top, right - left + 1, bottom - top + 1)


def _reach(piece: Shown, to_pixels: QTransform, window: QRect) -> _Box:
    """The logical pixels that a piece may touch."""
    reach = piece.reach(to_pixels)
    if reach.isEmpty():
        return _NOWHERE
    room = reach.adjusted(-_ROOM_FOR_PEN, -_ROOM_FOR_PEN, _ROOM_FOR_PEN, _ROOM_FOR_PEN).intersected(QRectF(window))
    return _box(room.toAlignedRect())
