"""Where a sentence with numbers breaks: never before a full stop, never behind an open bracket."""

import pytest

from app.panels.number_sentence import Number, NumberSentence
from app.theme import LIGHT

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def laid(qtbot):
    """A function that lays out a sentence with numbers at a width; the answer is the sentence and its parts in order."""

    def lay(width):
        sentence = NumberSentence(LIGHT)
        qtbot.addWidget(sentence)
        sentence.say("Disc of radius {r} at ({x}, {y}), and so on to {end}.", [Number(key, 12.5, key) for key in ("r", "x", "y", "end")])
        layout = sentence.layout()
        sentence.resize(width, layout.heightForWidth(width))
        layout.setGeometry(sentence.rect())
        return sentence, [layout.itemAt(place).widget() for place in range(layout.count())]

    return lay


@pytest.mark.parametrize("width", range(90, 330, 7))
def test_a_full_stop_and_what_follows_a_bracket_stay_on_the_line(laid, width):
    sentence, parts = laid(width)
    tops = {part: part.geometry().top() for part in parts}
    fields = [sentence.field_of(key) for key in ("r", "x", "y", "end")]
    glued = [(parts[parts.index(field) + 1], field) for field in fields[1:]]
    glued.append((parts[parts.index(fields[1]) - 1], fields[1]))
    for one, other in glued:
        assert tops[one] == tops[other]
    assert all(part.geometry().right() <= width for part in parts)
    assert len(set(tops.values())) > 1 or width > 300


@pytest.mark.parametrize("width", range(90, 330, 7))
def test_numbers_between_brackets_stand_on_one_line_where_it_has_room_for_them(laid, width):
    sentence, parts = laid(width)
    first, last = (parts.index(sentence.field_of(key)) for key in ("x", "y"))
    between = [part.geometry() for part in parts[first - 1 : last + 2]]
    assert (len({part.top() for part in between}) == 1) == (sum(part.width() for part in between) <= width)


def test_what_is_taken_out_leaves_the_rest_tied_as_it_was(qtbot):
    sentence = NumberSentence(LIGHT)
    qtbot.addWidget(sentence)
    sentence.say("From {a}, to {b}.", [Number("a", 1.0, "a"), Number("b", 2.0, "b")])
    layout = sentence.layout()
    tied = [layout.itemAt(place).widget() for place in sorted(layout._glued)]
    first = layout.takeAt(0)
    assert [layout.itemAt(place).widget() for place in sorted(layout._glued)] == tied
    assert first.widget() not in tied


def test_what_a_sentence_says_next_is_shown_and_has_its_room_in_the_same_turn(qtbot):
    sentence = NumberSentence(LIGHT)
    qtbot.addWidget(sentence)
    sentence.resize(300, 60)
    sentence.say("From {low} to {high}.", [Number("low", 1.0, "low"), Number("high", 2.0, "high")], about="one")
    with qtbot.waitExposed(sentence):
        sentence.show()
    high = sentence.layout().heightForWidth(300)
    sentence.say("From {low} to {high}.", [Number("low", 3.0, "low"), Number("high", 4.0, "high")], about="another")
    parts = [sentence.layout().itemAt(place).widget() for place in range(sentence.layout().count())]
    assert len(parts) == 6
    assert all(part.isVisible() for part in parts)
    assert sentence.layout().heightForWidth(300) == high > 0
