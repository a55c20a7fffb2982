"""The joint safe box arrives after the proof, on the lines of the drives, and goes with the state that it was found of."""

import pytest
from msgspec import structs

from core.sweep.run import check_project

WAIT_MS = 60_000


@pytest.fixture
def boxed(opened, qtbot):
    """A function that opens a sample and waits until its joint safe box is shown."""

    def open_it(name):
        window = opened(name)
        qtbot.waitUntil(lambda: window.sheet._boxed is not None and window.sheet._boxed[0] is window.desk.project, timeout=WAIT_MS)
        return window

    return open_it


def test_the_lines_show_and_tell_what_is_safe_together(boxed):
    window = boxed("signal_lantern")
    found = check_project(window.desk.project).safe_box
    lines = window.sheet.panel.drives
    for name, low, high in found.travels:
        assert lines.line_of(name)._together == (low, high)
    assert "Safe together, with the others anywhere in theirs: 0 to 32.64\N{DEGREE SIGN}." in lines.line_of("amber").toolTip()
    assert "Safe with the others at home: 0 to 57\N{DEGREE SIGN}." in lines.line_of("amber").toolTip()


def test_an_edit_takes_the_box_away_until_it_is_found_anew(boxed):
    window = boxed("signal_lantern")
    sheet = window.sheet
    assert sheet.panel.drives.line_of("amber")._together is not None
    window.desk.document.project_changed.disconnect()
    window.desk.document.project = structs.replace(window.desk.project, required_gap=2.0)
    sheet.show_answer()
    assert sheet.panel.drives.line_of("amber")._together is None
    assert sheet.panel.drives.line_of("amber").toolTip() == ""
