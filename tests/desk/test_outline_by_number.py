"""Bodies and shapes by words and numbers in the side panel: a bay from an empty project, each change one step."""

import pytest
from PySide6.QtCore import Qt

from app.panels.outline import Outline
from app.panels.word_row import WordRow
from core.model.edit_project import new_project
from core.model.shapes import Box, Disc, Frame, Polygon
from core.model.validate import validate
from core.project_file.read import read_project
from tests.desk.by_number import press, typed

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def outline(window):
    window.desk.begin(new_project())
    window.sheet.show_step("Outline")
    return window.sheet.panel.findChild(Outline)


def called(qtbot, outline, name):
    outline.name.selectAll()
    qtbot.keyClicks(outline.name, name)
    qtbot.keyClick(outline.name, Qt.Key.Key_Return)


def bodies(window):
    return window.desk.project.sections[0].bodies


def test_a_bay_is_made_wholly_by_numbers_saved_and_read_again(window, outline, qtbot, tmp_path):
    press(qtbot, outline, "new frame")
    called(qtbot, outline, "case")
    typed(qtbot, outline, 0, width="120", height="90/2+15", wall="3")
    press(qtbot, outline, "new box")
    called(qtbot, outline, "cam")
    typed(qtbot, outline, 0, x="-20", turn="30", corner="1.5")
    press(qtbot, outline, "add disc")
    typed(qtbot, outline, 1, radius="6", y="4")
    case, cam = bodies(window)
    assert (case.name, case.fixed, cam.name, cam.fixed) == ("case", True, "cam", False)
    assert case.shapes == (Frame(centre=(0, 0), size=(120, 60), wall=3),)
    assert cam.shapes == (Box(centre=(-20, 0), size=(20, 10), turn=30, corner_radius=1.5), Disc(centre=(0, 4), radius=6))
    assert window.desk.document.history.count() == 13
    made = window.desk.project
    window.desk.document.save(tmp_path / "made.bay.json")
    assert read_project(tmp_path / "made.bay.json") == made
    for _ in range(13):
        window.desk.document.history.undo()
    assert window.desk.project == new_project()
    for _ in range(13):
        window.desk.document.history.redo()
    assert window.desk.project == made


def test_a_polygon_gets_and_loses_points(window, outline, qtbot):
    press(qtbot, outline, "new polygon")
    assert "fewer 0" not in outline.words
    typed(qtbot, outline, 0, y2="20")
    press(qtbot, outline, "point 0")
    typed(qtbot, outline, 0, x3="-5")
    (body,) = bodies(window)
    assert body.shapes == (Polygon(points=((0, 0), (20, 0), (0, 20), (-5, 10))),)
    press(qtbot, outline, "fewer 0")
    assert bodies(window)[0].shapes == (Polygon(points=((0, 0), (20, 0), (0, 20))),)


def test_a_shape_takes_a_depth_of_its_own_and_gives_it_back(window, outline, qtbot):
    press(qtbot, outline, "new disc")
    press(qtbot, outline, "depth 0")
    typed(qtbot, outline, 0, high="12.5")
    assert bodies(window)[0].shapes[0].depth == (0, 12.5)
    press(qtbot, outline, "depth 0")
    assert bodies(window)[0].shapes[0].depth is None


def test_fixing_hiding_holding_and_trust_are_told_in_words(window, outline, qtbot):
    press(qtbot, outline, "new disc")
    for word in ("fixed", "hide", "hold", "trust measured"):
        press(qtbot, outline, word)
    (body,) = bodies(window)
    assert (body.fixed, body.view.hidden, body.view.held, body.trust) == (True, True, True, "measured")
    assert [outline.words[word].text() for word in ("fixed", "hide", "hold")] == ["make it moving", "show it again", "let it be moved"]
    for word in ("fixed", "hide", "hold", "trust None"):
        press(qtbot, outline, word)
    (body,) = bodies(window)
    assert (body.fixed, body.view.hidden, body.view.held, body.trust) == (False, False, False, None)


def test_bodies_change_places_are_doubled_and_deleted(window, outline, qtbot):
    for name in ("first", "second"):
        press(qtbot, outline, "new disc")
        called(qtbot, outline, name)
    press(qtbot, outline, "earlier")
    assert [body.name for body in bodies(window)] == ["second", "first"]
    press(qtbot, outline, "earlier")
    assert window.desk.document.history.count() == 5
    press(qtbot, outline, "duplicate")
    assert len(bodies(window)) == 3
    press(qtbot, outline, "delete")
    assert [body.name for body in bodies(window)] == ["second", "first"]


def test_a_body_without_its_last_shape_is_told_and_drawn_through(window, outline, qtbot):
    press(qtbot, outline, "new disc")
    press(qtbot, outline, "delete 0")
    assert bodies(window)[0].shapes == ()
    assert validate(window.desk.project) != ()
    press(qtbot, outline, "add bar")
    assert len(bodies(window)[0].shapes) == 1


def test_every_row_of_words_says_what_they_do(outline, qtbot):
    press(qtbot, outline, "new disc")

    def told():
        rows = [row for row in outline.findChildren(WordRow) if row.isVisible()]
        return [row.written() for row in rows if all(row.rect().contains(area) for area in row.flow.areas())]

    heads = {"A new body: ", "Add to it a ", "It is moving: ", "Its sizes are "}
    qtbot.waitUntil(lambda: heads <= set(told()))
