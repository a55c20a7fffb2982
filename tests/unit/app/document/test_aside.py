"""Work kept aside: written while it is unsaved, put away when it is saved, found again only when its window is gone."""

import os
import signal
import socket
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QLockFile

from app.document.aside import ENDING, Aside, aside_from_bytes, aside_to_bytes, left_behind, throw_away
from app.document.document import Document
from core.model.edit_project import set_notes
from tests.unit.model.drawings import gate

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "aside"


@pytest.fixture
def document():
    made = Document()
    made.show(gate())
    return made


def crash(aside):
    """What a process that ends leaves: the file, and a lock that nobody holds."""
    aside._timer.stop()
    aside._lock.unlock()


def test_nothing_is_kept_while_nothing_is_changed(document, folder):
    aside = Aside(document, folder)
    assert not aside.keep()
    assert not folder.exists()


def test_a_hand_that_edits_asks_nothing_of_the_disk(document, folder, monkeypatch):
    aside = Aside(document, folder)
    asked = []
    monkeypatch.setattr(Path, "unlink", lambda self, **_: asked.append(self))
    document.begin("Note")
    for number in range(5):
        document.preview(set_notes(document.at_press, f"note {number}"))
    assert asked == []
    assert not aside.place.exists()


def test_what_could_not_be_put_away_is_tried_again(document, folder, monkeypatch, tmp_path):
    aside = Aside(document, folder)
    document.change("Note", lambda project: set_notes(project, "new"))
    assert aside.keep()

    def refuse(_self, **_):
        raise PermissionError

    with monkeypatch.context() as patch:
        patch.setattr(Path, "unlink", refuse)
        document.save(tmp_path / "gate.bay.json")
        assert aside.place.exists()
    aside.put_away()
    assert not aside.place.exists()


def test_a_change_is_kept_within_its_time_and_put_away_by_saving(document, folder, qtbot, tmp_path):
    aside = Aside(document, folder, every_ms=20)
    document.change("Note", lambda project: set_notes(project, "new"))
    qtbot.waitUntil(aside.place.exists)
    document.save(tmp_path / "gate.bay.json")
    assert not aside.place.exists()
    assert list(folder.iterdir()) == []


def test_work_of_a_window_that_lives_is_not_offered(document, folder):
    aside = Aside(document, folder)
    document.change("Note", lambda project: set_notes(project, "new"))
    assert aside.keep()
    assert left_behind(folder) == ()


def test_work_left_by_a_crash_is_found_with_its_file_and_time(document, folder, tmp_path):
    aside = Aside(document, folder)
    document.save(tmp_path / "gate.bay.json")
    document.change("Note", lambda project: set_notes(project, "new"))
    before = datetime.now(UTC)
    assert aside.keep()
    crash(aside)
    (found,) = left_behind(folder)
    assert found.project == set_notes(gate(), "new")
    assert found.file == tmp_path / "gate.bay.json"
    assert before <= found.when <= datetime.now(UTC)
    throw_away(found)
    assert left_behind(folder) == ()


def test_a_lock_of_a_process_that_is_gone_does_not_hide_its_work(document, folder):
    aside = Aside(document, folder)
    document.change("Note", lambda project: set_notes(project, "new"))
    assert aside.keep()
    crash(aside)
    lock = aside.place.with_name(aside.place.name.removesuffix(ENDING) + ".lock")
    # as QLockFile writes it: process, program, host; no process has this number
    lock.write_text(f"999999999\nbaysweep\n{socket.gethostname()}\n\n\n")
    assert len(left_behind(folder)) == 1


def test_the_state_at_the_press_is_kept_not_a_preview(document, folder):
    aside = Aside(document, folder)
    document.change("Note", lambda project: set_notes(project, "new"))
    document.begin("Note more")
    document.preview(set_notes(document.at_press, "half typed"))
    assert aside.keep()
    crash(aside)
    assert left_behind(folder)[0].project.notes == "new"


def test_the_newest_work_comes_first(folder):
    folder.mkdir()
    for day in (1, 3, 2):
        when = datetime(2026, 11, day, tzinfo=UTC)
        (folder / f"{day}{ENDING}").write_bytes(aside_to_bytes(set_notes(gate(), str(day)), None, when))
    assert [found.project.notes for found in left_behind(folder)] == ["3", "2", "1"]


@pytest.mark.parametrize("data", [b"", b"{}\n{}", b"[1]\n", b'{"baysweep_aside": 1, "file": null, "when": "soon"}\n{}', b"\xff\n"])
def test_what_cannot_be_understood_is_passed_over_and_left(data, folder):
    folder.mkdir()
    place = folder / f"x{ENDING}"
    place.write_bytes(data)
    assert left_behind(folder) == ()
    assert place.read_bytes() == data
    assert aside_from_bytes(data, place) is None


def test_a_folder_that_cannot_be_made_costs_the_net_only(document, tmp_path):
    (tmp_path / "aside").write_text("in the way")
    aside = Aside(document, tmp_path / "aside")
    document.change("Note", lambda project: set_notes(project, "new"))
    assert not aside.keep()
    assert (tmp_path / "aside").read_text() == "in the way"


def test_locks_are_let_go(document, folder):
    aside = Aside(document, folder)
    document.change("Note", lambda project: set_notes(project, "new"))
    aside.keep()
    aside.put_away()
    lock = QLockFile(str(folder / f"{aside._name}.lock"))
    assert lock.tryLock(0)
    lock.unlock()


KILLED = """
import os, signal, sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from app.document.aside import Aside
from app.document.document import Document
from core.model.edit_project import set_notes
from tests.unit.model.drawings import gate
app = QApplication([])
document = Document()
document.show(gate())
aside = Aside(document, Path(sys.argv[1]), every_ms=1)
document.change("Note", lambda project: set_notes(project, "nearly lost"))
while not aside.place.exists():
    app.processEvents()
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no process is killed by a signal there")
def test_the_work_of_a_process_that_is_killed_is_found(folder):
    root = Path(__file__).parents[4]
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(folder)], cwd=root, env={**os.environ, "QT_QPA_PLATFORM": "offscreen"}, check=False
    )
    assert done.returncode == -signal.SIGKILL
    (found,) = left_behind(folder)
    assert found.project.notes == "nearly lost"
