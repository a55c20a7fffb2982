"""Tools that measure on the board, at the pose shown: distances, angles, radii and gaps, kept as marks until they are cleared."""

from PySide6.QtCore import QObject, QPointF, QRectF
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QTransform

from app.board.board import Board
from app.board.marks import Angle, Arm, Distance, Gap, Held, Mark, Radius
from app.board.marks_kept import Marks
from app.board.paint import pen, qt_path
from app.board.tools.snap import Candidate, candidates
from app.document.choice import body_named
from app.document.desk import Desk
from app.drawing.charts import Chart, Place, Stretch
from app.drawing.on_bodies import said
from app.drawing.section_tool import SectionTool
from app.drawing.snapped import write_beside
from core.drawing.path import DRAWN, Arc, moved
from core.drawing.slabs import body_slabs
from core.model.names import BodyName
from core.model.project import Section
from core.model.shapes import Point

NAMED_AT = QPointF(14.0, 22.0)
"""Logical pixels from the pointer to the name of the body under it."""


class Measuring(SectionTool):
    """Measures one thing after another until it is put away. Snaps to bodies where they are posed, not to the grid."""

    def __init__(self, desk: Desk, board: Board, marks: Marks, parent: QObject | None = None) -> None:
        super().__init__(desk, board, parent)
        self._marks = marks
        self.held: list[Held] = []

    def mark(self, at: Point) -> Mark | None:
        """What is measured with the next point at `at`."""
        raise NotImplementedError

    def found(self, at: Point, within: float) -> tuple[Candidate, ...]:
        start = self.held[-1].posed(self._marks.poses) if self.held else None
        return candidates(self.bodies(), at, within=within, grid=0.0, poses=self._marks.poses, joints=self.joints(), from_=start)

    def held_here(self, at: Point) -> Held:
        """The next point, held to the body it belongs to."""
        snapped = self.snapped
        if snapped is not None and snapped.at == at:
            return self.held_at(at, self._lasting(snapped), snapped.body, snapped)
        hit = self.board.body_at(self.board.viewportTransform().map(QPointF(*at)))
        if hit is not None:
            return self.held_at(at, self.tr("a place on {body}").format(body=hit.body), hit.body)
        return Held(at, f"({at[0]:.2f}, {at[1]:.2f})")

    def held_at(self, at: Point, told: str, body: BodyName | None, snapped: Candidate | None = None) -> Held:
        """A point of the board as one of the body, or of the section where `body` is None."""
        own = self._marks.poses.get(body, DRAWN).unplace(at) if body is not None else at
        return Held(own, told, body, snapped.pin if snapped is not None else None)

    def _lasting(self, snapped: Candidate) -> str:
        """What a place is wherever its body goes: that it was square to a line, or crossed another body, is of the moment."""
        if snapped.kind in ("square", "touching"):
            return self.tr("edge of {body}").format(body=snapped.body)
        return self.tr("a place on {body}").format(body=snapped.body) if snapped.kind == "crossing" else snapped.told

    def keep(self, mark: Mark) -> None:
        """Keep a mark, and begin anew."""
        self.held.clear()
        self.points.clear()
        self._marks.add(mark)

    def take(self, point: Point) -> None:
        self.held.append(self.held_here(point))
        self.points.append(point)

    def back(self) -> None:
        if self.held:
            self.held.pop()
        super().back()

    def give_up(self) -> None:
        self._marks.trying = None
        self.board.viewport().update()

    def stand(self) -> None:
        """Follow the bodies: what is held stands where they are now."""
        if self.held and len(self.held) == len(self.points):
            self.points[:] = [held.posed(self._marks.poses) for held in self.held]

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        painter.setClipRect(window)
        super().draw(painter, view, window)

    def _tell(self) -> None:
        self.stand()
        self._marks.trying = self.mark(self.next_point())
        super()._tell()

    def _value(self) -> str:
        """What is measured just now, in words; a dash where it is nothing yet."""
        trying = self._marks.trying
        return self._marks.reading(trying).words(self.tr) if trying is not None else "\N{EN DASH}"


class DistanceTool(Measuring):
    """From one point to another."""

    def chart(self) -> Chart:
        return Stretch(self.points[-1]) if self.points else Place()

    def sentence(self) -> tuple[str, str]:
        if self.held:
            text = self.tr("Distance from {start}: {length} at {direction}").replace("{start}", said(self.held[0].told))
            return text, self.tr("Click its end. Tab: another place. Ctrl: no snapping.")
        return self.tr("Distance from ({x}, {y})"), self.tr("Click its beginning. Tab: another place. Ctrl: no snapping.")

    def mark(self, at: Point) -> Mark | None:
        return Distance(self.held[0], self.held_here(at)) if self.held else None

    def take(self, point: Point) -> None:
        if not self.held:
            super().take(point)
        elif point != self.points[0]:
            self.keep(Distance(self.held[0], self.held_here(point)))


class AngleTool(Measuring):
    """Between two rays from a corner, by three points; or between two straight edges."""

    def __init__(self, desk: Desk, board: Board, marks: Marks, parent: QObject | None = None) -> None:
        super().__init__(desk, board, marks, parent)
        self._edge: Arm | None = None

    def found(self, at: Point, within: float) -> tuple[Candidate, ...]:
        near = super().found(at, within)
        return tuple(one for one in near if _straight(one)) if self._edge is not None else near

    def sentence(self) -> tuple[str, str]:
        if self._edge is not None:
            text = self.tr("Angle of {edge} with another edge: {angle}").replace("{edge}", said(self._edge.spot.told))
            return text.replace("{angle}", self._value()), self.tr("Click a straight edge.")
        if not self.held:
            return self.tr("Angle at ({x}, {y})"), self.tr("Click its corner, or one of two edges. Tab: another place.")
        text = self.tr("Angle at {corner}: {angle}").replace("{corner}", said(self.held[0].told)).replace("{angle}", self._value())
        return text, self.tr("Click a point of the first side.") if len(self.held) == 1 else self.tr("Click a point of the other side.")

    def mark(self, at: Point) -> Mark | None:
        if self._edge is not None:
            other = self._edge_here()
            return Angle(self._edge, other) if other is not None else None
        if len(self.held) < 2:
            return None
        corner, first = self.held
        last = self.held_here(at)
        return Angle(Arm(corner, first, first), Arm(corner, last, last)) if at not in self.points else None

    def take(self, point: Point) -> None:
        made = self.mark(point)
        if made is not None:
            self._edge = None
            self.keep(made)
        elif self._edge is None and not self.held and (edge := self._edge_here()) is not None:
            self._edge = edge
        elif self._edge is None and point not in self.points:
            super().take(point)

    def back(self) -> None:
        if self._edge is None:
            super().back()
        else:
            self._edge = None
            self._tell()

    def _edge_here(self) -> Arm | None:
        """The straight edge that is snapped to; not the one that is taken already."""
        one = self.snapped
        if one is None or one.line is None or not _straight(one):
            return None
        start, end = (self.held_at(point, one.told, one.body) for point in one.line)
        taken = self._edge is not None and (self._edge.start, self._edge.end) == (start, end)
        return None if taken else Arm(start, end, self.held_at(one.at, one.told, one.body))


class RadiusTool(Measuring):
    """Of a round edge."""

    def found(self, at: Point, within: float) -> tuple[Candidate, ...]:
        return tuple(one for one in super().found(at, within) if one.kind == "edge" and isinstance(one.edges[0], Arc))

    def sentence(self) -> tuple[str, str]:
        return self.tr("Radius: {radius}").replace("{radius}", self._value()), self.tr("Click a round edge.")

    def mark(self, at: Point) -> Mark | None:  # noqa: ARG002 - what is snapped to tells more
        one = self.snapped
        arc = one.edges[0] if one is not None and one.edges else None
        if one is None or not isinstance(arc, Arc):
            return None
        centre = self.held_at(arc.centre, self.tr("centre of {body}").format(body=one.body), one.body)
        return Radius(centre, self.held_at(one.at, one.told, one.body))

    def take(self, point: Point) -> None:
        made = self.mark(point)
        if made is not None:
            self.keep(made)


class GapTool(Measuring):
    """Of two bodies, clicked one after the other."""

    def __init__(self, desk: Desk, board: Board, marks: Marks, parent: QObject | None = None) -> None:
        super().__init__(desk, board, marks, parent)
        self.first: BodyName | None = None
        self.under: BodyName | None = None

    def found(self, at: Point, within: float) -> tuple[Candidate, ...]:  # noqa: ARG002 - bodies are clicked, not places
        return ()

    def sentence(self) -> tuple[str, str]:
        if self._desk.mechanism is None:
            return self.tr("Gap of two bodies"), self.tr("The drawing has faults: mend them, then gaps can be measured.")
        if self.first is None:
            return self.tr("Gap of two bodies"), self.tr("Click a body.")
        return self.tr("Gap of {first} to another body").replace("{first}", said(self.first)), self.tr("Click the other body.")

    def mark(self, at: Point) -> Mark | None:  # noqa: ARG002 - a gap is told once both bodies are
        return None

    def move(self, at: Point, event: QMouseEvent) -> bool:
        self._look(event.position())
        return super().move(at, event)

    def press(self, at: Point, event: QMouseEvent) -> bool:
        self._look(event.position())
        return super().press(at, event)

    def release(self, at: Point, event: QMouseEvent) -> None:
        """Bodies are clicked; where the button comes up says nothing."""

    def leave(self) -> None:
        self.under = None
        super().leave()

    def take(self, point: Point) -> None:  # noqa: ARG002 - the body under it is what counts
        if self.under is None or self.under == self.first or self._desk.mechanism is None:
            return
        if self.first is None:
            self.first = self.under
        else:
            pair = gap_mark(self.section(), (self.first, self.under))
            self.first = None
            self.keep(pair)

    def back(self) -> None:
        if self.first is None:
            super().back()
        else:
            self.first = None
            self._tell()

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        """The bodies in hand with the heavier line, and the name of the one under the pointer."""
        super().draw(painter, view, window)
        style = self.board.style_drawn()
        painter.setPen(pen("selected", QColor(style.ink)))
        for name in {self.first, self.under} - {None}:
            body = body_named(self.section(), BodyName(name or ""))
            for slab in body_slabs(body) if body is not None else ():
                painter.drawPath(view.map(qt_path((moved(slab.lines, self._marks.poses.get(slab.body, DRAWN)),))))
        if self.under is not None and self._raw is not None:
            write_beside(painter, style, view.map(QPointF(*self._raw)) + NAMED_AT, self.under)

    def _look(self, at: QPointF) -> None:
        hit = self.board.body_at(at)
        self.under = hit.body if hit is not None else None


def gap_mark(section: Section | None, pair: tuple[BodyName, BodyName]) -> Gap:
    """The mark of a pair, told in the order of the section, so that the same pair is kept once."""
    order = [body.name for body in section.bodies] if section is not None else []
    first, second = sorted(pair, key=lambda name: order.index(name) if name in order else len(order))
    return Gap((first, second))


def _straight(one: Candidate) -> bool:
    return one.kind == "edge" and one.line is not None
