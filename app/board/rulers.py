"""The rulers along the board: ticks and numbers in mm, and a mark that follows the pointer."""

from math import ceil
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QWidget

from app.board.scale import NUMBER_LEAST, Steps, steps, ticks, written
from app.theme import RULER, Style, font
from core.drawing.lines import LINES

TOP_HEIGHT, LEFT_WIDTH = 18, 20
"""Logical pixels."""

CLEAR = 6.0
"""Logical pixels from the corner, which tells the unit, to the nearest number."""

Side = Literal["top", "left"]


class Ruler(QWidget):
    """A ruler of `side`; value v mm stands at pixel `origin + v * pixels` of it (negative `pixels` where values rise upwards)."""

    def __init__(self, side: Side, style: Style, parent: QWidget, *, number_least: float = NUMBER_LEAST) -> None:
        super().__init__(parent)
        self._side, self._style, self._number_least = side, style, number_least
        self._pixels, self._origin = 1.0, 0.0
        self._pointer: float | None = None
        self._kept: tuple[tuple[object, ...], QPixmap] | None = None
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)  # otherwise all that it lies on is painted with it, at each move

    def set_scale(self, *, pixels: float, origin: float) -> None:
        """Tell how values lie; repaints where that is new."""
        if (pixels, origin) != (self._pixels, self._origin):
            self._pixels, self._origin = pixels, origin
            self.update()

    def set_pointer(self, value: float | None) -> None:
        """Mark the pointer's place, mm; None takes the mark away."""
        if value != self._pointer:
            self._pointer = value
            self.update()

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def number_values(self) -> list[float]:
        """The values that carry a number, mm."""
        low, high = self._range()
        return ticks(low, high, self._steps().number)

    def _steps(self) -> Steps:
        return steps(abs(self._pixels), number_least=self._number_least)

    def _range(self) -> tuple[float, float]:
        long = self.width() if self._side == "top" else self.height()
        low, high = sorted((-self._origin / self._pixels, (long - self._origin) / self._pixels))
        return low, high

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002 - Qt's signature
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._still(painter.device().devicePixelRatio()))
        if self._pointer is not None:
            painter.setPen(QPen(QColor(self._style.ink), LINES["wide"].width))
            self._tick(painter, self._pointer, TOP_HEIGHT if self._side == "top" else LEFT_WIDTH)

    def _still(self, ratio: float) -> QPixmap:
        """All but the pointer's mark, painted anew only where it is otherwise."""
        key = (self._pixels, self._origin, self._style, self.width(), self.height(), ratio)
        if self._kept is None or self._kept[0] != key:
            picture = QPixmap(ceil(self.width() * ratio), ceil(self.height() * ratio))  # no part of a pixel may be left out
            picture.setDevicePixelRatio(ratio)
            picture.fill(QColor(self._style.board))
            painter = QPainter(picture)
            self._paint(painter)
            painter.end()
            self._kept = (key, picture)
        return self._kept[1]

    def _paint(self, painter: QPainter) -> None:
        painter.setFont(font(RULER))
        low, high = self._range()
        step = self._steps()
        painter.setPen(QPen(QColor(self._style.quiet_text), LINES["narrow"].width))
        for value in ticks(low, high, step.fine):
            self._tick(painter, value, 4)
        for value in ticks(low, high, step.coarse):
            self._tick(painter, value, 7)
        painter.setPen(QColor(self._style.quiet_text))
        for value in self.number_values():
            self._number(painter, value, written(value, step.number))
        self._edge(painter)

    def _edge(self, painter: QPainter) -> None:
        painter.setPen(QPen(QColor(self._style.rule), 1.0))
        if self._side == "top":
            painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        else:
            painter.drawLine(self.width() - 1, 0, self.width() - 1, self.height())

    def _tick(self, painter: QPainter, value: float, length: float) -> None:
        at = round(self._origin + value * self._pixels) + 0.5
        if self._side == "top":
            painter.drawLine(QPointF(at, self.height() - length), QPointF(at, self.height()))
        else:
            painter.drawLine(QPointF(self.width() - length, at), QPointF(self.width(), at))

    def _number(self, painter: QPainter, value: float, words: str) -> None:
        at = self._origin + value * self._pixels
        if not self._whole(painter, at, words):
            return
        align = Qt.AlignmentFlag.AlignCenter
        if self._side == "top":
            painter.drawText(QRectF(at - 30.0, 0.0, 60.0, self.height() - 5.0), align, words)
            return
        painter.save()
        painter.translate(0.0, at)
        painter.rotate(-90.0)
        painter.drawText(QRectF(-30.0, 0.0, 60.0, self.width() - 6.0), align, words)
        painter.restore()

    def _whole(self, painter: QPainter, at: float, words: str) -> bool:
        """Whether the number stands wholly on the ruler, clear of the corner's unit: a torn one could be read as another."""
        half = painter.fontMetrics().horizontalAdvance(words) / 2.0
        return half + CLEAR <= at <= (self.width() if self._side == "top" else self.height()) - half


class RulerCorner(QWidget):
    """The corner between two rulers, which tells their unit."""

    def __init__(self, style: Style, parent: QWidget) -> None:
        super().__init__(parent)
        self._style = style

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002 - Qt's signature
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._style.board))
        painter.setFont(font(RULER))
        painter.setPen(QColor(self._style.quiet_text))
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "mm")
