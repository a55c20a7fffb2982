"""The list of what was measured: each mark in words, to be pointed at and removed; the list is there while a mark is."""

from html import escape

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QEnterEvent, QMoveEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app import theme
from app.board.marks import Angle, Distance, Gap, Radius, Reading
from app.board.marks_kept import Marks
from app.panels.scroll import Scroll
from app.panels.words import Hairline, Line, Word, clear_layout, paint_panel
from app.theme import Style
from core.sentences.numbers import Translator, mm, rounded

MOST_HIGH, FEW_HIGH, TALL = 68, 36, 760
"""Logical pixels that the rows take before they scroll; those in a window that is not as high as the last."""


def told(reading: Reading, tr: Translator) -> tuple[str, str]:
    """A mark in words: its number, and of what it is. Plain text."""
    return reading.words(tr), _of_what(reading, tr)


def _of_what(reading: Reading, tr: Translator) -> str:
    match reading.mark:
        case Distance(first, last):
            (ax, ay), (bx, by) = reading.ends()
            between, across, up = _from_to(first.told, last.told, tr), mm(abs(bx - ax), tr=tr), mm(abs(by - ay), tr=tr)
            if mm(0.0, tr=tr) in (across, up):
                return between
            return tr("{between}; {across} across, {up} up").format(between=between, across=across, up=up)
        case Angle(one, other) if one.start == other.start:
            return tr("at {corner}, {between}").format(corner=one.start.told, between=_from_to(one.spot.told, other.spot.told, tr))
        case Angle(one, other):
            return tr("between {first} and {second}").format(first=one.spot.told, second=other.spot.told)
        case Radius(_, rim):
            twice = rounded(2.0 * (reading.value or 0.0), places=2)
            return tr("{edge}; {twice} mm across").format(edge=rim.told, twice=twice)
        case Gap(pair):
            return _of_gap(reading, tr("{first} to {second}").format(first=pair[0], second=pair[1]), tr)


def _of_gap(reading: Reading, pair: str, tr: Translator) -> str:
    gap = reading.gap
    if gap is None:
        return tr("{pair}: nothing of them can be measured here").format(pair=pair)
    if gap.over_depth:
        return tr("gap of {pair}: one passes over the other").format(pair=pair)
    if gap.short and gap.required > 0.0:
        return tr("gap of {pair}; asked for {required}").format(pair=pair, required=mm(gap.required, to="up", tr=tr))
    return tr("gap of {pair}").format(pair=pair)


def _from_to(first: str, last: str, tr: Translator) -> str:
    return tr("from {first} to {last}").format(first=first, last=last)


class MarkRow(QWidget):
    """One mark: pointed at while the pointer is over it."""

    entered = Signal()
    """The pointer is over it."""
    left = Signal()

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.words = Line(style, size=theme.DATA, wrap=True)
        self.words.setTextFormat(Qt.TextFormat.RichText)
        self.words.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        self.words.setContentsMargins(0, 3, 0, 0)
        self.remove = Word(style, self.tr("Remove"), size=theme.DATA, tone="quiet")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 6, 0)
        row.setSpacing(8)
        row.addWidget(self.words, 1)
        row.addWidget(self.remove, 0, Qt.AlignmentFlag.AlignTop)

    def show_mark(self, number: str, what: str) -> None:
        """Tell the mark anew."""
        self.words.say(f"<b>{escape(number)}</b> {escape(what)}")
        self.remove.setAccessibleName(self.tr("Remove {number} {what}").format(number=number, what=what))

    def enterEvent(self, event: QEnterEvent) -> None:
        self.entered.emit()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        self.left.emit()
        super().leaveEvent(event)


class MarksList(QWidget):
    """Watches the marks of the section shown, the newest first; hidden while there are none."""

    def __init__(self, style: Style, marks: Marks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style, self._marks = style, marks
        self._offered = True
        self.rows: list[MarkRow] = []
        self.setAccessibleName(self.tr("What was measured"))
        self.clear = Word(style, self.tr("Clear the marks"), size=theme.DATA, tone="proved")
        self.clear.clicked.connect(lambda _on=False: marks.clear())
        head = QHBoxLayout()
        title = Line(style, self.tr("Measured"), size=theme.HEAD, weight=theme.SEMIBOLD)
        title.setFixedWidth(title.sizeHint().width())
        head.addWidget(title)
        head.addStretch(1)
        head.addWidget(self.clear)
        self._inner = QWidget()
        rows = QVBoxLayout(self._inner)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(0)
        self._scroll = Scroll(style, self._inner)
        column = QVBoxLayout(self)
        column.setContentsMargins(theme.MARGIN, 0, theme.MARGIN - 6, 8)
        column.setSpacing(4)
        column.addWidget(Hairline(style))
        column.addLayout(head)
        column.addWidget(self._scroll)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        marks.changed.connect(self._follow)
        self._follow()

    def offer(self, *, on: bool) -> None:
        """Whether the board shows, and the list with it."""
        self._offered = on
        self.setVisible(on and bool(self.rows))

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        paint_panel(self, self._style)

    def moveEvent(self, event: QMoveEvent) -> None:
        """It stands lower or higher where the window has another height."""
        super().moveEvent(event)
        self._take_height()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._take_height()

    def _follow(self) -> None:
        readings = self._marks.readings()
        if len(readings) != len(self.rows):
            self._build(len(readings))
        for row, reading in zip(self.rows, reversed(readings), strict=True):
            row.show_mark(*told(reading, self.tr))
        self.setVisible(self._offered and bool(readings))
        self._take_height()

    def _build(self, count: int) -> None:
        clear_layout(self._inner)
        self.rows = [self._row(place) for place in reversed(range(count))]
        column = self._inner.layout()
        if isinstance(column, QVBoxLayout):
            for row in self.rows:
                column.addWidget(row)
            column.addStretch(1)

    def _row(self, place: int) -> MarkRow:
        row = MarkRow(self._style)
        row.remove.clicked.connect(lambda _on=False: self._marks.remove(place))
        row.entered.connect(lambda: self._marks.point_at(place))
        row.left.connect(lambda: self._marks.point_at(None))
        return row

    def _take_height(self) -> None:
        """As high as the rows are at the width there is, up to a few."""
        width = max(self._scroll.viewport().width(), 200)
        high = sum(max(row.heightForWidth(width), row.minimumSizeHint().height()) for row in self.rows)
        self._scroll.setFixedHeight(min(high + 2, MOST_HIGH if self.window().height() >= TALL else FEW_HIGH))
