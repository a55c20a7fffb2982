"""Draws a shape: discs, bars, boxes, bores and frames by two points, polygons and holes by many."""

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import Final, Literal

from msgspec.structs import replace
from PySide6.QtCore import QObject, QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QTransform

from app.board.board import Board
from app.board.paint import pen, qt_path
from app.board.tools.drawn_shape import BAR_RADIUS, WALL, Kind, drawn_shape
from app.board.tools.snap import Candidate
from app.document.desk import Desk
from app.drawing.charts import Chart, Opposite, Place, Rim, Stretch
from app.drawing.dimensions import degrees, draw_length, millimetres, radius_words
from app.drawing.section_tool import SectionTool
from core.drawing.outline import outline
from core.model.edit_bodies import add_body, free_body_name
from core.model.edit_project import DEPTH
from core.model.edit_shapes import add_shape
from core.model.names import BodyName, SectionName
from core.model.outline import self_crossing
from core.model.project import Body, Project
from core.model.shapes import Bar, Bore, Frame, Point, Polygon, Shape

Drawn = Literal["disc", "bar", "box", "polygon", "bore", "frame"]
KINDS: Final[tuple[Drawn, ...]] = ("disc", "bar", "box", "polygon", "bore", "frame")
LEAST_POINTS = 3
"""Of a polygon."""
TWO_POINTS = 2
"""Of all other shapes: from the first to the second."""
FIRST_SIZES: Final[Mapping[Drawn, Point]] = {
    "disc": (5.0, 0.0),
    "bar": (20.0, 0.0),
    "box": (20.0, 10.0),
    "polygon": (20.0, 0.0),
    "bore": (20.0, 0.0),
    "frame": (80.0, 50.0),
}
"""mm from the first point to the second, while no pointer says otherwise."""


class ShapeTool(SectionTool):
    """Draws one shape as a new body, or into the body `into`; it ends with the shape as one step of the history."""

    def __init__(self, desk: Desk, board: Board, kind: Drawn, *, into: BodyName | None = None, parent: QObject | None = None) -> None:
        super().__init__(desk, board, parent)
        self._kind, self._into = kind, into
        if kind == "bar":
            self.extras = {"across": BAR_RADIUS}
        elif kind in ("bore", "frame"):
            self.extras = {"wall": WALL}
        elif kind in ("box", "polygon"):
            self.extras = {"corner": 0.0}

    def line_from(self) -> Point | None:
        return super().line_from() if self._kind not in ("box", "frame") else None

    def own_candidates(self) -> Sequence[Candidate]:
        if self._kind != "polygon" or len(self.points) < LEAST_POINTS:
            return ()
        return (Candidate(self.points[0], self.tr("first point: closes the outline"), None, (self.points[-1], self.points[0])),)

    def chart(self) -> Chart:
        if not self.points:
            return Place()
        if self._kind in ("disc", "bore"):
            return Rim(self.points[0])
        return Opposite(self.points[0]) if self._kind in ("box", "frame") else Stretch(self.points[-1])

    def first_guess(self) -> Point:
        if not self.points:
            return (0.0, 0.0)
        (x, y), (across, up) = self.points[-1], FIRST_SIZES[self._kind]
        return (x + across, y + up)

    @property
    def kind(self) -> Drawn:
        """What it draws."""
        return self._kind

    def draw_into(self, body: BodyName | None) -> None:
        """Draw into a body; None: as a new body."""
        self._into = None if body == self._into else body
        self.changed.emit()

    def sentence(self) -> tuple[str, str]:
        first = not self.points
        head = self.tr("New {kind}") if self._into is None else self.tr("{kind} of {body}")
        head = head.format(kind=self.tr(self._kind), body=self._into or "")
        text, hint = self._first_words() if first else self._next_words()
        return f"{head[:1].upper()}{head[1:]}, {text}", hint

    def names(self) -> Mapping[str, str]:
        return {
            "across": self.tr("radius of the bar"),
            "corner": self.tr("corner radius"),
            "wall": self.tr("wall"),
        }

    def take(self, point: Point) -> None:
        closing = self._kind == "polygon" and len(self.points) >= LEAST_POINTS and point == self.points[0]
        if closing:
            self.finish()
            return
        if point in self.points[-1:]:
            return
        self.points.append(point)
        if self._kind != "polygon" and len(self.points) == TWO_POINTS:
            self._keep()

    def finish(self) -> None:
        """Close the polygon where it is one by now."""
        if self._kind == "polygon" and len(self.points) >= LEAST_POINTS:
            self._keep()

    def shape(self, points: Sequence[Point]) -> Shape | None:
        """The shape that points make with the numbers typed; None where it has no size."""
        if self._kind == "polygon":
            return Polygon(points=tuple(points), corner_radius=self.extras["corner"]) if len(points) >= LEAST_POINTS else None
        made = drawn_shape(_kind(self._kind), points[0], points[1]) if len(points) > 1 else None
        if isinstance(made, Bar):
            return replace(made, radius=self.extras["across"])
        if isinstance(made, Bore | Frame):
            return replace(made, wall=self.extras["wall"])
        return replace(made, corner_radius=self.extras["corner"]) if made is not None and self._kind == "box" else made

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        if self.points:
            style = self.board.style_drawn()
            shown = (*self.points, self.next_point())
            painter.setPen(pen("wide", QColor(style.ink)))
            made = self.shape(shown)
            crossed = isinstance(made, Polygon) and self_crossing(made.points) is not None
            if made is not None and not crossed:
                painter.drawPath(view.map(qt_path((outline(made),))))
            else:
                for one, other in pairwise(shown):
                    painter.drawLine(view.map(QPointF(*one)), view.map(QPointF(*other)))
            self._draw_lengths(painter, view)
        super().draw(painter, view, window)

    def _draw_lengths(self, painter: QPainter, view: QTransform) -> None:
        style, chart, end = self.board.style_drawn(), self.chart(), self.next_point()
        numbers, start = chart.numbers(end), self.points[-1]
        if isinstance(chart, Rim):
            draw_length(painter, view, style, start, end, radius_words(numbers[0]))
        elif isinstance(chart, Opposite):
            x, y = self.points[0]
            low, high, right = min(y, end[1]), max(y, end[1]), max(x, end[0])
            air = 12.0 / self.board.pixels_a_mm
            draw_length(painter, view, style, (min(x, end[0]), high + air), (right, high + air), millimetres(numbers[0]))
            draw_length(painter, view, style, (right + air, low), (right + air, high), millimetres(numbers[1]), right=True)
        else:
            draw_length(painter, view, style, start, end, f"{millimetres(numbers[0])}  {degrees(numbers[1])}")

    def _first_words(self) -> tuple[str, str]:
        where = {
            "disc": self.tr("centre at ({x}, {y})"),
            "bore": self.tr("centre at ({x}, {y})"),
            "box": self.tr("a corner at ({x}, {y})"),
            "frame": self.tr("a corner of its free inside at ({x}, {y})"),
            "bar": self.tr("from ({x}, {y})"),
            "polygon": self.tr("first point at ({x}, {y})"),
        }
        return where[self._kind], self.tr("Click, or type and Enter. Ctrl: no snapping.")

    def _next_words(self) -> tuple[str, str]:
        told = {
            "disc": self.tr("radius {radius}"),
            "bore": self.tr("radius {radius}, wall {wall}"),
            "box": self.tr("{width} by {height}, corners rounded by {corner}"),
            "frame": self.tr("{width} by {height} inside, wall {wall}"),
            "bar": self.tr("{length} long at {direction}, radius {across}"),
            "polygon": self.tr("next point {length} on at {direction}, corners rounded by {corner}"),
        }
        hint = self.tr("Click, or type: Tab to the next number, Enter takes.")
        if self._kind == "polygon" and len(self.points) >= LEAST_POINTS:
            hint = self.tr("Click the first point, or twice, to close it.")
        return told[self._kind], hint

    def _keep(self) -> None:
        made = self.shape(self.points)
        section = self._desk.choice.section
        if made is None or section is None:
            self.points.pop()
            return
        if self._into is not None and self._into in {body.name for body in self.bodies()}:
            body = self._into
            text, edit = self.tr("Add a {kind} to {body}"), _adding(section, body, made)
        else:
            body, text, edit = self._new_body(made)
        if self._desk.document.change(text.format(kind=self.tr(self._kind), body=body), edit):
            self._desk.choice.pick_bodies((body,))
        self.ended.emit()

    def _new_body(self, shape: Shape) -> tuple[BodyName, str, Callable[[Project], Project]]:
        project, section = self._desk.project, self._desk.choice.section
        if project is None or section is None:
            raise AssertionError("a tool is in hand without a project")
        name = free_body_name(project, section, self.tr("body"))
        body = Body(name=name, fixed=isinstance(shape, Bore | Frame), depth=DEPTH, shapes=(shape,))
        return name, self.tr("Draw {body}"), lambda old: add_body(old, section, body)


def _adding(section: SectionName, body: BodyName, shape: Shape) -> Callable[[Project], Project]:
    return lambda project: add_shape(project, section, body, shape)


def _kind(drawn: Drawn) -> Kind:
    if drawn == "polygon":
        raise ValueError("a polygon has more than two points")
    return drawn
