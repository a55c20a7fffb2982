"""A slip of paper: as high as what stands on it, in whole lines where that is more than there is room for."""

import pytest
from PySide6.QtWidgets import QTextBrowser, QWidget

from app.panels.slip import FOOT, Slip
from app.theme import STYLES

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

SENTENCE = "Passes over, 4.00 mm apart: the left post and the crank; the right post and the crank; the rod and the far lever."


@pytest.fixture
def sheet(qtbot):
    sheet = QWidget()
    qtbot.addWidget(sheet)
    sheet.resize(1100, 700)
    sheet.show()
    return sheet


def told(sheet, qtbot, sentences):
    slip = Slip(STYLES["light"], sheet)
    qtbot.addWidget(slip)
    slip.tell("Why", sentences, sheet)
    qtbot.waitUntil(slip.isVisible)
    return slip, slip.findChild(QTextBrowser)


@pytest.mark.parametrize("number", [1, 4, 9])
def test_what_has_room_is_seen_whole_and_no_paper_is_left_over(sheet, qtbot, number):
    slip, text = told(sheet, qtbot, [SENTENCE] * number)
    assert text.verticalScrollBar().maximum() == 0
    assert text.viewport().height() - text.document().size().height() < 2
    slip.hide()


def test_of_more_than_there_is_room_for_whole_lines_are_seen(sheet, qtbot):
    slip, text = told(sheet, qtbot, [SENTENCE] * 40)
    assert text.verticalScrollBar().maximum() > 0
    assert slip.height() <= sheet.height() - FOOT
    foot = text.cursorForPosition(text.viewport().rect().bottomLeft())
    assert text.cursorRect(foot).bottom() <= text.viewport().rect().bottom()
    slip.hide()


def test_no_line_ends_between_a_number_and_its_unit_or_at_an_equals_sign(sheet, qtbot):
    slip, text = told(sheet, qtbot, ["Short by 0.04 mm at lift = -12.25 mm, 3 % of 100 mmx."])
    raw = text.document().toRawText().replace("\N{NO-BREAK SPACE}", "_")
    assert "Short by 0.04_mm at lift_=_-12.25_mm, 3_% of 100 mmx." in raw
    assert "0.04 mm at lift = -12.25 mm" in slip.words()
    slip.hide()


def test_what_has_room_is_seen_whole_also_where_less_was_told_before(sheet, qtbot):
    slip, text = told(sheet, qtbot, ["Clear."])
    for number in range(20, 60):
        slip.tell("Why", ["Clear."], sheet)
        slip.hide()
        slip.tell("Why", ["left wrist and right arm; " * number], sheet)
        qtbot.waitUntil(slip.isVisible)
        assert text.verticalScrollBar().maximum() == 0
        assert text.viewport().height() - text.document().size().height() < 2
    slip.hide()
