"""The board: one section at true scale, with its grid and rulers; pan and zoom about the pointer, pick and drag bodies."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent, QTransform, QWheelEvent
from PySide6.QtWidgets import QFrame, QGraphicsScene, QGraphicsView, QWidget

from app.board.clicks import NOBODY, Clicks
from app.board.hit_test import Hit, bodies_at, hit_test
from app.board.items import EVERYWHERE
from app.board.kept_picture import KeptPicture
from app.board.naming import Naming
from app.board.overlay import ASIDE, OverlapSpan, Overlay, detail_radius
from app.board.paint import pen
from app.board.rulers import LEFT_WIDTH, TOP_HEIGHT, Ruler, RulerCorner
from app.board.scale import LEAST_SCALE, MOST_SCALE, fitted
from app.board.section_items import SectionItems, section_shown
from app.board.taker import Taker
from app.collected_seldom import collect_later
from app.theme import Style
from core.drawing.extent import Extent
from core.drawing.gap_mark import GapMark
from core.drawing.path import DRAWN, Pose
from core.drawing.slabs import Slab
from core.model.names import BodyName, SectionName
from core.model.project import Project
from core.model.shapes import Point

PoseTuple = tuple[float, float, float]
"""turn in degrees counter-clockwise, shift in x and y, mm: p' = R(turn) p + shift."""

ZOOM_A_NOTCH = 1.2
NOTCH = 120.0
DRAG_FROM = 4
"""Logical pixels a press may wander and still be a click."""

NEAR = 3.0
"""Logical pixels about a body that still pick it."""


class Board(QGraphicsView):
    """Shows a section of a project; tells what the user points at and drags, and changes nothing itself."""

    body_dragged = Signal(str, float, float, str)
    """Body, x, y of the pointer in mm, phase: press, move, release."""
    body_picked = Signal(str)
    """A click on a body; empty for a click beside all. Once more at the same place, or with Alt: the next one beneath."""
    body_added = Signal(str)
    """A click on a body with Shift."""
    bodies_boxed = Signal(tuple)
    """Bodies wholly inside a box drawn with the left button; with Alt, those that it touches; with Shift, those selected too."""
    body_hovered = Signal(str)
    """The body under the pointer; empty for none."""
    pointer_moved = Signal(float, float)
    """mm, section frame."""
    view_changed = Signal()
    """The scale or the part of the section that is seen."""
    overlap_changed = Signal(object)
    """An OverlapSpan, or None."""

    def __init__(self, style: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setScene(QGraphicsScene(self))
        self._style = style
        self._overlay, self._picture = Overlay(), KeptPicture()
        self._scale, self._centre = 1.0, QPointF(0.0, 0.0)
        self._fitted = True
        self._panning: QPointF | None = None
        self._press: tuple[QPointF, BodyName] | None = None
        self._clicks = Clicks()
        self._dragging = False
        self._box: QRectF | None = None
        self._hovered = NOBODY
        self._space = False
        self._takers: tuple[Taker, ...] = ()
        self._taken: Taker | None = None
        self._span: OverlapSpan | None = None
        self._naming = Naming(self._name_all, self)
        self._naming.done.connect(self.viewport().update)
        self._set_up_view()
        self._items = SectionItems(self.scene(), section_shown(None, None), style)
        self._top, self._left = Ruler("top", style, self), Ruler("left", style, self)
        self._corner = RulerCorner(style, self)

    def _set_up_view(self) -> None:
        self.scene().setSceneRect(EVERYWHERE)
        self.scene().setItemIndexMethod(QGraphicsScene.ItemIndexMethod.NoIndex)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontAdjustForAntialiasing)
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.setViewportMargins(LEFT_WIDTH, TOP_HEIGHT, 0, 0)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.tr("Board"))

    def show_section(self, project: Project, section: SectionName) -> None:
        """Build the section's items and fit them; a section that the project lacks shows an empty board."""
        self._naming.drop()  # it holds items that are about to go
        self._picture.forget()
        self.scene().clear()
        self._items = SectionItems(self.scene(), section_shown(project, section), self._style)
        self._forget_shown()
        self.fit()

    def refresh_section(self, project: Project, section: SectionName) -> None:
        """Show the section after an edit, at the poses shown; the view stays, and so do the items of all that is the same."""
        self._naming.drop()  # it looks for room among what is about to change
        self._items.take(section_shown(project, section))
        self._forget_shown()
        self._soon_named()

    def place_bolts(self) -> None:
        """Put the marks of bodies that are bolted together where the section as it is shown has them."""
        self._items.place_bolts()

    @property
    def slabs(self) -> tuple[Slab, ...]:
        """The slabs of the section shown, low to high."""
        return self._items.slabs

    def _forget_shown(self) -> None:
        self._overlay.mark = None
        self._overlay.forget_place()
        self._hovered = NOBODY
        if self._press is not None and self._press[1] and all(one.name != self._press[1] for one in self._items.section.bodies):
            self._press, self._dragging = None, False  # what is held has gone, by a key or an undo

    def set_poses(self, poses: Mapping[BodyName, PoseTuple], *, gap_follows: bool = False) -> None:
        """Put bodies where they are; those not named stay. Names and the gap dimension follow.

        gap_follows: `set_gap` comes next, at once or within two frames, and until then what is told of the gap stays as it is.
        """
        there = self._items.poses
        self._items.set_poses({body: Pose(*pose) for body, pose in poses.items() if pose != there.get(body, DRAWN)})
        self._overlay.waits = gap_follows
        if not gap_follows:
            self._tell_overlap()
        self._soon_named()

    def _soon_named(self) -> None:
        """Names stay where they are while something moves, and find new places once it has come to rest."""
        self._naming.once_at_rest()
        self._overlay.moving = True
        self.viewport().update()

    def set_ghost(self, poses: Mapping[BodyName, PoseTuple] | None) -> None:
        """Show where bodies would be at another pose, dashed; None takes the ghost away."""
        self._items.set_ghost({body: Pose(*pose) for body, pose in poses.items()} if poses is not None else None)

    def set_travel_ends(self, ends: Mapping[BodyName, Sequence[PoseTuple]] | None) -> None:
        """Show bodies at the ends of their travel; None takes them away."""
        self._items.set_travel_ends({body: [Pose(*pose) for pose in poses] for body, poses in ends.items()} if ends else None)
        self._naming.soon()

    def set_selected(self, bodies: Collection[BodyName]) -> None:
        """Draw these bodies with the heavier line."""
        if frozenset(bodies) != self._items.selected:
            self._items.select(bodies)
            self._naming.soon()

    def set_gap(self, mark: GapMark | None) -> None:
        """Show a gap dimension; None takes it away. The numbers are the mark's own."""
        before = self._overlay.mark
        self._overlay.mark, self._overlay.waits = mark, False
        if before is None or mark is None or before.pair != mark.pair:
            self._overlay.forget_place()
            self._soon_named()
        self._tell_overlap()
        self.viewport().update()

    def set_detail(self, on: bool) -> None:  # noqa: FBT001 - a slot of a toggled action
        """Show detail A of the gap dimension's place."""
        if on == self._overlay.detail:
            return
        self._overlay.detail = on
        self._overlay.forget_place()
        if self._fitted:
            self.fit()
        self.viewport().update()

    def set_takers(self, takers: Sequence[Taker]) -> None:
        """What takes pointer and keys before bodies do, the first asked first; drawn in the other order."""
        self._takers, self._taken = tuple(takers), None
        self._show_cursor()
        self.viewport().update()

    def set_style(self, style: Style) -> None:
        """Change the theme."""
        self._style = style
        for ruler in (self._top, self._left, self._corner):
            ruler.set_style(style)
        self._items.dress(style, self._items.selected)
        self._items.set_scale(self._scale)
        self.viewport().update()

    def style_drawn(self) -> Style:
        """The theme the board is drawn in, for what draws on it."""
        return self._style

    @property
    def hand_on_body(self) -> bool:
        """Whether a hand drags a body."""
        return self._dragging and self._press is not None and self._press[1] != NOBODY and not self._items.held(self._press[1])

    @property
    def pixels_a_mm(self) -> float:
        """The scale, logical pixels a mm."""
        return self._scale

    def fit(self) -> None:
        """Show the whole section; where detail A is on and there is room beside the section, leave it free."""
        self._fitted = True
        window = QRectF(self.viewport().rect())
        radius = detail_radius(window) if self._overlay.detail else None
        beside = 2.0 * (radius + ASIDE) if radius is not None else 0.0
        self._scale, middle = fitted((window.width(), window.height()), self._items.extent(), beside=beside)
        self._centre = QPointF(*middle)
        self._apply_view()

    def zoom_by(self, factor: float, *, about: QPointF | None = None) -> None:
        """Enlarge `factor` times; the place `about` (logical pixels of the viewport, None: its middle) stays where it is."""
        at = about if about is not None else QPointF(self.viewport().rect().center())
        before = self.to_mm(at)
        scale = min(max(self._scale * factor, LEAST_SCALE), MOST_SCALE)
        self._centre = before + (self._centre - before) * (self._scale / scale)
        self._scale, self._fitted = scale, False
        self._apply_view()

    def pan_by(self, pixels: QPointF) -> None:
        """Move the section over the board by logical pixels."""
        self._centre -= QPointF(pixels.x() / self._scale, -pixels.y() / self._scale)
        self._fitted = False
        self._apply_view()

    def to_mm(self, at: QPointF) -> QPointF:
        """The place in the section under a point of the viewport."""
        return self.viewportTransform().inverted()[0].map(at)

    def _apply_view(self) -> None:
        self.setTransform(QTransform.fromScale(self._scale, -self._scale))
        self.centerOn(self._centre)
        seen = self.viewportTransform()
        self._top.set_scale(pixels=seen.m11(), origin=seen.dx())
        self._left.set_scale(pixels=seen.m22(), origin=seen.dy())
        self._overlay.forget_place()
        self._items.set_scale(self._scale)
        self._naming.soon()
        self.view_changed.emit()
        self.viewport().update()

    def _name_all(self) -> Iterator[None]:
        """Find where each name has room, then give each its place, a name a step.

        Letters are slow to draw, so that a name picked becomes stronger here and not in the frame that picks its body; nor does a
        frame wait for the places of the gap's words.
        """
        self._items.names.select()
        self._overlay.come_to_rest(self._items, self.viewportTransform(), QRectF(self.viewport().rect()))
        yield
        yield from self._items.names.look_for_rooms()
        mark = self._overlay.mark
        must = set(self._items.selected) | set(mark.pair if mark is not None else ()) | {self._hovered}
        own = self._overlay.names_keep_off(self._items, self.viewportTransform(), QRectF(self.viewport().rect()))
        taken = [*own, *(box for taker in self._takers for box in taker.words_at(1.0 / self._scale))]
        seen = self.viewportTransform().inverted()[0].mapRect(QRectF(self.viewport().rect()))
        window = (seen.left(), seen.top(), seen.right(), seen.bottom())
        yield from self._items.names.show(pixels=self._scale, window=window, must=must, taken=taken, ends=self._items.ends_seen())

    def _tell_overlap(self) -> None:
        span = self._overlay.span(self._items, pixels=self._scale)
        if span != self._span:
            self._span = span
            self.overlap_changed.emit(span)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002 - Qt's signature
        painter = QPainter(self.viewport())
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._picture.show(painter, self._items.stack.ordered(), self.viewportTransform(), self.viewport())
        painter.resetTransform()
        window = QRectF(self.viewport().rect())
        self._overlay.draw(painter, self._items, self.viewportTransform(), window)
        if self._box is not None:
            painter.setPen(pen("dashed", QColor(self._style.ink)))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self._box)
        for taker in reversed(self._takers):
            painter.save()
            taker.draw(painter, self.viewportTransform(), window)
            painter.restore()
        painter.end()

    def name_anew(self) -> None:
        """Find the names new places, once this turn is over."""
        self._naming.soon()

    def words_taken(self) -> list[Extent]:
        """Where the gap dimension's words stand, or detail A with its words, mm."""
        return self._overlay.taken(self._items, self.viewportTransform(), QRectF(self.viewport().rect()))

    def body_at(self, at: QPointF, *, only: Collection[BodyName] | None = None) -> Hit | None:
        """The topmost body at a point of the viewport."""
        point = self.to_mm(at)
        return hit_test(self._items.targets, self._items.poses, (point.x(), point.y()), tolerance=NEAR / self._scale, only=only)

    def bodies_under(self, at: QPointF) -> tuple[BodyName, ...]:
        """Every body at a point of the viewport, topmost first."""
        point = self.to_mm(at)
        return bodies_at(self._items.targets, self._items.poses, (point.x(), point.y()), tolerance=NEAR / self._scale)

    def wheelEvent(self, event: QWheelEvent) -> None:
        turned = event.angleDelta().y()
        if turned:
            self.zoom_by(ZOOM_A_NOTCH ** (turned / NOTCH), about=event.position())
        event.accept()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = event.position()
        if event.button() == Qt.MouseButton.MiddleButton or (event.button() == Qt.MouseButton.LeftButton and self._space):
            self._panning = at
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif event.button() == Qt.MouseButton.LeftButton and not self._take_press(at, event):
            double = event.type() == QEvent.Type.MouseButtonDblClick
            self._press = (at, self._clicks.press(at, self.bodies_under(at), self._items.selected, double=double))
        event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        collect_later(held=bool(event.buttons()))
        at = event.position()
        self._tell_pointer(at)
        if event.buttons():
            self._naming.still_held()
        if self._panning is not None:
            self.pan_by(at - self._panning)
            self._panning = at
        elif self._press is not None:
            self._drag_to(at)
        elif self._take_move(at, event):
            self._hover_over(NOBODY)
        else:
            hit = self.body_at(at)
            self._hover_over(hit.body if hit is not None else NOBODY)
        event.accept()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        collect_later(held=bool(event.buttons()))
        at = event.position()
        if self._panning is not None and event.button() in (Qt.MouseButton.MiddleButton, Qt.MouseButton.LeftButton):
            self._panning = None
            self._show_cursor()
        elif self._taken is not None and event.button() == Qt.MouseButton.LeftButton:
            taker, self._taken = self._taken, None
            taker.release(self._point(at), event)
            self._show_cursor()
        elif self._press is not None and event.button() == Qt.MouseButton.LeftButton:
            self._finish_press(at, event.modifiers())
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """The second press of two is a press of its own, unless it is taken as what it is."""
        at = self._point(event.position())
        left = event.button() == Qt.MouseButton.LeftButton and not self._space
        if left and any(taker.double_click(at, event) for taker in self._takers):
            event.accept()
        else:
            self.mousePressEvent(event)

    def _point(self, at: QPointF) -> Point:
        place = self.to_mm(at)
        return (place.x(), place.y())

    def _take_press(self, at: QPointF, event: QMouseEvent) -> bool:
        point = self._point(at)
        self._taken = next((taker for taker in self._takers if taker.press(point, event)), None)
        return self._taken is not None

    def _take_move(self, at: QPointF, event: QMouseEvent) -> bool:
        point = self._point(at)
        if self._taken is not None:
            self._taken.move(point, event)
            return True
        taken = any(taker.move(point, event) for taker in self._takers)
        self._show_cursor()
        return taken

    def _tell_pointer(self, at: QPointF) -> None:
        place = self.to_mm(at)
        self._top.set_pointer(place.x())
        self._left.set_pointer(place.y())
        self.pointer_moved.emit(place.x(), place.y())

    def _drag_to(self, at: QPointF) -> None:
        if self._press is None:
            return
        start, body = self._press
        if not self._dragging:
            if (at - start).manhattanLength() < DRAG_FROM:
                return
            self._dragging = True
            self._tell_drag(body, start, "press")
        self._tell_drag(body, at, "move")
        if not body:
            self._box = QRectF(start, at).normalized()
            self.viewport().update()

    def _tell_drag(self, body: BodyName, at: QPointF, phase: str) -> None:
        if body and not self._items.held(body):
            self.body_dragged.emit(body, *self._point(at), phase)

    def _finish_press(self, at: QPointF, keys: Qt.KeyboardModifier) -> None:
        if self._press is None:
            return
        _, body = self._press
        alt, shift = bool(keys & Qt.KeyboardModifier.AltModifier), bool(keys & Qt.KeyboardModifier.ShiftModifier)
        self._press = None
        if self._dragging:
            self._tell_drag(body, at, "release")
        elif not shift:
            self.body_picked.emit(self._clicks.click(beneath=alt))
        elif body:
            self.body_added.emit(body)
        if self._box is not None:
            box = self.viewportTransform().inverted()[0].mapRect(self._box)
            found = {*self._items.boxed((box.left(), box.top(), box.right(), box.bottom()), touching=alt)}
            wanted = found | self._items.selected if shift else found
            self.bodies_boxed.emit(tuple(body.name for body in self._items.section.bodies if body.name in wanted))
        self._dragging, self._box = False, None
        self.viewport().update()

    def _hover_over(self, body: BodyName) -> None:
        if body != self._hovered:
            self._hovered = body
            self._naming.soon()
            self.body_hovered.emit(body)

    def leaveEvent(self, event: QEvent) -> None:
        self._top.set_pointer(None)
        self._left.set_pointer(None)
        for taker in self._takers:
            taker.leave()
        self._hover_over(NOBODY)
        super().leaveEvent(event)

    def event(self, event: QEvent) -> bool:
        """Keys of the window's actions come as keys where one that takes the board's keys wants them."""
        if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
            return super().event(event)
        if not any(taker.wants(event) for taker in self._takers):
            return super().event(event)
        event.accept()
        return True

    def focusNextPrevChild(self, next: bool) -> bool:  # noqa: A002, FBT001 - Qt's signature
        """Tab comes as a key first: one that takes it may go through places or numbers with it."""
        key = Qt.Key.Key_Tab if next else Qt.Key.Key_Backtab
        event = QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier)
        return any(taker.key(event) for taker in self._takers) or super().focusNextPrevChild(next)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if any(taker.key(event) for taker in self._takers):
            event.accept()
        elif event.key() == Qt.Key.Key_Space and self._press is None:
            self._space = True
            self._show_cursor()
        else:
            event.ignore()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self._show_cursor()
        else:
            event.ignore()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self._space = False
        self._show_cursor()
        super().focusOutEvent(event)

    def _show_cursor(self) -> None:
        if self._panning is None:
            looks = (taker.cursor() for taker in self._takers)
            own = next((look for look in looks if look is not None), Qt.CursorShape.ArrowCursor)
            self.setCursor(Qt.CursorShape.OpenHandCursor if self._space else own)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        width, height = self.width(), self.height()
        self._corner.setGeometry(0, 0, LEFT_WIDTH, TOP_HEIGHT)
        self._top.setGeometry(LEFT_WIDTH, 0, width - LEFT_WIDTH, TOP_HEIGHT)
        self._left.setGeometry(0, TOP_HEIGHT, LEFT_WIDTH, height - TOP_HEIGHT)
        if self._fitted:
            self.fit()
        else:
            self._apply_view()
