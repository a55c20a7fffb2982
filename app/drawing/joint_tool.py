"""Places a joint between two bodies that lie under it: a pivot and a bolt by one point, a slide by two, a pin in a slot by three."""

from collections.abc import Callable, Collection, Mapping
from typing import Final, Literal

from msgspec.structs import replace
from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QTransform

from app.board.board import Board
from app.board.paint import pen
from app.document.desk import Desk
from app.document.driving import new_drive
from app.drawing.bodies_under import Guess, Pair, joinable
from app.drawing.charts import Back, Chart, Place, Stretch
from app.drawing.dimensions import degrees, draw_length, millimetres
from app.drawing.joint_drawing import draw_joint
from app.drawing.on_bodies import OnBodies, said
from app.drawing.tool import Said
from core.model.edit_drives import add_drive
from core.model.edit_joints import add_joint
from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.lookup import section_of
from core.model.names import BodyName, JointName, SectionName
from core.model.project import Project
from core.model.shapes import Point

JointKind = Literal["pivot", "slide", "pin_slot", "bolted"]
JOINT_KINDS: Final[tuple[JointKind, ...]] = ("pivot", "slide", "pin_slot", "bolted")
POINTS: Final[Mapping[JointKind, int]] = {"pivot": 1, "bolted": 1, "slide": 2, "pin_slot": 3}
NAMES: Final[Mapping[JointKind, str]] = {"pivot": "pin", "bolted": "bolt", "slide": "slide", "pin_slot": "slot"}
"""What a new joint is called, with a number where that is taken."""
FIRST_LENGTH: Final[Point] = (20.0, 0.0)
"""mm from the pin to the next point, while no pointer says otherwise."""


class JointTool(OnBodies):
    """One joint, as one step of the history. The bodies are told before they are joined; nothing is joined where two are not clear."""

    def __init__(self, desk: Desk, board: Board, kind: JointKind, parent: QObject | None = None) -> None:
        super().__init__(desk, board, parent)
        self._kind = kind
        self._wanted: frozenset[str] | None = None
        self._swapped = False
        self._driven = False
        self._along = 0.0
        self._ahead = 0.0
        self._guessed: tuple[object, Point, Guess] | None = None

    @property
    def kind(self) -> JointKind:
        """What it places."""
        return self._kind

    def guess(self) -> Guess:
        """The pairs that could be joined at the pin: where it was placed, or where the next point stands."""
        section, at = self.section(), self.points[0] if self.points else self.next_point()
        if section is None:
            return Guess(lack="no_body")
        if self._guessed is None or self._guessed[0] is not section or self._guessed[1] != at:
            self._guessed = (section, at, joinable(section, at))
        return self._guessed[2]

    def between(self) -> Pair | None:
        """The bodies that would be joined now, reference first; None where it is not clear which."""
        pairs = self.guess().pairs
        if not pairs:
            return None
        first, second = next((pair for pair in pairs if frozenset(pair) == self._wanted), pairs[0])
        return (second, first) if self._swapped else (first, second)

    def worked_on(self) -> Collection[BodyName]:
        return self.between() or ()

    def cycle(self, by: int) -> None:
        pairs = [frozenset(pair) for pair in self.guess().pairs]
        between = self.between()
        if between is not None:
            self._wanted = pairs[(pairs.index(frozenset(between)) + by) % len(pairs)]
            self._tell()

    def swap(self) -> None:
        """Let the other of the two be the one that moves, or has the slot."""
        self._swapped = not self._swapped
        self._tell()

    def choose(self, word: str) -> None:
        if word == "driven":
            self._driven = not self._driven
            self._tell()
        elif word == "swap":
            self.swap()
        else:
            self.cycle(1)

    def chart(self) -> Chart:
        if not self.points:
            return Place()
        return Stretch(self.points[0]) if len(self.points) == 1 else Back(self.points[0], self._along)

    def first_guess(self) -> Point:
        if not self.points:
            return (0.0, 0.0)
        (x, y), (across, up) = self.points[0], FIRST_LENGTH
        sign = 1.0 if len(self.points) == 1 else -1.0
        return (x + sign * across, y + sign * up)

    def _hint(self) -> Point:
        # A direction that is typed while the pointer still stands on the pin needs some length to be one.
        hint = super()._hint()
        return self.first_guess() if self._fixed and hint in self.points[:1] else hint

    def names(self) -> Mapping[str, str]:
        return {"length": self.tr("length"), "direction": self.tr("direction")}

    def said(self) -> Said:
        plain = super().said()
        return Said(plain.text, plain.numbers, plain.fixed, plain.hint, self._words())

    def _words(self) -> tuple[tuple[str, str], ...]:
        between, pairs = self.between(), self.guess().pairs
        if between is None:
            return ()
        words = []
        if self._kind == "slide" and self.points:
            words.append(("driven", self.tr("without a drive") if self._driven else self.tr("drive it")))
        if len(pairs) > 1:
            place = [frozenset(pair) for pair in pairs].index(frozenset(between)) + 1
            words.append(("other", self.tr("other bodies ({place} of {count})").format(place=place, count=len(pairs))))
        if self._kind != "bolted":
            words.append(("swap", self.tr("swap them")))
        return tuple(words)

    def sentence(self) -> tuple[str, str]:
        between = self.between()
        if between is None:
            head = {
                "pivot": self.tr("Pivot at ({x}, {y})"),
                "slide": self.tr("Slide at ({x}, {y})"),
                "pin_slot": self.tr("Pin in a slot at ({x}, {y})"),
                "bolted": self.tr("Bolt at ({x}, {y})"),
            }
            return f"{head[self._kind]}: {self._lacking()}", self.tr("Point where two bodies overlap.")
        text, hint = self._first_words() if not self.points else self._next_words()
        return text.replace("{first}", said(between[0])).replace("{second}", said(between[1])), hint

    def _first_words(self) -> tuple[str, str]:
        told = {
            "pivot": self.tr("Pivot at ({x}, {y}) between {second} and {first}"),
            "slide": self.tr("Slide at ({x}, {y}) of {second} on {first}"),
            "pin_slot": self.tr("Pin of {first} at ({x}, {y}) in a slot of {second}"),
            "bolted": self.tr("Bolt at ({x}, {y}): {second} and {first} move as one"),
        }
        text = told[self._kind]
        if self.guess().grounded:
            text = self.tr("{text}, the one fixed body").replace("{text}", text) if self._kind != "bolted" else text
        return text, self.tr("Click, or type and Enter. Down: other bodies.")

    def _next_words(self) -> tuple[str, str]:
        hint = self.tr("Click, or type: Tab to the next number, Enter takes.")
        if self._kind == "slide":
            text = self.tr("{second} slides on {first} along {direction}")
            return (self.tr("{text}, driven through {length}").replace("{text}", text) if self._driven else text), hint
        if len(self.points) == 1:
            return self.tr("Slot of {second}: one end {length} from the pin at {direction}"), hint
        return self.tr("Slot of {second}: the other end {length} the other way"), hint

    def _lacking(self) -> str:
        guess, section = self.guess(), self.section()
        fixed = sum(body.fixed for body in section.bodies) if section is not None else 0
        told = {
            None: "",
            "no_body": self.tr("no body lies here"),
            "no_bay": self.tr("only {body} lies here, and no body is fixed"),
            "many_bays": self.tr("only {body} lies here, and {count} bodies are fixed"),
            "only_bay": self.tr("only {body} lies here, which is fixed"),
            "as_one": self.tr("what lies here moves as one with {body} already"),
        }
        return told[guess.lack].format(body=said(guess.alone or ""), count=fixed)

    def take(self, point: Point) -> None:
        if point in self.points[:1]:
            return
        if len(self.points) == 1:
            length, direction = Stretch(self.points[0]).numbers(point)
            self._ahead, self._along = self._typed.get("length", length), self._typed.get("direction", direction)
        self.points.append(point)
        if self.between() is None:
            self.points.pop()
        elif len(self.points) == POINTS[self._kind]:
            self._keep()

    def joint(self, shown: Point | None = None) -> Joint | None:
        """The joint that the points make, with `shown` for the next; None before there is a pin or where bodies are not clear."""
        between = self.between()
        points = (*self.points, shown) if shown is not None else tuple(self.points)
        if between is None or not points:
            return None
        name, at = JointName(NAMES[self._kind]), points[0]
        along = self._along
        if shown is not None and len(points) == POINTS["slide"]:
            along = Stretch(at).numbers(shown)[1]
        match self._kind:
            case "pivot":
                return Pivot(name=name, between=between, at=at)
            case "bolted":
                return Bolted(name=name, between=between)
            case "slide":
                return Slide(name=name, between=between, at=at, along=along)
            case "pin_slot":
                return PinSlot(name=name, between=between, at=at, along=along, reach=self._reach(points, shown))

    def _reach(self, points: tuple[Point, ...], shown: Point | None) -> tuple[float, float] | None:
        pin = points[0]
        if len(points) == 1:
            return None
        if len(points) == POINTS["slide"]:
            return (0.0, Stretch(pin).numbers(points[1])[0])
        (back,) = Back(pin, self._along).numbers(points[2])
        return (-(back if shown is not None else self._typed.get("length", back)), self._ahead)

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        section, between, style = self.section(), self.between(), self.board.style_drawn()
        if section is None:
            return
        if between is not None:
            shown = self.next_point()
            joint = self.joint(None if shown in self.points[:1] else shown)
            if joint is not None:
                draw_joint(painter, view, style, joint, section, heavier=True)
            if self.points and shown != self.points[0]:
                self._draw_stretch(painter, view, shown)
        super().draw(painter, view, window)

    def _draw_stretch(self, painter: QPainter, view: QTransform, shown: Point) -> None:
        style, pin, chart = self.board.style_drawn(), self.points[0], self.chart()
        numbers = chart.numbers(shown)
        if self._kind == "slide" and not self._driven:
            painter.setPen(pen("centre", QColor(style.ink)))
            painter.drawLine(view.map(QPointF(*pin)), view.map(QPointF(*shown)))
            self.write(painter, degrees(numbers[1]), view.map(QPointF(*shown)) + QPointF(14.0, -14.0), style)
            return
        end = chart.point(numbers, shown)
        words = f"{millimetres(numbers[0])}  {degrees(numbers[1])}" if len(numbers) > 1 else millimetres(numbers[0])
        if numbers[0] > 0.0:
            draw_length(painter, view, style, pin, end, words)

    def _keep(self) -> None:
        joint, section = self.joint(), self._desk.choice.section
        if joint is None or section is None:
            self.points.pop()
            return
        first, second = joint.between
        told = {
            "pivot": self.tr("Pivot between {second} and {first}"),
            "slide": self.tr("Slide of {second} on {first}"),
            "pin_slot": self.tr("Pin of {first} in a slot of {second}"),
            "bolted": self.tr("Bolt {second} and {first} together"),
        }
        travel = self._ahead if self._driven else None
        text = told[self._kind].format(first=first, second=second)
        if self._desk.document.change(text, _adding(section, joint, travel)) and self._desk.project is not None:
            self._desk.choice.pick_joint(section_of(self._desk.project, section).joints[-1].name)
        self.ended.emit()

    def _keys(self) -> dict[int, Callable[[], object]]:
        return {**super()._keys(), Qt.Key.Key_Left: self.swap, Qt.Key.Key_Right: self.swap}


def _adding(section: SectionName, joint: Joint, travel: float | None) -> Callable[[Project], Project]:
    """`travel` mm: with a drive that moves it from 0 so far."""

    def add(project: Project) -> Project:
        made = add_joint(project, section, joint)
        if travel is None:
            return made
        new = section_of(made, section).joints[-1]
        return add_drive(made, replace(new_drive(section, new), start=0.0, end=travel))

    return add
