"""Widgets and words one after another, as text is set; the words are painted by what holds them and are no widgets of their own.

A sentence about a shape of many corners has some fifty words: as widgets they took longer to build than all else that is said of it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

from app import theme
from app.panels.words import Tone, clear_layout, line_height, tone_colour
from app.theme import Style

WORD_HEIGHT = 24
"""Logical pixels, as a field's."""


@dataclass(slots=True)
class _Part:
    """A widget, or a word with its size and tone; where it stands, and whether it stays on the line of the one before."""

    item: QLayoutItem | None = None
    text: str = ""
    size: int = theme.TEXT
    tone: Tone = "ink"
    width: int = 0
    glued: bool = False
    kept: bool = False
    area: QRect = field(default_factory=QRect)

    def taken(self) -> tuple[int, int]:
        """Logical pixels that it takes across and down."""
        if self.item is None:
            return self.width, WORD_HEIGHT
        hint = self.item.sizeHint()
        return hint.width(), hint.height()


class Flow(QLayout):
    """Parts one after another on as many lines as they take. Qt knows of the widgets among them alone.

    No line begins with what `glue` ties to the one before, nor with what `keep` does unless all that is kept is longer than a line.

    A layout around it asks for its height some hundred times before it is placed once, so what it found is kept until it is told
    that something has changed.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._parts: list[_Part] = []
        self._items: list[QLayoutItem] = []
        self._hints: list[tuple[int, int]] = []
        self._heights: dict[int, int] = {}
        self.setContentsMargins(0, 0, 0, 0)
        self.setSpacing(0)

    def addItem(self, item: QLayoutItem) -> None:
        self._items.append(item)
        self._parts.append(_Part(item))
        self._forget()

    def add_word(self, text: str, *, size: int = theme.TEXT, tone: Tone = "ink") -> None:
        """Add a word with the blanks that belong to it."""
        width = QFontMetrics(theme.font(size)).horizontalAdvance(text)
        self._parts.append(_Part(text=text, size=size, tone=tone, width=width))
        self.invalidate()

    def clear_words(self) -> None:
        """Take all words out."""
        self._parts = [part for part in self._parts if part.item is not None]
        self.invalidate()

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
        """Keep the part added last on a line with the one before it: a full stop, or what follows a bracket."""
        self._parts[-1].glued = True
        self._forget()

    def keep(self) -> None:
        """Keep the part added last on a line with the one before it where a line has room for all that is kept so: a place's numbers."""
        self._parts[-1].kept = True
        self._forget()

    def takeAt(self, index: int) -> QLayoutItem | None:
        if not 0 <= index < len(self._items):
            return None
        taken = self._items.pop(index)
        self._parts = [part for part in self._parts if part.item is not taken]
        self._forget()
        return taken

    def whole_width(self) -> int:
        """Logical pixels that all of it takes on one line."""
        return sum(part.width if part.item is None else _width(part.item) for part in self._parts)

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

    def words(self) -> tuple[str, ...]:
        """What is written, word by word."""
        return tuple(part.text for part in self._parts if part.item is None)

    def areas(self) -> tuple[QRect, ...]:
        """Where the parts stand, words and widgets, in the order they are read."""
        return tuple(QRect(part.area) for part in self._parts)

    def lines(self) -> list[tuple[int, int]]:
        """Where the lines of its words begin and end, logical pixels from the upper edge of what holds it."""
        found = {(part.area.center().y(), part.size) for part in self._parts if part.item is None and part.area.isValid()}
        highs = {size: line_height(theme.font(size)) for _, size in found}
        return sorted((middle - highs[size] // 2, middle - highs[size] // 2 + highs[size]) for middle, size in found)

    def paint(self, painter: QPainter, style: Style, within: QRect) -> None:
        """Write the words that are seen in a part of what holds it."""
        looks: tuple[int, Tone] | None = None
        for part in self._parts:
            if part.item is not None or not part.area.intersects(within):
                continue
            if looks != (part.size, part.tone):
                looks = (part.size, part.tone)
                painter.setFont(theme.font(part.size))
                painter.setPen(QColor(tone_colour(style, part.tone)))
            painter.drawText(part.area, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, part.text)

    def _sizes(self) -> list[tuple[int, int]]:
        if len(self._hints) != len(self._parts):
            self._hints = [part.taken() for part in self._parts]
        return self._hints

    def _set(self, rect: QRect, *, place: bool) -> int:
        left, top, room = rect.x(), rect.y(), rect.width()
        x, y, line = 0, 0, 0
        sizes, moved = self._sizes(), False
        for number, (part, (width, height)) in enumerate(zip(self._parts, sizes, strict=True)):
            if x > 0 and x + self._together(number, room) > room:
                x, y, line = 0, y + line, 0
            if place:
                area = QRect(left + x, top + y, width, height)
                moved |= part.item is None and area != part.area
                part.area = area
                if part.item is not None:
                    part.item.setGeometry(area)
            x, line = x + width, max(line, height)
        holder = self.parentWidget()
        if moved and holder is not None:
            holder.update()
        return y + line

    def _together(self, number: int, room: int) -> int:
        """Logical pixels of what must stand on a line with a part, and of what should, where a line has room for that."""
        kept = self._tied(number, keep=True)
        return kept if kept <= room and not self._parts[number].kept else self._tied(number, keep=False)

    def _tied(self, number: int, *, keep: bool) -> int:
        sizes, width, after = self._sizes(), self._sizes()[number][0], number + 1
        while after < len(sizes) and (self._parts[after].glued or (keep and self._parts[after].kept)):
            width, after = width + sizes[after][0], after + 1
        return width


def _width(item: QLayoutItem) -> int:
    """Of a widget as it will be: the item of one that is not shown yet takes no room."""
    one = item.widget()
    if one is None:
        return 0
    hint = one.sizeHint().expandedTo(one.minimumSizeHint())
    return hint.boundedTo(one.maximumSize()).expandedTo(one.minimumSize()).width()


class Flowing(QWidget):
    """Holds a flow and writes its words."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.flow = Flow(self)

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def written(self) -> str:
        """Its words, with plain blanks, and without what stands in its widgets."""
        return "".join(self.flow.words()).replace("\N{NO-BREAK SPACE}", " ")

    def lines(self) -> Sequence[tuple[int, int]]:
        """Where the lines of its words begin and end, logical pixels from its upper edge."""
        return self.flow.lines()

    def paintEvent(self, event: QPaintEvent) -> None:
        self.flow.paint(QPainter(self), self._style, event.rect())

    def clear(self) -> None:
        """Take all words and widgets out."""
        clear_layout(self)
        self.flow.clear_words()
        self.update()
