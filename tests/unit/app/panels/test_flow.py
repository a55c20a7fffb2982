"""Where a sentence with numbers breaks: never before a full stop, never behind an open bracket."""

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QRect, Qt

from app.panels.flow import WORD_HEIGHT, Flowing
from app.panels.joint_mobility import MobilityLine
from app.panels.number_field import NumberField
from app.panels.number_sentence import Number, NumberSentence
from app.theme import LIGHT

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def laid(qtbot):
    """A function that lays out a sentence with numbers at a width; the answer is where its parts stand, and where its fields do."""

    def lay(width):
        sentence = NumberSentence(LIGHT)
        qtbot.addWidget(sentence)
        sentence.say("Disc of radius {r} at ({x}, {y}), and so on to {end}.", [Number(key, 12.5, key) for key in ("r", "x", "y", "end")])
        sentence.resize(width, sentence.flow.heightForWidth(width))
        sentence.flow.setGeometry(sentence.rect())
        return sentence.flow.areas(), [sentence.field_of(key).geometry() for key in ("r", "x", "y", "end")]

    return lay


@pytest.mark.parametrize("width", range(90, 330, 7))
def test_a_full_stop_and_what_follows_a_bracket_stay_on_the_line(laid, width):
    areas, fields = laid(width)
    glued = [(areas[areas.index(field) + 1], field) for field in fields[1:]]
    glued.append((areas[areas.index(fields[1]) - 1], fields[1]))
    for one, other in glued:
        assert one.top() == other.top()
        assert one.right() < other.left() or other.right() < one.left()
    assert all(area.right() <= width for area in areas)
    assert len({area.top() for area in areas}) > 1 or width > 300


@pytest.mark.parametrize("width", range(90, 330, 7))
def test_numbers_between_brackets_stand_on_one_line_where_it_has_room_for_them(laid, width):
    areas, fields = laid(width)
    between = areas[areas.index(fields[1]) - 1 : areas.index(fields[2]) + 2]
    assert (len({area.top() for area in between}) == 1) == (sum(area.width() for area in between) <= width)


def test_what_is_taken_out_leaves_the_rest_tied_as_it_was(qtbot):
    sentence = NumberSentence(LIGHT)
    qtbot.addWidget(sentence)
    sentence.say("From {a} and {b}, to {c}.", [Number(key, 1.0, key) for key in "abc"])
    flow = sentence.flow
    taken = flow.takeAt(0)
    assert taken.widget() is sentence.field_of("a")
    assert flow.count() == 2
    for width in range(60, 300, 10):
        flow.setGeometry(QRect(0, 0, width, flow.heightForWidth(width)))
        areas = flow.areas()
        for key in "bc":
            field = sentence.field_of(key).geometry()
            assert areas[areas.index(field) + 1].top() == field.top()


def test_words_are_written_where_they_stand_and_nowhere_else(qtbot):
    row = Flowing(LIGHT)
    qtbot.addWidget(row)
    for word in ("pillar\N{NO-BREAK SPACE}", "and\N{NO-BREAK SPACE}", "horn"):
        row.flow.add_word(word)
    row.resize(60, row.flow.heightForWidth(60))
    with qtbot.waitExposed(row):
        row.show()
    areas = row.flow.areas()
    assert len({area.top() for area in areas}) > 1
    image = row.grab().toImage()
    ground = image.pixelColor(image.width() - 1, image.height() - 1)
    inked = [QPoint(x, y) for x in range(image.width()) for y in range(image.height()) if image.pixelColor(x, y) != ground]
    assert all(any(area.contains(point) for point in inked) for area in areas)
    assert all(any(area.contains(point) for area in areas) for point in inked)
    assert row.written() == "pillar and horn"


def test_lines_of_its_words_are_told_by_where_they_stand(qtbot):
    row = Flowing(LIGHT)
    qtbot.addWidget(row)
    for word in ("pillar\N{NO-BREAK SPACE}", "and\N{NO-BREAK SPACE}", "horn"):
        row.flow.add_word(word)
    row.flow.setGeometry(QRect(0, 0, 60, row.flow.heightForWidth(60)))
    tops = {area.top() for area in row.flow.areas()}
    assert len(row.lines()) == len(tops)
    assert all(top < begin < end < top + WORD_HEIGHT for top, (begin, end) in zip(sorted(tops), row.lines(), strict=True))


def test_what_a_sentence_says_next_is_shown_and_has_its_room_in_the_same_turn(qtbot):
    sentence = NumberSentence(LIGHT)
    qtbot.addWidget(sentence)
    sentence.resize(300, 60)
    sentence.say("From {low} to {high}.", [Number("low", 1.0, "low"), Number("high", 2.0, "high")], about="one")
    with qtbot.waitExposed(sentence):
        sentence.show()
    high = sentence.flow.heightForWidth(300)
    sentence.say("From {low} to {high}.", [Number("low", 3.0, "low"), Number("high", 4.0, "high")], about="another")
    assert len(sentence.flow.areas()) == 6
    assert all(sentence.field_of(key).isVisible() for key in ("low", "high"))
    assert sentence.flow.heightForWidth(300) == high > 0


POINTS = [Number(f"x{place}", float(place), f"x of point {place}") for place in range(20)]
THROUGH = "Through " + ", ".join(f"{{{number.key}}}" for number in POINTS) + "."


def test_fields_made_ahead_are_unseen_and_then_those_of_the_sentence(qtbot):
    sentence = NumberSentence(LIGHT)
    qtbot.addWidget(sentence)
    with qtbot.waitExposed(sentence):
        sentence.show()
    made = [sentence.make_ahead(POINTS, about="plate", most=8) for _ in range(4)]
    assert made == [False, False, True, True]
    ahead = sentence.findChildren(NumberField)
    assert len(ahead) == len(POINTS)
    assert not any(field.isVisible() for field in ahead)
    sentence.say(THROUGH, POINTS, about="plate")
    assert {sentence.field_of(number.key) for number in POINTS} == set(ahead)
    assert all(field.isVisible() for field in ahead)
    assert [sentence.field_of(number.key).value() for number in POINTS] == [number.value for number in POINTS]
    assert sentence.make_ahead(POINTS, about="plate", most=8)
    assert len(sentence.findChildren(NumberField)) == len(POINTS)


def test_fields_made_ahead_of_something_else_are_let_go_of(qtbot):
    sentence = NumberSentence(LIGHT)
    qtbot.addWidget(sentence)
    sentence.make_ahead(POINTS, about="plate", most=8)
    ahead = {id(field): field for field in sentence.findChildren(NumberField)}
    sentence.say(THROUGH, POINTS, about="lid")
    assert not ahead.keys() & {id(sentence.field_of(number.key)) for number in POINTS}
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert set(sentence.findChildren(NumberField)) == {sentence.field_of(number.key) for number in POINTS}


def test_a_sentence_is_read_out_with_the_numbers_that_it_shows(qtbot):
    sentence = NumberSentence(LIGHT)
    qtbot.addWidget(sentence)
    sentence.say("From {low} to {high}, {not one}.", [Number("low", 1.5, "low"), Number("high", 2.0, "high")])
    assert sentence.accessibleName() == "From 1.5 mm to 2 mm, {not one}."
    sentence.say("From {low} to {high}, {not one}.", [Number("low", 1.5, "low"), Number("high", 2.5, "high")])
    assert sentence.accessibleName() == "From 1.5 mm to 2.5 mm, {not one}."


def test_a_sentence_is_read_out_with_a_number_that_is_spun_and_taken(qtbot):
    sentence = NumberSentence(LIGHT)
    qtbot.addWidget(sentence)
    sentence.say("Radius {r}.", [Number("r", 5.0, "r", step=0.5)])
    sentence.tried.connect(lambda key, value: sentence.say("Radius {r}.", [Number(key, value, key, step=0.5)]))
    sentence.committed.connect(lambda key, value: sentence.say("Radius {r}.", [Number(key, value, key, step=0.5)]))
    qtbot.keyClick(sentence.field_of("r"), Qt.Key.Key_Up)
    assert (sentence.field_of("r").text(), sentence.accessibleName()) == ("5.5 mm", "Radius 5.5 mm.")
    qtbot.keyClick(sentence.field_of("r"), Qt.Key.Key_Return)
    assert sentence.accessibleName() == "Radius 5.5 mm."


def test_words_that_take_the_place_of_others_are_written(qtbot):
    line = MobilityLine(LIGHT)
    qtbot.addWidget(line)
    line.resize(300, 24)
    with qtbot.waitExposed(line):
        line.show()
    for text in ("1 drive, 1 freedom: well driven.", "no freedom: nothing moves.", "2 freedoms undriven."):
        line.say(text)
        QCoreApplication.processEvents()
        areas = line.flow.areas()
        assert len(areas) == len(text.split())
        assert all(area.isValid() for area in areas)
        image = line.grab().toImage()
        ground = image.pixelColor(image.width() - 1, image.height() - 1)
        for area in areas:
            inside = ((x, y) for x in range(area.left(), area.right()) for y in range(area.top(), area.bottom()))
            assert any(image.pixelColor(x, y) != ground for x, y in inside)
