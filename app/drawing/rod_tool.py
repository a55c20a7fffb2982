"""Draws a rod: a bar from pin to pin, pinned at each end to the body that lies under it, at a depth that is free there."""

from collections.abc import Callable, Collection, Mapping

from msgspec.structs import replace
from PySide6.QtCore import QObject, QRectF
from PySide6.QtGui import QColor, QPainter, QTransform

from app.board.board import Board
from app.board.paint import pen, qt_path
from app.board.tools.drawn_shape import BAR_RADIUS
from app.document.desk import Desk
from app.drawing.bodies_under import carriers
from app.drawing.charts import Chart, Place, Stretch
from app.drawing.dimensions import degrees, draw_length, millimetres
from app.drawing.free_depth import free_depth
from app.drawing.joint_drawing import draw_joint
from app.drawing.on_bodies import OnBodies, said
from app.drawing.tool import Said
from core.drawing.outline import outline
from core.model.fragment import Fragment
from core.model.joints import Pivot
from core.model.names import BodyName, JointName, SectionName
from core.model.pasting import pasted
from core.model.project import Project
from core.model.shapes import Band, Bar, Point
from core.stores.push_pull import rod_between

THICK = 2.0
"""mm across the section that a new rod has until it is changed: a start, to be measured."""
FIRST_LENGTH = 20.0
"""mm from the first pin to the second while no pointer says otherwise."""


class RodTool(OnBodies):
    """One rod with its two pins, as one step of the history. Its sizes are the user's own numbers, its pins have no play."""

    def __init__(self, desk: Desk, board: Board, parent: QObject | None = None) -> None:
        super().__init__(desk, board, parent)
        self.extras = {"across": BAR_RADIUS, "thick": THICK}
        self._wanted: list[BodyName | None] = [None, None]

    def ends(self) -> tuple[BodyName, ...]:
        """The bodies that the end in hand could be pinned to, the likeliest first."""
        section = self.section()
        found = carriers(section, self.next_point()) if section is not None else ()
        taken = self._first()
        return tuple(name for name in found if name != taken)

    def _first(self) -> BodyName | None:
        return self._wanted[0] if self.points else None

    def carrier(self) -> BodyName | None:
        """The body that the end in hand would be pinned to now."""
        found, wanted = self.ends(), self._wanted[len(self.points)]
        return wanted if wanted in found else next(iter(found), None)

    def worked_on(self) -> Collection[BodyName]:
        return {name for name in (self._first(), self.carrier()) if name is not None}

    def cycle(self, by: int) -> None:
        found, here = self.ends(), self.carrier()
        if here is not None:
            self._wanted[len(self.points)] = found[(found.index(here) + by) % len(found)]
            self._tell()

    def choose(self, word: str) -> None:
        if word == "other":
            self.cycle(1)

    def back(self) -> None:
        self._wanted[len(self.points)] = None
        super().back()

    def chart(self) -> Chart:
        return Stretch(self.points[0]) if self.points else Place()

    def first_guess(self) -> Point:
        return (self.points[0][0] + FIRST_LENGTH, self.points[0][1]) if self.points else (0.0, 0.0)

    def names(self) -> Mapping[str, str]:
        return {
            "length": self.tr("length from pin to pin"),
            "direction": self.tr("direction"),
            "across": self.tr("radius of the rod"),
            "thick": self.tr("thickness, across the section"),
        }

    def said(self) -> Said:
        plain, found, here = super().said(), self.ends(), self.carrier()
        if here is None or len(found) < 2:
            return plain
        word = self.tr("other body ({place} of {count})").format(place=found.index(here) + 1, count=len(found))
        return Said(plain.text, plain.numbers, plain.fixed, plain.hint, (("other", word),))

    def sentence(self) -> tuple[str, str]:
        here = self.carrier()
        hint = self.tr("Click, or type and Enter. Down: another body.")
        if not self.points:
            if here is None:
                return self.tr("Rod from ({x}, {y}): no body lies here"), self.tr("Point at what the rod is pinned to.")
            return self.tr("Rod from {body} at ({x}, {y})").replace("{body}", said(here)), hint
        first = said(self._wanted[0] or "")
        if here is None:
            told = self.tr("Rod from {first}, {length} long at {direction}: no other body lies here")
            return told.replace("{first}", first), self.tr("Point at what its other end is pinned to.")
        text = self.tr("Rod from {first} to {body}, {length} at {direction}, radius {across}, {thick} thick")
        return text.replace("{first}", first).replace("{body}", said(here)), self._depth_words(self.depth())

    def _depth_words(self, depth: Band | None) -> str:
        return self.tr("It lies {low} to {high} mm deep.").format(low=millimetres(depth[0]), high=millimetres(depth[1])) if depth else ""

    def depth(self) -> Band | None:
        """The depth band that it would lie in; None while the second body is not clear."""
        section, first, second = self.section(), self._first(), self.carrier()
        if section is None or first is None or second is None:
            return None
        bar = Bar(start=self.points[0], end=self.next_point(), radius=self.extras["across"])
        return free_depth(section, bar, thick=self.extras["thick"], over=(first, second))

    def take(self, point: Point) -> None:
        here = self.carrier_at(point)
        if here is None or point in self.points or min(self.extras.values()) <= 0.0:
            return
        self._wanted[len(self.points)] = here
        if not self.points:
            self.points.append(point)
        else:
            self._keep(point, here)

    def carrier_at(self, point: Point) -> BodyName | None:
        """The body that an end at `point` would be pinned to."""
        section, wanted = self.section(), self._wanted[len(self.points)]
        found = [name for name in carriers(section, point) if name != self._first()] if section is not None else []
        return wanted if wanted in found else next(iter(found), None)

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        section, style, here = self.section(), self.board.style_drawn(), self.carrier()
        if section is None:
            return
        shown = self.next_point()
        pins = (*self.points, shown) if here is not None else tuple(self.points)
        if self.points and shown != self.points[0]:
            painter.setPen(pen("wide", QColor(style.ink)))
            radius = max(self.extras["across"], 0.0)
            painter.drawPath(view.map(qt_path((outline(Bar(start=self.points[0], end=shown, radius=radius)),))))
            chart = self.chart()
            numbers = chart.numbers(shown)
            draw_length(painter, view, style, self.points[0], shown, f"{millimetres(numbers[0])}  {degrees(numbers[1])}")
        for at in pins:
            draw_joint(
                painter, view, style, Pivot(name=JointName("pin"), between=(BodyName(""), BodyName("")), at=at), section, heavier=True
            )
        super().draw(painter, view, window)

    def _keep(self, point: Point, second: BodyName) -> None:
        section, drawn, first = self._desk.choice.section, self.section(), self._wanted[0] or BodyName("")
        if section is None or drawn is None or first not in {body.name for body in drawn.bodies}:
            return
        bar = Bar(start=self.points[0], end=point, radius=self.extras["across"])
        depth = free_depth(drawn, bar, thick=self.extras["thick"], over=(first, second))
        rod = _own_sizes(rod_between((first, bar.start), (second, bar.end), radius=bar.radius, depth=depth))
        text = self.tr("Rod from {first} to {second}").format(first=first, second=second)
        there = {body.name for body in self.bodies()}
        if self._desk.document.change(text, _adding(section, rod)):
            fresh = tuple(body.name for body in self.bodies() if body.name not in there)
            self._desk.choice.pick_bodies(fresh)
        self.ended.emit()


def _own_sizes(rod: Fragment) -> Fragment:
    """What is drawn by hand has the user's own sizes: no tolerance, no play and no trust that nobody gave it."""
    (section,) = rod.sections
    bodies = tuple(replace(body, outline_tolerance=0.0, trust=None, notes="") for body in section.bodies)
    joints = tuple(replace(joint, play=0.0) if isinstance(joint, Pivot) else joint for joint in section.joints)
    return replace(rod, sections=(replace(section, bodies=bodies, joints=joints),))


def _adding(section: SectionName, rod: Fragment) -> Callable[[Project], Project]:
    return lambda project: pasted(project, section, rod).project
