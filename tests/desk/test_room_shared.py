"""In Gaps findings and drives share the room: what one of them does not need the other has."""

import pytest

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


def test_many_findings_and_many_drives_have_about_as_much_room_each(opened, qtbot):
    findings, drives = in_gaps(opened("petal_lamp"), qtbot)
    assert findings.height() < findings.sizeHint().height()
    assert drives._scroll.verticalScrollBar().maximum() > 0
    assert 0.5 < findings.height() / drives.height() < 2.0
