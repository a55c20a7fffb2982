"""The depth strip: the section seen from its right, every body's depth band drawn, at the board's own height and scale."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from PySide6.QtCore import QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPen, QResizeEvent, QTransform
from PySide6.QtWidgets import QFrame, QGraphicsScene, QGraphicsView, QWidget

from app.board.board import DRAG_FROM, Board, PoseTuple
from app.board.items import EVERYWHERE
from app.board.overlay import OverlapSpan
from app.board.paint import colour, draw_hatch, draw_items, pen
from app.board.rulers import TOP_HEIGHT, Ruler
from app.theme import Style
from core.drawing.detail import overlap_items
from core.drawing.display_list import Paint
from core.drawing.hatch import CUT_ANGLE, hatch
from core.drawing.lines import HATCH_PITCH
from core.drawing.path import Pose, Run, polyline
from core.drawing.section import body_paints
from core.drawing.silhouette import Silhouettes, View
from core.drawing.slabs import Slab, section_slabs
from core.model.names import BodyName, SectionName
from core.model.project import Project

WIDTH = 112
AIR = 10.0
"""Logical pixels left free at both sides of the depths shown."""

NUMBERS_APART = 26.0
"""Logical pixels; depths are short numbers."""

GRIP = 4.0
"""Logical pixels about the end of a band that take hold of that end."""

LEAST_DEPTH = 1.0
"""mm; a section thinner than this is shown as if it were this deep."""


@dataclass(frozen=True, slots=True)
class Grip:
    """What of a band is held: its `low` end, its `high` end, or (both) the whole of it."""

    slab: Slab
    low: bool
    high: bool


def grip_at(views: Collection[tuple[Slab, View]], *, depth: float, y: float, near: float) -> Grip | None:
    """The band at a place of the strip, topmost first; `near` mm of depth about an end take hold of that end. Pure."""
    for slab, view in reversed(list(views)):
        low, high = slab.depth
        if view.low <= y <= view.high and low - near <= depth <= high + near:
            at_low, at_high = depth < low + near, depth > high - near
            if at_low and at_high:  # a thin band: the nearer end
                at_low = depth - low < high - depth
                at_high = not at_low
            return Grip(slab, at_low or not at_high, at_high or not at_low)
    return None


class DepthStrip(QGraphicsView):
    """Shows depth bands; tells which one is picked or dragged, and changes nothing itself."""

    band_dragged = Signal(str, float, float, str)
    """Body, low and high mm that its band would have, phase: press, move, release."""
    body_picked = Signal(str)

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self._board: Board | None = None
        self._slabs: tuple[Slab, ...] = ()
        self._silhouettes = Silhouettes(())
        self._tints: dict[BodyName, Paint] = {}
        self._poses: dict[BodyName, Pose] = {}
        self._selected: frozenset[BodyName] = frozenset()
        self._span: OverlapSpan | None = None
        self._held: tuple[Grip, float] | None = None
        self._dragging = False
        self._depths = (0.0, LEAST_DEPTH)
        self._origin, self._pixels = 0.0, 1.0
        self.setScene(QGraphicsScene(self))
        self.scene().setSceneRect(EVERYWHERE)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.setViewportMargins(0, TOP_HEIGHT, 0, 0)
        self.setFixedWidth(WIDTH)
        self.setAccessibleName(self.tr("Depth strip"))
        self._top = Ruler("top", style, self, number_least=NUMBERS_APART)

    def follow(self, board: Board) -> None:
        """Keep the board's height and scale, and show where its overlap lies."""
        self._board = board
        board.view_changed.connect(self.viewport().update)
        board.overlap_changed.connect(self._show_span)

    def show_section(self, project: Project, section: SectionName) -> None:
        """Show the bands of a section as drawn; a section that the project lacks shows an empty strip."""
        found = next((item for item in project.sections if item.name == section), None)
        self._slabs = section_slabs(found) if found is not None else ()
        self._silhouettes = Silhouettes(self._slabs)
        self._poses = {}
        self._tints = body_paints(found) if found is not None else {}
        low = min((slab.depth[0] for slab in self._slabs), default=0.0)
        high = max((slab.depth[1] for slab in self._slabs), default=LEAST_DEPTH)
        self._depths = (min(low, 0.0), max(high, low + LEAST_DEPTH))
        self._fit_depths()

    def set_poses(self, poses: Mapping[BodyName, PoseTuple]) -> None:
        """Follow the bodies; those not named stay."""
        self._poses.update({body: Pose(*pose) for body, pose in poses.items()})
        self.viewport().update()

    def set_selected(self, bodies: Collection[BodyName]) -> None:
        """Draw these bodies with the heavier line."""
        self._selected = frozenset(bodies)
        self.viewport().update()

    def set_style(self, style: Style) -> None:
        """Change the theme."""
        self._style = style
        self._top.set_style(style)
        self.viewport().update()

    def _show_span(self, span: OverlapSpan | None) -> None:
        self._span = span
        self.viewport().update()

    def _fit_depths(self) -> None:
        low, high = self._depths
        self._pixels = max(1e-6, (self.viewport().width() - 2.0 * AIR) / (high - low))
        self._origin = AIR - low * self._pixels
        self._top.set_scale(pixels=self._pixels, origin=self._origin)
        self.viewport().update()

    def _to_pixels(self) -> QTransform:
        """Depth and y in mm to logical pixels of the strip; y stands where the board has it."""
        if self._board is None:
            return QTransform(self._pixels, 0.0, 0.0, -1.0, self._origin, self.viewport().height() / 2.0)
        seen = self._board.viewportTransform()
        above = self._board.viewport().mapToGlobal(QPointF(0.0, 0.0)).y() - self.viewport().mapToGlobal(QPointF(0.0, 0.0)).y()
        return QTransform(self._pixels, 0.0, 0.0, seen.m22(), self._origin, seen.dy() + above)

    def drawForeground(self, painter: QPainter, rect: QRectF | QRect) -> None:  # noqa: ARG002 - Qt's signature
        painter.save()
        painter.resetTransform()
        window = QRectF(self.viewport().rect())
        painter.fillRect(window, QColor(self._style.board))
        to_pixels = self._to_pixels()
        painter.setBrush(Qt.BrushStyle.NoBrush)
        self._draw_depth_lines(painter, window)
        looks = _Looks(self._style)
        for slab, view in self._seen():
            self._draw_band(painter, slab, view, to_pixels, looks)
        if self._span is not None:
            self._draw_span(painter, self._span, to_pixels)
        painter.setPen(QColor(self._style.rule))
        painter.drawLine(QPointF(0.5, 0.0), QPointF(0.5, window.bottom()))
        painter.restore()

    def _seen(self) -> list[tuple[Slab, View]]:
        """The bands farthest first; those in hand last, so that they can be seen and taken hold of."""
        return sorted(self._silhouettes.seen(self._poses), key=lambda entry: entry[0].body in self._selected)

    def _draw_depth_lines(self, painter: QPainter, window: QRectF) -> None:
        painter.setPen(QPen(QColor(self._style.grid), 1.0))
        for value in self._top.number_values():
            at = round(self._origin + value * self._pixels)
            painter.drawLine(at, 0, at, int(window.bottom()))

    def _draw_band(self, painter: QPainter, slab: Slab, view: View, to_pixels: QTransform, looks: "_Looks") -> None:
        line = looks.selected if slab.body in self._selected else looks.narrow
        for low, high in ((view.low, view.high), *view.cut) if view.open else view.cut:
            box = to_pixels.mapRect(QRectF(slab.depth[0], low, slab.depth[1] - slab.depth[0], high - low))
            if (low, high) in view.cut:
                painter.fillRect(box, looks.tint(self._tints[slab.body]))
            if (low, high) in view.cut and slab.fixed:
                draw_hatch(painter, _rect_hatch(box.left(), box.top(), box.right(), box.bottom()), looks.hatch)
            painter.setPen(line)
            painter.drawRect(box)

    def _draw_span(self, painter: QPainter, span: OverlapSpan, to_pixels: QTransform) -> None:
        """Projection lines from the board, and the overlap where the two bands share depth."""
        box = to_pixels.mapRect(QRectF(span.band[0], span.low, span.band[1] - span.band[0], span.high - span.low))
        flipped = _corners(box, upward=-1.0)  # a display list has y up
        draw_items(painter, overlap_items((flipped,), unit=1.0), self._style, to_pixels=QTransform.fromScale(1.0, -1.0))
        painter.setPen(pen("narrow", QColor(self._style.ink)))
        for at in (box.top(), box.bottom()):
            painter.drawLine(QPointF(0.0, at), QPointF(box.right(), at))

    def _grip_at(self, at: QPointF) -> Grip | None:
        place = self._to_pixels().inverted()[0].map(at)
        return grip_at(self._seen(), depth=place.x(), y=place.y(), near=GRIP / self._pixels)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            grip = self._grip_at(event.position())
            self._held = (grip, event.position().x()) if grip is not None else None
            if grip is None:
                self.body_picked.emit("")
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._held is None:
            grip = self._grip_at(event.position())
            ends = grip is not None and grip.low != grip.high
            self.setCursor(Qt.CursorShape.SizeHorCursor if ends else Qt.CursorShape.ArrowCursor)
        elif self._dragging or abs(event.position().x() - self._held[1]) >= DRAG_FROM:
            if not self._dragging:
                self._tell_band(self._held[1], "press")
            self._dragging = True
            self._tell_band(event.position().x(), "move")
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._held is not None and event.button() == Qt.MouseButton.LeftButton:
            if self._dragging:
                self._tell_band(event.position().x(), "release")
            else:
                self.body_picked.emit(self._held[0].slab.body)
            self._held, self._dragging = None, False
        event.accept()

    def _tell_band(self, x: float, phase: str) -> None:
        """Tell the band as it was at the press, shifted by what the pointer moved since; its ends never pass each other."""
        if self._held is None:
            return
        grip, start = self._held
        low, high = dragged_band(grip, (x - start) / self._pixels)
        self.band_dragged.emit(grip.slab.body, low, high, phase)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._top.setGeometry(0, 0, self.width(), TOP_HEIGHT)
        self._fit_depths()


class _Looks:
    """Pens and tints of one painting, made once for all bands."""

    def __init__(self, style: Style) -> None:
        self._style = style
        self.narrow, self.selected = pen("narrow", QColor(style.ink)), pen("selected", QColor(style.ink))
        self.hatch = QColor(style.quiet_text)
        self._tints: dict[Paint, QColor] = {}

    def tint(self, paint: Paint) -> QColor:
        """The colour of a paint."""
        if paint not in self._tints:
            self._tints[paint] = colour(paint, self._style)
        return self._tints[paint]


def dragged_band(grip: Grip, by: float) -> tuple[float, float]:
    """The band that `grip` holds, moved by `by` mm, to 0.01 mm; an end that would pass the other stops at it. Pure."""
    low, high = grip.slab.depth
    new_low = low + by if grip.low else low
    new_high = high + by if grip.high else high
    if new_low > new_high:
        new_low, new_high = (high, high) if grip.low else (low, low)
    return round(new_low, 2), round(new_high, 2)


def _corners(box: QRectF, *, upward: float = 1.0) -> Run:
    left, right, top, bottom = box.left(), box.right(), upward * box.top(), upward * box.bottom()
    return polyline((left, top), (right, top), (right, bottom), (left, bottom), closed=True)


@lru_cache(maxsize=256)
def _rect_hatch(left: float, top: float, right: float, bottom: float) -> list[list[list[float]]]:
    """Hatch lines at 45 degrees in pixels, whose y runs down; kept, since what is fixed asks for the same at every frame."""
    box = QRectF(left, top, right - left, bottom - top)
    lines = hatch(((_corners(box, upward=-1.0),),), angle=CUT_ANGLE, pitch=HATCH_PITCH)
    drawn: list[list[list[float]]] = (lines * np.array([1.0, -1.0])).tolist()
    return drawn
