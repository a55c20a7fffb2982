"""Sweeps in the background: frozen project in, frozen answer out, from a worker process of this room."""

from PySide6.QtCore import QObject, Signal

from app.jobs.asker import Asker, Fault
from app.jobs.work import Kind, ProveAsk
from core.model.project import Project


class Prover(QObject):
    """Proves one project at a time; a newer one ends the sweep of the one before."""

    profiled = Signal(object, object)
    """Project, profiles."""
    proved = Signal(object, object)
    """Project, result; a stopped sweep tells what it has."""
    progressed = Signal(float)
    running_changed = Signal()
    failed = Signal(object)
    """Fault: there will be no answer."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.running = False
        self.share = 0.0
        self.fault: Fault | None = None
        self._asker = Asker(self)
        self._asker.told.connect(self._take)
        self._asker.failed.connect(self._fail)
        self._asker.warm()

    def start(self, project: Project) -> None:
        """Sweep `project`, after ending what is being swept."""
        self.share = 0.0
        self.fault = None
        self._asker.ask(ProveAsk(project))
        self._set_running(running=True)

    def stop(self) -> None:
        """Ask the sweep to end; `proved` then tells what it has."""
        self._asker.stop()

    def end(self) -> None:
        """Let the process go, for when the window closes; no signal follows."""
        self._asker.end()

    def pid(self) -> int | None:
        """The process that proves."""
        return self._asker.pid()

    def _take(self, ask: ProveAsk, kind: Kind, what: object) -> None:
        if kind == "progressed" and isinstance(what, float):
            self.share = what
            self.progressed.emit(what)
        elif kind == "profiled":
            self.profiled.emit(ask.project, what)
        elif kind == "proved":
            self._set_running(running=False)
            self.proved.emit(ask.project, what)

    def _fail(self, _ask: ProveAsk, fault: Fault) -> None:
        self.fault = fault
        self._set_running(running=False)
        self.failed.emit(fault)

    def _set_running(self, *, running: bool) -> None:
        self.running = running
        self.running_changed.emit()
