"""A sentence with numbers in it that can be typed and spun: "From 23 mm to 25 mm deep, outline within 0.10 mm"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.panels.arithmetic import Shown
from app.panels.flow import Flowing
from app.panels.number_field import NumberField
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


_Kind = tuple[str, str, Shown, float]
"""All that is known of a number without its value."""


class NumberSentence(Flowing):
    """Keeps its fields while only the values change, so that what is being typed stays."""

    committed = Signal(str, float)
    """Key, value: taken by Enter."""
    tried = Signal(str, float)
    """Key, value that was spun to."""
    left = Signal()
    """What was spun to is given back."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(style, parent)
        self._made: tuple[object, ...] = ()
        self._values: tuple[float, ...] = ()
        self._fields: dict[str, NumberField] = {}
        self._ahead: dict[_Kind, NumberField] = {}
        self._ahead_of: object = None

    def make_ahead(self, numbers: Sequence[Number], *, about: object, most: int) -> bool:
        """Make up to `most` fields that `say` is going to need, unseen, and tell whether all are there.

        For a sentence with more numbers than there is time for in one turn of the window.
        """
        kinds = tuple(map(_kind, numbers))
        if self._made[1:] == (about, kinds):
            return True
        if self._ahead_of != about:
            self._drop_ahead()
            self._ahead_of = about
        lacking = [number for number, kind in zip(numbers, kinds, strict=True) if kind not in self._ahead]
        for number in lacking[:most]:
            field = self._ahead[_kind(number)] = self._field(number)
            field.setParent(self)
            field.hide()
        return len(lacking) <= most

    def say(self, text: str, numbers: Sequence[Number], *, about: object = None) -> None:
        """Show `text` with a field for each `{key}`; `about` tells whose numbers they are: another's have fields of their own."""
        made = (text, about, tuple(map(_kind, numbers)))
        if new := made != self._made:
            same_numbers, self._made = made[1:] == self._made[1:], made
            if self._ahead_of != about:
                self._drop_ahead()
            self._build(text, {number.key: number for number in numbers}, keep=same_numbers)
            self._drop_ahead()
        values = tuple(number.value for number in numbers)
        for number in numbers:
            if number.key in self._fields:
                self._fields[number.key].show_value(number.value)
        if new or values != self._values:
            self._values = values
            spoken = {f"{{{one.key}}}": self._fields[one.key].told(one.value) for one in numbers if one.key in self._fields}
            self.setAccessibleName(_HOLE.sub(lambda hole: spoken.get(hole[0], hole[0]), text))
        self.setVisible(bool(text))

    def _drop_ahead(self) -> None:
        for field in self._ahead.values():
            field.deleteLater()
        self._ahead, self._ahead_of = {}, None

    def first_field(self) -> NumberField:
        """The field of its first number."""
        return next(iter(self._fields.values()))

    def field_of(self, key: str) -> NumberField:
        """The field of a number."""
        return self._fields[key]

    def drawn_in(self) -> Style:
        """The style it is drawn in."""
        return self._style

    def _build(self, text: str, numbers: dict[str, Number], *, keep: bool) -> None:
        """`keep`: only the words differ, so the fields stay, with what is being typed in them."""
        self.flow.setEnabled(False)  # each part that is shown would lay out anew all that is around the sentence
        try:
            self._build_parts(text, numbers, keep=keep)
        finally:
            self.flow.setEnabled(True)
        self.flow.invalidate()
        self.updateGeometry()

    def _build_parts(self, text: str, numbers: dict[str, Number], *, keep: bool) -> None:
        kept = self._fields if keep else {}
        for field in kept.values():
            self.flow.removeWidget(field)
        self.clear()
        self._fields = {}
        open_end, bracket = False, False
        for part in _HOLE.split(text):
            number = numbers.get(part[1:-1]) if _HOLE.fullmatch(part) else None
            if number is not None:
                field = self._fields[number.key] = kept.get(number.key) or self._ahead.pop(_kind(number), None) or self._field(number)
                self._add(field)
                if open_end:
                    self.flow.glue()
                if bracket:
                    self.flow.keep()
                continue
            for place, word in enumerate(re.findall(r"\S+\s*|\s+", part)):
                self.flow.add_word(word.replace(" ", "\N{NO-BREAK SPACE}"))
                if place == 0 and self._fields and not word[0].isspace():
                    self.flow.glue()
                if bracket:
                    self.flow.keep()
                bracket = "(" in word or (bracket and ")" not in word)
            open_end = bool(part) and not part[-1].isspace()

    def _add(self, part: QWidget) -> None:
        """Shown at once: Qt would show it in a later turn, and until then it took no room."""
        self.flow.addWidget(part)
        part.show()

    def _field(self, number: Number) -> NumberField:
        field = self._made_field(number)
        field.show_value(number.value)
        field.textChanged.connect(lambda _text: _fit(field))
        _fit(field)
        field.committed.connect(lambda value: self.committed.emit(number.key, value))
        field.tried.connect(lambda value: self.tried.emit(number.key, value))
        field.left.connect(self.left)
        return field

    def _made_field(self, number: Number) -> NumberField:
        """A field for a number; a sentence of another kind may have fields of its own."""
        return NumberField(self._style, number.unit, number.name, step=number.step, parent=self)


def _kind(number: Number) -> _Kind:
    return number.key, number.name, number.unit, number.step


def _fit(field: NumberField) -> None:
    """As wide as what is written; a width that stays lays nothing out anew."""
    width = field.width_taken()
    if (field.minimumWidth(), field.maximumWidth()) != (width, width):
        field.setFixedWidth(width)
