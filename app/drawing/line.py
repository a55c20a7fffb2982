"""The line over the board while a tool is in hand: what it is at, its numbers to type, and what can be done next."""

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app import theme
from app.drawing.in_hand import InHand
from app.drawing.tool import Said
from app.panels.arithmetic import Fault, evaluated
from app.panels.board_tools import HEIGHT
from app.panels.number_field import NumberField
from app.panels.number_sentence import Number, NumberSentence
from app.panels.words import Line, Word
from app.theme import Style


class LiveField(NumberField):
    """What is typed holds at once, as far as it is a number; the line under it is whole then. Esc lets the number go again."""

    fixed_to = Signal(float)
    let_go = Signal()

    def __init__(self, style: Style, number: Number) -> None:
        super().__init__(style, number.unit, number.name, step=number.step)
        self.fixed = False
        self.textEdited.connect(self._hold)
        self.tried.connect(self._take)

    def event(self, event: QEvent) -> bool:
        """Esc belongs to the number, not to the window, while it has the keyboard."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.setModified(False)
            self.let_go.emit()
        else:
            super().keyPressEvent(event)

    def _hold(self, text: str) -> None:
        found = evaluated(text, self._unit)
        if not isinstance(found, Fault):
            self._take(found)

    def _take(self, value: float) -> None:
        self._value = value
        self.fixed_to.emit(value)

    def _paint_before(self, painter: QPainter) -> None:
        """What is typed holds: nothing stands behind it."""
        if self.fixed:
            painter.setPen(QPen(QColor(self._style.ink), theme.NARROW))
            painter.drawLine(2, self.height() - 2, self.width() - 2, self.height() - 2)


class LiveSentence(NumberSentence):
    """Its numbers hold while they are typed."""

    fixed = Signal(str, object)
    """Key and the value typed; None: let go."""

    def _made_field(self, number: Number) -> NumberField:
        field = LiveField(self.drawn_in(), number)
        field.fixed_to.connect(lambda value: self.fixed.emit(number.key, value))
        field.let_go.connect(lambda: self.fixed.emit(number.key, None))
        return field

    def whole_width(self) -> int:
        """Logical pixels that the sentence takes on one line."""
        return self.flow.whole_width()

    def keys(self) -> tuple[str, ...]:
        """The keys of the numbers, in the order they are read."""
        return tuple(self._fields)

    def show_fixed(self, keys: frozenset[str]) -> None:
        """Tell the numbers that were typed from those that follow the pointer."""
        for key, field in self._fields.items():
            if isinstance(field, LiveField):
                field.fixed = key in keys


class ToolLine(QWidget):
    """Shows the tool in hand. Tab goes from number to number, Enter takes what is shown, Esc lets a number go."""

    def __init__(self, style: Style, in_hand: InHand, board: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style, self._in_hand, self._board = style, in_hand, board
        self.setFixedHeight(HEIGHT)
        self.setAccessibleName(self.tr("Tool in hand"))
        self.sentence = LiveSentence(style)
        self.hint = Line(style, size=theme.DATA, tone="quiet")
        self.words: dict[str, Word] = {}
        self.leave = Word(style, self.tr("Put away"), key=self.tr("Esc"))
        self._choices = QHBoxLayout()
        self._choices.setSpacing(10)
        row = QHBoxLayout(self)
        row.setContentsMargins(theme.MARGIN - 3, 4, 8, 4)
        row.setSpacing(14)
        row.addWidget(self.sentence, 3)
        row.addLayout(self._choices)
        row.addWidget(self.hint, 2)
        row.addWidget(self.leave)
        self.leave.clicked.connect(in_hand.put_away)
        self.sentence.fixed.connect(self._fix)
        self.sentence.committed.connect(lambda _key, _value: self._accept())
        in_hand.changed.connect(self._follow)

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._style.board))

    def begin(self, text: str) -> None:
        """Go on in the first number with what was begun at the keyboard."""
        keys = self.sentence.keys()
        if keys:
            field = self.sentence.field_of(keys[0])
            field.setFocus()
            field.setText(text)
            field.setModified(True)
            field.textEdited.emit(text)

    def _follow(self) -> None:
        tool = self._in_hand.tool
        if tool is not None:
            tool.changed.connect(self._show)
            tool.typing.connect(self.begin)
            self._show()

    def _show(self) -> None:
        tool = self._in_hand.tool
        if tool is None:
            return
        said: Said = tool.said()
        self.sentence.say(said.text, said.numbers, about=tool)
        self.sentence.setMinimumWidth(self.sentence.whole_width())  # before the hint, which may be cut
        self.sentence.show_fixed(said.fixed)
        self.hint.say(said.hint)
        self._offer(said.words)

    def _offer(self, words: tuple[tuple[str, str], ...]) -> None:
        """Words to click; those that are there stay, so that a click that changes one is not lost under the pointer."""
        if tuple(self.words) != tuple(key for key, _ in words):
            for word in self.words.values():
                self._choices.removeWidget(word)
                word.hide()
                word.deleteLater()
            self.words = {key: self._word(key) for key, _ in words}
        for key, text in words:
            if self.words[key].text() != text:
                self.words[key].setText(text)

    def _word(self, key: str) -> Word:
        word = Word(self._style, "", size=theme.DATA, tone="proved")
        word.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the board keeps the keyboard
        word.clicked.connect(lambda: self._choose(key))
        self._choices.addWidget(word)
        return word

    def _choose(self, key: str) -> None:
        if self._in_hand.tool is not None:
            self._in_hand.tool.choose(key)

    def _fix(self, key: str, value: float | None) -> None:
        tool = self._in_hand.tool
        if tool is None:
            return
        tool.fix(key, value)
        if value is None:
            self._board.setFocus()

    def _accept(self) -> None:
        """Enter in a number: what is shown is taken, and the board has the keyboard again."""
        if self._in_hand.tool is not None:
            self._board.setFocus()
            self._in_hand.tool.accept()
