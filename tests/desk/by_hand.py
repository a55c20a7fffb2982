"""Hands on the board, for the tests of what is drawn there: places in mm, real mouse and keys."""

from PySide6.QtCore import QCoreApplication, QPoint, QPointF, Qt

LEFT = Qt.MouseButton.LeftButton


def pixel(window, x, y) -> QPoint:
    """The place of the board's viewport over (x, y) mm."""
    return window.sheet.board.viewportTransform().map(QPointF(x, y)).toPoint()


def point_at(qtbot, window, x, y):
    qtbot.mouseMove(window.sheet.board.viewport(), pixel(window, x, y))


def click(qtbot, window, x, y, keys=Qt.KeyboardModifier.NoModifier):
    point_at(qtbot, window, x, y)
    qtbot.mouseClick(window.sheet.board.viewport(), LEFT, keys, pixel(window, x, y))


def drag(qtbot, window, start, end, keys=Qt.KeyboardModifier.NoModifier):
    """Press, two moves and a release."""
    view, (first, last) = window.sheet.board.viewport(), (pixel(window, *start), pixel(window, *end))
    qtbot.mouseMove(view, first)
    qtbot.mousePress(view, LEFT, keys, first)
    qtbot.mouseMove(view, (first + last) / 2)
    qtbot.mouseMove(view, last)
    qtbot.mouseRelease(view, LEFT, keys, last)


def ask(qtbot, window, key, keys=Qt.KeyboardModifier.ControlModifier):
    """A key of the window's table, pressed on the board."""
    qtbot.keyClick(window.sheet.board, key, keys)
    qtbot.keyRelease(window.sheet.board, Qt.Key.Key_Control)  # moves of the mouse that follow take the modifiers of the last key


def type_numbers(qtbot, window, *numbers):
    """Begin to type with the board in hand: the numbers go to the tool's line, Tab from one to the next, and Enter takes them."""
    QCoreApplication.processEvents()  # fields made in this turn take no keyboard until they are shown
    line = window.sheet.tool_line.sentence
    for place, (key, text) in enumerate(zip(line.keys(), numbers, strict=False)):
        if place == 0:
            qtbot.keyClicks(window.sheet.board, text[0])
            qtbot.keyClicks(line.field_of(key), text[1:])
        else:
            qtbot.keyClicks(line.field_of(key), text)
        last = place == len(numbers) - 1
        qtbot.keyClick(line.field_of(key), Qt.Key.Key_Return if last else Qt.Key.Key_Tab)
