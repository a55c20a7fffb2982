"""A body's colour, chosen by word: each tint of the palette with a swatch before its name, and automatic as one choice."""

from collections.abc import Mapping

from PySide6.QtCore import QRect, QSize, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy

from app import theme
from app.panels.flow import Flowing
from app.panels.word_row import add_quiet_word
from app.panels.words import Word
from app.theme import Style

SWATCH, AIR = 10, 5
"""Logical pixels: a swatch's side, and from it to its word."""


class TintWord(Word):
    """A word with a swatch of what it names before it; underlined where it is the one chosen."""

    def __init__(self, style: Style, text: str, colour: str, *, chosen: bool) -> None:
        super().__init__(style, text, size=theme.DATA, checkable=True)
        self._colour = colour
        self.setChecked(chosen)
        self.setContentsMargins(SWATCH + AIR, 0, 0, 0)

    def show_colour(self, colour: str) -> None:
        """Show the swatch in another colour."""
        self._colour = colour
        self.update()

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        return QSize(hint.width() + SWATCH + AIR, hint.height())

    def text_area(self) -> QRect:
        return super().text_area().adjusted(SWATCH + AIR, 0, 0, 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        square = QRect(3, (self.height() - SWATCH) // 2, SWATCH, SWATCH)
        painter.fillRect(square, QColor(self._colour))
        painter.setPen(QPen(QColor(self._style.ink), 1.0))
        painter.drawRect(square.adjusted(0, 0, -1, -1))


class Tints(Flowing):
    """The tints in a row that breaks where the panel ends; `chosen` tells the name of one, or nothing for automatic."""

    chosen = Signal(object)

    def __init__(self, style: Style, body: str, colour: str | None, *, order: int) -> None:
        """`colour`: the body's own, None for automatic, which gives the tint of the `order`-th moving body."""
        super().__init__(style)
        self._order = order
        self.words: dict[str | None, TintWord] = {}
        head = self.tr("Shown in")
        self.setAccessibleName(head)
        for part in head.split():
            add_quiet_word(self.flow, part)
        for name in (None, *style.bodies):
            word = TintWord(style, self.tr(name) if name else self.tr("automatic"), self._colour_of(name), chosen=name == colour)
            told = self.tr("{body}: {tint}") if name else self.tr("{body}: its tint chosen by its place among the moving bodies")
            word.setAccessibleName(told.format(body=body, tint=name))
            word.clicked.connect(lambda _on=False, name=name, word=word: self._choose(name, word, chosen=name == colour))
            self.words[name] = word
            self.flow.addWidget(word)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)

    def set_style(self, style: Style) -> None:
        super().set_style(style)
        for name, word in self.words.items():
            word.show_colour(self._colour_of(name))

    def by_key(self) -> Mapping[str, Word]:
        """The words by keys like those of other rows: "tint lagoon", "tint automatic"."""
        return {f"tint {name or 'automatic'}": word for name, word in self.words.items()}

    def _colour_of(self, name: str | None) -> str:
        return self._style.body_tint(name, order=self._order)

    def _choose(self, name: str | None, word: TintWord, *, chosen: bool) -> None:
        word.setChecked(chosen)
        self.chosen.emit(name)
