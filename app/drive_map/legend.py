"""What the cells of the map mean, each drawn as it is on the map."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app import theme
from app.theme import Style
from app.timeline.cells import FIRST_CONTACT, PITCHES, hatch, paint_undecided

SWATCH, HEIGHT, SPACE, NARROW_SPACE = 18.0, 18, 16.0, 9.0
RULED = 4


class Legend(QWidget):
    """Swatches with their words, in a row where they fit."""

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
        self._fit()
        self.setAccessibleName(self.tr("{told} Lined: ruled out, left out by rules between drives.").format(told=told) if on else told)
        self.update()

    def set_style(self, style: Style) -> None:
        self._style = style
        self.update()

    def places(self) -> list[tuple[str, int, QRectF]]:
        """Each word with its kind and the room of its swatch and itself, in as many rows as it takes."""
        metrics = QFontMetricsF(theme.font(theme.RULER))
        kinds = [(self.tr("clear"), 0), (self.tr("breach"), 2), (self.tr("undecided"), 1), (self.tr("home"), 3)]
        if self._ruled:
            kinds.append((self.tr("ruled out"), RULED))
        widths = [SWATCH + 6 + metrics.horizontalAdvance(word) + 2 for word, _ in kinds]
        fits = 0.5 + sum(widths) + SPACE * (len(kinds) - 1) <= self.width()
        found: list[tuple[str, int, QRectF]] = []
        x, y = 0.5, 0.0
        for (word, kind), wide in zip(kinds, widths, strict=True):
            if found and x + wide > self.width():
                x, y = 0.5, y + HEIGHT
            found.append((word, kind, QRectF(x, y, wide, HEIGHT)))
            x += wide + (SPACE if fits else NARROW_SPACE)
        return found

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        """As high as its rows."""
        self.setFixedHeight(round(max(room.bottom() for _, _, room in self.places())))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setFont(theme.font(theme.RULER))
        for word, kind, room in self.places():
            self._swatch(painter, QRectF(room.left(), room.top() + 4.5, SWATCH, 10.0), kind)
            painter.setPen(QColor(self._style.quiet_text))
            painter.drawText(room.adjusted(SWATCH + 6, 0, 2, 0), Qt.AlignmentFlag.AlignVCenter, word)

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
