"""A field that opens a list to pick one of, drawn as the fields beside it: no raised button on a drawing sheet."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QComboBox, QWidget

from app import theme
from app.palette import palette_of
from app.panels.words import paint_focus
from app.theme import Style

INSET, CHEVRON, CHEVRON_ROOM = 4, (3.5, 2.0), 18
"""Logical pixels: left of the words; half the width and the height of the mark that it opens; the room of that."""


class DropList(QComboBox):
    """What is picked stands in it, cut where it does not fit; a mark at its right tells that it opens."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.setFont(theme.font(theme.TEXT))

    def set_style(self, style: Style) -> None:
        self._style = style
        self.setPalette(palette_of(style))
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter, style = QPainter(self), self._style
        area = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        ink = QColor(style.ink if self.isEnabled() else style.quiet_text)
        painter.setPen(QPen(QColor(style.quiet_text if self.underMouse() else style.rule), 1.0))
        painter.setBrush(QColor(style.field))
        painter.drawRect(area)
        painter.setPen(ink)
        painter.setFont(self.font())
        room = self.rect().adjusted(INSET, 0, -CHEVRON_ROOM, 0)
        words = QFontMetrics(self.font()).elidedText(self.currentText(), Qt.TextElideMode.ElideRight, room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(ink, theme.WIDE))
        (half, high), middle = CHEVRON, QPointF(area.right() - CHEVRON_ROOM / 2.0, area.center().y())
        painter.drawPolyline([middle + QPointF(-half, -high), middle + QPointF(0.0, half - high), middle + QPointF(half, -high)])
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        paint_focus(painter, self, style)
