"""What is inside a scroll area has the height it needs, also where it has not told of it; what goes on beyond an edge fades there."""

from itertools import pairwise

import pytest
from PySide6.QtWidgets import QLabel, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from app import theme
from app.panels.findings import Entry, FindingLink
from app.panels.scroll import Scroll, text_lines
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


def covered(scroll):
    """Logical pixels that are covered at the upper and at the lower edge."""
    return [edge.height() if edge.isVisible() and edge._whole else 0 for edge in scroll._edges]


def cut_through(scroll):
    """Whether any line of text is seen in part."""
    (upper, lower), top = covered(scroll), scroll.verticalScrollBar().value()
    first, last = top + upper, top + scroll.viewport().height() - lower
    return [
        (begin, end)
        for widget in (scroll._inner, *scroll._inner.findChildren(QWidget))
        for begin, end in ((widget.y() + begin, widget.y() + end) for begin, end in text_lines(widget))
        if begin < last < end or begin < first < end
    ]


def test_at_no_place_of_the_bar_is_a_line_seen_in_part(qtbot):
    scroll = scroll_over(qtbot, lines(40))
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0 and covered(scroll) != [0, 0])
    found = set()
    for value in range(bar.maximum() + 1):
        bar.setValue(value)
        assert cut_through(scroll) == []
        found.add(tuple(covered(scroll)))
    assert max(upper for upper, _ in found) > 0
    assert max(lower for _, lower in found) > 0


def test_nothing_is_covered_beyond_which_nothing_goes_on(qtbot):
    scroll = scroll_over(qtbot, lines(40))
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    bar.setValue(0)
    assert covered(scroll)[0] == 0
    bar.setValue(bar.maximum())
    assert covered(scroll)[1] == 0


def test_words_that_wrap_end_with_a_whole_line(qtbot):
    words = QLabel("a word and another " * 60)
    words.setWordWrap(True)
    words.setFont(theme.font())
    words.setStyleSheet("color: red")
    scroll = scroll_over(qtbot, words)
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0 and covered(scroll)[1] > 0)
    one = text_lines(words)[0][1]
    assert (120 - covered(scroll)[1]) % one == 0

    def ink(picture):
        """For each row of pixels from the top whether there is any ink in it."""
        ground = scroll.palette().window().color()
        return [any(picture.pixelColor(x, y) != ground for x in range(180)) for y in range(picture.height())]

    seen, whole = ink(scroll.viewport().grab().toImage()), ink(scroll.grab().toImage())
    assert any(seen[120 - covered(scroll)[1] :])  # without the edge a part of a line is there
    assert not any(whole[120 - covered(scroll)[1] : 120])
    assert sum(whole) > 0


def test_a_widget_that_writes_itself_tells_its_lines(qtbot):
    link = FindingLink(LIGHT, Entry("A head of a few words that wraps at this width", "and a detail that does so as well, twice", 3))
    qtbot.addWidget(link)
    link.resize(160, 10)
    link.fit_height()
    told = text_lines(link)
    assert len(told) > 3
    assert told[0][0] > 0
    assert told[-1][1] < link.height() == link.height_at(160)
    assert all(end == begin for (_, end), (begin, _) in pairwise(told))


def test_no_edge_where_all_is_seen(qtbot):
    assert edges(scroll_over(qtbot, lines(1))) == [False, False]


def test_where_no_line_is_seen_whole_what_goes_on_fades(qtbot):
    inner = Silent()
    scroll = scroll_over(qtbot, inner)
    inner.high = 400
    scroll.fit_soon()
    qtbot.waitUntil(lambda: edges(scroll) == [False, True])
    assert covered(scroll) == [0, 0]
    scroll.verticalScrollBar().setValue(100)
    assert edges(scroll) == [True, True]


def test_a_line_that_is_all_there_is_to_see_is_not_covered(qtbot):
    scroll = scroll_over(qtbot, lines(3))
    scroll.resize(200, 8)
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    bar.setValue(bar.maximum() // 2)
    assert covered(scroll) == [0, 0]


def test_columns_out_of_step_are_cut_at_neither(qtbot):
    inner = QWidget()
    inner.setFixedHeight(600)
    for column, first in ((0, 0), (80, 8)):
        for number in range(20):
            label = QLabel(f"line {number}", inner)
            label.setGeometry(column, first + 30 * number, 70, 16)
    scroll = scroll_over(qtbot, inner)
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0)
    for value in range(0, bar.maximum(), 3):
        bar.setValue(value)
        assert cut_through(scroll) == []


def test_lines_that_come_to_other_places_at_the_same_height_are_covered_anew(qtbot):
    inner = lines(40)
    scroll = scroll_over(qtbot, inner)
    bar = scroll.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 0 and covered(scroll)[1] > 0)
    before, high = covered(scroll), inner.height()
    first, second = inner.layout().itemAt(0).widget(), inner.layout().itemAt(20).widget()
    first.setFixedHeight(first.height() + 7)
    second.setFixedHeight(second.height() - 7)
    qtbot.waitUntil(lambda: covered(scroll) != before)
    assert inner.height() == high
    assert cut_through(scroll) == []


def test_a_text_of_several_lines_is_not_taken_for_one(qtbot):
    label = QLabel("a\nb\nc")
    qtbot.addWidget(label)
    label.resize(60, label.sizeHint().height())
    assert len(text_lines(label)) == 3


def test_a_field_to_write_in_is_seen_with_its_frame_or_not_at_all(qtbot):
    inner = QWidget()
    column = QVBoxLayout(inner)
    for number in range(20):
        column.addWidget(QLineEdit(f"pin {number}"))
    scroll = scroll_over(qtbot, inner)
    bar, fields = scroll.verticalScrollBar(), inner.findChildren(QLineEdit)
    qtbot.waitUntil(lambda: bar.maximum() > 0 and fields[1].y() > 0)
    for value in range(0, 60, 5):
        bar.setValue(value)
        upper, lower = covered(scroll)
        first, last = value + upper, value + scroll.viewport().height() - lower
        assert not [field.text() for field in fields if field.y() < last < field.y() + field.height()]
        assert not [field.text() for field in fields if field.y() < first < field.y() + field.height()]


def test_edges_are_placed_once_after_all_that_changes_together(qtbot, monkeypatch):
    scroll = scroll_over(qtbot, lines(30))
    looked = []
    cut_through = scroll._cut_through
    monkeypatch.setattr(scroll, "_cut_through", lambda top, foot: (looked.append(top), cut_through(top, foot))[1])
    with scroll.placing_edges_once():
        for value in (3, 9, 27):
            scroll.verticalScrollBar().setValue(value)
        assert looked == []
    assert looked == [27]
    assert edges(scroll)[1]
