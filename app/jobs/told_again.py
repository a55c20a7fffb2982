"""What of an answer goes through a worker's pipe? Checks that were told before go as their place then: an edit leaves most of them."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.sweep.result import Check, SweepResult

NEW = -1
"""In the place of a check that was not told before."""


@dataclass(frozen=True, slots=True, eq=False)
class Shortened:
    """An answer on its way. rest: the answer without its checks.

    places: (n,) int32, of every check, those without rules last: where it stood in the answer of this kind before, or `NEW`;
    the new ones are in `fresh`, in order. checks: how many of the n are not those without rules.
    """

    rest: SweepResult
    places: NDArray[np.int32]
    checks: int
    fresh: tuple[Check, ...]


class ToldBefore:
    """Held at both ends of a pipe, which see the same answers in the same order. Keeps the checks told last of each kind."""

    def __init__(self) -> None:
        self._last: dict[str, tuple[Check, ...]] = {}

    def shorten(self, kind: str, answer: SweepResult) -> Shortened:
        """What is to be sent; known are the very records of the answer before, which `core.sweep.kept` hands out again."""
        known = {id(check): place for place, check in enumerate(self._last.get(kind, ()))}
        told = (*answer.checks, *answer.without_rules)
        places = np.array([known.get(id(check), NEW) for check in told], dtype=np.int32)
        fresh = tuple(check for check, place in zip(told, places.tolist(), strict=True) if place == NEW)
        self._last[kind] = told
        return Shortened(replace(answer, checks=(), without_rules=()), places, len(answer.checks), fresh)

    def whole(self, kind: str, sent: Shortened) -> SweepResult:
        """The answer that was shortened."""
        before, fresh = self._last.get(kind, ()), iter(sent.fresh)
        told = tuple([next(fresh) if place == NEW else before[place] for place in sent.places.tolist()])
        self._last[kind] = told
        return replace(sent.rest, checks=told[: sent.checks], without_rules=told[sent.checks :])
