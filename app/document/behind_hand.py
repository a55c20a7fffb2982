"""What is said of a pose while a hand drags a body along its drive: a little behind the hand, in turns of its own."""

from PySide6.QtCore import QObject, QTimer, Signal

BEHIND_MS = 25
"""Milliseconds after which what is said follows the bodies: within two frames, and no more often than one sees it change."""


class BehindHand(QObject):
    """Counts the time from the first move that nothing has followed yet; remembers whether another drive came to hand with it."""

    due = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._timer = QTimer(self, interval=BEHIND_MS, singleShot=True)
        self._timer.timeout.connect(self.due)
        self._picked = False

    @property
    def pending(self) -> bool:
        """Whether something is still to follow."""
        return self._timer.isActive()

    def ask(self, *, picked: bool = False) -> None:
        """Bodies have moved; `picked`: something else came to hand."""
        self._picked = self._picked or picked
        if not self.pending:
            self._timer.start()

    def take(self) -> bool:
        """It follows now; whether something else came to hand since it did last."""
        self._timer.stop()
        picked, self._picked = self._picked, False
        return picked
