"""What is gone is let go of little by little, whatever others hold of it."""

import weakref
from dataclasses import replace
from types import SimpleNamespace

import msgspec

from app.document import let_go as let_go_module
from app.document.answer import Answer
from app.document.document import Document
from app.document.let_go import LetGo, answer_gone
from core.model.edit_project import new_project


class Thing:
    """What can be seen to go."""


def going(things):
    """Steps in which things go one by one."""
    left = list(things)
    while left:
        yield
        left.pop()


def test_what_is_taken_goes_in_turns_one_after_another(qtbot):
    seen = weakref.WeakSet()
    keeper = LetGo()
    for _ in range(3):
        things = [Thing() for _ in range(4)]
        seen.update(things)
        keeper.take(going(things))
    del things
    assert keeper.busy
    assert len(seen) == 12, "nothing goes in the turn in which it is taken"
    qtbot.waitUntil(lambda: not keeper.busy)
    assert len(seen) == 0
    again = [Thing()]
    seen.update(again)
    keeper.take(going(again))
    del again
    qtbot.waitUntil(lambda: not keeper.busy)
    assert len(seen) == 0


def test_a_turn_gives_it_no_more_than_its_time(qtbot, monkeypatch):
    monkeypatch.setattr(let_go_module, "TURN_SECONDS", 0.0)
    steps = []

    def counted():
        for number in range(5):
            steps.append(number)
            yield

    keeper = LetGo()
    keeper.take(counted())
    for passed in range(1, 6):
        keeper._ahead._turn.timeout.emit()
        assert len(steps) == passed
    qtbot.waitUntil(lambda: not keeper.busy)


def test_an_answer_goes_by_a_few_records_at_a_time(monkeypatch):
    monkeypatch.setattr(let_go_module, "AT_ONCE", 2)
    things = tuple(Thing() for _ in range(5))
    seen = weakref.WeakSet(things)
    steps = answer_gone(Answer(new_project(), profiles=things))
    del things
    assert [len(seen) for _ in steps] == [5, 3, 1]
    assert len(seen) == 0


def test_what_others_hold_of_an_answer_stays(monkeypatch):
    monkeypatch.setattr(let_go_module, "AT_ONCE", 2)
    shown = Answer(new_project(), profiles=tuple(Thing() for _ in range(5)))
    for _ in answer_gone(shown):
        pass
    assert len(shown.profiles) == 5


def test_the_answer_of_the_edit_before_the_last_goes_and_the_last_stays(qtbot):
    document = Document()
    document.show(new_project())
    answers = []
    for name in ("one", "two", "three"):
        document.answer = replace(document.answer, result=SimpleNamespace(checks=(Thing(),), without_rules=(), unchecked=()))
        answers.append(weakref.ref(document.answer.result.checks[0]))
        document.change(f"Call it {name}", lambda project, name=name: msgspec.structs.replace(project, name=name))
    qtbot.waitUntil(lambda: not document.let_go.busy)
    assert [answer() is not None for answer in answers] == [False, False, True]
    assert document.before.result.checks[0] is answers[-1]()
