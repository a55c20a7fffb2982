"""A hand drags a body along its drive: the bodies go with it at once, and what is said of the pose follows in turns of its own."""

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QWidget

from app.document import behind_hand
from app.document import hand as hand_module
from app.paint_now import paint_now
from core.model.names import DriveName
from tests.desk.by_hand import LEFT

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
LONG = 3_600_000
"""Milliseconds, and seconds, that no test lasts."""


@pytest.fixture
def held(opened, qtbot, monkeypatch):
    """The petal lamp in Travel, its first petal held and moved a little; what is said follows only when `due` says so."""
    window = opened("petal_lamp")
    desk, view = window.desk, window.sheet.board.viewport()
    desk.leave()
    desk.pose.put(desk.pose.home())
    window.show_step("Travel")
    desk.choice.pick_drive(desk.project.drives[-1].name)
    monkeypatch.setattr(hand_module, "HAND_SECONDS", float(LONG))
    desk._behind_hand._timer.setInterval(LONG)
    places = (QPointF(x, y) for y in range(0, view.height(), 7) for x in range(0, view.width(), 7))
    start = next(at for at in places if (hit := window.sheet.board.body_at(at)) is not None and hit.body == "petal 1").toPoint()
    window.start = start
    qtbot.mousePress(view, LEFT, pos=start)
    return window


def move(qtbot, window, x, y):
    there = window.start + QPointF(x, y).toPoint()
    qtbot.mouseMove(window.sheet.board.viewport(), there)
    return there


def shown(window):
    """What the window says of the pose: the number of the drive, the timeline, the gap, and the depth strip."""
    sheet, desk = window.sheet, window.desk
    values = dict(sheet.timeline.showing.values)
    fields = {drive.name: sheet.panel.drives.field_of(drive.name).value() for drive in desk.project.drives}
    return values, fields, sheet.board._overlay.mark, dict(sheet.strip._told)


def test_the_body_goes_with_the_hand_and_all_else_follows(held, qtbot):
    desk, board = held.desk, held.sheet.board
    before, stood = shown(held), board._items.pose_of("petal 1")
    move(qtbot, held, 0, 12)
    assert desk.pose.shown != desk.pose.home()
    assert board._items.pose_of("petal 1") == desk.body_poses()["petal 1"] != stood
    assert shown(held) == before
    desk._behind_hand.due.emit()
    values, fields, mark, depths = shown(held)
    assert values == desk.pose.shown
    assert fields == pytest.approx(desk.pose.shown)
    assert mark.gap == desk.gap.gap
    assert depths["petal 1"] == desk.body_poses()["petal 1"]


def test_the_drive_that_comes_to_hand_is_told_with_it(held, qtbot):
    desk, drives = held.desk, held.sheet.panel.drives
    told = []
    desk.chosen.connect(lambda: told.append(desk.choice.drive))
    move(qtbot, held, 0, 12)
    assert desk.choice.drive == DriveName("fold 1")
    assert told == []
    assert not drives._names["fold 1"].isChecked()
    desk._behind_hand.due.emit()
    assert told == ["fold 1"]
    assert drives._names["fold 1"].isChecked()
    move(qtbot, held, 0, 16)
    desk._behind_hand.due.emit()
    assert told == ["fold 1"]


def test_the_ends_of_travel_are_those_of_the_drive_in_hand_once_it_has_followed(held, qtbot):
    desk, items = held.desk, held.sheet.board._items
    before = items.end_poses
    move(qtbot, held, 0, 12)
    assert items.end_poses is before
    desk._behind_hand.due.emit()
    assert "petal 1" in items.end_poses
    assert "petal 1" not in before


def test_ends_of_travel_that_are_switched_off_meanwhile_go_with_what_follows(held, qtbot):
    items = held.sheet.board._items
    move(qtbot, held, 0, 12)
    held.desk._behind_hand.due.emit()
    assert items.end_poses != {}
    move(qtbot, held, 0, 16)
    held.sheet.show_ends, held.sheet._step = False, "Gaps"
    held.sheet.refresh_switches()
    held.desk._behind_hand.due.emit()
    assert items.end_poses == {}


def test_the_release_tells_at_once_and_nothing_more_follows(held, qtbot):
    desk = held.desk
    there = move(qtbot, held, 0, 12)
    qtbot.mouseRelease(held.sheet.board.viewport(), LEFT, pos=there)
    assert not desk.stirring
    assert shown(held)[0] == desk.pose.shown != desk.pose.home()


def test_what_was_drawn_of_the_gap_stays_until_the_next_is_told(held, qtbot):
    overlay, board = held.sheet.board._overlay, held.sheet.board
    board.grab()
    first = overlay._told[1]
    move(qtbot, held, 0, 12)
    board.grab()
    assert overlay._told[1] is first
    held.desk._behind_hand.due.emit()
    board.grab()
    assert overlay._told[1] is not first
    move(qtbot, held, 0, 16)
    board.zoom_by(1.1)
    board.grab()
    assert overlay._told[1].over != first.over  # at another scale the old drawing would stand elsewhere


def test_without_a_release_what_is_said_follows_by_itself(held, qtbot):
    desk = held.desk
    desk._behind_hand._timer.setInterval(behind_hand.BEHIND_MS)
    move(qtbot, held, 0, 12)
    qtbot.waitUntil(lambda: not desk.stirring, timeout=5000)
    assert shown(held)[0] == desk.pose.shown != desk.pose.home()


def test_another_project_leaves_nothing_to_follow(held, qtbot):
    move(qtbot, held, 0, 12)
    assert held.desk.stirring
    held.desk.begin(held.desk.project)
    assert not held.desk.stirring


def test_keys_that_move_a_drive_are_told_at_once(opened, qtbot):
    window = opened("petal_lamp")
    desk = window.desk
    desk.pose.ease_ms = 0
    desk.leave()
    line = window.sheet.panel.drives.line_of(desk.project.drives[0].name)
    told = []
    desk.posed.connect(lambda: told.append(dict(desk.pose.shown)))
    line.setFocus()
    qtbot.keyClick(line, Qt.Key.Key_Right)
    assert told[-1] == desk.pose.shown != desk.pose.home()


def test_the_gap_is_drawn_though_the_next_move_comes_before_the_board_is_painted(held, qtbot):
    desk, board = held.desk, held.sheet.board
    overlay = board._overlay
    desk.choice.pair = ("petal 1", "petal 2")
    board.grab()
    for step in range(1, 6):
        move(qtbot, held, 0, 8 + 4 * step)
        before = overlay._told[1]
        desk._behind_hand.due.emit()
        move(qtbot, held, 0, 10 + 4 * step)
        board.grab()
        assert overlay._told[0][0] is overlay.mark
        assert overlay._told[1] != before


def test_another_section_is_told_of_at_once(opened, qtbot, monkeypatch):
    window = opened("owl_head")
    desk, board = window.desk, window.sheet.board
    monkeypatch.setattr(hand_module, "HAND_SECONDS", float(LONG))
    desk._behind_hand._timer.setInterval(LONG)
    front, top = (section.name for section in desk.project.sections)
    desk.choice.pick_section(front)
    window.show_step("Gaps")
    view = board.viewport()
    places = (QPointF(x, y) for y in range(0, view.height(), 5) for x in range(0, view.width(), 5))
    start = next(at for at in places if (hit := board.body_at(at)) is not None and hit.body == "left lid").toPoint()
    qtbot.mousePress(view, LEFT, pos=start)
    qtbot.mouseMove(view, start + QPointF(0, -8).toPoint())
    qtbot.mouseMove(view, start + QPointF(0, -10).toPoint())
    assert desk.stirring
    desk.choice.pick_section(top)
    bodies = {body.name for body in desk.project.sections[1].bodies}
    assert set(board._overlay.mark.pair) <= bodies


def test_what_followed_the_hand_is_painted_by_then_and_the_next_frame_has_the_board_alone(held, qtbot, painted):
    sheet = held.sheet
    move(qtbot, held, 0, 12)
    paint_now(held)
    painted.clear()
    held.desk._behind_hand.due.emit()
    assert sheet.timeline in painted
    assert sheet.strip.viewport() in painted
    painted.clear()
    move(qtbot, held, 0, 16)
    paint_now(held)
    assert sheet.board.viewport() in painted
    assert not {sheet.timeline, sheet.strip.viewport()} & set(painted)
    assert not [widget for widget in painted if widget in sheet.panel.findChildren(QWidget)]
