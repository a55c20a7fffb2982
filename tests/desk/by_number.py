"""Hands on the words and numbers of the side panel, for the tests of the steps that work by them."""

from PySide6.QtCore import Qt


def press(qtbot, work, word):
    qtbot.mouseClick(work.words[word], Qt.MouseButton.LeftButton)


def typed(qtbot, work, sentence, **numbers):
    for key, text in numbers.items():
        field = work.sentence_of(sentence).field_of(key)
        field.setFocus()
        field.selectAll()
        qtbot.keyClicks(field, text)
        qtbot.keyClick(field, Qt.Key.Key_Return)
