"""A number as a field: arithmetic and a unit may be typed; the value before stays told until Enter."""

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPalette, QPen, QWheelEvent
from PySide6.QtWidgets import QLineEdit, QToolTip, QWidget

from app import theme
from app.panels.arithmetic import Fault, Shown, evaluated
from app.theme import Style
from core.sentences import degree_sign, plain
from core.sentences.numbers import drive_value

NOTCH = 120.0
DECIMALS = 6
"""Of a number as the file keeps it."""

_WRITTEN: dict[Shown, str] = {"deg": "{value} deg", "mm": "{value} mm", "us": "{value} \N{MICRO SIGN}s"}

ROOM = 3
"""Logical pixels that a field is wider than its number: a full stop behind it stands where it would behind a word."""

OVER = (-1, 0, -2, 0)
"""Logical pixels by which the number goes into the air that Qt leaves at the sides, so that it stands on its line."""


def _struck() -> QFont:
    struck = theme.font(9)
    struck.setStrikeOut(True)
    return struck


def exact_number(value: float) -> str:
    """A number without its unit, as the file keeps it, with a true minus sign: no zeros behind."""
    text = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return ("0" if text in ("-0", "") else text).replace("-", "\N{MINUS SIGN}")


class NumberField(QLineEdit):
    """Shows a value with its unit, underlined with dots. Enter takes what is typed, Esc and leaving put the value back.

    With a `step` the value can be spun by the wheel and by Up and Down (Shift: a tenth); it is then tried out, until Enter takes it.
    """

    committed = Signal(float)
    tried = Signal(float)
    """A value that was spun to; it is taken by `committed` or given back by `left`."""
    left = Signal()

    def __init__(self, style: Style, unit: Shown, name: str, *, step: float | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._unit: Shown = unit
        self._step = step
        self._value = 0.0
        self._spun: float | None = None
        self.setFrame(False)
        self.setFont(theme.font(theme.DATA))
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.setAccessibleName(name)
        self.setFixedHeight(24)
        self.setTextMargins(*OVER)
        self.returnPressed.connect(self._commit)
        self.set_style(style)
        self._put_back()

    def show_value(self, value: float) -> None:
        """Show another value, unless something is being typed."""
        if value == self._value or self._spun is not None:
            return
        self._value = value
        if not self.isModified():
            self._put_back()

    def value(self) -> float:
        """The value shown, or told while another is typed."""
        return self._value

    def told(self, value: float) -> str:
        """A value as the field would show it, with its unit."""
        if self._step is not None:
            # As the file keeps it: what is edited is never told shorter than it is.
            return degree_sign(plain)(_WRITTEN[self._unit]).format(value=exact_number(value))
        if self._unit == "us":
            return _WRITTEN["us"].format(value=exact_number(value))
        return drive_value(value, self._unit, tr=degree_sign(plain)).replace("-", "\N{MINUS SIGN}")

    def width_taken(self) -> int:
        """Logical pixels that the number takes, with the one before it while that is struck through."""
        before = QFontMetrics(_struck()).horizontalAdvance(self._written()) + ROOM if self.text() != self._written() else 0
        return QFontMetrics(self.font()).horizontalAdvance(self.text()) + ROOM + before

    def set_style(self, style: Style) -> None:
        self._style = style
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.Base, QColor(0, 0, 0, 0))
        palette.setColor(QPalette.ColorRole.Text, QColor(style.ink))
        self.setPalette(palette)

    def sizeHint(self) -> QSize:
        widest = self.told(-888.88) if self._unit != "us" else self.told(8888.0)
        return QSize(QFontMetrics(self.font()).horizontalAdvance(widest) + 8, 24)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._give_back()

    def event(self, event: QEvent) -> bool:
        """Esc gives back what is typed before it leaves anything else."""
        asked = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape
        if asked and self.isModified():
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self._give_back()
            self.selectAll()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down) and self._step is not None:
            fine = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._spin((1 if event.key() == Qt.Key.Key_Up else -1) * (0.1 if fine else 1.0))
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Only the number that has the keyboard is spun: a wheel that scrolls past changes nothing."""
        if self._step is None or not self.hasFocus():
            event.ignore()
            return
        fine = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        self._spin(event.angleDelta().y() / NOTCH * (0.1 if fine else 1.0))
        event.accept()

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        line = QColor(self._style.focus if self.hasFocus() else self._style.quiet_text)
        pen = QPen(line, theme.WIDE if self.hasFocus() else 1.0)
        if not self.hasFocus():
            pen.setDashPattern([1, 2])
        painter.setPen(pen)
        width = min(QFontMetrics(self.font()).horizontalAdvance(self.text()), self.width() - 4)
        painter.drawLine(self.width() - 2 - width, self.height() - 4, self.width() - 2, self.height() - 4)
        if self.isModified():
            self._paint_before(painter)

    def _spin(self, steps: float) -> None:
        """From what is typed, where that is a number, by some steps."""
        typed = evaluated(self.text(), self._unit)
        if isinstance(typed, Fault) or not steps or self._step is None:
            return
        self._spun = round(typed + steps * self._step, DECIMALS)
        self.setText(self.told(self._spun))
        self.setModified(True)
        self.update()
        self.tried.emit(self._spun)

    def _give_back(self) -> None:
        spun, self._spun = self._spun, None
        self._put_back()
        if spun is not None:
            self.left.emit()

    def _paint_before(self, painter: QPainter) -> None:
        """The value that still stands, struck through."""
        painter.setFont(_struck())
        painter.setPen(QColor(self._style.quiet_text))
        painter.drawText(self.rect().adjusted(2, 0, 0, -14), Qt.AlignmentFlag.AlignLeft, self._written())

    def _commit(self) -> None:
        if not self.isModified():
            self.committed.emit(self._value)
            return
        found = evaluated(self.text(), self._unit)
        if isinstance(found, Fault):
            self.setCursorPosition(found.place)
            QToolTip.showText(self.mapToGlobal(self.rect().bottomLeft()), self.tr(found.text), self)
            return
        # A number that was spun to may have more decimals than are shown.
        found = self._spun if self._spun is not None and self.text() == self.told(self._spun) else found
        self._spun = None
        self.setModified(False)
        self.committed.emit(found)
        self._put_back()
        self.selectAll()

    def _put_back(self) -> None:
        text = self._written()
        if text != self.text():
            self.setText(text)
        self.setModified(False)

    def _written(self) -> str:
        return self.told(self._value)
