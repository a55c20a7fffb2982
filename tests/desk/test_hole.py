"""Holes cut on the board with mouse and keys, in the shape under their first point."""

import pytest
from PySide6.QtCore import Qt

from core.model.edit_bodies import add_body
from core.model.edit_project import new_project
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Box, Disc, Polygon
from tests.desk.by_hand import ask, click

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
RING = ((-5, -5), (5, -5), (5, 5))
PLATE = Box(centre=(0, 0), size=(40, 30), corner_radius=2)


@pytest.fixture
def cutting(window):
    """A function that begins a project with a body of these shapes under a disc, and shows Outline."""

    def begin(*shapes, picked=("plate",)):
        project = new_project()
        section = project.sections[0].name
        project = add_body(project, section, Body(name=BodyName("plate"), fixed=True, depth=(0, 3), shapes=shapes))
        project = add_body(
            project, section, Body(name=BodyName("{cam}"), fixed=False, depth=(4, 6), shapes=(Disc(centre=(60, 0), radius=8),))
        )
        window.desk.begin(project)
        window.show_step("Outline")
        window.sheet.board.setFocus()
        window.desk.choice.pick_bodies(tuple(BodyName(name) for name in picked))
        return window

    return begin


def draw_ring(qtbot, window, ring):
    for x, y in (*ring, ring[0]):
        click(qtbot, window, x, y)


def plate(window):
    return window.desk.project.sections[0].bodies[0]


def steps(window):
    history = window.desk.document.history
    return [history.text(number) for number in range(history.count())]


@pytest.mark.parametrize("picked", [("plate",), ()])
def test_a_ring_drawn_in_a_box_makes_it_a_polygon_with_a_hole(cutting, qtbot, picked):
    window = cutting(PLATE, picked=picked)
    ask(qtbot, window, Qt.Key.Key_7)
    draw_ring(qtbot, window, RING)
    (shape,) = plate(window).shapes
    assert isinstance(shape, Polygon)
    assert (shape.holes, shape.corner_radius) == ((RING,), 2)
    assert sorted(shape.points) == [(-20, -15), (-20, 15), (20, -15), (20, 15)]
    assert steps(window) == ["Cut a hole in plate"]
    assert window.sheet.in_hand.tool is None
    assert window.desk.choice.bodies == (BodyName("plate"),)
    window.desk.document.history.undo()
    assert plate(window).shapes == (PLATE,)


def test_the_hole_goes_into_the_shape_under_its_first_point(cutting, qtbot):
    window = cutting(PLATE, Box(centre=(0, 60), size=(40, 30)))
    ask(qtbot, window, Qt.Key.Key_7)
    draw_ring(qtbot, window, [(x, y + 60) for x, y in RING])
    assert plate(window).shapes[0] == PLATE
    assert plate(window).shapes[1].holes == (tuple((x, y + 60) for x, y in RING),)


@pytest.mark.parametrize(("picked", "at"), [(("plate",), (60, 0)), ((), (60, 0)), (("{cam}",), (0, 0)), (("plate",), (-40, 0))])
def test_where_there_is_nothing_to_cut_the_tool_says_so_and_stays(cutting, qtbot, picked, at):
    window = cutting(PLATE, picked=picked)
    ask(qtbot, window, Qt.Key.Key_7)
    click(qtbot, window, *at)
    assert window.sheet.tool_line.hint.whole() == "There is no box or polygon to cut there."
    assert window.sheet.in_hand.tool.points == []
    assert steps(window) == []


def test_a_ring_across_the_outline_is_not_cut_until_its_points_are_taken_back(cutting, qtbot):
    window = cutting(PLATE)
    ask(qtbot, window, Qt.Key.Key_7)
    draw_ring(qtbot, window, ((-5, -5), (30, -5), (5, 5)))
    assert steps(window) == []
    assert window.sheet.tool_line.hint.whole().startswith("A hole must lie inside the outline")
    for _ in range(2):
        qtbot.keyClick(window.sheet.board, Qt.Key.Key_Backspace)
    for point in ((5, -5), (5, 5), (-5, -5)):
        click(qtbot, window, *point)
    assert plate(window).shapes[0].holes == (RING,)


def test_a_second_hole_keeps_the_first_and_may_not_lie_in_it(cutting, qtbot):
    window = cutting(Polygon(points=((-20, -15), (20, -15), (20, 15), (-20, 15)), holes=(((-15, -10), (-8, -10), (-8, 10)),)))
    ask(qtbot, window, Qt.Key.Key_7)
    click(qtbot, window, -9, 0)
    assert window.sheet.in_hand.tool.points == []
    draw_ring(qtbot, window, RING)
    assert plate(window).shapes[0].holes[1] == RING


def test_the_key_of_the_polygon_takes_another_tool_while_a_hole_is_cut(cutting, qtbot):
    window = cutting(PLATE)
    ask(qtbot, window, Qt.Key.Key_7)
    hole = window.sheet.in_hand.tool
    ask(qtbot, window, Qt.Key.Key_4)
    assert window.sheet.in_hand.tool is not hole
    assert window.sheet.in_hand.tool.said().text.startswith("New polygon")


def test_the_word_stands_over_the_board_in_outline(cutting):
    window = cutting(PLATE)
    word = window.sheet.tools._words["cut_hole"]
    assert word.isVisible()
    window.show_step("Gaps")
    assert not word.isVisible()
