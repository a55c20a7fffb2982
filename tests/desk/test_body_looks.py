"""A body's tint and note, its shapes' holes, and what else is done to it, by mouse and by keys."""

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QApplication

from app.theme import DARK, LIGHT
from core.model.edit_project import new_project
from core.model.shapes import Polygon
from core.model.validate import validate
from core.project_file.read import read_project
from tests.desk.by_number import press, typed

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def outline(window, qtbot):
    window.desk.begin(new_project())
    window.show_step("Outline")
    made = window.sheet.panel.outline
    press(qtbot, made, "new box")
    return made


def body(window, place=0):
    return window.desk.project.sections[0].bodies[place]


def colour_at(window, x, y):
    view = window.sheet.board.viewport()
    return view.grab().toImage().pixelColor(window.sheet.board.viewportTransform().map(QPointF(x, y)).toPoint()).name()


@pytest.mark.parametrize("style", [LIGHT, DARK], ids=["light", "dark"])
def test_a_tint_is_chosen_by_its_word_and_drawn(window, outline, qtbot, style):
    window.set_style(style)
    press(qtbot, outline, "tint sage")
    assert body(window).view.colour == "sage"
    assert window.desk.document.history.undoText() == "Colour of body"
    window.desk.choice.pick_bodies(())
    assert colour_at(window, 6, 3) == style.bodies["sage"]


def test_automatic_is_one_of_the_choices(window, outline, qtbot):
    assert outline.words["tint automatic"].isChecked()
    press(qtbot, outline, "tint lagoon")
    assert [key for key, word in outline.words.items() if key.startswith("tint") and word.isChecked()] == ["tint lagoon"]
    press(qtbot, outline, "tint automatic")
    assert body(window).view.colour is None
    assert outline.words["tint automatic"].isChecked()


def test_pressing_the_tint_it_has_changes_nothing_and_stays_marked(window, outline, qtbot):
    press(qtbot, outline, "tint ice")
    steps = window.desk.document.history.count()
    press(qtbot, outline, "tint ice")
    assert window.desk.document.history.count() == steps
    assert outline.words["tint ice"].isChecked()


def test_tints_are_reached_by_keys_and_named(window, outline, qtbot):
    word = outline.words["tint mist"]
    assert word.focusPolicy() & Qt.FocusPolicy.TabFocus
    assert word.accessibleName() == "body: mist"
    word.setFocus()
    qtbot.keyClick(word, Qt.Key.Key_Space)
    assert body(window).view.colour == "mist"
    assert QApplication.focusWidget() is outline.words["tint mist"]


def test_a_fixed_body_has_no_tint_to_choose(outline, qtbot):
    press(qtbot, outline, "fixed")
    assert not [key for key in outline.words if key.startswith("tint")]
    press(qtbot, outline, "fixed")
    assert "tint sage" in outline.words


def test_a_note_is_written_in_its_place_kept_and_undone(window, outline, qtbot, tmp_path):
    outline.note.setFocus()
    qtbot.keyClicks(outline.note, "printed on its side")
    qtbot.keyClick(outline.note, Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClicks(outline.note, "<0.2 mm layers>")
    qtbot.keyClick(outline.note, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: body(window).notes != "")
    assert body(window).notes == "printed on its side\n<0.2 mm layers>"
    assert window.desk.document.history.undoText() == "Note on body"
    window.desk.document.save(tmp_path / "noted.bay.json")
    assert read_project(tmp_path / "noted.bay.json") == window.desk.project
    window.desk.document.history.undo()
    assert body(window).notes == ""
    assert outline.note.toPlainText() == ""


def test_a_note_is_kept_where_its_field_is_left_and_given_back_by_escape(window, outline, qtbot):
    outline.note.setFocus()
    qtbot.keyClicks(outline.note, "soft jaw")
    outline.name.setFocus()
    qtbot.waitUntil(lambda: body(window).notes == "soft jaw")
    outline.note.setFocus()
    qtbot.keyClicks(outline.note, " of rubber")
    qtbot.keyClick(outline.note, Qt.Key.Key_Escape)
    outline.name.setFocus()
    QApplication.processEvents()
    assert body(window).notes == "soft jaw"
    assert outline.note.toPlainText() == "soft jaw"


def test_a_note_goes_to_its_own_body_when_another_is_picked(window, outline, qtbot):
    press(qtbot, outline, "new disc")
    window.desk.choice.pick_bodies(("body",))
    qtbot.waitUntil(outline.note.isVisible)
    outline.note.setFocus()
    qtbot.keyClicks(outline.note, "of brass")
    window.desk.choice.pick_bodies(("body 2",))
    qtbot.waitUntil(lambda: body(window).notes == "of brass")
    assert body(window, 1).notes == ""


def test_a_note_of_a_body_that_went_is_let_go(window, outline, qtbot):
    outline.note.setFocus()
    qtbot.keyClicks(outline.note, "of brass")
    window.actions_by_name["delete"].trigger()
    QApplication.processEvents()
    assert window.desk.project.sections[0].bodies == ()


def test_a_hole_is_cut_its_points_typed_and_filled(window, outline, qtbot):
    press(qtbot, outline, "hole 0")
    (shape,) = body(window).shapes
    assert isinstance(shape, Polygon)
    assert (len(shape.points), [len(ring) for ring in shape.holes]) == (4, [4])
    assert validate(window.desk.project) == ()
    typed(qtbot, outline, 0, h0x0="-4", h0y0="-3.5")
    press(qtbot, outline, "point 0 0")
    typed(qtbot, outline, 0, h0x4="-3.25")
    ring = body(window).shapes[0].holes[0]
    assert (ring[0], ring[4][0], len(ring)) == ((-4, -3.5), -3.25, 5)
    press(qtbot, outline, "fewer 0 0")
    assert len(body(window).shapes[0].holes[0]) == 4
    press(qtbot, outline, "fill 0 0")
    assert body(window).shapes[0].holes == ()
    assert "fill 0 0" not in outline.words


def test_a_second_hole_finds_room_beside_the_first(window, outline, qtbot):
    press(qtbot, outline, "hole 0")
    press(qtbot, outline, "hole 0")
    assert len(body(window).shapes[0].holes) == 2
    assert validate(window.desk.project) == ()


@pytest.mark.parametrize(
    ("word", "action", "step"),
    [
        ("duplicate", "duplicate", "Duplicate body 3"),
        ("delete", "delete", "Delete body"),
        ("hide", "hide", "Hide body"),
        ("hold", "hold", "Hold body in place"),
        (None, "mirror", "Mirror body"),
        ("later", None, "Reorder body"),
    ],
)
def test_what_is_done_to_a_body_is_reached_by_mouse_by_its_key_and_by_tab(window, outline, qtbot, word, action, step):
    """The same step of the history each way."""
    typed(qtbot, outline, 0, x="12")
    press(qtbot, outline, "new disc")
    window.desk.choice.pick_bodies(("body",))
    history = window.desk.document.history

    def by_mouse():
        press(qtbot, outline, word)

    def by_tab():
        outline.words[word].setFocus()
        qtbot.keyClick(outline.words[word], Qt.Key.Key_Space)

    def by_key():
        qtbot.keyClick(window, *_key_of(window, action))

    ways = [*((by_mouse, by_tab) if word else ()), *((by_key,) if action else ())]
    made = []
    for way in ways:
        way()
        assert history.undoText() == step
        made.append(window.desk.project)
        history.undo()
        window.desk.choice.pick_bodies(("body",))
    assert all(one == made[0] for one in made)


def _key_of(window, action):
    keys = window.actions_by_name[action].shortcut()[0]
    return keys.key(), keys.keyboardModifiers()
