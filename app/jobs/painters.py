"""Processes that paint a map beside each other, for a command; they end with it, however it ends."""

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing.connection import wait


@contextmanager
def painters(workers: int) -> Iterator[Executor | None]:
    """An executor of so many processes; None for one, which is quicker without any. At the end what is not begun is dropped."""
    if workers < 2:
        yield None
        return
    executor = ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn"), initializer=_begin)
    try:
        yield executor
    finally:
        executor.shutdown(wait=True, cancel_futures=True)


def _begin() -> None:
    """In each process: leave interrupts from the terminal to the command, and end when the command is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, name="baysweep-parent", daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)
