"""What a worker process does: one frozen question after another from a pipe, the newest first, its answers back. Knows no Qt."""

import contextlib
import os
import signal
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Literal

import numpy as np

from core.model.names import DriveName
from core.model.project import Project
from core.sweep.drive_map import UNDECIDED, Others, map_of
from core.sweep.profile import Profile, Profiles
from core.sweep.run import check_project

COARSE, FINE = 60, 240
"""Intervals along each drive's travel that are sampled at once, before anything is proved, and when all is."""
LEAVES = (2.0, 0.5)
"""Largest side of a cell, drive units, of the maps that are made one after the other."""
BOXES = 20_000
"""Boxes a row that a map may take."""
PROGRESS_SECONDS = 0.03
"""Progress is told no more often than a window can show it."""

Kind = Literal["ready", "profiled", "progressed", "proved", "mapped", "finished", "failed", "died"]
"""What a message from a worker is about; `finished` is the last of a question that neither failed nor was left."""


@dataclass(frozen=True, slots=True, eq=False)
class ProveAsk:
    """A project to be sampled and swept; one record a question, told apart by identity."""

    project: Project


@dataclass(frozen=True, slots=True, eq=False)
class MapAsk:
    """What is to be mapped; one record a question, told apart by identity."""

    project: Project
    drives: tuple[DriveName, DriveName]
    others: Others


Ask = ProveAsk | MapAsk


class Inbox:
    """The questions of a pipe: only the newest counts. `halted` is set where it is to be ended with what there is."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._there = threading.Condition()
        self._asked: tuple[int, Ask | None] = (0, None)
        self.newest = 0
        self.halted = 0

    def listen(self) -> None:
        """Take messages (number, question), (number, "stop") or (number, None) until the pipe closes; the process ends with it.

        It ends at once, also in the middle of a question: who asked is gone.
        """
        with contextlib.suppress(EOFError, OSError):
            while True:
                self._take(*self._connection.recv())
        os._exit(0)

    def _take(self, number: int, what: Ask | Literal["stop"] | None) -> None:
        if what == "stop":
            self.halted = number
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


class _Answering:
    """One question being answered: says what is found while it is still the newest."""

    def __init__(self, number: int, inbox: Inbox, tell: Callable[[int, Kind, object], None]) -> None:
        self._number, self._inbox, self._tell = number, inbox, tell
        self._told = 0.0

    def wanted(self) -> bool:
        return self._inbox.newest == self._number

    def tell(self, kind: Kind, what: object = None) -> None:
        if self.wanted():
            self._tell(self._number, kind, what)

    def goes_on(self, share: float) -> bool:
        now = time.perf_counter()
        if now - self._told >= PROGRESS_SECONDS:
            self._told = now
            self.tell("progressed", share)
        return self.wanted() and self._inbox.halted != self._number


def serve(connection: Connection) -> None:
    """Answer the questions of a pipe until it closes; the target of a worker process."""
    # An interrupt from the terminal reaches the whole group; the window decides, and its end closes the pipe.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    inbox = Inbox(connection)
    threading.Thread(target=inbox.listen, name="baysweep-inbox", daemon=True).start()
    with contextlib.suppress(OSError):
        connection.send((0, "ready", None))
        number = 0
        while True:
            number, ask = inbox.wait(number)
            _answer(ask, _Answering(number, inbox, lambda *message: connection.send(message)))


def _answer(ask: Ask | None, at: _Answering) -> None:
    try:
        if isinstance(ask, ProveAsk):
            _prove(ask, at)
        elif isinstance(ask, MapAsk):
            _map(ask, at)
    except OSError:
        raise
    except Exception as fault:  # noqa: BLE001 - whatever it is, the window must hear of it, and the next question still be answered
        at.tell("failed", (f"{type(fault).__name__}: {fault}", traceback.format_exc()))
    else:
        at.tell("finished")


def _prove(ask: ProveAsk, at: _Answering) -> None:
    table = Profiles(ask.project)
    _sample(table, COARSE, at)
    if not at.wanted():
        return
    at.tell("proved", check_project(ask.project, safe_anywhere=False, progress=at.goes_on))
    _sample(table, FINE, at)


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
