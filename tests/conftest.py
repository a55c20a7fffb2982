"""Settings that every test stands on: no screen, no user's own files, no leaked threads or processes."""

import multiprocessing
import os
import tempfile
import threading

import pytest
from hypothesis import settings

from app.jobs.worker import SPARES

# Before anything imports Qt: windows are drawn in memory, and settings never come from the home of who runs the tests.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
_HOME = tempfile.TemporaryDirectory(prefix="baysweep-tests-")
for _name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME"):
    os.environ[_name] = _HOME.name

# Time limits an example would fail on a busy machine; the gate looks at the same examples each time.
settings.register_profile("desk", deadline=None)
settings.register_profile("gate", deadline=None, derandomize=True)
settings.load_profile("gate" if os.environ.get("CI") else "desk")

THREAD_END_SECONDS = 5.0
WARM = 2


@pytest.fixture(scope="session")
def qapp(qapp):
    """The one QApplication; pyqtgraph is told to let every mouse move through, so that tests need not wait for its timer.

    The clipboard is emptied at the end: in memory it lets go of what Python put there only after Python is gone, and crashes.
    """
    import pyqtgraph

    pyqtgraph.setConfigOption("mouseRateLimit", -1)
    yield qapp
    qapp.clipboard().clear()


@pytest.fixture(scope="session", autouse=True)
def warm_workers():
    """Worker processes of windows that are closed wait for the next window, so that not every test waits for one to start."""
    SPARES.keep = WARM
    yield SPARES
    SPARES.end()
    assert not multiprocessing.active_children()


@pytest.fixture(autouse=True)
def no_process_is_left_behind(warm_workers):
    """Fail a test that leaves a process running which is not kept for the next."""
    before = {process.pid for process in multiprocessing.active_children()}
    yield
    left = {process.pid for process in multiprocessing.active_children()} - before - warm_workers.pids()
    assert not left


@pytest.fixture(autouse=True)
def no_thread_is_left_behind():
    """Fail a test that leaves a thread running which would keep the program alive."""
    before = set(threading.enumerate())
    yield
    started = [thread for thread in threading.enumerate() if thread not in before and not thread.daemon]
    for thread in started:
        thread.join(THREAD_END_SECONDS)
    assert not [thread.name for thread in started if thread.is_alive()]
