"""Thousands of random actions on the real window: nothing may fail, warn, or leave a project that its file does not keep.

A project is worked on for some hundred actions at a time, then saved, read again, undone to its beginning and redone to its end.
BAYSWEEP_RANDOM_ACTIONS sets how many actions there are, BAYSWEEP_RANDOM_SEED makes others; a failure tells its seed and the last actions.

The worker proves only now and then here, when the hand waits for it: a sweep that is asked for is held until then, so that the
same seed does the same. `test_hands_work_on_while_the_worker_proves` holds nothing, and `test_worker.py` and `test_live.py` are about
the worker itself.
"""

import os
import random
import time
from itertools import count

import pytest
from PySide6.QtCore import QCoreApplication, QEvent

from app.command_line import sample_files
from app.panels.shape_sentences import of_shape
from core.model.edit_project import new_project
from core.model.lookup import body_of, section_of
from core.model.project import Project
from core.project_file.read import project_from_bytes, read_project
from core.project_file.write import project_to_bytes
from tests.desk.random_hands import RandomHands

pytestmark = [
    # Cards, slips and the finder are windows of their own, which a window drawn in memory can neither raise nor give the keyboard.
    pytest.mark.qt_log_ignore("This plugin does not support", extend=True),
    pytest.mark.slow,
]

ACTIONS = int(os.environ.get("BAYSWEEP_RANDOM_ACTIONS", "5000"))
SEED = int(os.environ.get("BAYSWEEP_RANDOM_SEED", "1"))
EPISODE = 250
"""Turns of the hands on one project; a turn may be several actions, such as the clicks of a tool."""

WAIT_EVERY = 125
"""Turns after which the hand waits for the worker."""

PAINT_EVERY = 10
"""Turns after which the window is painted: that takes longer than the action itself."""

MOST_WAIT_MS = 4_000
"""A sweep that takes longer is stopped, as a user would, and what it has is taken."""

TOLD = 30
"""Turns that a failure tells."""


class Held:
    """Sweeps that were asked for and not begun: the newest alone counts."""

    def __init__(self, window, monkeypatch) -> None:
        self._window, self._start = window, window.desk.prover.start
        self.project: Project | None = None
        prover = window.desk.prover
        monkeypatch.setattr(prover, "start", self._hold)
        monkeypatch.setattr(prover, "follow", lambda _project: None)
        monkeypatch.setattr(prover, "leave", self._forget)

    def _hold(self, project: Project) -> None:
        self.project = project

    def _forget(self) -> None:
        self.project = None

    def let_prove(self, qtbot) -> str:
        """Let the worker prove what is at hand, and wait for it."""
        desk, project = self._window.desk, self.project
        if project is None or project is not desk.project:
            return "nothing to prove"
        self._start(project)
        self.project = None
        begun = time.monotonic()

        def done() -> bool:
            if (time.monotonic() - begun) * 1000 > MOST_WAIT_MS:
                desk.prover.stop()
            return not desk.prover.running

        qtbot.waitUntil(done, timeout=60_000)
        qtbot.waitUntil(lambda: not (desk.settling or self._window.sheet.timeline.behind), timeout=60_000)
        return "proved"


class Watch:
    """Looks at the window after each action; every complaint tells the seed and the last actions."""

    def __init__(self, window, qtbot, qtlog, hands, *, seed) -> None:
        self.window, self._qtbot, self._qtlog, self._hands, self._seed = window, qtbot, qtlog, hands, seed
        self._logged, self._opened = 0, -1
        self.states: dict[int, tuple[object, Project]] = {}

    def _turns(self):
        """What the window does in turns of its own after an edit, the first of them first."""
        desk, sheet = self.window.desk, self.window.sheet
        shown = (sheet._in_turns._turns._turn, sheet._selected._in_turns._turns._turn)
        return (desk.following._timer, *shown, sheet.panel.outline._soon)

    def act(self, action) -> None:
        """Do `action` and look."""
        with self._qtbot.captureExceptions() as raised:
            try:
                action()
                QCoreApplication.processEvents()
                # the work on a body in hand is made in turns of its own
                while any(timer.isActive() for timer in self._turns()):
                    QCoreApplication.processEvents()
                QCoreApplication.processEvents()
                QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
            except Exception as fault:
                raise AssertionError(self.story(f"raised {fault!r}")) from fault
        if raised:
            raise AssertionError(self.story(f"raised in a slot: {raised[0][1]!r}")) from raised[0][1]
        told = [record.message for record in self._qtlog.records[self._logged :] if "This plugin does not support" not in record.message]
        self._logged = len(self._qtlog.records)
        assert not told, self.story(f"Qt says {told}")
        self._look()

    def story(self, what: str) -> str:
        done = "\n  ".join(self._hands.log[-TOLD:])
        return f"seed {self._seed}, turn {len(self._hands.log)}: {what}. The last actions:\n  {done}"

    def _look(self) -> None:
        desk, sheet = self.window.desk, self.window.sheet
        assert desk.prover.fault is None, self.story(f"the worker fails: {desk.prover.fault}")
        history, project = desk.document.history, desk.project
        if project is None:
            return
        if desk.document.opened != self._opened:
            self._opened = desk.document.opened
            self.states.clear()
        if not desk.document.in_gesture:
            self.states[history.index()] = (self._step_to(history.index()), project)
            assert self.window.job_bar._undo.text() == "" or history.canUndo(), self.story("undo is offered with nothing to undo")
        names = {section.name: {body.name for body in section.bodies} for section in project.sections}
        assert desk.choice.section in names, self.story("the section shown is not there")
        assert names[desk.choice.section].issuperset(desk.choice.bodies), self.story("a body in hand is not there")
        assert sheet._drawn.is_at_hand, self.story("the sheet shows another state")
        shown = section_of(desk.drawn(), desk.choice.section)
        self._look_at_panel(project)
        assert sheet.held_before.held or sheet.board._items.section == shown, self.story("the board shows another section")

    def _look_at_panel(self, project) -> None:
        """In Outline the section marked is the one shown, and every number of the body in hand is told as it is."""
        desk, panel = self.window.desk, self.window.sheet.panel
        if not panel.outline.isVisible():
            return
        marked = [key for key, word in panel.sections.words.items() if key.startswith("show ") and word.isChecked()]
        plain = len(project.sections) == 1 or panel.sections.name is not None  # one quiet line, or its name is being written
        assert plain or marked == [f"show {desk.choice.section}"], self.story(f"the sections marked are {marked}")
        if len(desk.choice.bodies) != 1:
            return
        body = body_of(section_of(project, desk.choice.section), desk.choice.bodies[0])
        for index, shape in enumerate(body.shapes):
            for number in of_shape(desk.choice.section, body.name, index, shape, str).numbers:
                field = panel.outline.sentence_of(index).field_of(number.key)
                assert field.isModified() or field.value() == number.value, self.story(f"{number.name} is told as {field.text()}")

    def _step_to(self, index: int) -> object:
        """The step that led to a place in the history; another one leads there once steps were taken back and others made."""
        return self.window.desk.document.history.command(index - 1) if index else None

    def keeps(self, folder) -> None:
        """The project at hand is saved and read again as equal, and undone and redone through the same states."""
        document = self.window.desk.document
        document.cancel()
        history = document.history
        # Of steps made two at once only the last was seen.
        states = {
            index: project for index, (step, project) in self.states.items() if index <= history.count() and step is self._step_to(index)
        }
        self._walk(history.count())
        project = document.project
        again = project_from_bytes(project_to_bytes(project), file=None, allow_invalid=True)
        assert again == project, self.story("the file does not keep the project")
        document.save(folder / "random.bay.json")
        assert read_project(folder / "random.bay.json", allow_invalid=True) == project, self.story("the saved file differs")
        self._walk(0)
        forward = [document.project]
        for index in range(1, history.count() + 1):
            self._walk(index)
            forward.append(document.project)
        assert forward[-1] == project, self.story("redo does not come back to the end")
        for index in range(history.count() - 1, -1, -1):
            self._walk(index)
            assert document.project == forward[index], self.story(f"undo and redo differ at {index}")
            assert index not in states or document.project == states[index], self.story(f"undo differs at {index}")
        assert document.project == states[0], self.story("undo does not come back to the beginning")
        self._walk(history.count())
        assert document.project == project, self.story("redo does not come back to the end")

    def _walk(self, index: int) -> None:
        """Go along the history; the views are told at its ends alone, as undo by undo is among the random actions."""
        document = self.window.desk.document
        ends = index in (0, document.history.count())
        document.blockSignals(True)
        document.history.setIndex(index)
        document.blockSignals(False)
        if ends:
            self.act(document.project_changed.emit)


def begin(window, rng, number) -> str:
    """Another project at hand: an empty one, or a sample, which is opened without its file."""
    names = [name for name in sorted(sample_files()) if name not in ("petal_lamp", "owl_head")]
    if number % 2 == 0:
        window.desk.begin(new_project())
        window.show_step("Outline")
        return "an empty project"
    name = rng.choice(names)
    window.files.open_sample(sample_files()[name])
    return name


def work(window, qtbot, qtlog, folder, *, actions, seed, held=None):
    """The hands at work for so many actions."""
    rng = random.Random(seed)
    hands = RandomHands(window, qtbot, rng, folder)
    watch = Watch(window, qtbot, qtlog, hands, seed=seed)

    def opening(number) -> None:
        hands.log.append(f"begin {begin(window, rng, number)}")

    def waiting() -> None:
        hands.log.append(held.let_prove(qtbot))

    for number in count():
        if hands.done >= actions:
            break
        if number % EPISODE == 0:
            if number:
                watch.keeps(folder)
            watch.states.clear()
            watch.act(lambda number=number: opening(number // EPISODE))
        if held is not None and number % WAIT_EVERY == WAIT_EVERY - 1:
            watch.act(waiting)
        window.setUpdatesEnabled(number % PAINT_EVERY == 0)
        watch.act(hands.act)
    watch.keeps(folder)
    return hands.done


def test_random_actions_leave_no_fault_and_a_project_that_its_file_keeps(window, qtbot, qtlog, tmp_path, monkeypatch):
    # Names find their places over many turns of the window rather than in long ones: most are given up for the next edit.
    monkeypatch.setattr("app.ahead.TURN_SECONDS", 0.0)
    assert work(window, qtbot, qtlog, tmp_path, actions=ACTIONS, seed=SEED, held=Held(window, monkeypatch)) >= ACTIONS
    assert (tmp_path / "random.bay.json").is_file()


def test_hands_work_on_while_the_worker_proves(window, qtbot, qtlog, tmp_path):
    fewer = min(ACTIONS, 500)
    assert work(window, qtbot, qtlog, tmp_path, actions=fewer, seed=SEED + 1) >= fewer
    assert (tmp_path / "random.bay.json").is_file()
