"""Worker processes from the window's side: started ahead, asked, listened to on a thread each, and ended. Knows no Qt."""

import contextlib
import multiprocessing
import threading
from collections.abc import Callable
from dataclasses import dataclass, field

from app.jobs.rows_ahead import RowsAhead
from app.jobs.told_again import Shortened, ToldBefore
from app.jobs.work import Ask, Kind, ProveAsk, serve, told_fault
from core.model.project import Project

END_SECONDS = 5.0
"""How long a process is waited for that was told to end; it ends at once unless the machine is busy."""

Listener = Callable[[int, Kind, object], None]
"""Number of the question, kind, what is told. Called on the worker's own thread."""


@dataclass(frozen=True, slots=True, eq=False)
class _Ahead:
    """A question that was asked before anyone could listen, and what was told of it."""

    number: int
    ask: ProveAsk
    told: list[tuple[Kind, object]] = field(default_factory=list)

    def answers(self, ask: Ask | None) -> bool:
        """Whether what is asked now is the same."""
        return isinstance(ask, ProveAsk) and (ask.project, ask.live) == (self.ask.project, self.ask.live)


class Worker:
    """One process and the thread that hears it. The process ends with this one, however this one ends: its pipe closes then."""

    def __init__(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=serve, args=(theirs,), name="baysweep-worker", daemon=True)
        self._process.start()
        theirs.close()
        self._lock = threading.RLock()
        self._listener: Listener | None = None
        self._ready = False
        self._waiting: list[tuple[int, Ask | str | None]] = []
        self._asked: tuple[int, Ask | None] = (0, None)
        self.rows = RowsAhead()
        self._before = ToldBefore()
        self._ahead: _Ahead | None = None
        self._thread = threading.Thread(target=self._hear, name="baysweep-hears-worker", daemon=True)
        self._thread.start()

    @property
    def pid(self) -> int | None:
        """The number that the system knows the process by."""
        return self._process.pid

    @property
    def ready(self) -> bool:
        """Whether the process has started up."""
        return self._ready

    def alive(self) -> bool:
        """Whether the process runs."""
        return self._process.is_alive()

    def listen(self, listener: Listener | None) -> None:
        """Let `listener` hear what is told; None lets nobody, not even what is being told now."""
        with self._lock:
            self._listener = listener

    def ask(self, ask: Ask | None) -> int:
        """Ask, which ends the question before; None only ends it. The number comes back with every answer.

        What was asked ahead, of the same project, is not asked again: the listener hears at once what was told of it so far.
        """
        with self._lock:
            ahead, self._ahead = self._ahead, None
            if ahead is not None and ahead.answers(ask):
                for kind, what in ahead.told:
                    self._pass_on(ahead.number, kind, what)
                return ahead.number
            number = self._asked[0] + 1
            self._asked = (number, ask)
            # What was not sent yet is out of date.
            self._waiting = []
            self._send(number, ask)
            return number

    def ask_ahead(self, project: Project) -> None:
        """Begin to prove what is about to be asked for; what is told of it is kept until then."""
        with self._lock:
            ask = ProveAsk(project)
            self._ahead = _Ahead(self.ask(ask), ask)

    def stop(self, number: int) -> None:
        """Let a question end with what there is."""
        with self._lock:
            self._send(number, "stop")

    def forget(self) -> None:
        """End the question asked, and let nothing be known of it when the next comes: that is another window's."""
        with self._lock:
            self.ask(None)
            self._send(self._asked[0], "forget")

    def end(self) -> None:
        """End the process and the thread."""
        self.listen(None)
        self._process.kill()
        self._process.join(END_SECONDS)
        self._thread.join(END_SECONDS)
        self._pipe.close()

    def _send(self, number: int, what: Ask | str | None) -> None:
        if not self._ready:
            # A pipe that nobody empties yet would hold up the window once it is full.
            self._waiting.append((number, what))
            return
        # That the process is gone is told by the thread that hears it.
        with contextlib.suppress(OSError):
            self._pipe.send((number, what))

    def _hear(self) -> None:
        with contextlib.suppress(EOFError, OSError):
            while True:
                number, kind, what = self._pipe.recv()
                if kind == "ready":
                    self._begin()
                    continue
                self._pass_on(number, *self._made_whole(number, kind, what))
        self._process.join(END_SECONDS)
        self._pass_on(0, "died", self._process.exitcode)

    def _made_whole(self, number: int, kind: Kind, what: object) -> tuple[Kind, object]:
        """What was heard, whole again and its rows made, not under the lock: whoever asks meanwhile does not wait for them."""
        asked, ask = self._asked
        try:
            if isinstance(what, Shortened):
                # Also where nobody waits for it any more: the next answer is told by this one.
                what = self._before.whole(kind, what)
            if number == asked:
                self.rows.hear(number, ask, kind, what)
        except Exception as fault:  # noqa: BLE001 - whatever it is, the window must hear of it, and this thread go on hearing
            return "failed", told_fault(fault)
        return kind, what

    def _begin(self) -> None:
        with self._lock:
            self._ready = True
            for message in self._waiting:
                self._send(*message)
            self._waiting = []

    def _pass_on(self, number: int, kind: Kind, what: object) -> None:
        with self._lock:
            if self._ahead is not None and number == self._ahead.number:
                if kind != "progressed":
                    self._ahead.told.append((kind, what))
            elif self._listener is not None:
                self._listener(number, kind, what)


class Spares:
    """Workers that run and are not in use. `keep` of those that come back are kept for the next window; none in the program."""

    def __init__(self, keep: int = 0) -> None:
        self.keep = keep
        self._idle: list[Worker] = []

    def start(self, project: Project | None = None) -> None:
        """Start one ahead, unless one is there. project: is about to be opened, so it begins to prove that."""
        if not self._idle:
            self._idle.append(Worker())
        if project is not None:
            self._idle[-1].ask_ahead(project)

    def take(self) -> Worker:
        """One that runs, started ahead where there is one."""
        while self._idle:
            worker = self._idle.pop()
            if worker.alive():
                return worker
            worker.end()
        return Worker()

    def give_back(self, worker: Worker) -> None:
        """Keep it, or end it."""
        worker.listen(None)
        if len(self._idle) < self.keep and worker.alive():
            worker.forget()
            self._idle.append(worker)
        else:
            worker.end()

    def pids(self) -> set[int]:
        """The processes that are kept."""
        return {worker.pid for worker in self._idle if worker.pid is not None}

    def end(self) -> None:
        """End those that are not in use."""
        while self._idle:
            self._idle.pop().end()


SPARES = Spares()
"""The program's own."""
