"""Two-drive maps in the background: one frozen question in, a coarse map out, then a finer one."""

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QObject, QThread, Signal, Slot

from core.model.names import DriveName
from core.model.project import Project
from core.sweep.drive_map import UNDECIDED, DriveMap, Others, map_of

LEAVES = (2.0, 0.5)
"""Largest side of a cell, drive units, of the maps that are made one after the other."""
BOXES = 20_000
"""Boxes a row that a map may take."""


@dataclass(frozen=True, slots=True, eq=False)
class MapAsk:
    """What is to be mapped; one record a question, told apart by identity."""

    project: Project
    drives: tuple[DriveName, DriveName]
    others: Others


class _Worker(QObject):
    """Lives on the thread. `newest` is the question that still matters; any other ends."""

    mapped = Signal(object, object)
    finished = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.newest: MapAsk | None = None

    @Slot(object)
    def answer(self, ask: MapAsk) -> None:
        share = 1.0
        for leaf in LEAVES:
            if ask is not self.newest:
                return
            found = map_of(ask.project, *ask.drives, others=ask.others, leaf=leaf, boxes=BOXES, progress=lambda _share: ask is self.newest)
            open_share = float(np.mean(found.state == UNDECIDED))
            # A finer map that ran out of boxes would tell less than the coarse one.
            if ask is self.newest and open_share <= share:
                self.mapped.emit(ask, found)
            share = open_share
        self.finished.emit(ask)


class Mapper(QObject):
    """Maps one question at a time; a newer one ends the one before. The thread starts with the first question."""

    mapped = Signal(object, object)
    """MapAsk, DriveMap: first coarse, then finer where that decides as much."""
    running_changed = Signal()

    _wanted = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.running = False
        self._thread = QThread(self)
        self._thread.setObjectName("baysweep-mapper")
        self._worker = _Worker()
        self._worker.moveToThread(self._thread)
        self._wanted.connect(self._worker.answer)
        self._worker.mapped.connect(self._pass_on)
        self._worker.finished.connect(self._finish)

    def ask(self, ask: MapAsk | None) -> None:
        """Map this; None ends what is being mapped."""
        self._worker.newest = ask
        if ask is not None:
            self._thread.start()
            self._wanted.emit(ask)
        self._set_running(running=ask is not None)

    def end(self) -> None:
        """End the thread, for when the window closes; no signal follows."""
        self._worker.newest = None
        self._thread.quit()
        self._thread.wait()

    def _pass_on(self, ask: MapAsk, found: DriveMap) -> None:
        if ask is self._worker.newest:
            self.mapped.emit(ask, found)

    def _finish(self, ask: MapAsk) -> None:
        if ask is self._worker.newest:
            self._set_running(running=False)

    def _set_running(self, *, running: bool) -> None:
        if running != self.running:
            self.running = running
            self.running_changed.emit()
