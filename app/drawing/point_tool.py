"""A tool that is given points one after another, each by a click, by numbers, or by some numbers and the pointer for the rest."""

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QTransform

from app.board.board import Board
from app.board.tools.snap import Candidate, candidates
from app.drawing.charts import UNITS, Chart, Place
from app.drawing.snapped import draw_snapped, write_beside
from app.drawing.tool import Said, Tool
from app.panels.number_sentence import Number
from app.theme import Style
from core.model.joints import Joint
from core.model.project import Body
from core.model.shapes import Point

SNAP_PIXELS = 8.0
"""Logical pixels about the pointer within which it snaps."""
DRAG_PIXELS = 6.0
"""Logical pixels from the press that make its release a point of its own."""
GRID = 1.0
"""mm; the step of what snaps to the grid."""
DECIMALS = 2
"""Of what the pointer gives, mm: finer is typed."""
FILE_DECIMALS = 6
"""Of what is typed, mm: as a file keeps it."""
LENGTH_STEP, TURN_STEP = 0.5, 1.0
"""What a notch of the wheel changes: mm and degrees."""
TYPED = frozenset("0123456789.,-+(")
"""What a number may begin with."""


class PointTool(Tool):
    """Subclasses say how the next point is told (`chart`), where it stands with no pointer (`first_guess`), and take each point.

    What can be typed besides stands in `extras`: it stays from point to point.
    """

    def __init__(self, board: Board, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.board = board
        self.points: list[Point] = []
        self.snapped: Candidate | None = None
        self.extras: dict[str, float] = {}
        self._pointer: Point | None = None
        self._raw: Point | None = None
        self._pressed: QPointF | None = None
        self._candidate = 0
        self._fixed: dict[str, float] = {}

    def chart(self) -> Chart:
        """How the next point is told; its place, where a subclass does not say otherwise."""
        return Place()

    def first_guess(self) -> Point:
        """The next point while the pointer has not been over the board."""
        return (0.0, 0.0)

    def bodies(self) -> Sequence[Body]:
        """What there is to snap to, as it stands on the board."""
        return ()

    def joints(self) -> Sequence[Joint]:
        """Those whose pins can be snapped to."""
        return ()

    def line_from(self) -> Point | None:
        """Where the line begins that is being drawn, for places square to an edge or touching one; None where it is no line."""
        return self.points[-1] if self.points else None

    def own_candidates(self) -> Sequence[Candidate]:
        """Places of the tool's own to snap to, before those of bodies."""
        return ()

    def sentence(self) -> tuple[str, str]:
        """The sentence with a hole for each number of the chart and the extras, and the hint behind it."""
        raise NotImplementedError

    def names(self) -> Mapping[str, str]:
        """What each number is, for those who do not see the sentence; the key itself where it is missing."""
        return {}

    def take(self, point: Point) -> None:
        """Take the next point. The subclass keeps it in `points`, and ends where it was the last."""
        self.points.append(point)

    def finish(self) -> None:
        """End with the points there are, where Enter or a double click asks for that; nothing by default."""

    def next_point(self) -> Point:
        """Where the next point stands: the pointer, with the numbers that were typed."""
        chart, hint = self.chart(), self._hint()
        numbers = [self._fixed.get(key, value) for key, value in zip(chart.keys, chart.numbers(hint), strict=True)]
        if not self._fixed:
            return hint
        x, y = chart.point(numbers, hint)
        # Plus zero: a minus zero would be written as one.
        return (round(x, FILE_DECIMALS) + 0.0, round(y, FILE_DECIMALS) + 0.0)

    def said(self) -> Said:
        text, hint = self.sentence()
        chart, names = self.chart(), self.names()
        found = (round(value, DECIMALS) for value in chart.numbers(self.next_point()))
        values = dict(zip(chart.keys, found, strict=True)) | self._fixed | self.extras
        numbers = [
            Number(key, value, names.get(key, key), UNITS.get(key, "mm"), TURN_STEP if UNITS.get(key) == "deg" else LENGTH_STEP)
            for key, value in values.items()
            if f"{{{key}}}" in text
        ]
        return Said(text, numbers, frozenset(self._fixed), hint)

    def fix(self, key: str, value: float | None) -> None:
        if key in self.extras:
            self.extras[key] = value if value is not None else self.extras[key]
        elif value is None:
            self._fixed.pop(key, None)
        else:
            self._fixed[key] = value
        self._tell()

    def accept(self) -> None:
        self._take(self.next_point())

    def press(self, at: Point, event: QMouseEvent) -> bool:
        self._follow(at, event)
        self._pressed = event.position()
        self._take(self.next_point())
        return True

    def move(self, at: Point, event: QMouseEvent) -> bool:
        self._follow(at, event)
        self._tell()
        return True

    def release(self, at: Point, event: QMouseEvent) -> None:
        """A press drawn away from where it began gives two points."""
        begun, self._pressed = self._pressed, None
        if begun is not None and self.points and (event.position() - begun).manhattanLength() > DRAG_PIXELS:
            self._follow(at, event)
            self._take(self.next_point())

    def double_click(self, at: Point, event: QMouseEvent) -> bool:  # noqa: ARG002 - the press before gave the point
        self.finish()
        return True

    def wants(self, event: QKeyEvent) -> bool:
        plain = not event.modifiers() & ~(Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier)
        return plain and (event.key() in self._keys() or event.text() in TYPED)

    def key(self, event: QKeyEvent) -> bool:
        if event.key() in self._keys():
            self._keys()[event.key()]()
            return True
        if event.text() and event.text() in TYPED:
            self.typing.emit(event.text())
            return True
        return False

    def cursor(self) -> Qt.CursorShape | None:
        return Qt.CursorShape.CrossCursor

    def leave(self) -> None:
        self.snapped = None
        self._tell()

    def back(self) -> None:
        """Take the last point back; with none left the tool is put away."""
        self._fixed.clear()
        if self.points:
            self.points.pop()
            self._tell()
        else:
            self.ended.emit()

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:  # noqa: ARG002 - Qt's order
        """What is snapped to, and its name at the pointer."""
        if self.snapped is not None:
            draw_snapped(painter, view, self.board.style_drawn(), self.snapped)

    @staticmethod
    def write(painter: QPainter, words: str, at: QPointF, style: Style) -> None:
        """Write words beside a place, logical pixels."""
        write_beside(painter, style, at, words)

    def _keys(self) -> dict[int, Callable[[], object]]:
        return {
            Qt.Key.Key_Escape: self.back,
            Qt.Key.Key_Backspace: self.back,
            Qt.Key.Key_Delete: self.back,
            Qt.Key.Key_Return: self.accept,
            Qt.Key.Key_Enter: self.accept,
            Qt.Key.Key_Tab: lambda: self._next_candidate(1),
            Qt.Key.Key_Backtab: lambda: self._next_candidate(-1),
        }

    def _take(self, point: Point) -> None:
        self._fixed.clear()
        self._candidate = 0
        self.take(point)
        self._tell()

    def _hint(self) -> Point:
        return self._pointer if self._pointer is not None else self.first_guess()

    def _follow(self, at: Point, event: QMouseEvent) -> None:
        if at != self._raw:
            self._candidate = 0
        self._raw = at
        self._snap(free=bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier))

    def _next_candidate(self, by: int) -> None:
        self._candidate += by
        self._snap(free=False)
        self._tell()

    def _snap(self, *, free: bool) -> None:
        if self._raw is None:
            return
        at, within = self._raw, SNAP_PIXELS / self.board.pixels_a_mm
        found = () if free else self.found(at, within)
        self.snapped = found[self._candidate % len(found)] if found else None
        x, y = self.snapped.at if self.snapped is not None else at
        self._pointer = (x, y) if self.snapped is not None else (round(x, DECIMALS), round(y, DECIMALS))

    def found(self, at: Point, within: float) -> tuple[Candidate, ...]:
        """What can be snapped to near `at`, the likeliest first."""
        own = [one for one in self.own_candidates() if _near(one.at, at, within)]
        return (*own, *candidates(self.bodies(), at, within=within, grid=GRID, joints=self.joints(), from_=self.line_from()))

    def _tell(self) -> None:
        self.changed.emit()
        self.board.viewport().update()


def _near(one: Point, other: Point, within: float) -> bool:
    return abs(one[0] - other[0]) <= within and abs(one[1] - other[1]) <= within
