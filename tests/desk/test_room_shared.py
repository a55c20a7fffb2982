"""In Gaps findings and drives share the room: what one of them does not need the other has."""

import pytest

LINES = 3
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


def in_gaps(window, qtbot):
    window.resize(1280, 800)
    window.show_step("Gaps")
    qtbot.waitUntil(lambda: window.sheet.panel.drives.isVisible() and window.sheet.panel.height() > 0)
    panel = window.sheet.panel
    return panel.findings, panel.drives


@pytest.mark.parametrize("sample", ["lock_gate", "signal_lantern"])
def test_few_findings_leave_the_room_to_the_drives(opened, qtbot, sample):
    findings, drives = in_gaps(opened(sample), qtbot)
    qtbot.waitUntil(lambda: findings.height() == findings.sizeHint().height())
    assert drives._scroll.verticalScrollBar().maximum() == 0
    assert findings._scroll.isVisible() == bool(findings.entries())


def test_the_only_finding_is_seen_whole_where_there_is_room(opened, qtbot):
    findings, _ = in_gaps(opened("barrier_arm"), qtbot)
    (link,) = findings.links()
    qtbot.waitUntil(lambda: link.isChecked() and link.height() <= findings._scroll.viewport().height())
    assert not findings._scroll.verticalScrollBar().isVisible()


def test_many_findings_and_many_drives_have_about_as_much_room_each(opened, qtbot):
    findings, drives = in_gaps(opened("petal_lamp"), qtbot)
    assert findings.height() < findings.sizeHint().height()
    assert drives._scroll.verticalScrollBar().maximum() > 0
    assert 0.5 < findings.height() / drives.height() < 2.0


@pytest.mark.parametrize("size", [(1280, 800), (1100, 700)])
@pytest.mark.parametrize("sample", ["clear_bay", "owl_head"])
def test_words_of_what_is_selected_stand_whole_or_scroll(opened, qtbot, sample, size):
    window = opened(sample)
    window.resize(*size)
    window.show_step("Outline")
    window.desk.choice.pick_bodies(())
    scroll = window.sheet.panel.selected._scroll
    told, needed = scroll.widget(), scroll.widget().heightForWidth
    qtbot.waitUntil(lambda: scroll.verticalScrollBar().isVisible() == (scroll.height() < needed(scroll.width())))
    qtbot.waitUntil(lambda: told.height() >= needed(told.width()))
    assert scroll.height() >= LINES * scroll.fontMetrics().height()


def test_the_finding_that_is_visited_is_seen_from_its_first_line(opened, qtbot):
    window = opened("petal_lamp")
    window.resize(1100, 700)
    window.show_step("Gaps")
    findings = window.sheet.panel.findings
    for place in (5, 2, 4, 0, 3):
        window.desk.visit_breach(place)
        (link,) = (one for one in findings.links() if one.isChecked())
        bar = findings._scroll.verticalScrollBar()
        qtbot.waitUntil(lambda link=link, bar=bar: 0 <= link.y() - bar.value() < findings._scroll.viewport().height() - 20)


def test_an_empty_bay_says_so(window):
    window.files.new()
    window.show_step("Outline")
    panel = window.sheet.panel
    assert panel.bodies._empty.isVisible()
    assert panel.selected._told.whole() == "Nothing is drawn yet."
