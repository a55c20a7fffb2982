"""What stands still on the board, drawn in logical pixels: its grid, fixed bodies, and what of them lies under something."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QTransform

from app.board.paint import draw_hatch, draw_items, pen, qt_path
from app.board.scale import steps, ticks
from app.theme import Style
from core.drawing.centre_lines import centre_lines
from core.drawing.hatch import CUT_ANGLE, hatch
from core.drawing.lines import HATCH_PITCH, LineClass
from core.drawing.slabs import Slab
from core.model.project import Section


def draw_fixed(painter: QPainter, to_pixels: QTransform, slab: Slab, style: Style, *, line: LineClass) -> None:
    """A slab of a fixed body: hatched on the board's ground."""
    pixels = to_pixels.m11()
    painter.setTransform(to_pixels)
    painter.fillPath(qt_path(slab.fills), QBrush(QColor(style.board)))
    draw_hatch(painter, hatch(slab.fills, angle=CUT_ANGLE, pitch=HATCH_PITCH / pixels).tolist(), QColor(style.quiet_text))
    painter.strokePath(qt_path((slab.lines,)), pen(line, QColor(style.ink)))
    painter.resetTransform()


def draw_under(painter: QPainter, to_pixels: QTransform, slabs: Sequence[Slab], section: Section, style: Style) -> None:
    """What of the bay may lie under something, dashed (where it does not, its own wide line hides the dashes), and its centre lines."""
    painter.setTransform(to_pixels)
    for slab in slabs[:-1]:
        if slab.fixed:
            painter.strokePath(qt_path((slab.lines,)), pen("dashed", QColor(style.ink)))
    painter.resetTransform()
    for body in section.bodies:
        if body.fixed and not body.view.hidden:
            draw_items(painter, centre_lines(body, unit=1.0 / to_pixels.m11()), style, to_pixels=to_pixels)


def draw_grid(painter: QPainter, to_pixels: QTransform, window: QRectF, style: Style) -> None:
    """The board's ground and its grid in logical pixels; the coarse lines are a little stronger."""
    painter.fillRect(window, QColor(style.board))
    from_pixels = to_pixels.inverted()[0]
    seen = from_pixels.mapRect(window)
    step = steps(to_pixels.m11())
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
    for spacing, tone in ((step.fine, style.grid), (step.coarse, style.grid_ten)):
        painter.setPen(QPen(QColor(tone), 1.0))
        for x in ticks(seen.left(), seen.right(), spacing):
            at = round(to_pixels.m11() * x + to_pixels.dx())
            painter.drawLine(at, int(window.top()), at, int(window.bottom()))
        for y in ticks(seen.top(), seen.bottom(), spacing):
            at = round(to_pixels.m22() * y + to_pixels.dy())
            painter.drawLine(int(window.left()), at, int(window.right()), at)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
