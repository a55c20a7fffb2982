"""Sweeps in the background: frozen project in, frozen answer out, from a worker process of this room."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from app.jobs.asker import Asker, Fault
from app.jobs.work import Kind, ProveAsk
from core.model.project import Project
from core.sweep.profile import Profile
from core.sweep.result import SweepResult
from core.sweep.timeline import Timeline


class Prover(QObject):
    """Proves one project at a time; a newer one ends the sweep of the one before."""

    prepared = Signal(object, object)
    """Project, its PoseGaps."""
    profiled = Signal(object, object)
    """Project, profiles."""
    proved = Signal(object, object)
    """Project, result; a stopped sweep tells what it has."""
    followed = Signal(object, object)
    """Project, result: verdicts of a state that an edit passed through."""
    boxed = Signal(object, object)
    """Project, its SafeBox; some time after it is proved."""
    progressed = Signal(float)
    running_changed = Signal()
    failed = Signal(object)
    """Fault: there will be no answer."""

    def __init__(self, parent: QObject | None = None, *, holds: Callable[[], bool] = lambda: False) -> None:
        """`holds`: whether what is heard is to wait, since what was told last is still being shown."""
        super().__init__(parent)
        self.running = False
        self.share = 0.0
        self.fault: Fault | None = None
        self._following: ProveAsk | None = None
        self._follow_next: Project | None = None
        self._asker = Asker(self)
        self._asker.holds = holds
        self._asker.told.connect(self._take)
        self._asker.failed.connect(self._fail)
        self._asker.warm()

    def start(self, project: Project) -> None:
        """Sweep `project`, after ending what is being swept."""
        self.share = 0.0
        self.fault = None
        self._following = self._follow_next = None
        self._asker.ask(ProveAsk(project))
        self._set_running(running=True)

    def follow(self, project: Project) -> None:
        """Find the verdict of a state that an edit passes through; `followed` tells it. That is no sweep that runs.

        A verdict that is being found is not given up for a newer state: a hand that does not rest would never see one, and
        what is found of untouched pairs serves the next state too. Of the states that come meanwhile only the newest is asked.
        """
        if self._following is not None:
            self._follow_next = project
            return
        self.fault = None
        self._following = ProveAsk(project, live=True)
        self._asker.ask(self._following)
        if self.running:
            self._set_running(running=False)

    def leave(self) -> None:
        """End what is being swept; nothing is told of it."""
        self._following = self._follow_next = None
        self._asker.ask(None)
        if self.running:
            self._set_running(running=False)

    def stop(self) -> None:
        """Ask the sweep to end; `proved` then tells what it has."""
        self._asker.stop()

    def end(self) -> None:
        """Let the process go, for when the window closes; no signal follows."""
        self._asker.end()

    def rows(self, project: Project, profiles: tuple[Profile, ...], result: SweepResult | None) -> Timeline:
        """The rows of the timeline of what was told; made already, on another thread, where it was told of `project` last."""
        return self._asker.rows(project, profiles, result)

    def pid(self) -> int | None:
        """The process that proves."""
        return self._asker.pid()

    def _take(self, ask: ProveAsk, kind: Kind, what: object) -> None:
        if ask.live:
            if kind == "followed":
                self._go_on_following()
                self.followed.emit(ask.project, what)
        elif kind == "progressed" and isinstance(what, float):
            self.share = what
            self.progressed.emit(what)
        elif kind == "prepared":
            self.prepared.emit(ask.project, what)
        elif kind == "profiled":
            self.profiled.emit(ask.project, what)
        elif kind == "boxed":
            self.boxed.emit(ask.project, what)
        elif kind == "proved":
            self._set_running(running=False)
            self.proved.emit(ask.project, what)

    def _go_on_following(self) -> None:
        project, self._following, self._follow_next = self._follow_next, None, None
        if project is not None:
            self.follow(project)

    def _fail(self, _ask: ProveAsk, fault: Fault) -> None:
        self.fault = fault
        self._following = self._follow_next = None
        self._set_running(running=False)
        self.failed.emit(fault)

    def _set_running(self, *, running: bool) -> None:
        self.running = running
        self.running_changed.emit()
