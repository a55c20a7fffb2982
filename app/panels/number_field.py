"""A number as a field: arithmetic and a unit may be typed; the value before stays told until Enter."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import QLineEdit, QToolTip, QWidget

from app import theme
from app.panels.arithmetic import Fault, evaluated
from app.theme import Style
from core.model.project import Unit
from core.sentences import degree_sign, plain
from core.sentences.numbers import drive_value


class NumberField(QLineEdit):
    """Shows a value with its unit, underlined with dots. Enter takes what is typed, Esc and leaving put the value back."""

    committed = Signal(float)

    def __init__(self, style: Style, unit: Unit, name: str, *, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._unit: Unit = unit
        self._value = 0.0
        self.setFrame(False)
        self.setFont(theme.font(theme.DATA))
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.setAccessibleName(name)
        self.setFixedHeight(24)
        self.returnPressed.connect(self._commit)
        self.set_style(style)
        self._put_back()

    def show_value(self, value: float) -> None:
        """Show another value, unless something is being typed."""
        if value == self._value:
            return
        self._value = value
        if not self.isModified():
            self._put_back()

    def value(self) -> float:
        """The value shown, or told while another is typed."""
        return self._value

    def set_style(self, style: Style) -> None:
        self._style = style
        palette = QPalette(self.palette())
        palette.setColor(QPalette.ColorRole.Base, QColor(0, 0, 0, 0))
        palette.setColor(QPalette.ColorRole.Text, QColor(style.ink))
        self.setPalette(palette)

    def sizeHint(self) -> QSize:
        return QSize(QFontMetrics(self.font()).horizontalAdvance("\N{MINUS SIGN}000.00\N{DEGREE SIGN}") + 6, 24)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._put_back()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self._put_back()
            self.selectAll()
            return
        super().keyPressEvent(event)

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

    def _paint_before(self, painter: QPainter) -> None:
        """The value that still stands, struck through."""
        struck = theme.font(9)
        struck.setStrikeOut(True)
        painter.setFont(struck)
        painter.setPen(QColor(self._style.quiet_text))
        painter.drawText(self.rect().adjusted(2, 0, 0, -14), Qt.AlignmentFlag.AlignLeft, self._written())

    def _commit(self) -> None:
        found = evaluated(self.text(), self._unit)
        if isinstance(found, Fault):
            self.setCursorPosition(found.place)
            QToolTip.showText(self.mapToGlobal(self.rect().bottomLeft()), self.tr(found.text), self)
            return
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
        return drive_value(self._value, self._unit, tr=degree_sign(plain)).replace("-", "\N{MINUS SIGN}")
