"""When do names find their places? Once what moves has come to rest, and then a little a turn, so that the window goes on in between."""

from collections.abc import Callable, Iterator

from PySide6.QtCore import QObject, QTimer, Signal

from app.ahead import Ahead

SETTLE_MS = 120
"""So long after the last move names find new places."""


class Naming(QObject):
    """Takes the steps that `steps` gives; what they do is not known here."""

    done = Signal()

    def __init__(self, steps: Callable[[], Iterator[None]], parent: QObject) -> None:
        super().__init__(parent)
        self._steps = steps
        self._ahead = Ahead(self)
        self._ahead.done.connect(self.done)
        self._settle = QTimer(self, interval=SETTLE_MS, singleShot=True)
        # One look for places serves all that one choice of the user changes.
        self._soon = QTimer(self, interval=0, singleShot=True)
        for timer in (self._settle, self._soon):
            timer.timeout.connect(self._begin)

    @property
    def busy(self) -> bool:
        """Whether names are still to find their places."""
        return self._settle.isActive() or self._soon.isActive() or self._ahead.busy

    def soon(self) -> None:
        """Look for places once this turn is over."""
        self._soon.start()

    def once_at_rest(self) -> None:
        """Look for places when nothing has moved for a while; names stay where they are until then."""
        self._ahead.drop()
        self._soon.stop()
        self._settle.start()

    def still_held(self) -> None:
        """A hand is still at it, though what it holds may go no farther: what it waits for is put off until the hand rests."""
        if self.busy:
            self.once_at_rest()

    def drop(self) -> None:
        """Let go of the steps that are left: they know what is about to change."""
        self._ahead.drop()

    def _begin(self) -> None:
        # From the next turn on: this one has often a whole board to paint.
        self._ahead.begin(self._steps())
