"""A bay built from an empty window by mouse and keys alone: a puppet's turning wheel with its push-pull rods, and a flag beside it.

The manual's pictures are taken on the way: `shot` is called with a name after each part of the work.
"""

from collections.abc import Callable

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QApplication, QWidget

from tests.desk.by_hand import click, pixel, point_at

ALT, CONTROL, NONE = Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.NoModifier
LEFT = Qt.MouseButton.LeftButton
DISC, BAR, BOX, _POLYGON, _BORE, FRAME = (getattr(Qt.Key, f"Key_{number}") for number in range(1, 7))
PIVOT, DRIVE = Qt.Key.Key_1, Qt.Key.Key_6


class Hands:
    """Mouse and keys on a window. `bot` has the methods of pytest-qt's qtbot that press, click and type."""

    def __init__(self, bot, window, shot: Callable[[str], object] = lambda _name: None) -> None:
        self.bot, self.window, self.shot = bot, window, shot
        self.panel, self.board = window.sheet.panel, window.sheet.board

    def key(self, key: Qt.Key, keys=NONE) -> None:
        """A key of the window's table, with the board in hand."""
        if QApplication.activeWindow() is not self.window:  # in memory no window manager gives the keyboard back after a card
            self.window.activateWindow()
            QCoreApplication.processEvents()
        self.board.setFocus()
        self.bot.keyClick(self.board, key, keys)
        self.bot.keyRelease(self.board, Qt.Key.Key_Control)
        QCoreApplication.processEvents()

    def draw(self, kind: Qt.Key, start: tuple[float, float], end: tuple[float, float], *, shot: str = "") -> None:
        """A shape by two clicks."""
        self.key(kind, CONTROL)
        click(self.bot, self.window, *start)
        point_at(self.bot, self.window, *end)
        if shot:
            self.shot(shot)
        click(self.bot, self.window, *end)
        QCoreApplication.processEvents()

    def name(self, name: str) -> None:
        """Another name for the body in hand, in the side panel."""
        field = self.panel.outline.name
        self.bot.mouseClick(field, LEFT)
        field.selectAll()
        self.bot.keyClicks(field, name)
        self.bot.keyClick(field, Qt.Key.Key_Return)
        QCoreApplication.processEvents()

    def type_into(self, field: QWidget, text: str) -> None:
        """A number, typed over the one there is."""
        self.bot.mouseClick(field, LEFT)
        field.selectAll()
        self.bot.keyClicks(field, text)
        self.bot.keyClick(field, Qt.Key.Key_Return)
        QCoreApplication.processEvents()

    def type_into_card(self, key: str, text: str) -> None:
        """A number of the card that is open."""
        field = self.window.cards.card.field(key)
        self.bot.mouseClick(field, LEFT)
        field.selectAll()
        self.bot.keyClicks(field, text)
        self.bot.keyClick(field, Qt.Key.Key_Tab)

    def depth(self, low: str, high: str) -> None:
        """From where to where the body in hand lies across the section."""
        for key, text in (("high", high), ("low", low)):
            self.type_into(self.panel.selected.numbers.field_of(key), text)

    def word(self, key: str) -> None:
        """A word of the work on the body in hand."""
        self.bot.mouseClick(self.panel.outline.words[key], LEFT)
        QCoreApplication.processEvents()

    def pin(self, x: float, y: float) -> None:
        """A pivot, by a click."""
        self.key(PIVOT, ALT)
        click(self.bot, self.window, x, y)
        QCoreApplication.processEvents()

    def drive(self, low: str, high: str) -> None:
        """A drive on the joint in hand, with its travel."""
        self.key(DRIVE, ALT)
        for key, text in (("from", low), ("to", high)):
            self.type_into(self.panel.travel.field_of(key), text)


def draw_bodies(hands: Hands) -> None:
    """The wall and floor of the bay, two motors with what turns on them, and a wheel."""
    hands.draw(FRAME, (-60, -40), (60, 40), shot="wall")
    hands.name("wall")
    hands.draw(BOX, (-60, -40), (60, 40))
    hands.name("floor")
    hands.word("fixed")
    hands.depth("-3", "0")
    hands.draw(BOX, (-47, 6), (-23, -6))
    hands.name("wheel motor")
    hands.word("fixed")
    hands.depth("0", "16")
    hands.draw(BAR, (-35, 14), (-35, -14))
    hands.name("horn")
    hands.depth("17", "19")
    hands.draw(DISC, (20, 0), (20, 18))
    hands.name("wheel")
    hands.depth("17", "19")
    hands.draw(BOX, (43, -20), (55, -36))
    hands.name("flag motor")
    hands.word("fixed")
    hands.depth("0", "16")
    hands.draw(BAR, (49, -28), (49, 8))
    hands.name("flag")
    hands.depth("17", "19")
    hands.shot("bodies")


def join(hands: Hands) -> None:
    """Pins and drives, and the rods from the horn to the wheel."""
    hands.key(Qt.Key.Key_2)
    hands.pin(-35, 0)
    hands.drive("-30", "30")
    hands.pin(20, 0)
    hands.pin(49, -28)
    hands.drive("-8", "20")
    hands.shot("pins")
    hands.key(Qt.Key.Key_1)
    click(hands.bot, hands.window, -35, 12)
    hands.bot.mouseClick(hands.board.viewport(), LEFT, Qt.KeyboardModifier.ShiftModifier, pixel(hands.window, 20, 12))
    hands.key(Qt.Key.Key_P, CONTROL)
    hands.shot("rods")
    hands.bot.keyClick(hands.window.cards.card, Qt.Key.Key_Return)
    QCoreApplication.processEvents()


def ask_more(hands: Hands) -> None:
    """A rule: wheel and flag are to keep more than all others. Asked once the sweep has found their breach, which is picked."""
    hands.key(Qt.Key.Key_4)
    hands.key(Qt.Key.Key_N)
    hands.type_into(hands.panel.selected.numbers.field_of("gap"), "1.5")
