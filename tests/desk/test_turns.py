"""Work of the window is spread over turns of its event loop, so that none holds it up for long."""

import pytest
from PySide6.QtWidgets import QApplication

from app.jobs.asker import Asker
from app.jobs.work import ProveAsk
from app.timeline import view
from tests.unit.board.lamp import lamp

QUESTION = ProveAsk(lamp())


class Nobody:
    """In a worker's place: hears questions and says nothing."""

    def __init__(self):
        self.heard = []

    def ask(self, ask):
        self.heard.append(ask)
        return 1


def asked():
    """An asker with a question, and what it tells as (turn, kind, what); a turn is counted by its caller."""
    asker, told, turn = Asker(), [], [0]
    asker._worker = Nobody()
    asker.ask(QUESTION)
    asker.told.connect(lambda _ask, kind, what: told.append((turn[0], kind, what)))

    def turns(count):
        for _ in range(count):
            turn[0] += 1
            QApplication.processEvents()

    return asker, told, turns


@pytest.mark.usefixtures("qapp")
def test_messages_that_come_together_are_told_in_order_each_in_a_turn_of_its_own():
    asker, told, turns = asked()
    for kind in ("profiled", "prepared", "proved"):
        asker._heard.emit(asker._worker, 1, kind, kind.upper())
    turns(30)
    assert [(kind, what) for _, kind, what in told] == [("profiled", "PROFILED"), ("prepared", "PREPARED"), ("proved", "PROVED")]
    at = [turn for turn, _, _ in told]
    # A turn between two, in which what the first has changed is painted.
    assert at[1] - at[0] >= 2
    assert at[2] - at[1] >= 2


@pytest.mark.usefixtures("qapp")
def test_a_question_is_ended_once():
    asker, _, _ = asked()
    for _ in range(3):
        asker.ask(None)
    assert asker._worker.heard == [QUESTION, None]
    asker.ask(QUESTION)
    assert asker._worker.heard[2:] == [QUESTION]


@pytest.mark.usefixtures("qapp")
def test_of_how_far_a_sweep_is_only_the_newest_is_told():
    asker, told, turns = asked()
    for share in (0.1, 0.2, 0.3):
        asker._heard.emit(asker._worker, 1, "progressed", share)
    asker._heard.emit(asker._worker, 1, "proved", None)
    turns(30)
    assert [(kind, what) for _, kind, what in told] == [("progressed", 0.3), ("proved", None)]


@pytest.mark.usefixtures("qapp")
def test_what_waits_for_its_turn_is_not_told_once_another_question_is_asked():
    asker, told, turns = asked()
    asker._heard.emit(asker._worker, 1, "profiled", None)
    asker._heard.emit(asker._worker, 1, "proved", None)
    for _ in range(30):
        turns(0 if told else 1)
    asker._number = 2
    turns(20)
    assert [kind for _, kind, _ in told] == ["profiled"]
    assert not asker._turn.isActive()


def test_another_drive_in_hand_is_painted_a_few_rows_a_turn_and_comes_out_as_if_at_once(opened, qtbot, monkeypatch):
    window = opened("petal_lamp")
    timeline = window.sheet.timeline
    timeline.grab()
    painted, inside = [], []
    paint_place, paint_event = view._paint_place, view.TimelineView.paintEvent
    monkeypatch.setattr(view, "_paint_place", lambda *args: (painted.append(bool(inside)), paint_place(*args)))
    monkeypatch.setattr(view.TimelineView, "paintEvent", lambda self, event: (inside.append(1), paint_event(self, event), inside.pop())[1])
    window.desk.choice.pick_drive(window.desk.project.drives[-1].name)
    assert timeline.behind
    qtbot.waitUntil(lambda: not timeline.behind, timeout=5000)
    assert painted
    assert not any(painted)
    spread = timeline.grab().toImage()
    timeline._still = None
    assert timeline.grab().toImage() == spread


def test_a_timeline_of_another_size_is_painted_at_once(opened):
    window = opened("petal_lamp")
    timeline = window.sheet.timeline
    timeline.grab()
    window.resize(1400, 860)
    QApplication.processEvents()
    assert not timeline.behind
    assert timeline.grab().toImage().width() == timeline.width() * timeline.devicePixelRatio()


def test_other_rows_begin_in_the_turn_after_the_one_that_paints_the_words(opened, monkeypatch):
    window = opened("petal_lamp")
    timeline = window.sheet.timeline
    timeline.grab()
    turn, painted = [0], []
    paint_place = view._paint_place
    monkeypatch.setattr(view, "_paint_place", lambda *args: (painted.append(turn[0]), paint_place(*args)))
    window.desk.choice.pick_drive(window.desk.project.drives[-1].name)
    while timeline.behind and turn[0] < 1000:
        turn[0] += 1
        QApplication.processEvents()
    assert painted
    assert min(painted) >= 2


@pytest.mark.usefixtures("qapp")
def test_what_answers_at_once_waits_until_the_turn_after_the_question_is_painted():
    asker, told, turns = asked()
    asker._heard.emit(asker._worker, 1, "profiled", None)
    turns(2)
    assert not told
    turns(30)
    assert [kind for _, kind, _ in told] == ["profiled"]


def first_steps(window, qtbot, *, between=lambda: None):
    """What is in hand, and whether a pose is visited, at each change after the answer; `between` is called at the first."""
    desk, steps = window.desk, []

    def note():
        step = (desk.choice.bodies, desk.choice.pair, desk.pose.own is not None)
        if desk.result is not None and step not in steps:
            steps.append(step)
            if len(steps) == 1:
                between()

    desk.choice.changed.connect(note)
    desk.visited.connect(note)
    window.open_sample("petal_lamp")
    qtbot.waitUntil(lambda: desk.result is not None and not desk.settling, timeout=60_000)
    return steps


def test_the_worst_breach_is_shown_step_by_step_its_bodies_its_pair_its_pose(window, qtbot):
    steps = first_steps(window, qtbot)
    pair = window.desk.timeline.rows[0].between
    assert steps == [(pair, None, False), (pair, pair, False), (pair, pair, True)]


def test_a_hand_that_picks_something_between_the_steps_keeps_it(window, qtbot):
    steps = first_steps(window, qtbot, between=lambda: window.desk.choice.pick_bodies(("mast",)))
    assert steps[-1] == (("mast",), None, False)
    assert window.desk.pose.own is None
