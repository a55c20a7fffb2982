"""The timeline's rows made where an answer is heard, on a thread beside the window: of a large bay they take longer than a frame."""

from collections import deque
from typing import NamedTuple

from app.jobs.work import Ask, Kind, ProveAsk
from core.model.project import Project
from core.sweep.profile import Profile
from core.sweep.result import SweepResult
from core.sweep.timeline import Timeline, timeline

KEPT = 4
"""Timelines kept: a window takes what it is told one after another, and may be as many behind."""


class _Made(NamedTuple):
    profiles: tuple[Profile, ...]
    result: SweepResult | None
    rows: Timeline


class RowsAhead:
    """Hears on one thread what is told of the question asked last, and is asked for rows on another."""

    def __init__(self) -> None:
        self._number = 0
        self._profiles: tuple[Profile, ...] = ()
        self._result: SweepResult | None = None
        self._made: deque[_Made] = deque(maxlen=KEPT)

    def hear(self, number: int, ask: Ask | None, kind: Kind, what: object) -> None:
        """Make the rows of what is told of question `number`, which is `ask`."""
        if not isinstance(ask, ProveAsk):
            return
        if isinstance(what, SweepResult):
            _ = what.solo_of  # a hand on a drive asks for them
        if ask.live:
            if kind == "followed" and isinstance(what, SweepResult):
                _ = what.pair_verdicts  # the sentence asks for them; no timeline is made of such an answer
            return
        if number != self._number:
            self._number, self._profiles, self._result = number, (), None
            self._made.clear()
        if kind == "profiled" and isinstance(what, tuple):
            self._profiles = what
        elif kind == "proved" and isinstance(what, SweepResult):
            self._result = what
        else:
            return
        self._made.append(_Made(self._profiles, self._result, timeline(ask.project, self._profiles, self._result)))

    def rows(self, project: Project, profiles: tuple[Profile, ...], result: SweepResult | None) -> Timeline:
        """The rows of these records: those made of the very same ones, otherwise made now."""
        made = (one.rows for one in tuple(self._made) if one.profiles is profiles and one.result is result)
        return next(made, None) or timeline(project, profiles, result)
