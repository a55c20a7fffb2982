"""What follows an edit comes soon where it is brief; otherwise it waits until the hand rests, but not for ever."""

import pytest

from app.document import following
from app.document.following import BRIEF, Following

pytestmark = [pytest.mark.usefixtures("qapp"), pytest.mark.qt_log_ignore("This plugin does not support", extend=True)]


@pytest.fixture
def clock(monkeypatch):
    """Milliseconds that `Following` takes the time from."""
    now = [0.0]
    monkeypatch.setattr(following.time, "monotonic", lambda: now[0] / 1000.0)
    return now


def wait_of(one):
    """Milliseconds that it waits from now."""
    return one._timer.interval()


def test_what_was_brief_follows_soon_whatever_comes_in_between():
    one = Following()
    one.took(BRIEF / 2)
    one.ask()
    begun = one._timer.remainingTime()
    one.ask()
    assert wait_of(one) == following.SOON_MS
    assert one._timer.remainingTime() <= begun


def test_what_was_long_waits_for_the_hand_to_rest(clock, monkeypatch):
    monkeypatch.setattr(following, "LATE_MS", 500)
    monkeypatch.setattr(following, "REST_MS", 60)
    one = Following()
    one.took(BRIEF * 2)
    waits = []
    for clock[0] in range(0, 480, 16):
        one.ask()
        waits.append(wait_of(one))
    assert set(waits[:28]) == {60}
    assert waits[-1] == 500 - 464
    assert one.pending


def test_a_hand_that_does_not_rest_is_followed_late(clock, qtbot):
    one = Following()
    one.ask()
    clock[0] = 2.0 * following.LATE_MS
    one.ask()
    assert wait_of(one) == 0
    with qtbot.waitSignal(one.due, timeout=5000):
        pass
    assert not one.pending


def test_of_another_body_something_long_is_expected():
    one = Following()
    one.took(BRIEF / 2)
    one.expect_long()
    one.ask()
    assert wait_of(one) == following.REST_MS


def test_what_is_shown_in_a_turn_after_counts_with_it():
    one = Following()
    assert not one.brief
    one.took(BRIEF * 0.7)
    assert one.brief
    one.took(BRIEF * 0.7, more=True)
    assert not one.brief
    one.took(BRIEF * 0.2)
    one.took(BRIEF * 0.2, more=True)
    assert one.brief


def test_what_is_dropped_does_not_follow():
    one = Following()
    one.ask()
    one.drop()
    assert not one.pending
