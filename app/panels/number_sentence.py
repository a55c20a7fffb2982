"""A sentence with numbers in it that can be typed and spun: "From 23 mm to 25 mm deep, outline within 0.10 mm"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtWidgets import QLabel, QLayout, QLayoutItem, QSizePolicy, QWidget

from app import theme
from app.panels.arithmetic import Shown
from app.panels.number_field import NumberField
from app.panels.words import Line, clear_layout
from app.theme import Style

_HOLE = re.compile(r"(\{\w+\})")


@dataclass(frozen=True, slots=True)
class Number:
    """A number of a sentence: `key` in the text's braces, its value, what it is for those who do not see it, and the step it is spun by."""

    key: str
    value: float
    name: str
    unit: Shown = "mm"
    step: float = 0.1


class Flow(QLayout):
    """Widgets one after another, as words are, on as many lines as they take.

    No line begins with what `glue` ties to the one before, nor with what `keep` does unless all that is kept is longer than a line.

    A layout around it asks for its height some hundred times before it is placed once, so what it found is kept until it is told
    that something has changed.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._hints: list[tuple[int, int]] = []
        self._heights: dict[int, int] = {}
        self._glued: set[int] = set()
        self._kept: set[int] = set()
        self.setContentsMargins(0, 0, 0, 0)
        self.setSpacing(0)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)
        self._forget()

    def invalidate(self) -> None:
        self._forget()
        super().invalidate()

    def _forget(self) -> None:
        self._hints, self._heights = [], {}

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        return self._items[index] if 0 <= index < len(self._items) else None

    def glue(self) -> None:
        """Keep the widget added last on a line with the one before it: a full stop, or what follows a bracket."""
        self._glued.add(len(self._items) - 1)
        self._forget()

    def keep(self) -> None:
        """Keep the widget added last on a line with the one before it where a line has room for all that is kept so: a place's numbers."""
        self._kept.add(len(self._items) - 1)
        self._forget()

    def takeAt(self, index: int) -> QLayoutItem | None:
        self._forget()
        self._glued, self._kept = ({place - (place > index) for place in tied if place != index} for tied in (self._glued, self._kept))
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def whole_width(self) -> int:
        """Logical pixels that all of it takes on one line."""
        widgets = [widget for item in self._items if (widget := item.widget()) is not None]
        # Not by the items: those of widgets that are not shown yet take no room.
        hints = (one.sizeHint().expandedTo(one.minimumSizeHint()) for one in widgets)
        return sum(
            hint.boundedTo(one.maximumSize()).expandedTo(one.minimumSize()).width() for hint, one in zip(hints, widgets, strict=True)
        )

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        if width not in self._heights:
            self._heights[width] = self._set(QRect(0, 0, width, 0), place=False)
        return self._heights[width]

    def setGeometry(self, rect: QRect) -> None:
        super().setGeometry(rect)
        self._set(rect, place=True)

    def sizeHint(self) -> QSize:
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        sizes = self._sizes()
        return QSize(max((width for width, _ in sizes), default=0), max((height for _, height in sizes), default=0))

    def _sizes(self) -> list[tuple[int, int]]:
        if len(self._hints) != len(self._items):
            hints = [item.sizeHint() for item in self._items]
            self._hints = [(hint.width(), hint.height()) for hint in hints]
        return self._hints

    def _set(self, rect: QRect, *, place: bool) -> int:
        left, top, room = rect.x(), rect.y(), rect.width()
        x, y, line = 0, 0, 0
        sizes = self._sizes()
        for number, (width, height) in enumerate(sizes):
            if x + self._together(number, room) > room and x > 0:
                x, y, line = 0, y + line, 0
            if place:
                self._items[number].setGeometry(QRect(left + x, top + y, width, height))
            x, line = x + width, max(line, height)
        return y + line

    def _together(self, number: int, room: int) -> int:
        """Logical pixels of what must stand on a line with a widget, and of what should, where a line has room for that."""
        kept = self._tied(number, self._glued | self._kept)
        return kept if kept <= room and number not in self._kept else self._tied(number, self._glued)

    def _tied(self, number: int, ties: set[int]) -> int:
        sizes, width, after = self._sizes(), self._sizes()[number][0], number + 1
        while after in ties:
            width, after = width + sizes[after][0], after + 1
        return width


class SentencePart(Line):
    """A word of the sentence as wide as it is."""

    def sizeHint(self) -> QSize:
        return QSize(self.fontMetrics().horizontalAdvance(self.whole()), 24)


class NumberSentence(QWidget):
    """Keeps its fields while only the values change, so that what is being typed stays."""

    committed = Signal(str, float)
    """Key, value: taken by Enter."""
    tried = Signal(str, float)
    """Key, value that was spun to."""
    left = Signal()
    """What was spun to is given back."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._made: tuple[object, ...] = ()
        self._fields: dict[str, NumberField] = {}
        self._flow = Flow(self)

    def say(self, text: str, numbers: Sequence[Number], *, about: object = None) -> None:
        """Show `text` with a field for each `{key}`; `about` tells whose numbers they are: another's have fields of their own."""
        made = (text, about, tuple((number.key, number.name, number.unit, number.step) for number in numbers))
        if made != self._made:
            same_numbers, self._made = made[1:] == self._made[1:], made
            self._build(text, {number.key: number for number in numbers}, keep=same_numbers)
        for number in numbers:
            if number.key in self._fields:
                self._fields[number.key].show_value(number.value)
        self.setVisible(bool(text))

    def first_field(self) -> NumberField:
        """The field of its first number."""
        return next(iter(self._fields.values()))

    def field_of(self, key: str) -> NumberField:
        """The field of a number."""
        return self._fields[key]

    def set_style(self, style: Style) -> None:
        self._style = style

    def drawn_in(self) -> Style:
        """The style it is drawn in."""
        return self._style

    def _build(self, text: str, numbers: dict[str, Number], *, keep: bool) -> None:
        """`keep`: only the words differ, so the fields stay, with what is being typed in them."""
        self._flow.setEnabled(False)  # each part that is shown would lay out anew all that is around the sentence
        try:
            self._build_parts(text, numbers, keep=keep)
        finally:
            self._flow.setEnabled(True)
        self._flow.invalidate()
        self.updateGeometry()

    def _build_parts(self, text: str, numbers: dict[str, Number], *, keep: bool) -> None:
        kept = self._fields if keep else {}
        for field in kept.values():
            self._flow.removeWidget(field)
        clear_layout(self)
        self._fields = {}
        open_end, bracket = False, False
        for part in _HOLE.split(text):
            number = numbers.get(part[1:-1]) if _HOLE.fullmatch(part) else None
            if number is not None:
                field = self._fields[number.key] = kept.get(number.key) or self._field(number)
                self._add(field)
                if open_end:
                    self._flow.glue()
                if bracket:
                    self._flow.keep()
                continue
            for place, word in enumerate(re.findall(r"\S+\s*|\s+", part)):
                self._add(self._word(word))
                if place == 0 and self._fields and not word[0].isspace():
                    self._flow.glue()
                if bracket:
                    self._flow.keep()
                bracket = "(" in word or (bracket and ")" not in word)
            open_end = bool(part) and not part[-1].isspace()

    def _add(self, part: QWidget) -> None:
        """Shown at once: Qt would show it in a later turn, and until then it took no room."""
        self._flow.addWidget(part)
        part.show()

    def _word(self, text: str) -> QLabel:
        word = SentencePart(self._style, size=theme.TEXT)
        word.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        word.setAlignment(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
        word.say(text.replace(" ", "\N{NO-BREAK SPACE}"))
        return word

    def _field(self, number: Number) -> NumberField:
        field = self._made_field(number)
        field.textChanged.connect(lambda _text: _fit(field))
        _fit(field)
        field.committed.connect(lambda value: self.committed.emit(number.key, value))
        field.tried.connect(lambda value: self.tried.emit(number.key, value))
        field.left.connect(self.left)
        self._fields[number.key] = field
        return field

    def _made_field(self, number: Number) -> NumberField:
        """A field for a number; a sentence of another kind may have fields of its own."""
        return NumberField(self._style, number.unit, number.name, step=number.step)


def _fit(field: NumberField) -> None:
    """As wide as what is written; a width that stays lays nothing out anew."""
    width = field.width_taken()
    if (field.minimumWidth(), field.maximumWidth()) != (width, width):
        field.setFixedWidth(width)
