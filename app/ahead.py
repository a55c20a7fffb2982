"""Work done ahead, a little in each turn of the window that nothing else wants, so that a hand does not wait for it later."""

import time
from collections.abc import Iterator

from PySide6.QtCore import QObject, QTimer, Signal

TURN_SECONDS = 0.003
"""What a turn of the window gives to it, where nothing else is said."""


class Ahead(QObject):
    """One piece of work at a time, given as an iterator: each step does some of it."""

    done = Signal()
    """Nothing is left to do."""

    def __init__(self, parent: QObject, *, seconds: float | None = None) -> None:
        """seconds: what a turn gives to it; None for as much as to all."""
        super().__init__(parent)
        self._seconds = seconds
        self._steps: Iterator[object] = iter(())
        self._turn = QTimer(self, interval=0)
        self._turn.timeout.connect(self._go_on)

    @property
    def busy(self) -> bool:
        """Whether something is left to do."""
        return self._turn.isActive()

    def begin(self, steps: Iterator[object]) -> None:
        """Do this instead of what was left."""
        self._steps = steps
        self._turn.start()

    def drop(self) -> None:
        """Leave undone what is left: it knows what is about to change."""
        self._steps = iter(())
        self._turn.stop()

    def _go_on(self) -> None:
        until = time.monotonic() + (TURN_SECONDS if self._seconds is None else self._seconds)
        for _step in self._steps:
            if time.monotonic() >= until:
                return
        self._turn.stop()
        self.done.emit()
