"""States tried by hand: the first is shown at once, those that come faster than they can be seen are passed over, but for the last."""

import pytest
from msgspec.structs import replace

from app.document.adjusting import Adjusting
from app.document.document import Document
from core.model.edit_project import new_project


@pytest.fixture
def tried(qtbot):  # noqa: ARG001 - timers need an application
    """A document, its adjusting, and the gaps that it showed."""
    document = Document()
    document.show(new_project())
    shown = []
    document.project_changed.connect(lambda: shown.append(document.project.required_gap))
    return document, Adjusting(document), shown


def gap_of(value):
    return lambda project: replace(project, required_gap=value)


def test_the_first_state_is_shown_with_the_move_that_asks_for_it(tried):
    document, adjusting, shown = tried
    adjusting.try_out("Gap", gap_of(0.25))
    assert shown == [0.25]
    assert document.in_gesture


def test_of_states_that_come_faster_the_last_is_shown_when_the_time_is_over(tried, qtbot):
    _, adjusting, shown = tried
    for value in (0.25, 0.5, 0.75):
        adjusting.try_out("Gap", gap_of(value))
    assert shown == [0.25]
    qtbot.waitUntil(lambda: shown == [0.25, 0.75])
    qtbot.waitUntil(lambda: not adjusting._frame.isActive())
    assert shown == [0.25, 0.75]
    adjusting.try_out("Gap", gap_of(0.3))
    assert shown == [0.25, 0.75, 0.3]


def test_what_was_left_to_be_shown_does_not_come_after_the_end(tried):
    document, adjusting, shown = tried
    adjusting.try_out("Gap", gap_of(0.25))
    adjusting.try_out("Gap", gap_of(0.5))
    assert adjusting.take("Gap", gap_of(0.75))
    assert shown[-1] == document.project.required_gap == 0.75
    count = len(shown)
    adjusting.try_out("Gap", gap_of(0.9))
    adjusting.try_out("Gap", gap_of(0.95))
    adjusting.give_back()
    assert document.project.required_gap == 0.75
    assert not adjusting._frame.isActive()
    assert shown[count:] == [0.9, 0.75]
