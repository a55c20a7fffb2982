"""Sentences with numbers: laid out on as many lines as they take, and no more often than they change."""

import pytest
from PySide6.QtCore import QCoreApplication, QRect, QSize
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.panels.flow import Flow
from app.panels.number_sentence import Number, NumberSentence
from app.theme import LIGHT

TEXT = "From {low} to {high} mm deep, outline within {tolerance} mm."
WIDTH = 200


def numbers(low: float = 23.0) -> list[Number]:
    return [Number("low", low, "low"), Number("high", 25.0, "high"), Number("tolerance", 0.1, "tolerance")]


@pytest.fixture
def sentence(window, qtbot):
    """Over the start sheet, in nobody's layout."""
    found = NumberSentence(LIGHT, window.centralWidget())
    found.setGeometry(0, 0, WIDTH, 120)
    found.say(TEXT, numbers())
    qtbot.waitUntil(lambda: found.field_of("low").isVisible())
    return found


class Part(QWidget):
    """As wide as it is told to be."""

    wide = 60

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(self.wide, 20)


def test_lines_are_filled_once_a_width_however_often_the_height_is_asked(window, monkeypatch):
    holder = QWidget(window.centralWidget())
    flow, parts = Flow(holder), [Part(holder) for _ in range(5)]
    for part in parts:
        flow.addWidget(part)
    holder.show()
    filled = []
    fill = flow._set
    monkeypatch.setattr(flow, "_set", lambda rect, *, place: (filled.append(rect.width()), fill(rect, place=place))[1])
    assert [[flow.heightForWidth(width) for width in (70, 130, 400)] for _ in range(50)] == [[100, 60, 20]] * 50
    assert filled == [70, 130, 400]
    parts[0].wide = 200
    parts[0].updateGeometry()
    assert [flow.heightForWidth(width) for width in (70, 130, 400)] == [100, 60, 40]


def test_a_field_that_grows_takes_the_words_behind_it_to_the_next_line(sentence, qtbot):
    before = sentence.heightForWidth(WIDTH)
    assert before > sentence.heightForWidth(2 * WIDTH)
    sentence.say(TEXT, numbers(low=123456.789012))
    qtbot.waitUntil(lambda: sentence.heightForWidth(WIDTH) > before)
    sentence.say(TEXT, numbers())
    qtbot.waitUntil(lambda: sentence.heightForWidth(WIDTH) == before)


def test_other_words_are_laid_out_anew(sentence, qtbot):
    before = sentence.heightForWidth(WIDTH)
    sentence.say("At {low}.", numbers())
    qtbot.waitUntil(lambda: 0 < sentence.heightForWidth(WIDTH) < before)
    assert sentence.field_of("low").geometry().right() < WIDTH


def test_an_empty_flow_has_no_height(window):
    assert Flow(QWidget(window.centralWidget())).heightForWidth(100) == 0


class Column(QVBoxLayout):
    """Counts how often it places what is in it."""

    placed = 0

    def setGeometry(self, rect: QRect) -> None:  # noqa: N802 - Qt's name
        self.placed += 1
        super().setGeometry(rect)


def test_what_is_around_a_sentence_is_laid_out_once_when_it_is_built_anew(window, qtbot):
    holder = QWidget(window.centralWidget())
    column = Column(holder)
    found = NumberSentence(LIGHT)
    column.addWidget(found)
    holder.setGeometry(0, 0, WIDTH, 300)
    holder.show()
    found.say("None.", ())
    qtbot.waitUntil(lambda: found.height() > 0 and column.placed > 0)
    QCoreApplication.processEvents()
    column.placed = 0
    found.say(TEXT, numbers(), about="another")
    assert column.placed <= 1
    fields = [found.field_of(key) for key in ("low", "high", "tolerance")]
    assert all(field.isVisible() for field in fields)
    qtbot.waitUntil(lambda: len({(field.x(), field.y()) for field in fields}) == 3)
