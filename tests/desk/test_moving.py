"""Bodies dragged on the board in Outline: they snap, and each drag is one step."""

import gc

import pytest
from PySide6.QtCore import QPointF, Qt

from core.model.edit_bodies import add_body
from core.model.edit_project import new_project
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Box, Disc

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


def test_a_body_held_near_its_centre_snaps_to_another_and_one_undo_puts_it_back(window, qtbot):
    desk = window.desk
    bare = new_project()
    section = bare.sections[0].name
    wall = Body(name=BodyName("wall"), fixed=True, depth=(0.0, 3.0), shapes=(Box(centre=(0.3, 0.4), size=(60.0, 40.0)),))
    cam = Body(name=BodyName("cam"), fixed=False, depth=(0.0, 3.0), shapes=(Disc(centre=(50.0, 0.0), radius=8.0),))
    made = add_body(add_body(bare, section, wall), section, cam)
    desk.begin(made)
    window.sheet.show_step("Outline")
    board = window.sheet.board
    board.fit()
    pixel = lambda x, y: board.viewportTransform().map(QPointF(x, y)).toPoint()  # noqa: E731 - one place of the board
    start, end = pixel(50.0, 0.0), pixel(0.3, 0.4)
    qtbot.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(board.viewport(), (start + end) / 2)
    qtbot.mouseMove(board.viewport(), end)
    assert not gc.isenabled()  # no search of memory in the middle of it
    qtbot.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=end)
    assert gc.isenabled()
    history = desk.document.history
    assert desk.project.sections[0].bodies[1].shapes[0].centre == pytest.approx((0.3, 0.4))
    assert (history.count(), history.undoText()) == (1, "Move cam")
    history.undo()
    assert desk.project == made


def test_a_body_is_moved_in_its_drawing_however_far_its_drive_has_turned_it(opened, qtbot):
    """The arm of the barrier is turned by 38 degrees where it meets the rib; in Outline it lies as drawn, and follows the hand."""
    window = opened("barrier_arm")
    desk, board = window.desk, window.sheet.board
    assert not desk.at_drawn_pose
    shown = dict(desk.pose.shown)
    window.show_step("Outline")
    assert board._overlay.mark is None
    motor = next(body for body in desk.project.sections[0].bodies if body.name == "motor")
    pixel = lambda x, y: board.viewportTransform().map(QPointF(x, y)).toPoint()  # noqa: E731 - one place of the board
    start, end = pixel(15.0, -3.0), pixel(15.0, -9.0)
    qtbot.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(board.viewport(), (start + end) / 2)
    qtbot.mouseMove(board.viewport(), end)
    qtbot.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=end)
    after = next(body for body in desk.project.sections[0].bodies if body.name == "motor")
    (x, y), (was_x, was_y) = after.shapes[0].centre, motor.shapes[0].centre
    assert (x - was_x, y - was_y) == (pytest.approx(0.0, abs=0.6), pytest.approx(-6.0, abs=1.1))
    desk.document.history.undo()
    window.show_step("Gaps")
    assert dict(desk.pose.shown) == shown
