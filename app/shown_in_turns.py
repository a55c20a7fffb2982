"""What follows a hand's edit in the window: in turns of its own, each painted in that turn and not with the hand's next frame."""

import time
from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from app.document.desk import Desk
from app.document.turns import Turns
from app.paint_now import paint_now

LONG_TURN = 0.03
"""Seconds after which a turn is at its end; what it changed is painted in the next."""


class ShownInTurns(QObject):
    """Shows things one after another in `widget`, a turn for each."""

    def __init__(self, desk: Desk, widget: QWidget, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._widget = desk, widget
        self._turns = Turns(self)

    @property
    def busy(self) -> bool:
        """Whether something is still to be shown, or painted."""
        return self._turns.busy

    def begin(self, *shows: Callable[[], object]) -> None:
        """Show these, instead of what was left to be shown."""
        self._turns.begin(*(partial(self._show, show) for show in shows))

    def clear(self) -> None:
        """Leave what was left to be shown."""
        self._turns.clear()

    def paint(self, seconds: float) -> None:
        """Paint what has changed, in a turn that has taken so long already."""
        if seconds < LONG_TURN:
            paint_now(self._widget)

    def paint_beside_hand(self) -> None:
        """Paint what an answer has changed while a hand edits: it is no part of the next frame, which is the hand's."""
        if self._desk.document.in_gesture:
            paint_now(self._widget)

    def _show(self, show: Callable[[], object]) -> None:
        begun, edits = time.perf_counter(), self._desk.document.in_gesture
        show()
        if edits:
            self.paint(time.perf_counter() - begun)
            self._desk.following.took(time.perf_counter() - begun, more=True)
