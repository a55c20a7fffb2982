"""Names look for places once what moves has come to rest, and a hand that is still at it does not rest."""

from PySide6.QtCore import QObject

from app.board.naming import Naming

LONG = 300_000
"""Steps that take the window many turns."""


def naming_of(steps):
    parent = QObject()
    naming = Naming(steps, parent)
    naming._kept = parent  # lives as long as what it is the parent of
    return naming


def looks(taken, count):
    def steps():
        for step in range(count):
            taken.append(step)
            yield

    return steps


def test_a_hand_that_is_still_at_it_puts_off_a_look_that_waits_or_has_begun(qtbot):
    taken = []
    naming = naming_of(looks(taken, LONG))
    naming.soon()
    qtbot.waitUntil(lambda: len(taken) > 0)
    naming.still_held()
    begun = len(taken)
    assert naming.busy
    assert naming._settle.isActive()
    qtbot.waitUntil(lambda: len(taken) > begun)  # at rest it begins anew
    assert taken[begun] == 0
    qtbot.waitUntil(lambda: not naming.busy)
    assert taken[begun:] == list(range(LONG))


def test_where_no_look_waits_a_hand_asks_for_none(qtbot):
    taken = []
    naming = naming_of(looks(taken, 3))
    naming.still_held()
    assert not naming.busy
    with qtbot.waitSignal(naming.done):
        naming.once_at_rest()
    naming.still_held()
    assert not naming.busy
    assert taken == [0, 1, 2]
