"""The hand at work: dragging, running, typing, steps, files, stopping, themes."""

import json
import os
import subprocess
import sys

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPalette

from app.actions import ACTIONS
from app.command_line import sample_files
from app.document import hand as hand_module
from app.palette import palette_of
from app.panels.finder import Finder
from app.panels.scroll import Scroll
from app.theme import DARK, LIGHT
from app.window import Window
from core.project_file.read import read_project
from tests.pictures import ROOT

# Slips and the finder are popups, which a window drawn in memory can neither raise nor give the keyboard.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


def on_board(window, x, y):
    return window.sheet.board.viewportTransform().map(QPointF(x, y)).toPoint()


def drag(qtbot, window, start, end):
    view = window.sheet.board.viewport()
    first, last = on_board(window, *start), on_board(window, *end)
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=first)
    for share in (0.25, 0.5, 0.75, 1.0):
        qtbot.mouseMove(view, first + (last - first) * share)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=last)


def test_a_body_that_is_dragged_takes_its_drive_along(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.pose.put(window.desk.pose.home())
    qtbot.keyClick(window, Qt.Key.Key_3)
    # A point of the motor 15 mm from its pin, drawn to 20 degrees.
    drag(qtbot, window, (15.0, 0.0), (14.095, 5.130))
    assert window.desk.pose.values["swing"] == pytest.approx(20.0, abs=0.6)
    assert window.desk.choice.drive == "swing"


@pytest.mark.parametrize("end", ["released", "at rest"])
def test_an_answer_waits_while_a_body_is_dragged(opened, qtbot, monkeypatch, end):
    window = opened("barrier_arm")
    desk, board = window.desk, window.sheet.board
    desk.leave()
    window.show_step("Travel")
    asker = desk.prover._asker
    monkeypatch.setattr(hand_module, "HAND_SECONDS", 3600.0)
    desk.document.change("Note", lambda project: replace(project, notes="another state, to be proved"))
    start, there = on_board(window, 15.0, 0.0), on_board(window, 14.095, 5.130)
    qtbot.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(board.viewport(), (start + there) / 2)
    qtbot.mouseMove(board.viewport(), there)
    qtbot.waitUntil(lambda: any(message.kind == "proved" for message in asker._waiting), timeout=60_000)
    assert desk.result is None
    if end == "released":
        qtbot.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=there)
    else:
        monkeypatch.setattr(hand_module, "HAND_SECONDS", 0.0)
    qtbot.waitUntil(lambda: desk.result is not None, timeout=60_000)


def test_a_fixed_body_does_not_move_when_dragged(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.pose.put(window.desk.pose.home())
    qtbot.keyClick(window, Qt.Key.Key_3)
    drag(qtbot, window, (14.0, 18.0), (25.0, 10.0))
    assert window.desk.pose.values == window.desk.pose.home()


def test_a_click_on_a_body_selects_it_and_the_panel_tells_of_it(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.pose.put(window.desk.pose.home())
    qtbot.mouseClick(window.sheet.board.viewport(), Qt.MouseButton.LeftButton, pos=on_board(window, 15.0, 4.0))
    assert window.desk.choice.bodies == ("motor",)
    assert window.sheet.panel.selected.head() == "motor"


def test_a_number_typed_for_a_drive_moves_it_and_arithmetic_is_understood(opened, qtbot):
    window = opened("barrier_arm")
    field = window.sheet.panel.drives.field_of("swing")
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "23/2+1.5 deg")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert window.desk.pose.values["swing"] == pytest.approx(13.0)


def test_bad_arithmetic_moves_nothing_and_keeps_the_text(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.pose.put({"swing": 5.0})
    field = window.sheet.panel.drives.field_of("swing")
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "2*(3")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert window.desk.pose.values["swing"] == 5.0
    assert field.text() == "2*(3"


def test_a_run_goes_through_the_whole_travel_and_back(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.pose.put({"swing": 5.0})
    window.desk.run.travel_ms = 1200
    seen = []
    window.desk.posed.connect(lambda: seen.append(window.desk.pose.shown["swing"]))
    with qtbot.waitSignal(window.desk.run.changed, check_params_cb=None, timeout=5000):
        qtbot.keyClick(window, Qt.Key.Key_R)
    qtbot.waitUntil(lambda: window.desk.run.drive is None, timeout=20_000)
    assert (min(seen), max(seen)) == (-45.0, 45.0)
    assert window.desk.pose.values["swing"] == pytest.approx(5.0)


@pytest.mark.parametrize(("key", "step"), [("1", "Outline"), ("2", "Joints"), ("3", "Travel"), ("4", "Gaps"), ("5", "Hand-over")])
def test_number_keys_jump_to_the_steps(opened, qtbot, key, step):
    window = opened("barrier_arm")
    qtbot.keyClicks(window, key)
    assert window.step == step
    assert window.job_bar.state_of("Outline") == "5 bodies"


def test_the_finder_does_the_action_that_is_named(opened, qtbot):
    window = opened("barrier_arm")
    qtbot.keyClicks(window, "/")
    assert isinstance(window.finder, Finder)
    qtbot.keyClicks(window.finder.field(), "go to travel")
    qtbot.keyClick(window.finder.field(), Qt.Key.Key_Return)
    assert window.step == "Travel"
    assert not window.finder.isVisible()


def test_every_action_has_its_words_and_no_two_share_a_key(window):
    keys = [key for action in ACTIONS if not action.on_sheet for key in action.keys]
    assert len(keys) == len(set(keys))
    assert set(window.actions_by_name) == {action.name for action in ACTIONS}


def test_a_stopped_sweep_tells_what_it_has(window, qtbot):
    with qtbot.waitSignal(window.desk.prover.proved, timeout=60_000):
        window.open_sample("petal_lamp")
        window.desk.prover.stop()
    assert window.desk.result.stopped
    assert window.sheet.corner.covered().startswith("Stopped early")
    assert not window.desk.prover.running


def test_a_sample_is_sampled_before_it_is_proved(window, qtbot):
    heard = []
    window.desk.prover.profiled.connect(lambda *_: heard.append("sampled"))
    window.desk.prover.proved.connect(lambda *_: heard.append("proved"))
    with qtbot.waitSignal(window.desk.prover.proved, timeout=60_000):
        window.open_sample("petal_lamp")
    assert heard == ["sampled", "proved"]


def test_the_start_sheet_offers_the_samples_and_opens_one(window, qtbot):
    assert window.pages.currentWidget() is window.start
    with qtbot.waitSignal(window.desk.prover.proved, timeout=60_000):
        window.start.sample_asked.emit("barrier_arm")
    assert window.pages.currentWidget() is window.sheet
    assert window.windowTitle() == "Barrier arm \N{EN DASH} Baysweep"


def test_a_file_that_is_no_project_is_refused_in_words_and_what_was_open_stays(opened, tmp_path):
    window = opened("barrier_arm")
    bad = tmp_path / "bad.bay.json"
    bad.write_text("{", encoding="utf-8")
    assert not window.files.open(bad)
    assert "bad.bay.json was not opened" in window.slip.words()
    window.slip.hide()
    assert window.desk.project.name == "Barrier arm"


def test_save_as_asks_without_stopping_the_program_and_writes_the_project(opened, tmp_path):
    window = opened("barrier_arm")
    window.actions_by_name["save_as"].trigger()
    dialog = window.files.dialog()
    assert dialog is not None
    target = tmp_path / "mine.bay.json"
    dialog.fileSelected.emit(str(target))
    dialog.reject()
    assert read_project(target) == window.desk.project
    assert window.files.settings.recent[0] == str(target)


def test_the_answer_is_handed_over_as_json_and_as_text(opened, tmp_path):
    window = opened("barrier_arm")
    assert window.job_bar.state_of("Hand-over") == "nothing handed over yet"
    window.files.hand_over_json(tmp_path / "answer.json")
    window.files.hand_over_text(tmp_path / "answer.txt")
    written = json.loads((tmp_path / "answer.json").read_text(encoding="utf-8"))
    assert written["verdict"] == "breach"
    text = (tmp_path / "answer.txt").read_text(encoding="utf-8")
    assert "motor meets rib" in text
    assert "not a safety device" in text
    assert window.job_bar.state_of("Hand-over") == "answer handed over"


def test_in_the_least_window_the_caution_comes_first_and_the_rest_can_be_scrolled_to(opened, qtbot):
    window = opened("lock_gate")
    window.resize(1100, 700)
    window.show_step("Hand-over")
    told = window.sheet.panel.hand_over.findChild(Scroll)
    assert window.sheet.panel.hand_over.words().startswith("This is a drawing check, not a safety device.")
    qtbot.waitUntil(lambda: told.widget().height() >= told.widget().heightForWidth(told.widget().width()))
    hidden = told.widget().height() - told.viewport().height()
    assert told.verticalScrollBar().maximum() == max(hidden, 0)


def test_the_window_follows_the_system_palette_while_it_is_open(opened, qtbot, system_palette):
    window = opened("barrier_arm")
    before = window.grab().toImage().pixelColor(600, 600)
    system_palette(palette_of(DARK))
    qtbot.waitUntil(lambda: window._style is DARK)
    assert window.grab().toImage().pixelColor(600, 55) == QColor(DARK.board)  # over the words that stand there
    assert window.sheet.panel.palette().color(QPalette.ColorRole.Window) == QColor(DARK.panel)
    assert before == QColor(LIGHT.field)
    system_palette(palette_of(LIGHT))
    qtbot.waitUntil(lambda: window._style is LIGHT)


def test_reduced_motion_poses_at_once(opened):
    window = opened("barrier_arm")
    window.actions_by_name["reduced_motion"].setChecked(True)
    window._take_motion()
    window.desk.pose.go({"swing": 12.0})
    assert window.desk.pose.shown["swing"] == 12.0


@pytest.mark.parametrize("size", [(1280, 800), (1100, 700)])
@pytest.mark.parametrize("sample", sorted(sample_files()))
def test_no_region_is_squeezed_or_covers_another(window: Window, qtbot, sample, size):
    window.open_sample(sample)
    window.resize(*size)
    sheet = window.sheet
    qtbot.waitUntil(lambda: window.size().toTuple() == size and sheet.timeline.width() == size[0])
    regions = [sheet.tools, sheet.board, sheet.strip, sheet.panel, sheet.sentence, sheet.corner, sheet.timeline]
    for place, one in enumerate(regions):
        assert one.width() >= one.minimumSizeHint().width()
        for other in regions[place + 1 :]:
            assert not one.geometry().intersects(other.geometry())
    assert sheet.timeline.height() == 228
    assert sheet.panel.width() == 320


def test_what_can_be_pressed_has_a_name_for_those_who_do_not_see(opened):
    from PySide6.QtWidgets import QAbstractButton, QAbstractSlider, QLineEdit, QScrollBar

    window = opened("petal_lamp")
    for kind in (QAbstractButton, QAbstractSlider, QLineEdit):
        for widget in window.findChildren(kind):
            if widget.isVisible() and not isinstance(widget, QScrollBar):
                assert widget.accessibleName(), widget


def test_the_window_is_drawn_sharply_at_double_scale(tmp_path):
    file = tmp_path / "double.png"
    code = f"from tests.pictures import *; shown('barrier_arm', 'Gaps', 'light', (1280, 800), Path({str(file)!r}))"
    environment = {**os.environ, "QT_SCALE_FACTOR": "2", "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run([sys.executable, "-c", code], env=environment, cwd=ROOT, capture_output=True, text=True, timeout=120, check=True)
    assert "Warning" not in done.stderr
    picture = QImage(str(file))
    assert picture.size().toTuple() == (2560, 1600)
    # The line over the sentence is one logical pixel: two device pixels in ink, board or panel on both sides.
    column = [picture.pixelColor(700, y) for y in range(1040, 1080)]
    assert column.count(QColor(LIGHT.ink)) == 2


def test_detail_a_is_shown_where_the_board_is_wide_enough(opened, qtbot):
    """In the least window the detail goes first."""
    window = opened("barrier_arm")
    for size, shown in (((1100, 700), False), ((1280, 800), True), ((1100, 700), False)):
        window.resize(*size)
        qtbot.waitUntil(lambda shown=shown: window.sheet.board._overlay.detail is shown)
