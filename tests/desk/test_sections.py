"""The sections of a project in the side panel: shown, renamed, put in order, added, copied and deleted by words and by keys."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from core.model.edit_project import new_project
from tests.desk.by_number import press

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def sections(window):
    window.desk.begin(new_project())
    window.show_step("Outline")
    return window.sheet.panel.sections


@pytest.fixture
def three(sections, qtbot):
    """Sections Side, Plan and Section, the last of them shown."""
    press(qtbot, sections, "add")
    rename(qtbot, sections, "Plan")
    press(qtbot, sections, "add")
    return sections


def rename(qtbot, sections, name, end=Qt.Key.Key_Return):
    press(qtbot, sections, "rename")
    qtbot.keyClicks(sections.name, name)
    qtbot.keyClick(sections.name, end)


def order(window):
    return [section.name for section in window.desk.project.sections]


def undo_name(window):
    return window.desk.document.history.undoText()


def told(sections):
    return [key.removeprefix("show ") for key, word in sections.words.items() if key.startswith("show ") and word.isChecked()]


def test_a_project_of_one_section_shows_one_quiet_line(sections):
    assert list(sections.words) == ["rename", "add", "duplicate"]
    assert sections.height() <= 30


def test_another_section_is_shown_by_a_click_and_marked(three, window, qtbot):
    assert told(three) == ["Section"]
    press(qtbot, three, "show Plan")
    assert (window.desk.choice.section, told(three)) == ("Plan", ["Plan"])
    press(qtbot, three, "show Plan")
    assert told(three) == ["Plan"]


def test_a_section_is_renamed_in_its_place_and_stays_shown(three, window, qtbot):
    press(qtbot, three, "show Side")
    rename(qtbot, three, "Front")
    assert order(window) == ["Front", "Plan", "Section"]
    assert (window.desk.choice.section, undo_name(window)) == ("Front", "Rename Side to Front")
    window.desk.document.history.undo()
    assert (order(window)[0], window.desk.choice.section) == ("Side", "Side")
    window.desk.document.history.redo()
    assert window.desk.choice.section == "Front"


def test_a_second_section_renamed_stays_shown_through_undo(three, window, qtbot):
    rename(qtbot, three, "Back")
    window.desk.document.history.undo()
    assert window.desk.choice.section == "Section"
    window.desk.document.history.redo()
    assert window.desk.choice.section == "Back"


@pytest.mark.parametrize("text", ["", "   ", "Section"])
def test_an_empty_name_or_its_own_changes_nothing(three, window, qtbot, text):
    steps = window.desk.document.history.count()
    press(qtbot, three, "rename")
    three.name.setText(text)
    qtbot.keyClick(three.name, Qt.Key.Key_Return)
    assert (order(window), window.desk.document.history.count()) == (["Side", "Plan", "Section"], steps)
    assert three.name is None


def test_escape_leaves_the_name_as_it_was(three, window, qtbot):
    rename(qtbot, three, "Other", end=Qt.Key.Key_Escape)
    assert order(window) == ["Side", "Plan", "Section"]
    assert three.name is None


def test_a_name_that_is_taken_becomes_the_next_free_one(three, window, qtbot):
    rename(qtbot, three, "Plan")
    assert order(window) == ["Side", "Plan", "Plan 2"]


def test_sections_are_put_earlier_and_later_and_stay_shown(three, window, qtbot):
    press(qtbot, three, "earlier")
    assert (order(window), undo_name(window)) == (["Side", "Section", "Plan"], "Reorder Section")
    press(qtbot, three, "earlier")
    steps = window.desk.document.history.count()
    press(qtbot, three, "earlier")
    assert (order(window), window.desk.document.history.count()) == (["Section", "Side", "Plan"], steps)
    press(qtbot, three, "later")
    assert (order(window), window.desk.choice.section) == (["Side", "Section", "Plan"], "Section")


def test_a_copy_stands_right_after_and_is_shown(three, window, qtbot):
    press(qtbot, three, "show Side")
    press(qtbot, three, "duplicate")
    assert order(window) == ["Side", "Side 2", "Plan", "Section"]
    assert window.desk.choice.section == "Side 2"


def test_deleting_tells_what_went_and_shows_what_takes_its_place(opened, qtbot):
    window = opened("barrier_arm")
    window.show_step("Outline")
    sections = window.sheet.panel.sections
    press(qtbot, sections, "add")
    press(qtbot, sections, "show Side")
    press(qtbot, sections, "delete")
    assert (order(window), window.desk.choice.section) == (["Section"], "Section")
    assert undo_name(window) == "Delete Side, with 4 joints, 1 drive and 2 rules"
    assert "delete" not in sections.words
    window.actions_by_name["delete_section"].trigger()
    assert order(window) == ["Section"]
    assert "keeps one section" in window.slip.words()


def test_the_same_by_keys_alone(three, window, qtbot):
    word = three.words["show Plan"]
    word.setFocus()
    qtbot.keyClick(word, Qt.Key.Key_Space)
    assert window.desk.choice.section == "Plan"
    three.words["later"].setFocus()
    qtbot.keyClick(three.words["later"], Qt.Key.Key_Space)
    assert order(window) == ["Side", "Section", "Plan"]
    # The keyboard stays on the word, which was built anew, so that it can be pressed again.
    assert QApplication.focusWidget() is three.words["later"]
    three.words["earlier"].setFocus()
    qtbot.keyClick(three.words["earlier"], Qt.Key.Key_Space)
    assert order(window) == ["Side", "Plan", "Section"]


def test_actions_by_name_do_the_same(three, window, qtbot):
    actions = window.actions_by_name
    actions["section_earlier"].trigger()
    assert order(window) == ["Side", "Section", "Plan"]
    actions["section_later"].trigger()
    actions["next_section"].trigger()
    assert window.desk.choice.section == "Side"
    actions["previous_section"].trigger()
    assert window.desk.choice.section == "Section"
    window.show_step("Gaps")
    actions["rename_section"].trigger()
    assert window.step == "Outline"
    qtbot.keyClicks(three.name, "Rear")
    qtbot.keyClick(three.name, Qt.Key.Key_Return)
    assert order(window) == ["Side", "Plan", "Rear"]


def test_words_name_the_section_for_those_who_do_not_see_them(three):
    assert three.words["show Plan"].accessibleName() == "Section Plan"


def test_a_long_name_is_cut_and_told_on_hover(three, window, qtbot):
    long = "A section across the second hinge of the left door, seen from the rear"
    rename(qtbot, three, long)
    word = three.words[f"show {long}"]
    assert word.width() <= 130
    assert word.toolTip() == long
    assert three.width() <= window.sheet.panel.width()
