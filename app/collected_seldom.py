"""When memory is searched for cycles: seldom while a command answers, and not within a frame of the board."""

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


@contextmanager
def collected_later() -> Iterator[None]:
    """Search for no cycles until its end: what is due is done by the next turn of the window that makes records.

    To be put round what a hand waits for: a search takes longer than a frame.
    """
    on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if on:
            gc.enable()
