"""The depth strip: the section seen from its right, every body's depth band drawn, at the board's own height and scale."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QResizeEvent, QTransform
from PySide6.QtWidgets import QFrame, QGraphicsScene, QGraphicsView, QWidget

from app.board.board import DRAG_FROM, Board, PoseTuple
from app.board.items import EVERYWHERE
from app.board.kept_drawing import KeptDrawing
from app.board.kept_picture import KeptPicture
from app.board.overlay import OverlapSpan
from app.board.paint import pen
from app.board.rulers import TOP_HEIGHT, Ruler
from app.board.strip_bands import Band, BandLooks, Ground, corners
from app.theme import Style
from core.drawing.detail import overlap_items
from core.drawing.display_list import DisplayList, Paint
from core.drawing.path import Pose
from core.drawing.section import body_paints
from core.drawing.silhouette import Silhouettes, View
from core.drawing.slabs import Slab, section_slabs
from core.model.names import BodyName, SectionName
from core.model.project import Project, Section

WIDTH = 112
AIR = 10.0
"""Logical pixels left free at both sides of the depths shown."""

NUMBERS_APART = 26.0
"""Logical pixels; depths are short numbers."""

GRIP = 4.0
"""Logical pixels about the end of a band that take hold of that end."""

RESTED_MS = 300
"""Milliseconds after which a view that has not changed again rests."""

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
        # Once the view rests it is shown again, with a picture of every band: a hand would have to wait for all of them.
        self._rested = QTimer(self, interval=RESTED_MS, singleShot=True)
        self._rested.timeout.connect(self.viewport().update)
        self._section: Section | None = None
        self._slabs: tuple[Slab, ...] = ()
        self._silhouettes = Silhouettes(())
        self._picture, self._ground = KeptPicture(), Ground(style, ())
        self._bands: dict[int, Band] = {}
        self._bands_to, self._looks = QTransform(), BandLooks(style)
        self._tints: dict[BodyName, Paint] = {}
        self._poses: dict[BodyName, Pose] = {}
        self._told: dict[BodyName, PoseTuple] = {}
        self._selected: frozenset[BodyName] = frozenset()
        self._span: OverlapSpan | None = None
        self._patch: tuple[QRectF, DisplayList] | None = None
        self._patch_drawn = KeptDrawing()
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

    @property
    def held(self) -> bool:
        """Whether a band is being dragged."""
        return self._dragging

    def follow(self, board: Board) -> None:
        """Keep the board's height and scale, and show where its overlap lies."""
        self._board = board
        board.view_changed.connect(self.viewport().update)
        board.overlap_changed.connect(self._show_span)

    def show_section(self, project: Project, section: SectionName, *, slabs: tuple[Slab, ...] | None = None) -> None:
        """Show the bands of a section as drawn; a section that the project lacks shows an empty strip. slabs: its own, where known."""
        found = next((item for item in project.sections if item.name == section), None)
        if found is self._section and slabs is self._slabs:
            return
        made = section_slabs(found) if found is not None and slabs is None else slabs
        before, self._section, self._slabs = self._slabs, found, made or ()
        self._silhouettes = Silhouettes(self._slabs, self._silhouettes)
        self._poses, self._told = {}, {}
        if not _same_order(before, self._slabs):
            self._picture.forget()
        self._tints = body_paints(found) if found is not None else {}
        low = min((slab.depth[0] for slab in self._slabs), default=0.0)
        high = max((slab.depth[1] for slab in self._slabs), default=LEAST_DEPTH)
        self._depths = (min(low, 0.0), max(high, low + LEAST_DEPTH))
        self._fit_depths()

    def set_poses(self, poses: Mapping[BodyName, PoseTuple]) -> None:
        """Follow the bodies; those not named stay."""
        moved = {body: pose for body, pose in poses.items() if pose != self._told.get(body)}
        if moved:
            self._told.update(moved)
            self._poses.update({body: Pose(*pose) for body, pose in moved.items()})
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

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002 - Qt's signature
        painter = QPainter(self.viewport())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        to_pixels = self._to_pixels()
        self._picture.show(painter, [self._ground_at(), *self._bands_at(to_pixels)], to_pixels, self.viewport())
        if self._span is not None:
            self._draw_span(painter, self._span, to_pixels)
        painter.setPen(QColor(self._style.rule))
        painter.drawLine(QPointF(0.5, 0.0), QPointF(0.5, self.viewport().height()))
        painter.end()
        if not self._picture.is_there:
            self._rested.start()

    def _seen(self) -> list[tuple[Slab, View]]:
        """The bands farthest first; those in hand last, so that they can be seen and taken hold of."""
        seen, selected = self._silhouettes.seen(self._poses), self._selected
        return [*(one for one in seen if one[0].body not in selected), *(one for one in seen if one[0].body in selected)]

    def _ground_at(self) -> Ground:
        depths = [round(self._origin + value * self._pixels) for value in self._top.number_values()]
        if not self._ground.same(self._style, depths):
            self._ground = Ground(self._style, depths)
        return self._ground

    def _bands_at(self, to_pixels: QTransform) -> list[Band]:
        """The bands as they are to be shown; those that look as before are the same objects."""
        if to_pixels != self._bands_to or self._looks.style is not self._style:
            self._bands, self._bands_to, self._looks = {}, to_pixels, BandLooks(self._style)
        before, self._bands = self._bands, {}
        tints, selected = self._tints, self._selected
        for slab, view in self._seen():
            body = slab.body
            known = before.get(id(slab))
            if known is None or not known.same(slab, view, paint=tints[body], selected=body in selected):
                known = Band(slab, view, paint=tints[body], selected=body in selected, to_pixels=to_pixels, looks=self._looks)
            self._bands[id(slab)] = known
        return list(self._bands.values())

    def _draw_span(self, painter: QPainter, span: OverlapSpan, to_pixels: QTransform) -> None:
        """Projection lines from the board, and the overlap where the two bands share depth."""
        box = to_pixels.mapRect(QRectF(span.band[0], span.low, span.band[1] - span.band[0], span.high - span.low))
        if self._patch is None or self._patch[0] != box:
            flipped = corners(box, upward=-1.0)  # a display list has y up
            self._patch = (box, tuple(overlap_items((flipped,), unit=1.0)))
        self._patch_drawn.draw(painter, self._patch[1], self._style, to_pixels=QTransform.fromScale(1.0, -1.0))
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


def _same_order(before: Sequence[Slab], after: Sequence[Slab]) -> bool:
    """Whether the slabs that are in both come one after another in the same order: bands as far as each other lie in it."""
    one, other = [id(slab) for slab in before], [id(slab) for slab in after]
    both = {*one} & {*other}
    return [number for number in one if number in both] == [number for number in other if number in both]


def dragged_band(grip: Grip, by: float) -> tuple[float, float]:
    """The band that `grip` holds, moved by `by` mm, to 0.01 mm; an end that would pass the other stops at it. Pure."""
    low, high = grip.slab.depth
    new_low = low + by if grip.low else low
    new_high = high + by if grip.high else high
    if new_low > new_high:
        new_low, new_high = (high, high) if grip.low else (low, low)
    return round(new_low, 2), round(new_high, 2)
