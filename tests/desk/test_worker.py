"""The worker processes behind the window: they end with it, however it ends; one that dies is replaced, and errors are told."""

import contextlib
import multiprocessing
import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from app.command_line import sample_files
from app.jobs.work import MapAsk, ProveAsk
from app.jobs.worker import Spares, Worker
from core.model.edit_placing import place_bodies
from core.model.placing import moving
from core.project_file.read import read_project
from core.sweep.run import check_project
from tests.pictures import ROOT

START_SECONDS = 60
PROOF_MS = 60_000
TOLD = ["profiled", "prepared", "proved", "profiled", "followed", "boxed", "finished"]
"""What a worker tells of a project, in order."""


def gone(pid):
    """Whether no process of this number runs; one that only waits to be reaped counts as gone."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] == "Z"
    except OSError:
        return True


def wait_until(holds):
    until = time.monotonic() + START_SECONDS
    while not holds():
        assert time.monotonic() < until
        time.sleep(0.01)


def children(pid):
    """The processes that `pid` has started and that run."""
    found = []
    for entry in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            parent = int((entry / "stat").read_text().rpartition(")")[2].split()[1])
            if parent == pid and not gone(entry.name):
                found.append(int(entry.name))
    return found


def mapped_files(pid):
    """The libraries and files that a process has loaded; empty once it is gone."""
    with contextlib.suppress(OSError):
        return Path(f"/proc/{pid}/maps").read_text()
    return ""


def ended_by(program, way):
    """Send a signal, and tell whether the program has ended; one that comes while Python starts up may be passed over."""
    program.send_signal(way)
    with contextlib.suppress(subprocess.TimeoutExpired):
        program.wait(1.0)
    return program.returncode is not None


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="looks for the process under /proc")
@pytest.mark.parametrize("way", [signal.SIGKILL, signal.SIGINT], ids=["killed", "interrupted"])
@pytest.mark.parametrize(
    "start", [[sys.executable, "-m", "app"], [str(Path(sys.executable).with_name("baysweep"))]], ids=["module", "script"]
)
def test_the_process_that_proves_knows_no_qt_and_ends_with_the_program(start, way):
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    program = subprocess.Popen([*start, str(sample_files()["owl_head"])], env=environment, cwd=ROOT)
    try:
        wait_until(lambda: program.poll() is not None or any("shapely" in mapped_files(pid) for pid in children(program.pid)))
        assert program.poll() is None
        started = children(program.pid)
        # Where Qt is loaded in the program, it has had the time to be loaded in the other process too.
        wait_until(lambda: program.poll() is not None or "PySide6" in mapped_files(program.pid))
        assert not [pid for pid in started if "PySide6" in mapped_files(pid)]
        wait_until(lambda: ended_by(program, way))
        assert program.returncode != 0
    finally:
        program.kill()
        program.wait()
    wait_until(lambda: all(gone(pid) for pid in started))


def test_a_process_that_dies_is_replaced_and_the_window_says_so(window, qtbot, caplog):
    with qtbot.waitSignal(window.desk.prover.profiled, timeout=PROOF_MS):
        window.open_sample("lock_gate")
    before = window.desk.prover.pid()
    with qtbot.waitSignal(window.desk.prover.failed, timeout=PROOF_MS):
        os.kill(before, signal.SIGKILL)
    assert not window.desk.prover.running
    assert window.sheet.sentence.text().startswith("Not proved: the process that proves ended by itself (-9).")
    assert window.job_bar.state_of("Gaps") == "not proved"
    assert "ended by itself" in caplog.text
    assert window.desk.prover.pid() not in (None, before)
    with qtbot.waitSignal(window.desk.prover.proved, timeout=PROOF_MS):
        window.actions_by_name["sweep"].trigger()
        window.desk.prover.stop()
    assert not window.sheet.sentence.text().startswith("Not proved")


def test_an_error_in_the_process_is_told_and_the_next_question_is_answered(window, qtbot, caplog):
    with qtbot.waitSignal(window.desk.prover.failed, timeout=PROOF_MS):
        window.desk.prover.start("not a project")
    assert window.desk.prover.fault.what == "error"
    assert "AttributeError" in window.desk.prover.fault.detail
    assert "Traceback" in caplog.text
    with qtbot.waitSignal(window.desk.prover.proved, timeout=PROOF_MS):
        window.open_sample("barrier_arm")
    assert window.desk.prover.fault is None


def test_a_newer_question_ends_the_one_before(window, qtbot):
    told = []
    window.desk.prover.proved.connect(lambda project, _result: told.append(project.name))
    with qtbot.waitSignal(window.desk.prover.proved, timeout=PROOF_MS):
        window.open_sample("owl_head")
        window.open_sample("barrier_arm")
    assert told == ["Barrier arm"]


def test_a_map_whose_process_dies_is_told_of(opened, qtbot, caplog):
    window = opened("petal_lamp")
    window.desk.two_drives.set_others("any")
    window.show_step("Gaps")
    window.actions_by_name["two_drive_map"].trigger()
    with qtbot.waitSignal(window.desk.two_drives._mapper.failed, timeout=PROOF_MS):
        os.kill(window.desk.two_drives.pid(), signal.SIGKILL)
    assert window.sheet.map.told.whole().startswith("Not mapped: the process that maps ended by itself (-9).")
    assert window.sheet.map.state.whole() == "not mapped"
    assert "ended by itself" in caplog.text


def test_a_worker_answers_in_order_and_a_stopped_sweep_tells_what_it_has():
    heard = []
    worker = Worker()
    worker.listen(lambda number, kind, what: heard.append((number, kind, what)))
    project = read_project(sample_files()["petal_lamp"])
    left = worker.ask(MapAsk(project, (project.drives[0].name, project.drives[1].name), "any"))
    number = worker.ask(ProveAsk(project))
    worker.stop(number)
    wait_until(lambda: heard and heard[-1][1] == "finished")
    worker.end()
    kinds = [kind for of, kind, _ in heard if of == number and kind != "progressed"]
    assert kinds == TOLD
    assert left not in {of for of, _, _ in heard}
    result = next(what for _, kind, what in heard if kind == "proved")
    assert result.stopped


def test_answers_that_follow_a_hand_are_whole_also_where_one_between_was_not_waited_for():
    heard = []
    project = read_project(sample_files()["petal_lamp"])
    section = project.sections[0]
    states = [place_bodies(project, section.name, (section.bodies[-1].name,), moving(shift=(shift, 0.0))) for shift in (0.0, 0.4, 0.8, 0.2)]
    worker = Worker()
    worker.listen(lambda number, kind, what: heard.append((number, kind, what)))
    for number, state in enumerate(states):
        asked = worker.ask(ProveAsk(state, live=True))
        if number != 1:
            wait_until(lambda asked=asked: any((of, kind) == (asked, "followed") for of, kind, _ in heard))
            told = next(what for of, kind, what in heard if (of, kind) == (asked, "followed"))
            alone = check_project(state, seek="verdict", safe_anywhere=False, safe_box=False)
            assert replace(told, work=alone.work) == alone
    worker.end()


def test_an_error_while_rows_are_made_is_told_and_the_worker_is_still_heard(monkeypatch):
    heard = []
    worker = Worker()
    worker.listen(lambda number, kind, what: heard.append((number, kind, what)))

    def fault(*_):
        raise ValueError("no rows")

    with monkeypatch.context() as broken:
        broken.setattr("app.jobs.rows_ahead.timeline", fault)
        first = worker.ask(ProveAsk(read_project(sample_files()["barrier_arm"])))
        wait_until(lambda: any(kind == "failed" for _, kind, _ in heard))
        short, long = next(what for of, kind, what in heard if (of, kind) == (first, "failed"))
    assert short == "ValueError: no rows"
    assert "Traceback" in long
    second = worker.ask(ProveAsk(read_project(sample_files()["barrier_arm"])))
    wait_until(lambda: any((of, kind) == (second, "proved") for of, kind, _ in heard))
    worker.end()


def test_spare_workers_are_kept_up_to_their_number_and_ended():
    spares = Spares(keep=1)
    first, second = spares.take(), spares.take()
    pids = {first.pid, second.pid}
    spares.give_back(first)
    spares.give_back(second)
    assert spares.pids() == {first.pid}
    assert not second.alive()
    assert spares.take() is first
    spares.give_back(first)
    spares.end()
    assert not pids & {process.pid for process in multiprocessing.active_children()}


def test_a_worker_keeps_its_answers_for_one_window_and_forgets_them_for_the_next():
    project = read_project(sample_files()["barrier_arm"])
    spares, heard = Spares(keep=1), []

    def boxes_of_a_proof(worker):
        worker.listen(lambda number, kind, what: heard.append((number, kind, what)))
        number = worker.ask(ProveAsk(project))
        wait_until(lambda: any((of, kind) == (number, "proved") for of, kind, _ in heard))
        return next(what.work.boxes for of, kind, what in heard if (of, kind) == (number, "proved"))

    worker = spares.take()
    first = boxes_of_a_proof(worker)
    assert first > 0
    assert boxes_of_a_proof(worker) == 0
    spares.give_back(worker)
    assert spares.take() is worker
    assert boxes_of_a_proof(worker) == first
    worker.end()


def test_what_is_asked_ahead_is_told_to_whoever_asks_the_same_and_is_not_swept_twice():
    file = sample_files()["barrier_arm"]
    spares, heard = Spares(), []
    spares.start(read_project(file))
    worker = spares.take()
    worker.listen(lambda number, kind, what: heard.append((number, kind, what)))
    wait_until(lambda: any(kind == "proved" for kind, _ in worker._ahead.told))
    assert not heard
    number = worker.ask(ProveAsk(read_project(file)))
    wait_until(lambda: heard and heard[-1][1] == "finished")
    worker.end()
    assert {of for of, _, _ in heard} == {number}
    assert [kind for _, kind, _ in heard if kind != "progressed"] == [
        "profiled",
        "prepared",
        "proved",
        "profiled",
        "followed",
        "boxed",
        "finished",
    ]
    assert next(what for _, kind, what in heard if kind == "proved").work.boxes > 0


@pytest.mark.parametrize("after", [ProveAsk(read_project(sample_files()["signal_lantern"])), None], ids=["another project", "nothing"])
def test_what_is_asked_ahead_is_not_told_to_whoever_asks_something_else(after):
    heard = []
    worker = Worker()
    worker.listen(lambda number, kind, what: heard.append((number, kind, what)))
    worker.ask_ahead(read_project(sample_files()["barrier_arm"]))
    ahead = worker._ahead
    wait_until(lambda: any(kind == "profiled" for kind, _ in ahead.told))
    worker.ask(after)
    last = worker.ask(ProveAsk(read_project(sample_files()["barrier_arm"])))
    wait_until(lambda: heard and heard[-1][:2] == (last, "finished"))
    worker.end()
    assert last != ahead.number
    assert not [what for _, _, what in heard if any(what is told for _, told in ahead.told if told is not None)]
    assert next(kind for of, kind, _ in heard if of == last and kind != "progressed") == "profiled"
