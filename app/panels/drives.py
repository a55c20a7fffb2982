"""The drives as travel lines: home, safe travel thick, where each is now; a number to type and a key to run it."""

import math
from collections.abc import Mapping, Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractSlider, QGridLayout, QSizePolicy, QWidget

from app import theme
from app.panels.number_field import NumberField
from app.panels.scroll import Scroll
from app.panels.words import Line, Word, as_tip, clear_layout, paint_focus
from app.theme import Style
from core.model.names import DriveName
from core.model.project import Drive
from core.sweep.result import Span

ROW_HEIGHT = 24
STEPS = 10_000
"""Places along a travel line that the keys can reach."""
INSET = 7
LEAST_ROWS = 1
"""Rows that are seen however little room there is."""


class TravelLine(QAbstractSlider):
    """A drive's travel between two end marks, its home a ring, its value a bar.

    Safe travel with the others at home is drawn thick, that of all drives together as a fine bracket below.
    """

    value_asked = Signal(float)

    def __init__(self, style: Style, drive: Drive, *, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._drive = drive
        self._shown = math.nan
        self._safe: Span | None = None
        self._together: Span | None = None
        self.setRange(0, STEPS)
        self.setSingleStep(STEPS // 100)
        self.setPageStep(STEPS // 10)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(self.tr("{drive}: travel").format(drive=drive.name))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.actionTriggered.connect(self._from_keys)

    def show_value(self, value: float) -> None:
        """Show where the drive is."""
        if value == self._shown:
            return
        self._shown = value
        span = self._drive.end - self._drive.start
        self.blockSignals(True)  # noqa: FBT003 - Qt's own argument
        self.setValue(round(STEPS * (value - self._drive.start) / span) if span else 0)
        self.blockSignals(False)  # noqa: FBT003 - Qt's own argument
        self.update()

    def show_safe(self, safe: Span | None) -> None:
        """Show the largest travel about home with no breach, the others at home; None where it is not known."""
        if safe != self._safe:
            self._safe = safe
            self.update()

    def show_together(self, together: Span | None, told: str = "") -> None:
        """Show its side of the joint safe box of all drives, and tell both on hover; None where it is not known."""
        if (together, told) != (self._together, self.toolTip()):
            self._together = together
            self.setToolTip(told)
            self.update()

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(120, ROW_HEIGHT)

    def minimumSizeHint(self) -> QSize:
        return QSize(60, ROW_HEIGHT)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.value_asked.emit(self._value_at(event.position().x()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self.value_asked.emit(self._value_at(event.position().x()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        event.accept()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, quiet = QColor(self._style.ink), QColor(self._style.quiet_text)
        middle = self.height() / 2
        start, end, home = (self._x(value) for value in (self._drive.start, self._drive.end, self._drive.home))
        thin = QPen(quiet, 1.0)
        thin.setDashPattern([3, 2] if self._safe else [1, 0])
        painter.setPen(thin)
        painter.drawLine(QPointF(start, middle), QPointF(end, middle))
        if self._safe:
            painter.setPen(QPen(QColor(self._style.proved_text), 3.0, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawLine(QPointF(self._x(self._safe[0]), middle), QPointF(self._x(self._safe[1]), middle))
        if self._together:
            low, high, below = self._x(self._together[0]), self._x(self._together[1]), middle + 6
            painter.setPen(QPen(QColor(self._style.proved_text), 1.0))
            painter.drawPolyline([QPointF(low, below - 3), QPointF(low, below), QPointF(high, below), QPointF(high, below - 3)])
        painter.setPen(QPen(ink, 1.0))
        for x in (start, end):
            painter.drawLine(QPointF(x, middle - 4), QPointF(x, middle + 4))
        painter.setBrush(QColor(self._style.panel))
        painter.setPen(QPen(ink, 1.2))
        painter.drawEllipse(QPointF(home, middle), 3.2, 3.2)
        painter.fillRect(QRectF(self._x(self._shown) - 1.25, middle - 7, 2.5, 14), ink)
        paint_focus(painter, self, self._style)

    def _x(self, value: float) -> float:
        span = self._drive.end - self._drive.start
        share = (value - self._drive.start) / span if span else 0.5
        return INSET + share * (self.width() - 2 * INSET)

    def _value_at(self, x: float) -> float:
        share = min(max((x - INSET) / max(self.width() - 2 * INSET, 1), 0.0), 1.0)
        return self._drive.start + share * (self._drive.end - self._drive.start)

    def _from_keys(self, _action: int) -> None:
        span = self._drive.end - self._drive.start
        self.value_asked.emit(self._drive.start + span * self.sliderPosition() / STEPS)


class DriveLines(QWidget):
    """A row a drive: name, travel line, number, run. Scrolls where they do not fit."""

    value_asked = Signal(str, float)
    picked = Signal(str)
    run_asked = Signal(str)

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._names: dict[DriveName, Word] = {}
        self._lines: dict[DriveName, TravelLine] = {}
        self._fields: dict[DriveName, NumberField] = {}
        self._runs: dict[DriveName, Word] = {}
        self._drives: tuple[Drive, ...] = ()
        self.setAccessibleName(self.tr("Drives"))
        self._empty = Line(style, self.tr("No drive yet: nothing moves."), tone="quiet")
        self._inner = QWidget()
        self._grid = QGridLayout(self._inner)
        self._grid.setContentsMargins(0, 0, 6, 0)
        self._grid.setHorizontalSpacing(6)
        self._grid.setVerticalSpacing(0)
        self._grid.setColumnStretch(1, 1)
        self._scroll = Scroll(style, self._inner)
        self._in_hand: DriveName | None = None
        self._scroll.verticalScrollBar().setSingleStep(ROW_HEIGHT)
        self._scroll.verticalScrollBar().rangeChanged.connect(self._bring)
        for widget in (self._empty, self._scroll):
            widget.setParent(self)
        self._empty.raise_()

    def show_drives(self, drives: Sequence[Drive]) -> None:
        """Have a row for each of these drives."""
        self._empty.setVisible(not drives)
        if tuple(drives) == self._drives:
            return
        self._drives = tuple(drives)
        clear_layout(self._inner)
        for held in (self._names, self._lines, self._fields, self._runs):
            held.clear()
        for row, drive in enumerate(drives):
            self._add(row, drive)
            self._grid.setRowStretch(row, 0)
        self._grid.setRowStretch(len(drives), 1)

    def show_values(self, values: Mapping[DriveName, float]) -> None:
        """Show where the drives are; while another project is being taken, some have a row or a value only."""
        for name in self._lines.keys() & values.keys():
            self._lines[name].show_value(values[name])
            self._fields[name].show_value(values[name])

    def show_safe(self, safe: Mapping[DriveName, Span]) -> None:
        """Show the safe travel of those drives for which it is known."""
        for name, line in self._lines.items():
            line.show_safe(safe.get(name))

    def show_together(self, together: Mapping[DriveName, Span], told: Mapping[DriveName, str]) -> None:
        """Show the joint safe box of all drives, with what each line tells on hover."""
        for name, line in self._lines.items():
            line.show_together(together.get(name), as_tip(told.get(name, "")))

    def show_in_hand(self, drive: DriveName | None, *, running: DriveName | None) -> None:
        """Underline the drive in hand and offer to stop the one that runs."""
        for name, word in self._names.items():
            word.setChecked(name == drive)
        for name, word in self._runs.items():
            word.setText(self.tr("stop") if name == running else self.tr("run"))
        if drive in self._names:
            self._in_hand = drive
            self._bring()

    def _bring(self) -> None:
        """Scroll to the drive in hand, by whole rows."""
        word, bar = self._names.get(self._in_hand) if self._in_hand is not None else None, self._scroll.verticalScrollBar()
        if word is not None:
            self._scroll.ensureWidgetVisible(word, 0, 0)
            bar.setValue(-(-bar.value() // ROW_HEIGHT) * ROW_HEIGHT)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Rows are shown whole: of half a row one sees strokes that mean nothing."""
        super().resizeEvent(event)
        whole = max(self.height() // ROW_HEIGHT, 1) * ROW_HEIGHT
        self._scroll.setGeometry(0, 0, self.width(), whole)
        self._empty.setGeometry(0, 0, self.width(), ROW_HEIGHT)

    def sizeHint(self) -> QSize:
        return self._scroll.sizeHint().expandedTo(QSize(0, ROW_HEIGHT))

    def minimumSizeHint(self) -> QSize:
        return QSize(self._scroll.minimumSizeHint().width(), LEAST_ROWS * ROW_HEIGHT)

    def field_of(self, drive: DriveName) -> NumberField:
        """The number of a drive."""
        return self._fields[drive]

    def line_of(self, drive: DriveName) -> TravelLine:
        """The travel line of a drive."""
        return self._lines[drive]

    def set_style(self, style: Style) -> None:
        self._style = style

    def _add(self, row: int, drive: Drive) -> None:
        name = Word(self._style, drive.name, size=theme.DATA, checkable=True)
        name.setMaximumWidth(96)
        name.clicked.connect(lambda _on=False: self.picked.emit(drive.name))
        line = TravelLine(self._style, drive)
        line.value_asked.connect(lambda value: self.value_asked.emit(drive.name, value))
        field = NumberField(self._style, drive.unit, self.tr("{drive}: value").format(drive=drive.name))
        field.setFixedWidth(field.sizeHint().width())
        field.committed.connect(lambda value: self.value_asked.emit(drive.name, value))
        run = Word(self._style, self.tr("run"), size=theme.RULER, tone="quiet")
        run.setFixedWidth(34)
        run.clicked.connect(lambda _on=False: self.run_asked.emit(drive.name))
        run.setToolTip(as_tip(self.tr("Run {drive} through its travel").format(drive=drive.name)))
        self._names[drive.name], self._lines[drive.name] = name, line
        self._fields[drive.name], self._runs[drive.name] = field, run
        for place, widget in enumerate((name, line, field, run)):
            self._grid.addWidget(widget, row, place, Qt.AlignmentFlag.AlignRight if widget is field else Qt.AlignmentFlag(0))
