"""When what is said of an edit that goes on follows its drawing: soon where that is brief, and otherwise when the hand rests."""

import time

from PySide6.QtCore import QObject, QTimer, Signal

SOON_MS = 40
"""What is said follows the drawing this long after, and no more often: a frame is the drawing's alone."""

REST_MS = 60
"""A hand that has done nothing for so long rests; at 60 frames a second it misses three or four of them."""

LATE_MS = 500
"""Where the hand does not rest, so long after the first state that nothing has followed yet."""

BRIEF = 0.006
"""Seconds: what follows within them leaves the better part of a frame."""


class Following(QObject):
    """Counts the time. Of what is said it only knows how long that took the last time."""

    due = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._timer = QTimer(self, singleShot=True)
        self._timer.timeout.connect(self.due)
        self._brief = False
        self._took = 0.0
        self._asked_at = 0.0

    @property
    def brief(self) -> bool:
        """Whether all that follows is likely to be brief, as it was the last time."""
        return self._brief

    @property
    def pending(self) -> bool:
        """Whether something is still to follow."""
        return self._timer.isActive()

    def ask(self) -> None:
        """The drawing has changed."""
        now = time.monotonic()
        if not self.pending:
            self._asked_at = now
            self._timer.start(SOON_MS if self._brief else REST_MS)
        elif not self._brief:
            left = LATE_MS - 1000.0 * (now - self._asked_at)
            self._timer.start(round(min(max(left, 0.0), REST_MS)))

    def took(self, seconds: float, *, more: bool = False) -> None:
        """It has followed, which took so long, its painting included. more: besides what was told of before, in a turn after."""
        self._took = seconds + (self._took if more else 0.0)
        self._brief = self._took < BRIEF

    def expect_long(self) -> None:
        """Something that takes long is going to follow: what is shown of another body is built anew."""
        self._brief = False

    def drop(self) -> None:
        """Nothing is to follow any more."""
        self._timer.stop()
