"""What the cells of the map mean, each drawn as it is on the map."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app import theme
from app.theme import Style
from app.timeline.cells import FIRST_CONTACT, PITCHES, hatch, paint_undecided

SWATCH, HEIGHT, SPACE, NARROW_SPACE = 18.0, 18, 16.0, 9.0
RULED = 4


class Legend(QWidget):
    """A row of swatches with their words."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.setFixedHeight(HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._ruled = False
        self.show_ruled_out(on=False)

    def show_ruled_out(self, *, on: bool) -> None:
        """Tell what the lines over cells mean that rules between drives leave out; only where there are any."""
        self._ruled = on
        told = self.tr("Paper: clear. Hatched: breach. Dotted: undecided. Ring: home.")
        self.setAccessibleName(self.tr("{told} Lined: ruled out, left out by rules between drives.").format(told=told) if on else told)
        self.update()

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setFont(theme.font(theme.RULER))
        x = 0.5
        kinds = [(self.tr("clear"), 0), (self.tr("breach"), 2), (self.tr("undecided"), 1), (self.tr("home"), 3)]
        for word, kind in [*kinds, (self.tr("ruled out"), RULED)] if self._ruled else kinds:
            area = QRectF(x, 4.5, SWATCH, 10.0)
            self._swatch(painter, area, kind)
            painter.setPen(QColor(self._style.quiet_text))
            wide = painter.fontMetrics().horizontalAdvance(word)
            painter.drawText(QRectF(area.right() + 6, 0, wide + 2, HEIGHT), Qt.AlignmentFlag.AlignVCenter, word)
            x = area.right() + 6 + wide + (NARROW_SPACE if self._ruled else SPACE)

    def _swatch(self, painter: QPainter, area: QRectF, kind: int) -> None:
        painter.setPen(QPen(QColor(self._style.ink), theme.NARROW))
        painter.setBrush(QColor(self._style.board))
        if kind == len(("clear", "undecided", "breach")):
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.drawEllipse(QPointF(area.center().x() + 3, area.center().y()), 3.5, 3.5)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
            return
        painter.drawRect(area)
        inner = area.adjusted(0.5, 0.5, -0.5, -0.5)
        if kind == RULED:
            painter.setPen(QColor(self._style.quiet_text))
            painter.drawLine(inner.topLeft() + QPointF(0, 2), inner.topRight() + QPointF(0, 2))
            painter.drawLine(inner.topLeft() + QPointF(0, 7), inner.topRight() + QPointF(0, 7))
        elif kind == 1:
            paint_undecided(painter, self._style, inner)
        elif kind:
            painter.fillRect(inner, QColor(self._style.heat[FIRST_CONTACT - 1]))
            hatch(painter, QColor(self._style.hatch), inner, pitch=PITCHES[FIRST_CONTACT])
