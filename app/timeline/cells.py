"""Paints the cells of the interference timeline: heat, underlined for a breach, hatched in contact, dotted where undecided."""

from collections.abc import Iterator

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.theme import Style
from app.timeline.layout import STRIP_HEIGHT, Band
from app.timeline.showing import Showing
from core.sweep.timeline import Row, heat_step

PALE = 0.35
"""Opacity of cells that are sampled but not yet proved, or that an edit has put out of date."""
FIRST_BREACH, FIRST_CONTACT = 4, 6
PITCHES = {6: 5.6, 7: 3.4}
DOT_PITCH = 3.0


def runs(steps: np.ndarray) -> Iterator[tuple[int, int, int]]:
    """Stretches of equal steps: (first, after, step)."""
    if not len(steps):
        return
    cuts = np.flatnonzero(np.diff(steps)) + 1
    firsts = np.concatenate([[0], cuts])
    afters = np.concatenate([cuts, [len(steps)]])
    for first, after in zip(firsts, afters, strict=True):
        yield int(first), int(after), int(steps[first])


def paint_row(painter: QPainter, showing: Showing, row: Row, top: float) -> None:
    """One row of cells with its upper edge at `top`, together column included."""
    for band in showing.bands:
        area = QRectF(band.left, top, band.width, STRIP_HEIGHT)
        if band.drive in row.cells:
            _paint_band(painter, showing, row, band, area)
        else:
            _hairline(painter, showing.style, area)
    _paint_together(painter, showing, row, QRectF(showing.together_left, top, 40, STRIP_HEIGHT))


def _paint_band(painter: QPainter, showing: Showing, row: Row, band: Band, area: QRectF) -> None:
    steps = showing.steps(row, band)
    column = area.width() / len(steps)
    check = row.solo.get(band.drive)
    painter.setOpacity(1.0 if check and not showing.outdated else PALE)
    for first, after, step in runs(steps):
        stretch = QRectF(area.left() + first * column, area.top(), (after - first) * column, area.height())
        paint_cell(painter, showing.style, stretch, step)
    painter.setOpacity(1.0)
    if check and check.verdict == "undecided" and not showing.outdated:
        paint_undecided(painter, showing.style, area)


def _paint_together(painter: QPainter, showing: Showing, row: Row, area: QRectF) -> None:
    check = row.together
    if check is None:
        _hairline(painter, showing.style, area)
        return
    painter.setOpacity(PALE if showing.outdated else 1.0)
    paint_cell(painter, showing.style, area, heat_step(check.lowest_gap - check.tolerance, check.required_gap))
    painter.setOpacity(1.0)
    if check.verdict == "undecided" and not showing.outdated:
        paint_undecided(painter, showing.style, area)


def paint_cell(painter: QPainter, style: Style, area: QRectF, step: int) -> None:
    """A stretch of one heat step; also underlined from the breach on, and hatched in contact."""
    if not step:
        return
    painter.fillRect(area, QColor(style.heat[step - 1]))
    if step >= FIRST_CONTACT:
        hatch(painter, QColor(style.hatch), area, pitch=PITCHES[step])
    if step >= FIRST_BREACH:
        painter.fillRect(QRectF(area.left(), area.bottom() - 1.5, area.width(), 1.5), QColor(style.ink))


def hatch(painter: QPainter, colour: QColor, area: QRectF, *, pitch: float) -> None:
    """Lines at 135 degrees; their places do not depend on where the area begins, so neighbours join."""
    painter.save()
    painter.setClipRect(area, Qt.ClipOperation.IntersectClip)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(colour, 0.8))
    height = area.height()
    first = np.floor((area.left() - height) / pitch) * pitch
    lines = [QLineF(x, area.top(), x + height, area.bottom()) for x in np.arange(first, area.right(), pitch)]
    painter.drawLines(lines)
    painter.restore()


def paint_undecided(painter: QPainter, style: Style, area: QRectF) -> None:
    """Dots over what the sweep did not decide."""
    painter.save()
    painter.setPen(QPen(QColor(style.ink), 1.0))
    xs = np.arange(area.left() + 1.5, area.right() - 0.5, DOT_PITCH)
    ys = np.arange(area.top() + 1.5, area.bottom() - 0.5, DOT_PITCH)
    painter.drawPoints([QPointF(x, y) for x in xs for y in ys])
    painter.restore()


def _hairline(painter: QPainter, style: Style, area: QRectF) -> None:
    painter.setPen(QPen(QColor(style.rule), 1.0))
    middle = round(area.center().y()) + 0.5
    painter.drawLine(QPointF(area.left(), middle), QPointF(area.right(), middle))
