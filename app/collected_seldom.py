"""When memory is searched for cycles: seldom while a command answers, and not while a hand holds something."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager

NEW_ONES = 200_000
"""Records made between two searches; the interpreter's own number, some hundreds, is meant for programs that go on for long."""

WHILE_OPEN = (50_000, 20, 10)
"""Thresholds of the three generations while a window is open: the first answer of a large bay is some 100,000 records."""


@contextmanager
def collected_seldom() -> Iterator[None]:
    """Search for cycles seldom: the answer of a large bay is a great many records that all stay, looked through again and again.

    To be put round a command, or over it: it is at its end within seconds, and hands its memory back then.
    """
    before = gc.get_threshold()
    gc.set_threshold(NEW_ONES, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)


def collect_later(*, held: bool) -> None:
    """Search for no cycles while something is `held` by a hand, and again once it is not: a search takes longer than a frame."""
    (gc.disable if held else gc.enable)()
