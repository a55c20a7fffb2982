"""Cuts a hole: a ring of points drawn inside a box or polygon, which keeps it as a hole of its own."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QObject

from app.board.board import Board
from app.document.desk import Desk
from app.drawing.on_bodies import said as sayable
from app.drawing.shape_tool import LEAST_POINTS, ShapeTool
from core.model.edit_shapes import as_polygon, cut_hole
from core.model.names import BodyName
from core.model.outline import distance_to_ring, ring_holds, rings_meet, self_crossing
from core.model.project import Body
from core.model.shapes import Box, Point, Polygon
from core.tolerances import DEFAULT_TOLERANCES


@dataclass(frozen=True, slots=True)
class Holding:
    """A shape that a hole can be cut in: the one at a place of a body, as a polygon."""

    body: BodyName
    index: int
    polygon: Polygon


def holding(bodies: Iterable[Body], at: Point) -> Holding | None:
    """The box or polygon whose material holds `at`, mm, the last of the highest body; None where there is none."""
    found: Holding | None = None
    for body in sorted(bodies, key=lambda body: body.depth[1]):
        for index, shape in enumerate(body.shapes):
            if isinstance(shape, Box | Polygon):
                polygon = as_polygon(shape)
                if _inside(polygon.points, at) and not any(ring_holds(hole, at) or _on(hole, at) for hole in polygon.holes):
                    found = Holding(body.name, index, polygon)
    return found


def fits(polygon: Polygon, ring: Sequence[Point]) -> bool:
    """Whether a ring can be a hole of the polygon: sound in itself, inside the outline, and apart from it and other holes."""
    rings = (polygon.points, *polygon.holes)
    if self_crossing(ring) is not None or any(rings_meet(one, ring) is not None for one in rings):
        return False
    return ring_holds(polygon.points, ring[0]) and not any(ring_holds(hole, ring[0]) or ring_holds(ring, hole[0]) for hole in polygon.holes)


class HoleTool(ShapeTool):
    """Draws a ring and cuts it out of the shape under its first point: of the body in hand, or, where none is, of any."""

    def __init__(self, desk: Desk, board: Board, *, parent: QObject | None = None) -> None:
        super().__init__(desk, board, "polygon", parent=parent)
        self.extras = {}
        self._holding: Holding | None = None
        self._lack = ""

    def take(self, point: Point) -> None:
        self._lack = ""
        if not self.points:
            self._holding = holding(self._in_hand(), point)
            if self._holding is None:
                self._lack = self.tr("There is no box or polygon to cut there.")
                return
        super().take(point)

    def shape(self, points: Sequence[Point]) -> Polygon | None:
        return Polygon(points=tuple(points)) if len(points) >= LEAST_POINTS else None

    def names(self) -> Mapping[str, str]:
        return {"x": self.tr("x of the first point"), "y": self.tr("y of the first point")} if not self.points else {}

    def sentence(self) -> tuple[str, str]:
        if self._holding is None or not self.points:
            return self.tr("Cut a hole, first point at ({x}, {y})"), self._lack or self.tr("Click inside a box or polygon.")
        text = self.tr("Hole in {body}, next point {length} on at {direction}").replace("{body}", sayable(self._holding.body))
        closing = self.tr("Click the first point, or twice, to close it.")
        hint = closing if len(self.points) >= LEAST_POINTS else self.tr("Click, or type: Tab to the next number, Enter takes.")
        return text, self._lack or hint

    def _in_hand(self) -> Sequence[Body]:
        picked = self._desk.handwork.picked
        return [body for body in self.bodies() if body.name in picked or not picked]

    def _keep(self) -> None:
        section, ring = self._desk.choice.section, tuple(self.points)
        found = holding(self._in_hand(), ring[0])  # undo may have changed what was there
        if section is None or found is None or not fits(found.polygon, ring):
            self._lack = self.tr("A hole must lie inside the outline, apart from other holes. Backspace takes points back.")
            self.changed.emit()
            return
        body, index = found.body, found.index
        text = self.tr("Cut a hole in {body}").format(body=body)
        self._desk.document.change(text, lambda project: cut_hole(project, section, body, index, ring))
        self._desk.choice.pick_bodies((body,))
        self.ended.emit()


def _inside(ring: Sequence[Point], at: Point) -> bool:
    return ring_holds(ring, at) and not _on(ring, at)


def _on(ring: Sequence[Point], at: Point) -> bool:
    return distance_to_ring(at, ring) <= DEFAULT_TOLERANCES.on_outline
