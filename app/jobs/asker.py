"""Asks a worker process one question at a time and hears its answers in the window's own thread."""

import logging
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from PySide6.QtCore import QObject, QTimer, Signal

from app.jobs.work import Ask, Kind
from app.jobs.worker import SPARES, Worker
from core.model.project import Project
from core.sweep.profile import Profile
from core.sweep.result import SweepResult
from core.sweep.timeline import Timeline, timeline


@dataclass(frozen=True, slots=True)
class Fault:
    """Why there is no answer: the worker process died (`detail` its exit code), or it met an error of the program (`detail` that)."""

    what: Literal["died", "error"]
    detail: str


APART = 2
"""Turns of the window from one message to the next: what one changes is painted before the next is taken."""


class _Message(NamedTuple):
    worker: Worker
    number: int
    kind: Kind
    what: object


class Asker(QObject):
    """A newer question ends the one before. The process is taken with the first question, or by `warm`; one that died is replaced.

    Messages that come together are told one after another, each in a turn of its own.
    """

    told = Signal(object, str, object)
    """Question, kind, what is told: of the newest question only."""
    failed = Signal(object, object)
    """Question, Fault."""

    _heard = Signal(object, int, str, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._worker: Worker | None = None
        self._asked: Ask | None = None
        self._number = 0
        self._waiting: deque[_Message] = deque()
        self._left = 0
        self.holds: Callable[[], bool] = lambda: False
        """Whether messages are to wait: what the one before set off goes on."""
        self._turn = QTimer(self, interval=0)
        self._turn.timeout.connect(self._pass)
        self._heard.connect(self._hear)

    def warm(self) -> None:
        """Have a worker started, so that the first answer does not wait for that."""
        if self._worker is None:
            self._have(SPARES.take())

    def ask(self, ask: Ask | None) -> None:
        """Ask this; None ends the question before."""
        if ask is None and self._asked is None:
            return
        self._asked = ask
        # What an answer waits for is painted first, also where one is there already.
        self._left = APART + 1
        if ask is not None:
            self.warm()
        if self._worker is not None:
            self._number = self._worker.ask(ask)

    def stop(self) -> None:
        """Let the question asked end with what there is."""
        if self._worker is not None and self._asked is not None:
            self._worker.stop(self._number)

    def end(self) -> None:
        """Let the worker go; no signal follows."""
        self._asked = None
        self._waiting.clear()
        self._turn.stop()
        if self._worker is not None:
            SPARES.give_back(self._worker)
            self._worker = None

    def rows(self, project: Project, profiles: tuple[Profile, ...], result: SweepResult | None) -> Timeline:
        """The rows of the timeline: those that were made when the answer was heard, otherwise made now."""
        return timeline(project, profiles, result) if self._worker is None else self._worker.rows.rows(project, profiles, result)

    def pid(self) -> int | None:
        """The worker's process, where there is one."""
        return self._worker.pid if self._worker is not None else None

    def _have(self, worker: Worker) -> None:
        self._worker = worker
        # The listener runs on the worker's thread; the signal brings what it hears to this object's.
        worker.listen(lambda number, kind, what: self._heard.emit(worker, number, kind, what))

    def _hear(self, worker: Worker, number: int, kind: Kind, what: object) -> None:
        if kind == "progressed" and self._waiting and self._waiting[-1].kind == kind:
            self._waiting.pop()  # only how far it is now is worth a turn
        self._waiting.append(_Message(worker, number, kind, what))
        self._turn.start()

    def _pass(self) -> None:
        if self.holds():
            return
        self._left = max(self._left - 1, 0)
        if self._waiting and not self._left:
            self._left = APART
            self._take(*self._waiting.popleft())
        elif not self._waiting and not self._left:
            self._turn.stop()

    def _take(self, worker: Worker, number: int, kind: Kind, what: object) -> None:
        if worker is not self._worker:
            return
        if kind == "died":
            self._replace(worker, str(what))
        elif number == self._number and self._asked is not None:
            ask = self._asked
            if kind == "failed" and isinstance(what, tuple):
                short, long = what
                logging.getLogger("baysweep").error("A worker process met an error:\n%s", long)
                self._asked = None
                self.failed.emit(ask, Fault("error", short))
            else:
                self.told.emit(ask, kind, what)

    def _replace(self, worker: Worker, exit_code: str) -> None:
        """A process that cannot even start is not started again before it is needed: that would go round for ever."""
        ask, self._asked, self._worker = self._asked, None, None
        logging.getLogger("baysweep").error("A worker process ended by itself, exit code %s", exit_code)
        worker.end()
        if worker.ready:
            self.warm()
        if ask is not None:
            self.failed.emit(ask, Fault("died", exit_code))
