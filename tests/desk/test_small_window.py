"""At 1100 x 700, the least that all is usable at, no word of the window is cut and every number is seen whole."""

import pytest
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication

from app.actions import STEPS
from app.drive_map.plot import beside_edge
from app.panels.joint_block import NameLine
from app.panels.number_field import NumberField
from app.panels.words import Line, Word
from tests.desk.conftest import PROOF_MS

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


LEFT_FREE = 4
"""Logical pixels that Qt leaves free at the sides of what is typed, where no text margins say otherwise."""


def taken(field):
    """Logical pixels that the number of a field takes."""
    margins = field.textMargins()
    return QFontMetrics(field.font()).horizontalAdvance(field.text()) + LEFT_FREE + margins.left() + margins.right()


def cut(window):
    """What is shown with an ellipsis, or in too little room."""
    lines = [line.whole() for line in window.findChildren(Line) if line.isVisible() and not line.wordWrap() and line.text() != line.whole()]
    words = [word.text() for word in window.findChildren(Word) if word.isVisible() and word.width() < word.sizeHint().width()]
    told = [line.told() for line in window.findChildren(NameLine) if line.isVisible() and line.told() != line.accessibleDescription()]
    fields = [field for field in window.findChildren(NumberField) if field.isVisible()]
    numbers = [field.text() for field in fields if taken(field) > field.width()]
    return [*lines, *words, *told, *numbers]


@pytest.mark.parametrize("sample", ["hard_kinds", "lock_gate", "owl_head"])
def test_nothing_is_cut_in_any_step(opened, qtbot, sample):
    window = opened(sample)
    window.resize(1100, 700)
    for section in window.desk.sections.names():
        window.desk.choice.pick_section(section)
        for step in STEPS:
            window.show_step(step)
            qtbot.waitUntil(lambda: not (window.desk.prover.running or window.desk.settling), timeout=PROOF_MS)
            # Words stand in their places, and new ones are seen at all, once the events of laying out are through.
            QApplication.processEvents()
            if step == "Joints":
                qtbot.waitUntil(lambda: any(line.isVisible() for line in window.findChildren(NameLine)), timeout=PROOF_MS)
            qtbot.waitUntil(lambda: cut(window) == [], timeout=PROOF_MS // 20)


def test_the_page_of_all_pairs_is_not_cut(opened, qtbot):
    window = opened("hard_kinds")
    window.resize(1100, 700)
    window.actions_by_name["pairs"].trigger()
    qtbot.waitUntil(window.sheet.pairs.isVisible, timeout=PROOF_MS)
    QApplication.processEvents()
    qtbot.waitUntil(lambda: cut(window) == [], timeout=PROOF_MS // 20)


def test_a_drive_in_millimetres_shows_its_value_whole(opened):
    window = opened("hard_kinds")
    window.resize(1100, 700)
    window.desk.pose.go({**window.desk.pose.values, "blade": -12.25})
    field = window.sheet.panel.drives.field_of("blade")
    assert field.text() == "\N{MINUS SIGN}12.25 mm"
    assert taken(field) <= field.width()


def test_rows_of_drives_are_shown_whole(opened, qtbot):
    window = opened("hard_kinds")
    window.resize(1100, 700)
    drives = window.sheet.panel.drives
    view = drives._scroll.viewport()
    qtbot.waitUntil(lambda: view.height() % 24 == 0 and view.height() >= 24, timeout=PROOF_MS)
    for drive in ("blade", "right wrist", "hand"):
        window.desk.choice.pick_drive(drive)
        assert drives._scroll.verticalScrollBar().value() % 24 == 0


def test_how_far_the_map_is_fits_beside_its_head(opened, qtbot):
    window = opened("signal_lantern")
    window.resize(1100, 700)
    window.actions_by_name["two_drive_map"].trigger()
    panel = window.sheet.map
    qtbot.waitUntil(lambda: window.desk.two_drives.found is not None and not window.desk.two_drives.mapping, timeout=PROOF_MS)
    assert panel.legend._ruled
    for _, _, room in panel.legend.places():
        assert room.right() <= panel.legend.width()
        assert room.bottom() <= panel.legend.height()
    panel.state.say("20 % breach, 1 % undecided")
    assert [line.text() for line in (panel.head, panel.state)] == [line.whole() for line in (panel.head, panel.state)]


def test_numbers_of_the_map_end_before_its_edge():
    assert beside_edge(100.0, 40.0, 300.0) == 80.0
    assert beside_edge(290.0, 40.0, 300.0) + 40.0 < 300.0


def test_what_is_selected_is_told_to_its_last_line(opened, qtbot):
    window = opened("signal_lantern")
    window.desk.pick_row(0)
    window.resize(1100, 700)
    told = window.sheet.panel.selected._told
    qtbot.waitUntil(lambda: told.isVisible() and told.height() >= told.heightForWidth(told.width()) > 60, timeout=PROOF_MS // 20)
