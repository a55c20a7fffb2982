"""Many cases in processes beside each other, one a core, for tests that each ask for the answer of one case.

Warnings are errors there, as they are in the tests.
"""

import multiprocessing
import os
import warnings
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from typing import Any, Self


class Beside:
    """`work` of every case, begun at once. Both are pickled: `work` stands at the top of a module."""

    def __init__(self, work: Callable[[Any], Any], cases: Sequence[Any]) -> None:
        self._work, self._cases = work, cases
        # Not forked: the tests that ran before may have left locks of Qt and of numpy's threads.
        self._pool = ProcessPoolExecutor(os.cpu_count(), mp_context=multiprocessing.get_context("spawn"), initializer=_strict)
        self._found: list[Future[Any]] = []

    def __enter__(self) -> Self:
        self._found = [self._pool.submit(self._work, case) for case in self._cases]
        return self

    def __exit__(self, *_: object) -> None:
        self._pool.shutdown(cancel_futures=True)

    def answer(self, number: int) -> Any:
        """The answer of one case; waits for it, and raises what it raised."""
        return self._found[number].result()


def _strict() -> None:
    warnings.simplefilter("error")
