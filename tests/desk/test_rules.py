"""The rules in the side panel beside the page of all pairs: gaps of all, rules for many, and rules between drives."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from core.model.edit_rules import add_together
from core.model.project import AllowedTogether, DriveSpan
from core.project_file.read import read_project
from tests.desk.by_number import press, typed

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


def rules_of(window, name, bodies=()):
    """The rules of a sample, shown while it is swept."""
    window.desk.begin(read_project(Path(f"sample_projects/{name}.bay.json")))
    window.actions_by_name["pairs"].trigger()
    window.desk.choice.pick_bodies(bodies)
    return window.sheet.panel.rules


def undo_text(window):
    return window.desk.document.history.undoText()


def reason(qtbot, ask, text):
    ask.field.clear()
    qtbot.keyClicks(ask.field, text)
    qtbot.keyClick(ask.field, Qt.Key.Key_Return)


def test_what_every_pair_is_to_keep_is_typed_in_the_section_and_across(window, qtbot):
    rules = rules_of(window, "barrier_arm")
    typed(qtbot, rules, "every", gap="3/4", depth="0.2 mm")
    assert (window.desk.project.required_gap, window.desk.project.required_depth_gap) == (0.75, 0.2)
    assert window.desk.document.history.count() == 2
    assert undo_text(window) == "Required depth gap"
    typed(qtbot, rules, "every", gap="-2")
    fault = rules._faults["every"]
    qtbot.waitUntil(fault.isVisible)
    assert fault.whole().startswith("The required gap is -2, below zero.")


def test_a_rule_for_many_is_told_another_reason_is_given_and_it_is_removed(window, qtbot):
    rules = rules_of(window, "barrier_arm")
    assert "why many 0" in rules.words
    press(qtbot, rules, "why many 0")
    assert rules.ask.field.text() == "printed in one piece"
    reason(qtbot, rules.ask, "")
    assert rules.ask.isVisible()
    reason(qtbot, rules.ask, "glued to the motor")
    assert [rule.unchecked for rule in window.desk.project.gap_rules if "*" in rule.between] == ["glued to the motor"]
    press(qtbot, rules, "remove many 0")
    assert not any("*" in rule.between for rule in window.desk.project.gap_rules)
    assert undo_text(window) == "Remove the rule: Every pair with rod"


def test_the_body_in_hand_gets_a_gap_for_all_its_pairs_and_where_two_meet_the_stricter_holds(window, qtbot):
    rules = rules_of(window, "barrier_arm", ("sled",))
    press(qtbot, rules, "gap sled")
    project = window.desk.project
    assert window.desk.document.is_valid
    (own,) = [rule for rule in project.gap_rules if rule.between == ("sled", "*")]
    assert own.required_gap == 0.5
    (met,) = [rule for rule in project.gap_rules if set(rule.between) == {"sled", "rod"}]
    assert (met.unchecked, met.required_gap) == (None, 0.5)
    typed(qtbot, rules, "many 1", gap="1.25")
    assert [rule.required_gap for rule in window.desk.project.gap_rules if rule.between == ("sled", "*")] == [1.25]
    assert "gap sled" not in rules.words


def test_a_rule_between_two_drives_is_added_numbered_reasoned_and_removed(window, qtbot):
    rules = rules_of(window, "signal_lantern")
    before, drives = window.desk.project, window.desk.project.drives
    assert len(drives) > 1
    count = len(before.allowed_together)
    press(qtbot, rules, "add together")
    picker = rules.picker
    qtbot.keyClicks(picker.field(), f"{drives[0].name} {drives[1].name}")
    assert picker.keys()
    picker.take()
    rule = window.desk.project.allowed_together[-1]
    assert {rule.when.drive, rule.keep.drive} == {drives[0].name, drives[1].name}
    assert window.desk.document.is_valid
    when = next(drive for drive in drives if drive.name == rule.when.drive)
    assert (rule.when.start, rule.when.end) == (when.start, when.end)
    inner = (when.start + (when.end - when.start) / 4, when.end - (when.end - when.start) / 4)
    typed(qtbot, rules, f"together {count}", low=str(inner[0]), high=str(inner[1]))
    new = window.desk.project.allowed_together[-1]
    assert (new.when.start, new.when.end) == pytest.approx(inner)
    assert new.keep == rule.keep
    press(qtbot, rules, f"why together {count}")
    reason(qtbot, rules.ask, "the controller waits")
    assert window.desk.project.allowed_together[-1].reason == "the controller waits"
    press(qtbot, rules, f"remove together {count}")
    assert window.desk.project == before
    assert undo_text(window) == f"Remove the rule between {rule.when.drive} and {rule.keep.drive}"


def test_a_span_beyond_travel_is_told_under_its_rule(window, qtbot):
    project = read_project(Path("sample_projects/signal_lantern.bay.json"))
    one, other = project.drives[:2]
    rule = AllowedTogether(
        when=DriveSpan(drive=one.name, start=one.start, end=one.end), keep=DriveSpan(drive=other.name, start=other.start, end=other.end)
    )
    window.desk.begin(add_together(project, rule))
    window.actions_by_name["pairs"].trigger()
    rules = window.sheet.panel.rules
    number = len(project.allowed_together)
    typed(qtbot, rules, f"together {number}", most=str(other.end + 100))
    fault = rules._faults[f"together {number}"]
    qtbot.waitUntil(fault.isVisible)
    assert other.name in fault.whole()
    window.desk.document.history.undo()
    assert not fault.isVisible()


def test_a_number_that_is_spun_is_tried_out_and_one_step(window, qtbot):
    rules = rules_of(window, "barrier_arm")
    field = rules.sentence_of("every").field_of("gap")
    field.setFocus()
    for _ in range(3):
        qtbot.keyClick(field, Qt.Key.Key_Up)
    qtbot.waitUntil(lambda: window.desk.project.required_gap == 0.65)
    assert window.desk.document.in_gesture
    assert field.hasFocus()
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert (window.desk.project.required_gap, window.desk.document.history.count()) == (0.65, 1)


def test_one_drive_alone_is_told_that_a_rule_needs_two(window):
    rules = rules_of(window, "barrier_arm")
    assert "add together" not in rules.words
