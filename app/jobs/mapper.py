"""Two-drive maps in the background: one frozen question in, a coarse map out, then a finer one."""

from PySide6.QtCore import QObject, Signal

from app.jobs.asker import Asker, Fault
from app.jobs.work import Kind, MapAsk

__all__ = ["MapAsk", "Mapper"]


class Mapper(QObject):
    """Maps one question at a time; a newer one ends the one before. The process starts with the first question."""

    mapped = Signal(object, object)
    """MapAsk, DriveMap: first coarse, then finer where that decides as much."""
    running_changed = Signal()
    failed = Signal(object)
    """Fault: there will be no map."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.running = False
        self._asker = Asker(self)
        self._asker.told.connect(self._take)
        self._asker.failed.connect(self._fail)

    def warm(self) -> None:
        """Have the process started before the first question."""
        self._asker.warm()

    def ask(self, ask: MapAsk | None) -> None:
        """Map this; None ends what is being mapped."""
        self._asker.ask(ask)
        self._set_running(running=ask is not None)

    def end(self) -> None:
        """Let the process go, for when the window closes; no signal follows."""
        self._asker.end()

    def pid(self) -> int | None:
        """The process that maps, where there is one."""
        return self._asker.pid()

    def _take(self, ask: MapAsk, kind: Kind, what: object) -> None:
        if kind == "mapped":
            self.mapped.emit(ask, what)
        elif kind == "finished":
            self._set_running(running=False)

    def _fail(self, _ask: MapAsk, fault: Fault) -> None:
        self._set_running(running=False)
        self.failed.emit(fault)

    def _set_running(self, *, running: bool) -> None:
        if running != self.running:
            self.running = running
            self.running_changed.emit()
