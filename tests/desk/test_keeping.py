"""Nothing is lost unasked: leaving, other programs, crashes; and the actions on bodies through the real window."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit, QSpinBox

from app.document.aside import Aside, left_behind
from app.document.document import Document
from app.theme import LIGHT
from app.window import Window
from core.model.edit_project import set_notes
from core.model.placing import moving
from core.model.repeat import repeat_round
from core.model.shapes import Frame
from core.project_file.read import read_project
from core.project_file.write import project_to_bytes, write_project
from tests.unit.model.drawings import gate

# Dialogs are raised by the system, which a window drawn in memory cannot ask for.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def drawn(window, tmp_path):
    """The lock gate, opened from its file."""
    file = tmp_path / "gate.bay.json"
    write_project(gate(), file)
    assert window.files.open(file)
    return window


def change(window, notes="new"):
    window.desk.document.change("Note", lambda project: set_notes(project, notes))


def asked(window, qtbot):
    qtbot.waitUntil(lambda: window.files.keeping.question is not None)
    return window.files.keeping.question


def answer(window, qtbot, key):
    question = asked(window, qtbot)
    qtbot.mouseClick(question.word(key), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: window.files.keeping.question is not question)


def trigger(window, name):
    action = window.actions_by_name[name]
    assert action.isEnabled(), name
    action.trigger()


def test_closing_without_changes_asks_nothing(drawn):
    assert drawn.close()
    assert drawn.files.keeping.question is None


def test_closing_with_changes_asks_once_and_go_on_stays(drawn, qtbot):
    change(drawn)
    assert not drawn.close()
    question = asked(drawn, qtbot)
    assert "changes that are not saved" in question.sentences[0]
    assert not drawn.close()
    assert drawn.files.keeping.question is question
    answer(drawn, qtbot, "leave")
    assert drawn.isVisible()
    assert drawn.desk.document.has_unsaved_changes


def test_closing_with_changes_saves_and_goes(drawn, qtbot):
    change(drawn)
    drawn.close()
    answer(drawn, qtbot, "save")
    qtbot.waitUntil(lambda: not drawn.isVisible())
    assert read_project(drawn.desk.document.file).notes == "new"


def test_closing_with_changes_lets_them_go_when_told_so(drawn, qtbot):
    change(drawn)
    drawn.close()
    answer(drawn, qtbot, "discard")
    qtbot.waitUntil(lambda: not drawn.isVisible())
    assert read_project(drawn.desk.document.file) == gate()


def test_escape_is_leave(drawn, qtbot):
    change(drawn)
    trigger(drawn, "close")
    qtbot.keyClick(asked(drawn, qtbot), Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: drawn.files.keeping.question is None)
    assert drawn.desk.project.notes == "new"


def test_enter_saves_and_another_project_is_begun(drawn, qtbot):
    change(drawn)
    trigger(drawn, "new")
    file = drawn.desk.document.file
    qtbot.keyClick(asked(drawn, qtbot), Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: drawn.desk.project.name == "New bay")
    assert read_project(file).notes == "new"
    assert drawn.desk.document.file is None


def test_a_file_changed_elsewhere_is_not_written_over_unasked(drawn, qtbot):
    file = drawn.desk.document.file
    drawn.files.keeping.disk.changed.disconnect()
    change(drawn)
    write_project(set_notes(gate(), "theirs"), file)
    trigger(drawn, "save")
    answer(drawn, qtbot, "leave")
    assert read_project(file).notes == "theirs"
    trigger(drawn, "save")
    answer(drawn, qtbot, "over")
    qtbot.waitUntil(lambda: read_project(file).notes == "new")
    assert not drawn.desk.document.has_unsaved_changes


def test_a_file_is_not_written_over_unasked_where_its_ending_was_not_typed(drawn, qtbot, tmp_path):
    theirs = tmp_path / "mine.bay.json"
    theirs.write_text("theirs", encoding="utf-8")

    def save_as_mine():
        trigger(drawn, "save_as")
        dialog = drawn.files.dialog()
        dialog.fileSelected.emit(str(tmp_path / "mine"))
        dialog.reject()

    save_as_mine()
    assert asked(drawn, qtbot).sentences == ("mine.bay.json is there already. What is in it now would be gone.",)
    answer(drawn, qtbot, "leave")
    assert theirs.read_text(encoding="utf-8") == "theirs"
    save_as_mine()
    answer(drawn, qtbot, "elsewhere")
    qtbot.waitUntil(lambda: drawn.files.dialog() is not None)
    drawn.files.dialog().reject()
    assert theirs.read_text(encoding="utf-8") == "theirs"
    save_as_mine()
    answer(drawn, qtbot, "replace")
    qtbot.waitUntil(lambda: drawn.desk.document.file == theirs)
    assert read_project(theirs) == drawn.desk.project


def test_the_name_offered_for_a_file_leads_into_no_other_folder(drawn):
    drawn.desk.document.change("Name", lambda project: replace(project, name="../left/right: *?"))
    trigger(drawn, "save_as")
    dialog = drawn.files.dialog()
    offered = dialog.findChild(QLineEdit).text()
    dialog.reject()
    assert offered == "-left-right- --.bay.json"


def test_a_file_changed_elsewhere_is_noticed_and_read_again_as_one_step(drawn, qtbot):
    change(drawn)
    write_project(set_notes(gate(), "theirs"), drawn.desk.document.file)
    answer(drawn, qtbot, "read")
    qtbot.waitUntil(lambda: drawn.desk.project.notes == "theirs")
    assert not drawn.desk.document.has_unsaved_changes
    drawn.desk.document.history.undo()
    assert drawn.desk.project.notes == "new"


def crashed_beside(window, file=None):
    """Work of another window that never came to its end; the folder that it was kept in."""
    folder = window.files.keeping._folder
    other = Document()
    other.show(gate(), file=file)
    aside = Aside(other, folder)
    other.change("Note", lambda project: set_notes(project, "nearly lost"))
    aside.keep()
    aside._timer.stop()
    aside._lock.unlock()
    return folder


def test_work_left_by_a_crash_is_offered_with_what_it_holds_and_from_when(window, qtbot):
    folder = crashed_beside(window)
    window.files.keeping.offer_left_behind()
    told = asked(window, qtbot).sentences[0]
    assert told.startswith("Lock gate, with 3 bodies and 1 drive, from ")
    answer(window, qtbot, "take")
    qtbot.waitUntil(lambda: window.desk.project is not None)
    assert window.desk.project.notes == "nearly lost"
    assert window.desk.document.has_unsaved_changes
    # it is kept by this window now
    assert left_behind(folder) == ()
    assert window.files.keeping.aside.place.exists()


def test_work_left_by_a_crash_can_be_thrown_away_or_left_for_later(window, qtbot):
    folder = crashed_beside(window)
    window.files.keeping.offer_left_behind()
    answer(window, qtbot, "leave")
    assert len(left_behind(folder)) == 1
    window.files.keeping.offer_left_behind()
    answer(window, qtbot, "throw")
    qtbot.waitUntil(lambda: left_behind(folder) == ())
    assert window.desk.project is None


def test_work_left_by_a_crash_is_offered_too_where_its_file_is_opened_again(window, qtbot, tmp_path):
    file, other = tmp_path / "gate.bay.json", tmp_path / "other.bay.json"
    write_project(gate(), file)
    write_project(gate(), other)
    crashed_beside(window, file)
    assert window.files.open(other)
    assert window.files.keeping.question is None
    assert window.files.open(file)
    assert asked(window, qtbot).sentences[-1] == f"Its file, {file}, is as it was saved last."
    assert window.desk.project == gate()
    answer(window, qtbot, "take")
    qtbot.waitUntil(lambda: window.desk.project.notes == "nearly lost")
    assert window.desk.document.file == file
    assert window.desk.document.has_unsaved_changes
    assert read_project(file) == gate()


def test_a_new_bay_is_begun_and_its_wall_drawn_by_its_size(window, qtbot):
    qtbot.keyClick(window, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: window.desk.project is not None)
    assert window.desk.project.sections[0].bodies == ()
    trigger(window, "draw_bay")
    card = window.cards.card
    assert [body.name for body in window.desk.project.sections[0].bodies] == ["bay"]
    field = card.field("width")
    field.selectAll()
    qtbot.keyClicks(field, "2*60+1.5 mm")
    assert window.desk.project.sections[0].bodies[0].shapes[0].size == (121.5, 50)
    assert window.desk.document.history.count() == 0
    qtbot.keyClick(card, Qt.Key.Key_Return)
    assert window.desk.document.history.count() == 1
    (body,) = window.desk.project.sections[0].bodies
    assert body.shapes == (Frame(centre=(0, 0), size=(121.5, 50), wall=2),)
    assert body.fixed
    assert window.desk.choice.bodies == ("bay",)


def test_a_ring_of_five_stations_is_made_of_one_by_number(drawn, qtbot):
    drawn.desk.choice.pick_bodies(("leaf", "paddle"))
    trigger(drawn, "repeat_round")
    card = drawn.cards.card
    assert isinstance(card.field("count"), QSpinBox)
    card.field("count").setValue(5)
    for key, text in (("x", "-100"), ("y", "0")):
        card.field(key).setFocus()
        card.field(key).selectAll()
        qtbot.keyClicks(card.field(key), text)
    qtbot.keyClick(card, Qt.Key.Key_Return)
    wanted = repeat_round(gate(), "Plan", ("leaf", "paddle"), centre=(-100.0, 0.0), count=5)
    assert drawn.desk.project == wanted.project
    assert len(drawn.desk.project.drives) == 5
    assert len(drawn.desk.choice.bodies) == 10
    assert drawn.desk.document.history.undoText() == "Repeat 2 bodies round"
    drawn.desk.document.history.undo()
    assert drawn.desk.project == gate()


def test_a_card_that_is_left_changes_nothing(drawn, qtbot):
    drawn.desk.choice.pick_bodies(("leaf",))
    trigger(drawn, "repeat_along")
    assert len(drawn.desk.project.sections[0].bodies) == 5
    qtbot.keyClick(drawn.cards.card, Qt.Key.Key_Escape)
    assert drawn.desk.project == gate()
    assert not drawn.desk.document.in_gesture
    assert drawn.cards.card is None


@pytest.mark.parametrize("name", ["move_by", "turn_by", "scale_by", "mirror_line"])
def test_numbers_that_leave_everything_in_place_are_no_step(drawn, qtbot, name):
    drawn.desk.choice.pick_bodies(("leaf",))
    trigger(drawn, name)
    qtbot.keyClick(drawn.cards.card, Qt.Key.Key_Return)
    assert drawn.desk.document.history.count() == (1 if name == "mirror_line" else 0)
    assert not drawn.desk.document.in_gesture


def test_what_is_picked_is_moved_by_number(drawn, qtbot):
    drawn.desk.choice.pick_bodies(("leaf",))
    trigger(drawn, "move_by")
    card = drawn.cards.card
    field = card.field("x")
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "7/2")
    field = card.field("y")
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "-1")
    card.take()
    assert drawn.desk.project.sections[0].bodies[1].shapes[0].centre == (13.5, -1)
    assert drawn.desk.project.sections[0].joints[0].at == moving(shift=(3.5, -1.0)).point((0.0, 0.0))


@pytest.mark.parametrize(
    ("key", "count"),
    [(Qt.Key.Key_D, 4), (Qt.Key.Key_X, 2), (Qt.Key.Key_M, 3)],
)
def test_keys_work_on_what_is_picked(drawn, qtbot, key, count):
    drawn.desk.choice.pick_bodies(("leaf",))
    qtbot.keyClick(drawn, key, Qt.KeyboardModifier.ControlModifier)
    assert len(drawn.desk.project.sections[0].bodies) == count
    assert drawn.actions_by_name["undo"].isEnabled()
    qtbot.keyClick(drawn, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert drawn.desk.project == gate()


def test_delete_copy_and_paste_by_keys(drawn, qtbot):
    drawn.desk.choice.pick_bodies(("paddle",))
    qtbot.keyClick(drawn, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(drawn, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert drawn.desk.choice.bodies == ("paddle 2",)
    qtbot.keyClick(drawn, Qt.Key.Key_Delete)
    assert drawn.desk.project == gate()


def test_sections_are_added_duplicated_and_deleted(drawn):
    trigger(drawn, "duplicate_section")
    assert [section.name for section in drawn.desk.project.sections] == ["Plan", "Plan 2"]
    assert drawn.desk.choice.section == "Plan 2"
    trigger(drawn, "add_section")
    assert drawn.desk.choice.section == "Section"
    trigger(drawn, "delete_section")
    drawn.desk.choice.pick_section("Plan 2")
    trigger(drawn, "delete_section")
    assert drawn.desk.project == gate()


def test_the_last_section_is_kept_and_why_is_said(drawn):
    trigger(drawn, "delete_section")
    assert drawn.desk.project == gate()
    assert "keeps one section" in drawn.slip.words()


def test_a_project_that_is_drawn_on_is_the_file_that_is_saved(drawn):
    drawn.desk.choice.pick_bodies(("leaf",))
    trigger(drawn, "duplicate")
    trigger(drawn, "save")
    file = drawn.desk.document.file
    assert file.read_bytes() == project_to_bytes(drawn.desk.project)
    assert read_project(file) == drawn.desk.project


def test_a_fault_is_shown_and_linked_and_the_sweep_says_why_it_waits(drawn):
    drawn.desk.choice.pick_bodies(())
    shape = gate().sections[0].bodies[1].shapes[0]
    broken = gate(shapes=(type(shape)(centre=(10.0, 0.0), size=(0.0, 4.0)),))
    drawn.desk.document.change("Shrink leaf", lambda _project: broken)
    assert "The sweep waits: Leaf measures 0 x 4 mm." in drawn.sheet.sentence.text()
    (link,) = drawn.sheet.panel.findings.links()
    link.click()
    assert drawn.desk.choice.bodies == ("leaf",)
    trigger(drawn, "undo")
    assert "waits" not in drawn.sheet.sentence.text()


def test_a_window_of_its_own_keeps_unsaved_work_where_it_is_told(qapp, tmp_path):
    assert qapp is not None
    made = Window(tmp_path / "settings.json", LIGHT, state=tmp_path / "state")
    made.desk.begin(gate())
    change(made)
    assert made.files.keeping.aside.keep()
    assert made.files.keeping.aside.place.parent == tmp_path / "state"
    made.end()
    assert not made.files.keeping.aside.place.exists()
    made.deleteLater()
