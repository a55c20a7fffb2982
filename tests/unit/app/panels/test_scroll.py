"""What is inside a scroll area has the height it needs, also where it has not told of it; what goes on beyond an edge fades there."""

import pytest
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from app.panels.scroll import LinesScroll, PartsScroll, Scroll
from app.theme import LIGHT
from app.window import make_application

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


class Silent(QWidget):
    """As high as it is told to be, and tells nobody."""

    def __init__(self):
        super().__init__()
        self.high = 40
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def heightForWidth(self, _width):  # noqa: N802 - Qt's name
        return self.high


def scroll_over(qtbot, inner, kind=Scroll):
    make_application()
    scroll = kind(LIGHT, inner)
    qtbot.addWidget(scroll)
    scroll.resize(200, 120)
    scroll.show()
    qtbot.waitExposed(scroll)
    return scroll


def test_what_has_grown_without_a_word_is_given_its_height_in_the_next_turn(qtbot):
    inner = Silent()
    scroll = scroll_over(qtbot, inner)
    inner.high = 400
    scroll.fit_soon()
    assert inner.height() < 400
    qtbot.waitUntil(lambda: inner.height() == 400)
    assert scroll.verticalScrollBar().maximum() > 0


def lines(count):
    inner = QWidget()
    column = QVBoxLayout(inner)
    for number in range(count):
        column.addWidget(QLabel(f"line {number}"))
    return inner


def edges(scroll):
    return [edge.isVisible() for edge in scroll._edges]


def test_edges_fade_where_there_is_more(qtbot):
    scroll = scroll_over(qtbot, lines(40))
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    assert edges(scroll) == [False, True]
    bar.setValue(bar.maximum() // 2)
    assert edges(scroll) == [True, True]
    bar.setValue(bar.maximum())
    assert edges(scroll) == [True, False]


@pytest.mark.parametrize(("count", "kind"), [(1, Scroll), (40, LinesScroll)], ids=["all is seen", "whole lines"])
def test_no_edge_fades_where_all_is_seen_or_lines_are_whole(qtbot, count, kind):
    assert edges(scroll_over(qtbot, lines(count), kind)) == [False, False]


def parts(*heights):
    inner = QWidget()
    column = QVBoxLayout(inner)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(2)
    for high in heights:
        part = QLabel("part")
        part.setFixedHeight(high)
        column.addWidget(part)
    return inner


def covered(scroll):
    return [edge.height() if edge.isVisible() and edge._whole else 0 for edge in scroll._edges]


def test_a_part_of_which_no_line_is_seen_is_covered(qtbot):
    scroll = scroll_over(qtbot, parts(110, 60, 60), PartsScroll)
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: covered(scroll) == [0, 120 - 112])
    ground = scroll.palette().window().color()
    scroll._inner.setStyleSheet("QLabel { background: red }")
    picture = scroll.grab().toImage()
    assert picture.pixelColor(20, 109).name() == "#ff0000"
    assert {picture.pixelColor(20, y).name() for y in range(112, 120)} == {ground.name()}
    bar.setValue(12)  # a line of the second is seen: it fades
    assert covered(scroll) == [0, 0]
    assert edges(scroll) == [True, True]
    bar.setValue(100)
    assert covered(scroll) == [10, 0]
    bar.setValue(0)
    assert covered(scroll) == [0, 8]


def test_a_part_that_is_all_there_is_to_see_is_not_covered_however_little_there_is_of_it(qtbot):
    scroll = scroll_over(qtbot, parts(110, 60), PartsScroll)
    scroll.resize(200, 15)
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() == 110 + 2 + 60 - 15 and scroll._inner.findChildren(QLabel)[1].y() == 112)
    scroll.place_edges()
    assert covered(scroll) == [0, 0]
    bar.setValue(bar.maximum())
    assert covered(scroll) == [0, 0]
