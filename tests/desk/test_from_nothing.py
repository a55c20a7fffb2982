"""A whole bay from an empty window by mouse and keys alone, swept, saved and opened again; its file is the one written by hand."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from core.model.edit_project import new_project
from core.model.validate import validate
from core.project_file.read import read_project
from tests.desk import puppet_stage
from tests.desk.by_hand import click
from tests.desk.puppet_stage import CONTROL, Hands

# Dialogs and cards are raised by the system, which a window drawn in memory cannot ask for.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

BY_HAND = Path(__file__).parents[1] / "fixtures" / "puppet_stage.bay.json"
PROOF_MS = 120_000


@pytest.fixture
def hands(window, qtbot):
    qtbot.waitUntil(lambda: QApplication.focusWidget() is window.start.first())  # keys before that are nobody's
    qtbot.keyClick(window, Qt.Key.Key_N, CONTROL)
    qtbot.keyRelease(window, Qt.Key.Key_Control)
    qtbot.waitUntil(lambda: window.desk.project == new_project())
    qtbot.keyClick(window, Qt.Key.Key_1)
    return Hands(qtbot, window)


def proved(window, qtbot):
    qtbot.waitUntil(lambda: window.desk.result is not None and not window.desk.settling, timeout=PROOF_MS)
    qtbot.waitUntil(lambda: not window.sheet.timeline.behind, timeout=PROOF_MS)
    return window.desk.result


def test_a_bay_is_drawn_joined_swept_and_saved_and_its_file_is_the_one_written_by_hand(hands, qtbot, tmp_path):
    window = hands.window
    puppet_stage.draw_bodies(hands)
    puppet_stage.join(hands)
    found = proved(window, qtbot)
    assert {check.between for check in found.checks if check.verdict == "breach"} == {("wheel", "flag")}
    puppet_stage.ask_more(hands)
    proved(window, qtbot)
    assert window.sheet.sentence.text().startswith("Breach: wheel meets flag once pin 3 drive passes")
    history = window.desk.document.history
    made, steps = window.desk.project, history.count()
    assert validate(made) == ()
    qtbot.keyClick(window, Qt.Key.Key_S, CONTROL)
    dialog = window.files.dialog()
    assert dialog is not None
    dialog.fileSelected.emit(str(tmp_path / "stage.bay.json"))
    dialog.reject()
    assert (tmp_path / "stage.bay.json").read_bytes() == BY_HAND.read_bytes()
    assert window.files.open(tmp_path / "stage.bay.json")
    assert window.desk.project == made == read_project(BY_HAND)
    assert steps > 30


def test_undo_to_the_empty_window_and_redo_to_the_end_give_equal_projects(hands):
    window = hands.window
    puppet_stage.draw_bodies(hands)
    puppet_stage.join(hands)
    history, made = window.desk.document.history, window.desk.project
    states = [made]
    for _ in range(history.count()):
        hands.key(Qt.Key.Key_Z, CONTROL)
        states.append(window.desk.project)
    assert not history.canUndo()
    assert states[-1] == new_project()
    for state in states[-2::-1]:
        hands.key(Qt.Key.Key_Y, CONTROL)
        assert window.desk.project == state
    assert window.desk.project == made
    assert not history.canRedo()


def test_a_ring_of_five_stations_is_made_from_one_by_repeating_round(hands, qtbot):
    window = hands.window
    hands.draw(puppet_stage.DISC, (0, 0), (0, 58))
    hands.name("plate")
    hands.word("fixed")
    hands.depth("-3", "0")
    hands.key(Qt.Key.Key_I, CONTROL)
    qtbot.keyClicks(window.stores.picker.field(), "micro motor station, the motor")
    qtbot.keyClick(window.stores.picker.field(), Qt.Key.Key_Down)
    qtbot.keyClick(window.stores.picker, Qt.Key.Key_Return)
    for key, text in (("at x", "0"), ("at y", "40"), ("at turn", "90")):
        hands.type_into_card(key, text)
    qtbot.keyClick(window.cards.card, Qt.Key.Key_Return)
    (_, motor) = window.desk.project.sections[0].bodies
    click(qtbot, window, 0, 40)
    assert window.desk.choice.bodies == (motor.name,)
    hands.key(Qt.Key.Key_R, CONTROL)
    for key, text in (("x", "0"), ("y", "0")):
        hands.type_into_card(key, text)
    assert window.cards.card.values()["count"] == 5
    qtbot.keyClick(window.cards.card, Qt.Key.Key_Return)
    project = window.desk.project
    assert [len(part) for part in (project.sections[0].bodies, project.sections[0].joints, project.drives)] == [6, 5, 5]
    assert validate(project) == ()
    pins = [complex(*joint.at) for joint in project.sections[0].joints]
    assert pins == pytest.approx([40j * pow(1j, 4 * number / 5) for number in range(5)], abs=1e-5)
