"""Things done one after another, each in turns of the window of its own, so that none holds it up for long."""

from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer

APART = 3
"""Turns from one thing to the next: what it changes is painted in between, and so is what that in turn has put off by a turn."""


class Turns(QObject):
    """A queue that is worked off by the event loop."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._todo: deque[Callable[[], object]] = deque()
        self._left = APART
        self._turn = QTimer(self, interval=0)
        self._turn.timeout.connect(self._pass)

    @property
    def busy(self) -> bool:
        """Whether something is still to be done, or painted."""
        return self._turn.isActive()

    def begin(self, *todo: Callable[[], object]) -> None:
        """Do these instead of what was left to be done."""
        self._todo = deque(todo)
        self._left = APART
        self._turn.start()

    def clear(self) -> None:
        """Leave what was left to be done."""
        self._todo.clear()
        self._turn.stop()

    def _pass(self) -> None:
        self._left -= 1
        if self._left > 0:
            return
        self._left = APART
        if not self._todo:
            self._turn.stop()
            return
        self._todo.popleft()()
