"""Paints the gap curve of the selected pair: its gap over each drive, the required line, the floor, and the state before."""

import math
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from app import theme
from app.timeline.layout import Band
from app.timeline.showing import Showing
from core.sentences import plain
from core.sentences.numbers import exact_mm
from core.sweep.timeline import Row

TOP_SHARE = 4.0
"""The upper edge of the curve, in required gaps."""
LEAST_TOP = 0.5
"""mm, the upper edge where nothing but touching is asked."""
NAME_HIGH, STEP, APART = 15.0, 4.0, 3.0
"""Pixels: the height of the required line's name, the steps in which its place is looked for, and between it and a curve."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Gaps to pixels: `high` mm at `top`, `low` mm at `bottom`."""

    top: float
    bottom: float
    high: float
    low: float

    def y_of(self, gap: float) -> float:
        """The pixel of a gap in mm, beyond the edges too."""
        return self.top + (self.high - gap) / (self.high - self.low) * (self.bottom - self.top)


def scale_of(row: Row, *, top: float, bottom: float) -> Scale:
    """The scale that shows a row's lowest gap at the foot and a little more than twice the required gap at the head."""
    need = row.required
    high = max(TOP_SHARE * need, LEAST_TOP)
    lowest = min((float(cells.lowest.min()) for cells in row.cells.values()), default=row.taken)
    return Scale(top, bottom, high, min(lowest - row.taken, need - 0.6 * high))


def floor_shown(row: Row) -> bool:
    """Whether what is proved of a row lies in what its curve shows, and so is drawn as a thin line."""
    scale = scale_of(row, top=0.0, bottom=1.0)
    return scale.low <= _floor(row) <= scale.high


def _floor(row: Row) -> float:
    """What is proved of a row, as the figure beside the curve tells it; NaN where nothing is."""
    return math.nan if row.floor is None else row.floor - row.tolerance


def paint_curve(painter: QPainter, showing: Showing, row: Row, *, top: float, bottom: float) -> None:
    """The curve over all bands between two pixels."""
    scale = scale_of(row, top=top, bottom=bottom)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    old = _row_before(showing, row)
    for band in showing.bands:
        painter.setClipRect(QRectF(band.left, top - 1, band.width, bottom - top + 3))
        if old is not None and band.drive in old.cells:
            _stroke(painter, _line(old, band, scale), QPen(QColor(showing.style.quiet_text), 1.0, Qt.PenStyle.DotLine))
        if band.drive in row.cells:
            _stroke(painter, _line(row, band, scale), QPen(QColor(showing.style.ink), theme.WIDE))
    painter.setClipping(False)
    _levels(painter, showing, row, scale)
    painter.restore()


def _row_before(showing: Showing, row: Row) -> Row | None:
    if showing.before is None:
        return None
    place = showing.before.row_of(row.section, row.between)
    return None if place is None else showing.before.rows[place]


def _line(row: Row, band: Band, scale: Scale) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in zip(*_points(row, band, scale), strict=True)])


def _points(row: Row, band: Band, scale: Scale) -> tuple[list[float], list[float]]:
    """Pixels along the band and down: gaps as they are judged, as the figures beside the curve are."""
    cells = row.cells[band.drive]
    middles = (cells.edges[:-1] + cells.edges[1:]) / 2
    ends = np.concatenate([[cells.edges[0]], middles, [cells.edges[-1]]])
    gaps = np.concatenate([cells.lowest[:1], cells.lowest, cells.lowest[-1:]]) - row.taken
    return [band.x_of(value) for value in ends.tolist()], [scale.y_of(gap) for gap in gaps.tolist()]


def _stroke(painter: QPainter, line: QPolygonF, pen: QPen) -> None:
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(line)


def _levels(painter: QPainter, showing: Showing, row: Row, scale: Scale) -> None:
    """The required gap, dashed and named; the floor, thin, where it lies in what is shown."""
    left, right = showing.bands_left, showing.bands_right
    if floor_shown(row):
        painter.setPen(QPen(QColor(showing.style.proved_text), 1.0))
        level = min(scale.y_of(_floor(row)), scale.bottom)
        painter.drawLine(QPointF(left, level), QPointF(right, level))
    need = row.required
    pen = QPen(QColor(showing.style.breach_text), 1.0)
    pen.setDashPattern([4, 3])
    painter.setPen(pen)
    y = scale.y_of(need)
    painter.drawLine(QPointF(left, y), QPointF(right, y))
    name_required(painter, showing, row, required_area(showing, row, scale))


def name_required(painter: QPainter, showing: Showing, row: Row, area: QRectF) -> None:
    """What the dashed line is, on ground of its own."""
    painter.setFont(theme.font(theme.RULER))
    painter.fillRect(area, QColor(showing.style.field))
    painter.setPen(QColor(showing.style.breach_text))
    painter.drawText(QPointF(area.left() + 3, area.top() + 12), _required(row))


def required_area(showing: Showing, row: Row, scale: Scale) -> QRectF:
    """Where the dashed line is named: the first place from the left at which no curve passes, else at the left."""
    y, left, right = scale.y_of(row.required), showing.bands_left - 1.0, showing.bands_right
    width = QFontMetricsF(theme.font(theme.RULER)).horizontalAdvance(_required(row)) + 9.0
    passes = [span for old in (row, _row_before(showing, row)) if old is not None for span in _passes(showing, old, scale, y)]
    starts = np.arange(left, right - width, STEP).tolist()
    free = (x for x in starts if not any(x - APART <= high and low <= x + width + APART for low, high in passes))
    return QRectF(next(free, left), y - 8.0, width, NAME_HIGH)


def _passes(showing: Showing, row: Row, scale: Scale, level: float) -> list[tuple[float, float]]:
    """From which to which pixel along the bands a row's curve comes near to the name of the dashed line, a piece at a time."""
    found: list[tuple[float, float]] = []
    for band in showing.bands:
        if band.drive in row.cells:
            xs, ys = map(np.array, _points(row, band, scale))
            low, high = np.minimum(ys[:-1], ys[1:]), np.maximum(ys[:-1], ys[1:])
            near = (low < level + NAME_HIGH) & (high > level - NAME_HIGH)
            # Of a long piece only what is near: its share of the way down.
            down = np.where(ys[1:] == ys[:-1], np.inf, ys[1:] - ys[:-1])
            ends = [np.clip((edge - ys[:-1]) / down, 0.0, 1.0) for edge in (level - NAME_HIGH, level + NAME_HIGH)]
            flat = np.isinf(down)
            first = np.where(flat, 0.0, np.minimum(*ends))
            last = np.where(flat, 1.0, np.maximum(*ends))
            along = xs[1:] - xs[:-1]
            found += zip((xs[:-1] + first * along)[near].tolist(), (xs[:-1] + last * along)[near].tolist(), strict=True)
    return found


def _required(row: Row) -> str:
    return QCoreApplication.translate("Timeline", "required {gap}").format(gap=exact_mm(row.required, plain))
