"""The state before the last edit is shown while B is held, and not a moment longer."""

import pytest
from PySide6.QtCore import Qt

from core.model.edit_bodies import delete_bodies

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def edited(opened, qtbot):
    """The barrier arm, which breaches, without the rib it meets, proved again."""
    window = opened("barrier_arm")
    section = window.desk.choice.section
    told = []
    window.desk.prover.proved.connect(lambda *_: told.append("proved"))
    window.desk.document.change("Delete rib", lambda project: delete_bodies(project, section, ("rib",)).project)
    qtbot.waitUntil(lambda: told != [], timeout=60_000)
    qtbot.waitUntil(lambda: not (window.desk.settling or window.sheet.timeline.behind), timeout=60_000)
    return window


def drawn(window):
    return {body.name for body in window.sheet.board._items.section.bodies}


def test_what_was_deleted_is_seen_with_its_verdict_while_the_key_is_held(edited, qtbot):
    now, words, rows = drawn(edited), edited.sheet.sentence.text(), len(edited.sheet.timeline.showing.timeline.rows)
    qtbot.keyPress(edited.sheet.timeline, Qt.Key.Key_B)
    assert drawn(edited) == now | {"rib"}
    assert edited.sheet.sentence.text().startswith("Before the last edit: breach")
    assert len(edited.sheet.timeline.showing.timeline.rows) > rows
    qtbot.keyRelease(edited.sheet.timeline, Qt.Key.Key_B)
    assert drawn(edited) == now
    assert edited.sheet.sentence.text() == words
    assert len(edited.sheet.timeline.showing.timeline.rows) == rows


def test_asked_for_in_words_it_shows_for_a_while(edited, qtbot):
    now = drawn(edited)
    edited.actions_by_name["before"].trigger()
    assert drawn(edited) == now | {"rib"}
    qtbot.waitUntil(lambda: drawn(edited) == now)


def test_without_an_edit_there_is_nothing_to_hold(opened, qtbot):
    window = opened("barrier_arm")
    assert not window.actions_by_name["before"].isEnabled()
    now = drawn(window)
    qtbot.keyPress(window.sheet.timeline, Qt.Key.Key_B)
    assert drawn(window) == now
    qtbot.keyRelease(window.sheet.timeline, Qt.Key.Key_B)
