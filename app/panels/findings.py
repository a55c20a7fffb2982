"""Findings as sentences, each a link to its pose: breaches by depth, then what is wrong with the drawing or the mechanism."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QFont, QFontMetrics, QKeySequence, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QVBoxLayout, QWidget

from app import theme
from app.panels.scroll import Scroll
from app.panels.words import Line, clear_layout, paint_focus
from app.theme import Style
from app.timeline.cells import paint_cell
from core.model.finding import Finding


@dataclass(frozen=True, slots=True)
class Entry:
    """One finding in words. `step`: heat step of its mark, 0 for a finding that is no gap. `visit`: its place among the breaches.

    `finding`: one that is no breach; pressing it goes to what it is about.
    """

    head: str
    detail: str
    step: int
    visit: int | None = None
    finding: Finding | None = None


MOST_HEIGHT = 112
"""Logical pixels that the faults of a drawing take beside the work on it; more are scrolled."""

KEPT_HEIGHTS = 4096
"""Texts of which it is kept how high they stand at a width: all findings are asked after each edit, and few have changed."""

WIDE = 1_000
"""Logical pixels in which any letter has room."""

WORDS_TOP = 4
"""Logical pixels above the words of a finding, and below them."""

SCROLL_ROOM, GAP = 6, 2
"""Logical pixels at the right of findings, and between them."""


class FindingLink(QAbstractButton):
    """A finding: a head, and a detail where there is room. Both wrap; pressing it goes there."""

    def __init__(self, style: Style, entry: Entry, *, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.entry = entry
        self.detailed = True
        self.setCheckable(True)
        self.setText(entry.head)
        self.setShortcut(QKeySequence())  # an ampersand is a letter of a name, not the mark of a key
        self.setAccessibleName(entry.head)
        self.setAccessibleDescription(entry.detail)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        if entry.visit is not None or entry.finding is not None:
            self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def height_at(self, width: int) -> int:
        """The height that the words need at a width, logical pixels."""
        return max(24, sum(self._heights(width)) + 2 * WORDS_TOP)

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def set_detailed(self, detailed: bool) -> None:  # noqa: FBT001 - a switch, named by its method
        """Show the detail, or leave it to the selected finding alone."""
        self.detailed = detailed
        self.fit_height()

    def fit_height(self) -> None:
        """Take the height that the words need at the width there is."""
        self.setFixedHeight(self.height_at(self.width()))
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit_height()

    def sizeHint(self) -> QSize:
        return QSize(280, self.height())

    def minimumSizeHint(self) -> QSize:
        return QSize(120, self.height())

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        head, detail = self._heights(self.width())
        mark = QRectF(0, WORDS_TOP, 6, head + detail)
        if self.entry.step:
            paint_cell(painter, self._style, mark, self.entry.step)
        else:
            painter.fillRect(mark, QColor(self._style.rule))
        left, width = 14, self.width() - 14
        painter.setFont(self._head_font())
        painter.setPen(QColor(self._style.ink))
        painter.drawText(left, WORDS_TOP, width, head, Qt.TextFlag.TextWordWrap, self.entry.head)
        if detail:
            painter.setFont(theme.font(theme.DATA))
            painter.setPen(QColor(self._style.quiet_text))
            painter.drawText(left, WORDS_TOP + head, width, detail, Qt.TextFlag.TextWordWrap, self.entry.detail)
        if self.underMouse() and self.entry.visit is not None:
            painter.fillRect(left, WORDS_TOP + head - 1, min(width, 60), 1, QColor(self._style.ink))
        paint_focus(painter, self, self._style)

    def lines(self) -> list[tuple[int, int]]:
        """Where its lines of words begin and end, logical pixels from its upper edge."""
        head, detail = self._heights(self.width())
        return [*_lines(theme.TEXT, theme.SEMIBOLD, WORDS_TOP, head), *_lines(theme.DATA, theme.REGULAR, WORDS_TOP + head, detail)]

    def _head_font(self) -> QFont:
        return theme.font(theme.TEXT, weight=theme.SEMIBOLD if self.isChecked() else theme.MEDIUM)

    def _heights(self, width: int) -> tuple[int, int]:
        room = max(width - 14, 40)
        head = _height(theme.TEXT, theme.SEMIBOLD, self.entry.head, room)
        shown = self.entry.detail and (self.detailed or self.isChecked())
        return head, _height(theme.DATA, theme.REGULAR, self.entry.detail, room) if shown else 0


@lru_cache(maxsize=KEPT_HEIGHTS)
def _height(size: int, weight: QFont.Weight, text: str, width: int) -> int:
    metrics = QFontMetrics(theme.font(size, weight=weight))
    return metrics.boundingRect(0, 0, width, 10_000, Qt.TextFlag.TextWordWrap, text).height()


def _lines(size: int, weight: QFont.Weight, top: int, high: int) -> list[tuple[int, int]]:
    """Where lines of these letters begin and end that take `high` logical pixels from `top` on."""
    one = _height(size, weight, "x", WIDE)
    return [(at, at + one) for at in range(top, top + high, one)]


class FindingsList(QWidget):
    """All findings, the selected one marked; scrolls where they do not fit."""

    visit_asked = Signal(int)
    finding_asked = Signal(object)

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._entries: tuple[Entry, ...] = ()
        self._links: list[FindingLink] = []
        self._visit: int | None = None
        self._detailed = True
        self.setAccessibleName(self.tr("Findings"))
        self._empty = Line(style, tone="quiet", wrap=True)
        self._inner = QWidget()
        column = QVBoxLayout(self._inner)
        column.setContentsMargins(0, 0, SCROLL_ROOM, 0)
        column.setSpacing(GAP)
        self._scroll = Scroll(style, self._inner)
        # In a turn of its own, when the findings have come to their places.
        self._soon = QTimer(self, interval=0, singleShot=True)
        self._soon.timeout.connect(self._bring)
        self._scroll.verticalScrollBar().rangeChanged.connect(lambda *_: self._soon.start())
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(self._empty)
        outer.addWidget(self._scroll, 1)

    def show_entries(self, entries: Sequence[Entry], *, empty: str) -> None:
        """Show these findings; `empty` is said where there is none."""
        self._empty.say(empty)
        self._empty.setVisible(not entries)
        self._scroll.setVisible(bool(entries))
        if tuple(entries) == self._entries:
            return
        self._entries, self._visit = tuple(entries), None
        clear_layout(self._inner)
        self._links = [FindingLink(self._style, entry) for entry in entries]
        column = self._inner.layout()
        for link in self._links:
            link.set_detailed(self._detailed)
            link.clicked.connect(lambda _on=False, link=link: self._go(link))
            if column is not None:
                column.addWidget(link)
        if isinstance(column, QVBoxLayout):
            column.addStretch(1)
        self._other_heights()

    def show_visit(self, visit: int | None) -> None:
        """Mark the finding of a breach."""
        if visit == self._visit:
            return
        self._visit = visit
        for link in self._links:
            marked = visit is not None and link.entry.visit == visit
            if marked != link.isChecked():
                link.setChecked(marked)
                link.fit_height()
        self._other_heights()
        self._soon.start()

    def _other_heights(self) -> None:
        self.updateGeometry()
        self._scroll.offer_bar(fits=self.height() >= self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._scroll.offer_bar(fits=self.height() >= self.sizeHint().height())
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()

    def _bring(self) -> None:
        """Have the finding that is marked seen, from its first line on; once more when the layout has followed."""
        link = next((one for one in self._links if one.isChecked()), None)
        bar = self._scroll.verticalScrollBar()
        if link is not None and not bar.value() <= link.y() <= bar.value() + self._scroll.viewport().height() - link.height():
            bar.setValue(link.y())
        self._scroll.place_edges()

    def set_detailed(self, detailed: bool) -> None:  # noqa: FBT001 - a switch, named by its method
        """Whether findings that are not selected show their detail too."""
        self._detailed = detailed
        for link in self._links:
            link.set_detailed(detailed)
        self._other_heights()

    def sizeHint(self) -> QSize:
        """As high as all findings are: what they do not need others may have."""
        if not self._links:
            return QSize(super().sizeHint().width(), self._empty.heightForWidth(self.width()))
        room = self.width() - SCROLL_ROOM
        return QSize(super().sizeHint().width(), sum(link.height_at(room) + GAP for link in self._links))

    def entries(self) -> tuple[Entry, ...]:
        """The findings shown."""
        return self._entries

    def links(self) -> tuple[FindingLink, ...]:
        """The findings as what can be pressed, in order."""
        return tuple(self._links)

    def set_style(self, style: Style) -> None:
        self._style = style

    def _go(self, link: FindingLink) -> None:
        if link.entry.visit is not None:
            self.visit_asked.emit(link.entry.visit)
            return
        link.setChecked(False)
        if link.entry.finding is not None:
            self.finding_asked.emit(link.entry.finding)


class Faults(FindingsList):
    """What is wrong with the drawing, as high as it needs at its width, up to `MOST_HEIGHT`."""

    def __init__(self, style: Style, *, width: int) -> None:
        """`width`: logical pixels that it always has."""
        super().__init__(style)
        self._room = width - SCROLL_ROOM
        self.setFixedHeight(0)

    def show_entries(self, entries: Sequence[Entry], *, empty: str = "") -> None:
        if tuple(entries) == self.entries():
            return
        super().show_entries(entries, empty=empty)
        height = sum(link.height_at(self._room) + GAP for link in self.links())
        self.setFixedHeight(min(height, MOST_HEIGHT))
