"""Shapes drawn on the board with mouse and keys: each is one step, numbers typed hold, snaps are named."""

import math

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt

from core.model.edit_project import new_project
from core.model.joints import Pivot
from core.model.names import BodyName, JointName
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from tests.desk.by_hand import ask, click, drag, pixel, point_at, type_numbers

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
KEYS = {kind: getattr(Qt.Key, f"Key_{number}") for number, kind in enumerate(("disc", "bar", "box", "polygon", "bore", "frame"), 1)}


@pytest.fixture
def drawing(window):
    window.desk.begin(new_project())
    window.show_step("Outline")
    window.sheet.board.setFocus()
    return window


def bodies(window):
    return window.desk.project.sections[0].bodies


def only_shape(window):
    (body,) = bodies(window)
    (shape,) = body.shapes
    return shape


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        ("disc", Disc(centre=(-10, 10), radius=50)),
        ("bore", Bore(centre=(-10, 10), radius=50, wall=2)),
        ("bar", Bar(start=(-10, 10), end=(20, 50), radius=2)),
        ("box", Box(centre=(5, 30), size=(30, 40))),
        ("frame", Frame(centre=(5, 30), size=(30, 40), wall=2)),
    ],
)
@pytest.mark.parametrize("hand", ["two clicks", "one drag"])
def test_two_points_draw_a_shape_on_the_grid_and_undo_takes_it_back(drawing, qtbot, kind, expected, hand):
    ask(qtbot, drawing, KEYS[kind])
    if hand == "two clicks":
        click(qtbot, drawing, -9.8, 10.1)
        click(qtbot, drawing, 20.2, 49.9)
    else:
        drag(qtbot, drawing, (-9.8, 10.1), (20.2, 49.9))
    assert only_shape(drawing) == expected
    assert bodies(drawing)[0].fixed == (kind in ("bore", "frame"))
    assert drawing.desk.choice.bodies == (bodies(drawing)[0].name,)
    assert drawing.sheet.in_hand.tool is None
    assert drawing.desk.document.history.count() == 1
    drawing.desk.document.history.undo()
    assert drawing.desk.project == new_project()


def test_numbers_typed_hold_against_the_pointer_and_the_rest_follows_it(drawing, qtbot):
    ask(qtbot, drawing, KEYS["frame"])
    type_numbers(qtbot, drawing, "-40", "-60/2")
    point_at(qtbot, drawing, 30, 20)
    type_numbers(qtbot, drawing, "23/2+88.5")
    assert only_shape(drawing) == Frame(centre=(10, -5), size=(100, 50), wall=2)


def test_a_disc_is_drawn_by_the_keyboard_alone(drawing, qtbot):
    ask(qtbot, drawing, KEYS["disc"])
    type_numbers(qtbot, drawing, "12.25", "-7")
    type_numbers(qtbot, drawing, "4.5")
    assert only_shape(drawing) == Disc(centre=(12.25, -7), radius=4.5)
    assert drawing.focusWidget() is drawing.sheet.board


def test_an_escape_in_a_number_lets_it_follow_the_pointer_again(drawing, qtbot):
    ask(qtbot, drawing, KEYS["disc"])
    click(qtbot, drawing, 0, 0)
    point_at(qtbot, drawing, 10, 0)
    qtbot.keyClicks(drawing.sheet.board, "3")
    assert drawing.sheet.in_hand.tool.next_point() == pytest.approx((3, 0))
    qtbot.keyClick(drawing.sheet.tool_line.sentence.field_of("radius"), Qt.Key.Key_Escape)
    assert drawing.sheet.in_hand.tool.next_point() == pytest.approx((10, 0))
    assert drawing.sheet.in_hand.tool is not None


def test_bad_arithmetic_takes_nothing(drawing, qtbot):
    ask(qtbot, drawing, KEYS["disc"])
    click(qtbot, drawing, 0, 0)
    type_numbers(qtbot, drawing, "3+")
    assert drawing.sheet.in_hand.tool.points == [(0.0, 0.0)]
    assert drawing.sheet.tool_line.sentence.field_of("radius").text() == "3+"
    assert bodies(drawing) == ()


def test_a_polygon_closes_on_its_first_point(drawing, qtbot):
    ask(qtbot, drawing, KEYS["polygon"])
    corners = ((-20, 0), (20, 0), (20, 30))
    for corner in corners:
        click(qtbot, drawing, *corner)
    point_at(qtbot, drawing, -19.6, 0.3)
    assert drawing.sheet.in_hand.tool.snapped.told == "first point: closes the outline"
    click(qtbot, drawing, -19.6, 0.3)
    assert only_shape(drawing) == Polygon(points=corners)


def test_a_polygon_goes_on_by_length_and_direction_and_closes_by_a_double_click(drawing, qtbot):
    ask(qtbot, drawing, KEYS["polygon"])
    click(qtbot, drawing, 0, 0)
    type_numbers(qtbot, drawing, "20", "90")
    type_numbers(qtbot, drawing, "20", "-30")
    click(qtbot, drawing, 10, -10)
    qtbot.mouseDClick(drawing.sheet.board.viewport(), Qt.MouseButton.LeftButton, pos=pixel(drawing, 10, -10))
    found = only_shape(drawing).points
    assert found[:2] == ((0, 0), (0, 20))
    assert found[2] == pytest.approx((20 * math.cos(math.radians(30)), 10), abs=1e-6)
    assert found[3] == (10, -10)


def test_the_last_point_is_taken_back_and_then_the_tool_put_away(drawing, qtbot):
    ask(qtbot, drawing, KEYS["polygon"])
    click(qtbot, drawing, 0, 0)
    click(qtbot, drawing, 10, 0)
    ask(qtbot, drawing, Qt.Key.Key_Backspace, Qt.KeyboardModifier.NoModifier)
    assert drawing.sheet.in_hand.tool.points == [(0, 0)]
    ask(qtbot, drawing, Qt.Key.Key_Escape, Qt.KeyboardModifier.NoModifier)
    ask(qtbot, drawing, Qt.Key.Key_Escape, Qt.KeyboardModifier.NoModifier)
    assert drawing.sheet.in_hand.tool is None
    assert drawing.desk.document.history.count() == 0


def test_a_shape_of_no_size_is_not_drawn(drawing, qtbot):
    ask(qtbot, drawing, KEYS["box"])
    click(qtbot, drawing, 0, 0)
    click(qtbot, drawing, 0, 20)
    assert bodies(drawing) == ()
    assert drawing.sheet.in_hand.tool.points == [(0, 0)]


def test_the_key_pressed_again_draws_into_the_body_in_hand(drawing, qtbot):
    ask(qtbot, drawing, KEYS["disc"])
    click(qtbot, drawing, 0, 0)
    click(qtbot, drawing, 10, 0)
    ask(qtbot, drawing, KEYS["bar"])
    assert drawing.sheet.in_hand.tool.said().text.startswith("New bar")
    ask(qtbot, drawing, KEYS["bar"])
    assert drawing.sheet.in_hand.tool.said().text.startswith("Bar of body")
    click(qtbot, drawing, 0, 0)
    click(qtbot, drawing, 30, 0)
    (body,) = bodies(drawing)
    assert body.shapes == (Disc(centre=(0, 0), radius=10), Bar(start=(0, 0), end=(30, 0), radius=2))


def test_what_is_snapped_to_is_named_and_tab_goes_through_what_there_is(drawing, qtbot):
    ask(qtbot, drawing, KEYS["box"])
    drag(qtbot, drawing, (-20.0, -10.0), (20.0, 10.0))
    ask(qtbot, drawing, KEYS["disc"])
    tool = drawing.sheet.in_hand.tool
    point_at(qtbot, drawing, 0.4, 9.7)
    named = [tool.snapped.told]
    assert named == ["middle of body"]
    for _ in range(8):
        qtbot.keyClick(drawing.sheet.board, Qt.Key.Key_Tab)
        named.append(tool.snapped.told)
    assert drawing.focusWidget() is drawing.sheet.board
    assert len(set(named)) > 1
    assert named.count("middle of body") > 1


@pytest.mark.parametrize("step", ["Joints", "Travel", "Gaps", "Hand-over"])
def test_another_step_puts_the_tool_away(drawing, qtbot, step):
    ask(qtbot, drawing, KEYS["disc"])
    assert drawing.sheet._over.currentWidget() is drawing.sheet.tool_line
    drawing.show_step(step)
    assert drawing.sheet.in_hand.tool is None
    assert drawing.sheet._over.currentWidget() is drawing.sheet.tools


def test_a_disc_about_a_pin_is_drawn_as_large_as_touches_the_wall(window, qtbot):
    """The pin stands at (3.3, -4.4), off the grid; the wall's inside is at y = 25: square to it from the pin is 29.4 away."""
    bare = new_project()
    section = bare.sections[0]
    wall = Body(name=BodyName("wall"), fixed=True, depth=(0, 3), shapes=(Frame(centre=(0, 0), size=(80, 50), wall=2),))
    arm = Body(name=BodyName("arm"), fixed=False, depth=(0, 3), shapes=(Disc(centre=(30, -15), radius=3),))
    pin = Pivot(name=JointName("elbow"), between=(wall.name, arm.name), at=(3.3, -4.4))
    window.desk.begin(replace(bare, sections=(replace(section, bodies=(wall, arm), joints=(pin,)),)))
    window.show_step("Outline")
    window.sheet.board.setFocus()
    ask(qtbot, window, KEYS["disc"])
    click(qtbot, window, 3.5, -4.3)
    point_at(qtbot, window, 3.5, 24.8)
    assert window.sheet.in_hand.tool.snapped.told == "square to wall"
    click(qtbot, window, 3.5, 24.8)
    (disc,) = bodies(window)[-1].shapes
    assert disc == Disc(centre=(3.3, -4.4), radius=pytest.approx(29.4))
