"""A card of numbers for one action: it shows what they would do while they are typed, and does it on Done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QAbstractSpinBox, QCheckBox, QDialog, QDoubleSpinBox, QGridLayout, QHBoxLayout, QSpinBox, QVBoxLayout, QWidget

from app import theme
from app.palette import palette_of
from app.panels.arithmetic import evaluated
from app.panels.number_field import NumberField
from app.panels.words import Line, Word
from app.theme import Style

MOST_COUNT = 999
MOST_ROWS = 12
"""Numbers beyond which they stand in two columns, so that the card fits a low screen."""

LEAST_WORDS = 220
"""Logical pixels for the words of a number."""

FIELD = 96
"""Logical pixels for a number, typed sums too."""

SPARE = 12
"""Logical pixels between the longest words and their number."""

Kind = Literal["mm", "deg", "count", "percent", "switch"]
Values = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Asked:
    """One number, or a switch (0 or 1): its key, its words, and what it is at first."""

    key: str
    text: str
    first: float
    kind: Kind = "mm"


class CardField(NumberField):
    """A number field that keeps what is typed when it is left, as every field of a card counts together."""

    def focusOutEvent(self, event: QFocusEvent) -> None:
        found = evaluated(self.text(), self._unit)
        if isinstance(found, float):
            self.setModified(False)
            self.show_value(found)
        super().focusOutEvent(event)


class Card(QDialog):
    """`changed` tells all values while they are typed and can be understood; `taken` on Done; `left` on Esc."""

    changed = Signal(object)
    taken = Signal(object)
    left = Signal()

    def __init__(self, style: Style, head: str, asked: Sequence[Asked], done: str, parent: QWidget, *, note: str = "") -> None:
        super().__init__(parent)
        self.setWindowTitle(head)
        self.setAccessibleName(head)
        self.setPalette(palette_of(style))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._values = {one.key: float(one.first) for one in asked}
        self._fields: dict[str, QWidget] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 12)
        column.setSpacing(8)
        title = Line(style, head, size=theme.HEAD, weight=theme.MEDIUM)
        title.setMinimumWidth(title.sizeHint().width())
        column.addWidget(title)
        if note:
            column.addWidget(Line(style, note, tone="quiet", wrap=True))
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(6)
        rows = len(asked) if len(asked) <= MOST_ROWS else (len(asked) + 1) // 2
        widest = LEAST_WORDS
        for number, one in enumerate(asked):
            self._fields[one.key] = self._field(style, one)
            across, row = divmod(number, rows)
            if one.kind == "switch":
                grid.addWidget(self._fields[one.key], row, 3 * across, 1, 2)
                continue
            told = Line(style, one.text)
            widest = max(widest, told.sizeHint().width() + SPARE)
            grid.addWidget(told, row, 3 * across)
            grid.addWidget(self._fields[one.key], row, 3 * across + 1)
        for column_of, wide in ((0, widest), (2, 24), (3, widest if rows < len(asked) else 0)):
            grid.setColumnMinimumWidth(column_of, wide)
        column.addLayout(grid)
        self._done = Word(style, done, key="Enter")
        self._done.clicked.connect(self.take)
        leave = Word(style, self.tr("Leave"), key="Esc")
        leave.clicked.connect(self.reject)
        words = QHBoxLayout()
        words.addWidget(self._done)
        words.addWidget(leave)
        words.addStretch(1)
        column.addLayout(words)
        self._ended = False
        self.finished.connect(self._end)

    def show_card(self) -> None:
        """Open over the window, with what its first values would do."""
        self.open()
        first = next(iter(self._fields.values()), self._done)
        first.setFocus()
        self.changed.emit(dict(self._values))

    def field(self, key: str) -> QWidget:
        """The field of a number."""
        return self._fields[key]

    def values(self) -> dict[str, float]:
        """All values as they stand."""
        return dict(self._values)

    def take(self) -> None:
        """Done: tell the values and go."""
        if not self._ended:
            self._ended = True
            self.taken.emit(dict(self._values))
            self.close()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.take()
        else:
            super().keyPressEvent(event)

    def _field(self, style: Style, one: Asked) -> QWidget:
        if one.kind in ("count", "percent"):
            spin: QAbstractSpinBox
            if one.kind == "count":
                spin = count = QSpinBox()
                count.setRange(1, MOST_COUNT)
                count.setValue(int(one.first))
                count.valueChanged.connect(lambda value, key=one.key: self._put(key, float(value)))
            else:
                spin = share = QDoubleSpinBox()
                share.setDecimals(4)
                share.setRange(0.1, 10_000.0)
                share.setSuffix(" %")
                share.setValue(one.first)
                share.valueChanged.connect(lambda value, key=one.key: self._put(key, value))
            spin.setAccessibleName(one.text)
            spin.setFont(theme.font(theme.DATA))
            spin.setMinimumHeight(24)
            return spin
        if one.kind == "switch":
            box = QCheckBox(one.text)
            box.setAccessibleName(one.text)
            box.setFont(theme.font(theme.TEXT))
            box.setChecked(bool(one.first))
            box.toggled.connect(lambda on, key=one.key: self._put(key, float(on)))
            return box
        field = CardField(style, "deg" if one.kind == "deg" else "mm", one.text)
        field.setMinimumWidth(FIELD)
        field.show_value(one.first)
        field.textEdited.connect(lambda text, key=one.key, unit=one.kind: self._typed(key, text, unit))
        field.committed.connect(lambda value, key=one.key: self._put(key, value))
        return field

    def _typed(self, key: str, text: str, unit: Kind) -> None:
        found = evaluated(text, "deg" if unit == "deg" else "mm")
        if isinstance(found, float):
            self._put(key, found)

    def _put(self, key: str, value: float) -> None:
        if self._values[key] != value:
            self._values[key] = value
            self.changed.emit(dict(self._values))

    def _end(self) -> None:
        if not self._ended:
            self._ended = True
            self.left.emit()
