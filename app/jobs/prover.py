"""Sweeps in the background: frozen project in, frozen answer out, on a thread of this room as all threads are."""

import threading

from PySide6.QtCore import QObject, QThread, Signal, Slot

from core.model.project import Project
from core.sweep.profile import Profile, Profiles
from core.sweep.result import SweepResult
from core.sweep.run import check_project

COARSE, FINE = 60, 240
"""Intervals along each drive's travel that are sampled at once, before anything is proved, and when all is."""


class _Worker(QObject):
    """Lives on the thread. Takes one project after another; `halt` ends the one being swept."""

    profiled = Signal(object, object)
    progressed = Signal(object, float)
    proved = Signal(object, object)

    def __init__(self) -> None:
        super().__init__()
        self.halt = threading.Event()
        self.newest: Project | None = None

    @Slot(object)
    def sweep(self, project: Project) -> None:
        if project is not self.newest:
            return
        table = Profiles(project)
        self._sample(project, table, COARSE)
        if project is not self.newest:
            return
        result: SweepResult = check_project(project, safe_anywhere=False, progress=lambda share: self._goes_on(project, share))
        self.proved.emit(project, result)
        self._sample(project, table, FINE)

    def _sample(self, project: Project, table: Profiles, columns: int) -> None:
        sampled: list[Profile] = []
        for drive in project.drives:
            if project is not self.newest:
                return
            sampled += table.along(drive.name, columns)
        self.profiled.emit(project, tuple(sampled))

    def _goes_on(self, project: Project, share: float) -> bool:
        self.progressed.emit(project, share)
        return project is self.newest and not self.halt.is_set()


class Prover(QObject):
    """Proves one project at a time; a newer one ends the sweep of the one before."""

    profiled = Signal(object, object)
    """Project, profiles."""
    proved = Signal(object, object)
    """Project, result; a stopped sweep tells what it has."""
    progressed = Signal(float)
    running_changed = Signal()

    _wanted = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.running = False
        self.share = 0.0
        self._thread = QThread(self)
        self._thread.setObjectName("baysweep-prover")
        self._worker = _Worker()
        self._worker.moveToThread(self._thread)
        self._wanted.connect(self._worker.sweep)
        self._worker.profiled.connect(self.profiled)
        self._worker.progressed.connect(self._progress)
        self._worker.proved.connect(self._finish)
        self._thread.start()

    def start(self, project: Project) -> None:
        """Sweep `project`, after ending what is being swept."""
        self._worker.newest = project
        self._worker.halt.clear()
        self.share = 0.0
        self._set_running(running=True)
        self._wanted.emit(project)

    def stop(self) -> None:
        """Ask the sweep to end; `proved` then tells what it has."""
        self._worker.halt.set()

    def end(self) -> None:
        """End the thread, for when the window closes; no signal follows."""
        self._worker.newest = None
        self.stop()
        self._thread.quit()
        self._thread.wait()

    def _progress(self, project: Project, share: float) -> None:
        if project is self._worker.newest:
            self.share = share
            self.progressed.emit(share)

    def _finish(self, project: Project, result: SweepResult) -> None:
        if project is self._worker.newest:
            self._set_running(running=False)
            self.proved.emit(project, result)

    def _set_running(self, *, running: bool) -> None:
        self.running = running
        self.running_changed.emit()
