"""What a worker process does: one frozen question after another from a pipe, the newest first, its answers back. Knows no Qt."""

import contextlib
import gc
import os
import pickle
import signal
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from multiprocessing.connection import Connection
from multiprocessing.reduction import ForkingPickler
from queue import SimpleQueue
from typing import TYPE_CHECKING, Literal

import numpy as np

from app.jobs.file_ask import FileAsk, PageAsk
from app.jobs.told_again import ToldBefore
from core.model.names import DriveName
from core.model.project import Project
from core.sweep.drive_map import UNDECIDED, Others, map_of
from core.sweep.kept import Kept
from core.sweep.profile import Profile, Profiles
from core.sweep.result import SweepResult
from core.sweep.run import check_project
from core.tolerances import DEFAULT_TOLERANCES

if TYPE_CHECKING:
    from app.jobs.hand_over_file import HandOverFiles

COARSE, FINE = 60, 240
"""Intervals along each drive's travel that are sampled at once, before anything is proved, and when all is."""
LEAVES = (2.0, 0.5)
"""Largest side of a cell, drive units, of the maps that are made one after the other."""
BOXES = 20_000
"""Boxes a row that a map may take."""
BEHIND = 5
"""How far a worker stands behind the window where both want a processor (as `nice` counts)."""
REST_SECONDS = 1.5
"""After the answer, until what no one waits for is begun."""
PROGRESS_SECONDS = 0.03
"""Progress is told no more often than a window can show it."""

Kind = Literal[
    "ready", "prepared", "profiled", "progressed", "proved", "followed", "boxed", "mapped", "made", "paged", "finished", "failed", "died"
]
"""What a message from a worker is about; `finished` is the last of a question that neither failed nor was left.

prepared: PoseGaps. profiled: profiles. progressed: share done. proved: SweepResult. followed: SweepResult of verdicts, of a live
question or ahead of the first. boxed: SafeBox, or None where there are no drives. mapped: DriveMap. made: Made. paged: PageImage.
failed: the error, short and with its traceback. died: exit code.
"""


@dataclass(frozen=True, slots=True, eq=False)
class ProveAsk:
    """A project to be sampled and swept; one record a question, told apart by identity.

    live: it is a state that an edit passes through, of which only the verdict is wanted.
    """

    project: Project
    live: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class MapAsk:
    """What is to be mapped; one record a question, told apart by identity."""

    project: Project
    drives: tuple[DriveName, DriveName]
    others: Others


Ask = ProveAsk | MapAsk | FileAsk | PageAsk


class Inbox:
    """The questions of a pipe: only the newest counts. `halted` is set where it is to be ended with what there is."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._there = threading.Condition()
        self._asked: tuple[int, Ask | None] = (0, None)
        self.newest = 0
        self.halted = 0
        self.forgets = False

    def listen(self) -> None:
        """Take messages (number, question or None), (number, "stop") or (number, "forget") until the pipe closes; the process ends with it.

        It ends at once, also in the middle of a question: who asked is gone.
        """
        with contextlib.suppress(EOFError, OSError):
            while True:
                self._take(*self._connection.recv())
        os._exit(0)

    def _take(self, number: int, what: Ask | Literal["stop", "forget"] | None) -> None:
        if what == "stop":
            self.halted = number
            return
        if what == "forget":
            self.forgets = True
            return
        with self._there:
            self._asked = (number, what)
            self.newest = number
            self._there.notify()

    def wait(self, after: int) -> tuple[int, Ask | None]:
        """The newest question with a number above `after`."""
        with self._there:
            self._there.wait_for(lambda: self.newest > after)
            return self._asked

    def quiet(self, number: int, seconds: float) -> bool:
        """Wait so long for a question newer than `number`; whether none came."""
        with self._there:
            return not self._there.wait_for(lambda: self.newest != number, timeout=seconds)


class _Answering:
    """One question being answered: says what is found while it is still the newest."""

    def __init__(self, number: int, inbox: Inbox, tell: Callable[[int, Kind, object], None]) -> None:
        self._number, self._inbox, self._tell = number, inbox, tell
        self._told = 0.0

    def wanted(self) -> bool:
        return self._inbox.newest == self._number

    def rests(self, seconds: float) -> bool:
        """Whether no newer question comes for so long."""
        return self._inbox.quiet(self._number, seconds)

    def tell(self, kind: Kind, what: object = None) -> None:
        if self.wanted():
            self._tell(self._number, kind, what)

    def goes_on(self, share: float) -> bool:
        now = time.perf_counter()
        if now - self._told >= PROGRESS_SECONDS:
            self._told = now
            self.tell("progressed", share)
        return self.wanted() and self._inbox.halted != self._number


class _Mouth:
    """Says what it is given, in order, on a thread of its own: whoever works need not wait until a long answer is through the pipe."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._before = ToldBefore()
        self._said: SimpleQueue[memoryview] = SimpleQueue()
        threading.Thread(target=self._say, name="baysweep-mouth", daemon=True).start()

    def tell(self, number: int, kind: Kind, what: object) -> None:
        """Say this as it is now."""
        sent = self._before.shorten(kind, what) if isinstance(what, SweepResult) else what
        self._said.put(ForkingPickler.dumps((number, kind, sent), pickle.HIGHEST_PROTOCOL))

    def _say(self) -> None:
        # Who asked is gone; the inbox hears of it too, and ends the process.
        with contextlib.suppress(OSError):
            while True:
                self._connection.send_bytes(self._said.get())


class _Files:
    """Makes files of the hand-over. Their writers take a while to import, and most processes never need them."""

    @cached_property
    def maker(self) -> "HandOverFiles":
        from app.jobs.hand_over_file import HandOverFiles  # noqa: PLC0415 - see above

        return HandOverFiles()


def serve(connection: Connection) -> None:
    """Answer the questions of a pipe until it closes; the target of a worker process."""
    # An interrupt from the terminal reaches the whole group; the window decides, and its end closes the pipe.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "nice"):
        os.nice(BEHIND)
    inbox = Inbox(connection)
    threading.Thread(target=inbox.listen, name="baysweep-inbox", daemon=True).start()
    kept, files, mouth = Kept(), _Files(), _Mouth(connection)
    # What is imported stays; going through it again and again for what may be let go would hold up every sweep.
    gc.freeze()
    mouth.tell(0, "ready", None)
    number = 0
    while True:
        number, ask = inbox.wait(number)
        if inbox.forgets:
            kept, inbox.forgets = Kept(), False
        _answer(ask, _Answering(number, inbox, mouth.tell), kept, files)


def told_fault(fault: Exception) -> tuple[str, str]:
    """An error, short and with its traceback, as `failed` tells it."""
    return f"{type(fault).__name__}: {fault}", "".join(traceback.format_exception(fault))


def _answer(ask: Ask | None, at: _Answering, kept: Kept, files: _Files) -> None:
    try:
        if isinstance(ask, ProveAsk):
            _prove(ask, at, kept)
        elif isinstance(ask, MapAsk):
            _map(ask, at)
        elif isinstance(ask, FileAsk):
            at.tell("made", files.maker.make(ask, at.goes_on))
        elif isinstance(ask, PageAsk):
            at.tell("paged", files.maker.page(ask, at.goes_on))
    except Exception as fault:  # noqa: BLE001 - whatever it is, the window must hear of it, and the next question still be answered
        at.tell("failed", told_fault(fault))
    else:
        at.tell("finished")


def _prove(ask: ProveAsk, at: _Answering, kept: Kept) -> None:
    project = ask.project
    if ask.live:
        at.tell("followed", check_project(project, seek="verdict", safe_anywhere=False, safe_box=False, progress=at.goes_on, kept=kept))
        return
    poses = kept.poses(project, DEFAULT_TOLERANCES)
    table = Profiles(project, poses=poses)
    _sample(table, COARSE, at)
    at.tell("prepared", poses)
    if at.wanted():
        at.tell("proved", check_project(project, safe_anywhere=False, safe_box=False, progress=at.goes_on, kept=kept, poses=poses))
        _sample(table, FINE, at)
        # So that the first state of an edit need not begin from nothing, neither here nor in what is told of it.
        at.tell(
            "followed",
            check_project(
                project, seek="verdict", safe_anywhere=False, safe_box=False, progress=lambda _share: at.wanted(), kept=kept, poses=poses
            ),
        )
    # It takes its time and hears of no newer question meanwhile, so it waits until the hand has come to rest.
    if at.rests(REST_SECONDS):
        at.tell("boxed", check_project(project, safe_anywhere=False, progress=lambda _share: at.wanted(), kept=kept, poses=poses).safe_box)


def _sample(table: Profiles, columns: int, at: _Answering) -> None:
    sampled: list[Profile] = []
    for drive in table.project.drives:
        if not at.wanted():
            return
        sampled += table.along(drive.name, columns)
    at.tell("profiled", tuple(sampled))


def _map(ask: MapAsk, at: _Answering) -> None:
    share = 1.0
    for leaf in LEAVES:
        if not at.wanted():
            return
        found = map_of(ask.project, *ask.drives, others=ask.others, leaf=leaf, boxes=BOXES, progress=lambda _share: at.wanted())
        open_share = float(np.mean(found.state == UNDECIDED))
        # A finer map that ran out of boxes would tell less than the coarse one.
        if open_share <= share:
            at.tell("mapped", found)
        share = open_share
