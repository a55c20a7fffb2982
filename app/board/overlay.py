"""What floats over the section: the overlap, the gap dimension, detail A. Drawn anew at each pose, in logical pixels."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QTransform

from app.board.kept_drawing import KeptDrawing
from app.board.paint import HALO, pen
from app.board.section_items import SectionItems
from core.drawing.detail import (
    CORNERS,
    SPOT_LEAST,
    Look,
    Spot,
    caption_lines,
    detail_view,
    detail_words,
    free_corner,
    least_spot,
    magnification,
    overlap_items,
    spot_circle,
    spot_of,
    way_out_items,
)
from core.drawing.dimension import LETTER_WIDTH, line_boxes
from core.drawing.display_list import DisplayList, Text
from core.drawing.extent import Extent, extent
from core.drawing.gap_mark import GapMark, around_symbols, gap_dimension
from core.drawing.path import Path, Pose
from core.model.names import BodyName
from core.model.shapes import Point

DETAIL_RADIUS, DETAIL_LEAST = 108.0, 64.0
"""Largest and smallest radius of detail A, logical pixels; where the smallest has no room there is no detail."""

NAME_AIR = 4.0
"""Logical pixels between what is told of the gap and a name above or below it."""

HEAD, FOOT, ASIDE = 48.0, 46.0, 40.0
"""Logical pixels that detail A's heading, its numbers and its sides need."""

SEEN, CLOSER, FAINT = 18.0, 7.0, 1.5
"""Logical pixels that a gap or overlap is to have in detail A; how many times closer than usual it comes for that; what stays
thinner than the last of them, in logical pixels, is not worth coming closer for: two outlines that touch."""

PROJECTION = 26.0
"""Logical pixels of a projection line that show on the board."""


@dataclass(frozen=True, slots=True)
class OverlapSpan:
    """Where the overlap shown lies in y and in depth, mm, for projection lines."""

    low: float
    high: float
    band: tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Told:
    """All that is drawn of a mark: the overlap, what stands over it, detail A; and the overlap's outline, None where there is none."""

    patch: DisplayList
    over: DisplayList
    detail: DisplayList | None
    overlap: Path | None


def detail_radius(window: QRectF) -> float | None:
    """The radius of detail A in a board of that size, logical pixels; None where it has no room."""
    radius = min(DETAIL_RADIUS, (window.height() - HEAD - FOOT - 16.0) / 2.0, window.width() / 5.5)
    return radius if radius >= DETAIL_LEAST else None


def detail_place(window: QRectF, radius: float, *, bodies: Sequence[QRectF], spot: QPointF) -> QPointF:
    """The middle of detail A: of a few places along the board's sides, the one that covers least of the bodies.

    A place over the spot itself is taken last. All in logical pixels; the first of equal places wins, from the right.
    """
    up, down = window.top() + HEAD + radius, window.bottom() - FOOT - radius
    right, left = window.right() - ASIDE - radius, window.left() + ASIDE + radius
    middle = min(max(window.center().y() - 6.0, up), down)
    places = [QPointF(x, y) for x in (right, left) for y in (middle, up, down)]

    def cost(place: QPointF) -> float:
        box = QRectF(place.x() - radius, place.y() - radius - HEAD, 2.0 * radius, 2.0 * radius + HEAD + FOOT)
        covered = sum(box.intersected(body).width() * box.intersected(body).height() for body in bodies if box.intersects(body))
        return covered + (1e9 if math.dist((place.x(), place.y()), (spot.x(), spot.y())) < 1.3 * radius else 0.0)

    return min(places, key=cost)


class Overlay:
    """The gap dimension and detail A over `items`. `mark` and `detail` are set by the board."""

    def __init__(self) -> None:
        self.mark: GapMark | None = None
        self.detail = False
        self.moving = False
        """While bodies move names in detail A stay where they were."""
        self.waits = False
        """The mark is of a pose before the one shown, and what is drawn of it stays until there is another."""
        self._told: tuple[tuple[object, ...], _Told] | None = None
        self._names: tuple[tuple[object, ...], DisplayList] | None = None
        self._view: tuple[tuple[object, ...], DisplayList] | None = None
        self._place: QPointF | None = None
        self._corner: tuple[tuple[object, ...], Point] | None = None
        self._spot: tuple[tuple[object, ...], Spot] | None = None
        self._reach: tuple[Path, Extent | None] | None = None
        self._around: tuple[tuple[object, ...], DisplayList, DisplayList] | None = None
        self._patch, self._over, self._enlarged = KeptDrawing(), KeptDrawing(), KeptDrawing()

    def forget_place(self) -> None:
        """Look for detail A's place anew: the board was fitted, zoomed or resized, or another pair is shown."""
        self._place = self._corner = None

    def come_to_rest(self, items: SectionItems, to_pixels: QTransform, window: QRectF) -> None:
        """Find where words and detail A stand now that nothing moves, so that the next frame need not."""
        self.moving = False
        if self.mark is not None and not self.waits:
            self._told_of(self.mark, items, to_pixels, window)

    def span(self, items: SectionItems, *, pixels: float) -> OverlapSpan | None:
        """Where the mark's overlap lies in y and depth; None where there is none."""
        if self.mark is None:
            return None
        spot = self._spot_of(self.mark, items, 1.0 / pixels, DETAIL_RADIUS)
        reach = self._reach_of(spot.overlap) if spot.overlap is not None else None
        return OverlapSpan(reach[1], reach[3], spot.band) if reach is not None and spot.band is not None else None

    def _words_at(self, items: SectionItems, to_pixels: QTransform, window: QRectF) -> Extent | None:
        """About where the gap dimension's words stand on the board, mm, where there is no detail A; None without a mark."""
        if self.mark is None:
            return None
        pixels = to_pixels.m11()
        words = next(item for item in self._dimension_at(self.mark, items, to_pixels, window) if isinstance(item, Text))
        wide, (x, y), air = len(words.words) * words.size * LETTER_WIDTH / pixels, words.at, HALO / pixels
        left = {"left": x, "middle": x - wide / 2.0, "right": x - wide}[words.anchor]
        return left - air, y - words.size / 2.0 / pixels, left + wide + air, y + words.size / 2.0 / pixels

    def _dimension_at(self, mark: GapMark, items: SectionItems, to_pixels: QTransform, window: QRectF) -> DisplayList:
        """The gap's dimension as it is drawn where there is no detail A."""
        unit = 1.0 / to_pixels.m11()
        spot = self._spot_of(mark, items, unit, DETAIL_RADIUS)
        return _dimension(mark, spot, items, unit, _seen(to_pixels, window), moving=self.moving)

    def taken(self, items: SectionItems, to_pixels: QTransform, window: QRectF) -> list[Extent]:
        """Where words of it stand, mm: those of the gap dimension, or detail A with its heading and numbers."""
        mark, radius = self.mark, detail_radius(window) if self.detail else None
        if mark is None or radius is None:
            words = self._words_at(items, to_pixels, window)
            return [words] if words is not None else []
        spot = self._spot_of(mark, items, 1.0 / to_pixels.m11(), radius)
        middle = to_pixels.map(QPointF(*self._detail_at(items, spot, to_pixels, window, radius)))
        box = QRectF(middle.x() - radius, middle.y() - radius - HEAD, 2.0 * radius, 2.0 * radius + HEAD + FOOT)
        there = to_pixels.inverted()[0].mapRect(box)
        return [(there.left(), there.top(), there.right(), there.bottom())]

    def names_keep_off(self, items: SectionItems, to_pixels: QTransform, window: QRectF) -> list[Extent]:
        """The same with the dimension's lines, or with the letter on the drawing and detail A's lines where they run farther.

        No name stands there, nor so close above or below that the two would read as one.
        """
        air = NAME_AIR / to_pixels.m11()
        kept_off = self._told_at(items, to_pixels, window)
        return [(left, low - air, right, high + air) for left, low, right, high in kept_off]

    def _told_at(self, items: SectionItems, to_pixels: QTransform, window: QRectF) -> list[Extent]:
        radius = detail_radius(window) if self.detail else None
        boxes, unit = self.taken(items, to_pixels, window), 1.0 / to_pixels.m11()
        if self.mark is None:
            return boxes
        if radius is None:
            return [*boxes, *line_boxes(self._dimension_at(self.mark, items, to_pixels, window), unit=unit)]
        spot = self._spot_of(self.mark, items, unit, radius)
        at, times = self._detail_at(items, spot, to_pixels, window, radius), magnification(spot, unit=unit, radius=radius)
        letters = [item for item in self._circle(spot, items, unit) if isinstance(item, Text)]
        lines = caption_lines(self.mark, times, at=at, radius=radius, unit=unit)
        return [
            *boxes,
            *(_words_box(text, max(text.size, len(text.words) * text.size * LETTER_WIDTH), unit) for text in (*letters, *lines)),
        ]

    def draw(self, painter: QPainter, items: SectionItems, to_pixels: QTransform, window: QRectF) -> None:
        """Draw all that is wanted; nothing without a mark."""
        mark = self.mark
        if mark is None:
            return
        place = (mark, QTransform(to_pixels), window, items.style, self.detail)
        if not self.waits or self._told is None or self._told[0] != place:
            self._told = (place, self._told_of(mark, items, to_pixels, window))
        told = self._told[1]
        self._patch.draw(painter, told.patch, items.style, to_pixels=to_pixels)
        if told.overlap is not None:
            self._draw_projection(painter, told.overlap, items, to_pixels, window)
        self._over.draw(painter, told.over, items.style, to_pixels=to_pixels)
        if told.detail is not None:
            self._enlarged.draw(painter, told.detail, items.style, to_pixels=to_pixels)

    def _told_of(self, mark: GapMark, items: SectionItems, to_pixels: QTransform, window: QRectF) -> "_Told":
        unit = 1.0 / to_pixels.m11()
        radius = detail_radius(window) if self.detail else None
        spot = self._spot_of(mark, items, unit, radius or DETAIL_RADIUS)
        patch, over = self._drawn_at(mark, items, spot, unit, seen=_seen(to_pixels, window) if radius is None else None)
        if radius is None:
            return _Told(patch, over, None, spot.overlap)
        at = self._detail_at(items, spot, to_pixels, window, radius)
        return _Told(patch, over, self._detail(mark, items, spot, at, radius, unit), spot.overlap)

    def _drawn_at(
        self, mark: GapMark, items: SectionItems, spot: Spot, unit: float, *, seen: Extent | None
    ) -> tuple[DisplayList, DisplayList]:
        """The overlap, and over it the gap dimension in what is `seen`, or the circle that detail A enlarges; kept, as detail A is."""
        corner = self._corner_of(spot, items, unit) if seen is None else None
        # What words keep off.
        around = () if seen is None else (*items.poses.values(), *items.end_poses.items())
        key = (mark, spot, unit, seen, corner, items.slabs, self.moving, around)
        if self._around is None or self._around[0] != key:
            patch = tuple(overlap_items(spot.overlap, unit=unit)) if spot.overlap is not None else ()
            over = self._circle(spot, items, unit)
            if seen is not None:
                over = _dimension(mark, spot, items, unit, seen, moving=self.moving)
            self._around = (key, patch, tuple(over))
        return self._around[1:]

    def _circle(self, spot: Spot, items: SectionItems, unit: float) -> DisplayList:
        return spot_circle(spot, unit=unit, corner=self._corner_of(spot, items, unit))

    def _corner_of(self, spot: Spot, items: SectionItems, unit: float) -> Point:
        """Where the letter of the circle on the drawing stands; while bodies move it stays there."""
        if not self.moving:
            key = (spot, unit, items.slabs, *items.poses.values())
            if self._corner is None or self._corner[0] != key:
                self._corner = (key, free_corner(spot, items.symbol_places(), unit=unit, crosses=items.crosses_outline))
        return self._corner[1] if self._corner is not None else CORNERS[0]

    def _detail(self, mark: GapMark, items: SectionItems, spot: Spot, at: Point, radius: float, unit: float) -> DisplayList:
        """Detail A; kept, since the board is painted again and again at one pose."""
        poses = _poses(mark, items)
        key = (mark, spot, at, radius, unit, items.slabs, items.style, items.selected, self.moving, *poses.values())
        if self._view is None or self._view[0] != key:
            words = self._words_in_detail(mark, items, spot, poses, at, radius, unit)
            look = Look(items.paint_of, items.selected)
            shown = detail_view(mark, spot, items.slabs, poses, at=at, radius=radius, unit=unit, look=look, words=words)
            self._view = (key, shown)
        return self._view[1]

    def _words_in_detail(
        self, mark: GapMark, items: SectionItems, spot: Spot, poses: dict[BodyName, Pose], at: Point, radius: float, unit: float
    ) -> tuple[DisplayList, DisplayList]:
        # Names stay where they are while bodies move, but not where the circle shows much more than it did at rest.
        place = (mark.pair, at, radius, unit, items.slabs, spot.radius < SPOT_LEAST * unit)
        if self.moving:
            names = self._names[1] if self._names is not None and self._names[0] == place else ()
            return names, way_out_items(mark, spot, at=at, radius=radius, unit=unit)
        words = detail_words(mark, spot, items.slabs, poses, at=at, radius=radius, unit=unit)
        self._names = (place, words[0])
        return words

    def _reach_of(self, overlap: Path) -> Extent | None:
        """How far an overlap reaches, mm; kept, since strip and board ask for it at every move of a drive."""
        if self._reach is None or self._reach[0] is not overlap:
            self._reach = (overlap, extent(overlap))
        return self._reach[1]

    def _draw_projection(self, painter: QPainter, overlap: Path, items: SectionItems, to_pixels: QTransform, window: QRectF) -> None:
        """The ends, at the board's edge, of the lines that carry the overlap over to the depth strip."""
        reach = self._reach_of(overlap)
        if reach is not None:
            painter.setPen(pen("narrow", QColor(items.style.ink)))
            for y in (reach[1], reach[3]):
                at = to_pixels.map(QPointF(0.0, y)).y()
                painter.drawLine(QPointF(window.right() - PROJECTION, at), QPointF(window.right(), at))

    def _spot_of(self, mark: GapMark, items: SectionItems, unit: float, radius: float) -> Spot:
        poses = _poses(mark, items)
        key = (mark, unit, radius, items.slabs, self.moving, *poses.values())
        if self._spot is None or self._spot[0] != key:
            least = self._least(mark, unit, radius)
            self._spot = (key, spot_of(mark, items.slabs, poses, unit=unit, radius=radius, least=least))
        return self._spot[1]

    def _least(self, mark: GapMark, unit: float, radius: float) -> float:
        """The least radius that detail A enlarges: closer where little would be seen, but not while bodies move and it would jump."""
        at_most = radius * CLOSER / SPOT_LEAST * abs(mark.gap) / unit
        if self.moving or at_most < FAINT:
            return SPOT_LEAST
        return least_spot(mark.gap, unit=unit, radius=radius, seen=SEEN, closer=CLOSER)

    def _detail_at(self, items: SectionItems, spot: Spot, to_pixels: QTransform, window: QRectF, radius: float) -> tuple[float, float]:
        if self._place is None:
            bodies = [_box(reach, to_pixels) for reach in items.reaches()]
            self._place = detail_place(window, radius, bodies=bodies, spot=to_pixels.map(QPointF(*spot.centre)))
        at = to_pixels.inverted()[0].map(self._place)
        return at.x(), at.y()


def _dimension(mark: GapMark, spot: Spot, items: SectionItems, unit: float, seen: Extent, *, moving: bool) -> DisplayList:
    """The gap's dimension, its words off joint symbols and small bodies and within what is `seen`, mm, where they can.

    They keep off outlines, too, but not while bodies are `moving`: they would jump about, and no frame waits for it.
    """
    left, low, right, high = seen
    outside = [
        (-math.inf, -math.inf, left, math.inf),
        (right, -math.inf, math.inf, math.inf),
        (-math.inf, -math.inf, math.inf, low),
        (-math.inf, high, math.inf, math.inf),
    ]
    small = items.small(unit)
    off = [*around_symbols(items.symbol_places(), unit=unit), *small, *outside]
    return gap_dimension(mark, unit=unit, beside=spot.overlap, off=off, crosses=None if moving else items.crosses_outline)


def _seen(to_pixels: QTransform, window: QRectF) -> Extent:
    there = to_pixels.inverted()[0].mapRect(window)
    return there.left(), there.top(), there.right(), there.bottom()


def _words_box(text: Text, wide: float, unit: float) -> Extent:
    """Where a text in the middle of its place stands, mm; `wide` drawing units."""
    (x, y), half, up = text.at, (wide / 2.0 + HALO) * unit, text.size / 2.0 * unit
    return x - half, y - up, x + half, y + up


def _poses(mark: GapMark, items: SectionItems) -> dict[BodyName, Pose]:
    return {body: items.pose_of(body) for body in mark.pair}


def _box(reach: Extent, to_pixels: QTransform) -> QRectF:
    return to_pixels.mapRect(QRectF(reach[0], reach[1], reach[2] - reach[0], reach[3] - reach[1]))
