"""Bodies picked on the board in Outline: beneath others, several together, by a box."""

import pytest
from PySide6.QtCore import Qt

from core.model.edit_bodies import add_body
from core.model.edit_project import new_project
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Box, Disc
from tests.desk.by_hand import LEFT, drag, pixel

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
ALT, SHIFT = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ShiftModifier
STACK = {
    "base": (Box(centre=(0, 0), size=(80, 40)), 0),
    "arm": (Box(centre=(10, 0), size=(40, 16)), 4),
    "lid": (Disc(centre=(0, 0), radius=12), 8),
}


@pytest.fixture
def stacked(window):
    project = new_project()
    section = project.sections[0].name
    for name, (shape, low) in {**STACK, "far": (Disc(centre=(80, 0), radius=5), 0)}.items():
        project = add_body(project, section, Body(name=BodyName(name), fixed=False, depth=(low, low + 3), shapes=(shape,)))
    window.desk.begin(project)
    window.show_step("Outline")
    window.sheet.board.fit()
    return window


def click(qtbot, window, at, keys=Qt.KeyboardModifier.NoModifier):
    qtbot.mouseClick(window.sheet.board.viewport(), LEFT, keys, pixel(window, *at))
    return window.desk.choice.bodies


def body(window, name):
    return next(body for body in window.desk.project.sections[0].bodies if body.name == name)


def test_clicks_at_one_place_pick_what_lies_beneath(stacked, qtbot):
    assert [click(qtbot, stacked, (6, 5)) for _ in range(4)] == [("lid",), ("arm",), ("base",), ("lid",)]


def test_alt_picks_beneath_at_once(stacked, qtbot):
    assert [click(qtbot, stacked, (6, 5), ALT) for _ in range(3)] == [("arm",), ("base",), ("lid",)]


def test_a_double_click_does_not_go_down(stacked, qtbot):
    click(qtbot, stacked, (6, 5))
    qtbot.mouseDClick(stacked.sheet.board.viewport(), LEFT, pos=pixel(stacked, 6, 5))
    assert stacked.desk.choice.bodies == ("lid",)


def test_a_body_picked_beneath_is_the_one_that_is_dragged(stacked, qtbot):
    for _ in range(2):
        click(qtbot, stacked, (6, 5))
    drag(qtbot, stacked, (6, 5), (6, 25))
    assert stacked.desk.choice.bodies == ("arm",)
    assert body(stacked, "arm").shapes[0].centre[1] == pytest.approx(20, abs=1.1)
    assert body(stacked, "lid").shapes == (STACK["lid"][0],)
    assert stacked.desk.document.history.undoText() == "Move arm"


def test_the_topmost_is_dragged_where_the_one_beneath_was_picked_beside_it(stacked, qtbot):
    click(qtbot, stacked, (-30, 10))
    assert stacked.desk.choice.bodies == ("base",)
    drag(qtbot, stacked, (6, 5), (6, 25))
    assert stacked.desk.choice.bodies == ("lid",)
    assert stacked.desk.document.history.undoText() == "Move lid"


def test_shift_adds_a_body_and_takes_it_out_again(stacked, qtbot):
    assert click(qtbot, stacked, (80, 2)) == ("far",)
    assert click(qtbot, stacked, (6, 5), SHIFT) == ("far", "lid")
    assert click(qtbot, stacked, (6, 5), SHIFT) == ("far",)
    assert click(qtbot, stacked, (0, 60), SHIFT) == ("far",)
    assert click(qtbot, stacked, (0, 60)) == ()


def test_a_box_picks_what_lies_inside_and_with_shift_adds_it(stacked, qtbot):
    drag(qtbot, stacked, (70, 10), (90, -10))
    assert stacked.desk.choice.bodies == ("far",)
    drag(qtbot, stacked, (-60, 40), (45, -40), SHIFT)
    assert stacked.desk.choice.bodies == ("base", "arm", "lid", "far")
    drag(qtbot, stacked, (-60, 40), (45, -40))
    assert stacked.desk.choice.bodies == ("base", "arm", "lid")


def test_a_box_with_alt_picks_what_it_touches(stacked, qtbot):
    drag(qtbot, stacked, (60, 30), (78, -10), ALT)
    assert stacked.desk.choice.bodies == ("far",)
    drag(qtbot, stacked, (60, 30), (78, -10))
    assert stacked.desk.choice.bodies == ()


def test_bodies_picked_together_are_moved_together(stacked, qtbot):
    click(qtbot, stacked, (80, 2))
    click(qtbot, stacked, (6, 5), SHIFT)
    drag(qtbot, stacked, (80, 2), (80, 22))
    assert body(stacked, "far").shapes[0].centre[1] == body(stacked, "lid").shapes[0].centre[1] == pytest.approx(20, abs=1.1)
    assert body(stacked, "arm").shapes == (STACK["arm"][0],)
    assert stacked.desk.document.history.count() == 1


def test_alt_goes_past_a_grip_to_the_body_beneath(stacked, qtbot):
    click(qtbot, stacked, (6, 5))
    rim = next(held.grip.at for held in stacked.sheet.grips.shown() if held.grip.kind == "radius")
    assert click(qtbot, stacked, rim) == ("lid",)
    assert click(qtbot, stacked, (rim[0] - 0.5, rim[1]), ALT) == ("arm",)
