"""The grips of the body in hand, on the board in Outline: shapes are pulled by mouse and by keys, and points added and taken out.

One body must be picked, neither hidden nor held, and no tool be in hand. A hand on a grip is one gesture, worked out from the
state at the press; a key is a step of its own.
"""

import math
from dataclasses import dataclass
from functools import partial
from typing import Final

from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QTransform

from app import theme
from app.board.board import DRAG_FROM
from app.board.taker import Taker
from app.board.tools.snap import Candidate
from app.document.adjusting import Edit
from app.document.choice import body_named, section_named
from app.document.desk import Desk
from app.drawing.grip_edits import can_go, pulled, split, taken_out
from app.drawing.grip_snaps import Around, around, loose, next_of, snaps, stepped
from app.drawing.grip_words import how_to, lengths_of, out_name, step_name, told
from app.drawing.grips_drawn import SWEEP, draw_grip, draw_lengths, draw_told
from app.drawing.grips_of import Grip, grips_of, led_by, told_apart
from app.drawing.in_hand import InHand
from app.drawing.point_tool import GRID, SNAP_PIXELS
from app.drawing.snapped import NAMED_AT, draw_snapped
from core.drawing.extent import Extent
from core.model.middle import reach_of
from core.model.names import SectionName
from core.model.project import Body
from core.model.shapes import Box, Frame, Point, Shape

REACH = 7.0
"""Logical pixels about a grip within which the pointer has it."""
APART = 11.0
"""Logical pixels between two grips of a shape, under which only the one that matters more stands."""
AWAY = 22.0
"""Logical pixels that some grips stand off what they change."""
AIR = 12.0
"""Logical pixels between a side and its dimension line."""
NAMED_ABOVE = QPointF(14.0, -14.0)
"""Logical pixels from a grip to the name of what it snaps to, where dimension lines run down from it."""
NAMES_OFF = 8.0
"""Logical pixels about a grip that names of bodies keep off."""
ON_EDGE: Final = ("point", "corner", "middle")
FINE: Final = 0.1
"""What Shift leaves of a step."""

_ARROWS: Final = {Qt.Key.Key_Left: (-1.0, 0.0), Qt.Key.Key_Right: (1.0, 0.0), Qt.Key.Key_Up: (0.0, 1.0), Qt.Key.Key_Down: (0.0, -1.0)}
_OUT: Final = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
_TABS: Final = {Qt.Key.Key_Tab: 1, Qt.Key.Key_Backtab: -1}
_ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_PLAIN: Final = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
_PAST: Final = Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.ShiftModifier


Key = tuple[int, str, int, int | None]
"""Which grip of a body: its shape, kind, place and hole."""


@dataclass(frozen=True, slots=True)
class Held:
    """A grip of the shape at a place of the body in hand."""

    index: int
    grip: Grip


@dataclass(slots=True)
class Pull:
    """A hand on a grip: what stood at the press, and where the pointer is."""

    section: SectionName
    body: Body
    held: Held
    there: Around
    start: QPointF
    at: Point
    begun: bool = False
    turns: int = 0
    snapped: Candidate | None = None
    edit: Edit | None = None


class Grips(Taker, QObject):
    """Stands behind the tool in hand. Alt or Shift with a click goes past the grips, to the bodies."""

    def __init__(self, desk: Desk, in_hand: InHand, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk, self._in_hand, self.board = desk, in_hand, in_hand.board
        self._on = False
        self._of: object = None
        self.over: Held | None = None
        self.taken: Held | None = None
        self._pull: Pull | None = None
        self._kept: tuple[Body | None, float, tuple[Held, ...], tuple[Held, ...]] = (None, 0.0, (), ())
        self._said = ""
        self._leaving = False
        desk.chosen.connect(self._follow)
        for drawn in (desk.redrawn, desk.project_shown):
            drawn.connect(self._follow)
        in_hand.changed.connect(self._follow)

    def set_on(self, *, on: bool) -> None:
        """Offer grips, or not: they belong to one step of the work."""
        if self._on and not on:
            self._give_back()
        self._on = on
        self._follow()

    def body(self) -> Body | None:
        """The body whose grips there are."""
        choice = self._desk.choice
        if not self._on or self._in_hand.tool is not None or len(choice.bodies) != 1:
            return None
        body = body_named(section_named(self._desk.project, choice.section), choice.bodies[0])
        return body if body is not None and not (body.view.hidden or body.view.held) else None

    def shown(self) -> tuple[Held, ...]:
        """The grips that stand on the board, those of the first shape first."""
        return self._found()[1]

    def _found(self) -> tuple[tuple[Held, ...], tuple[Held, ...]]:
        """Every grip of the body in hand, and those that are shown; found anew where the body or the scale has changed."""
        body, pixels = self.body(), self.board.pixels_a_mm
        if body is None:
            return (), ()
        if self._kept[0] is not body or self._kept[1] != pixels:
            of_shapes = [grips_of(shape, away=AWAY / pixels) for shape in body.shapes]
            apart = [Held(index, grip) for index, grips in enumerate(of_shapes) for grip in told_apart(grips, APART / pixels)]
            every = [Held(index, grip) for index, grips in enumerate(of_shapes) for grip in grips]
            self._kept = (body, pixels, tuple(every), tuple(apart))
        return self._kept[2:]

    def press(self, at: Point, event: QMouseEvent) -> bool:
        body, section = self.body(), section_named(self._desk.drawn(), self._desk.choice.section)
        held = None if event.modifiers() & _PAST else self._at(at)
        if body is None or section is None or held is None:
            self._take(None)
            return False
        there = around(section, body, held.index, held.grip)
        self._pull = Pull(section.name, body, held, there, event.position(), at)
        self._take(held)
        return True

    def move(self, at: Point, event: QMouseEvent) -> bool:
        pull = self._pull
        if pull is None:
            self._hover(self._at(at))
            return self.over is not None
        if pull.begun and not self._desk.document.in_gesture:
            self._pull = None  # something else has ended it
        elif pull.begun or (event.position() - pull.start).manhattanLength() >= DRAG_FROM:
            pull.turns = pull.turns if at == pull.at else 0
            pull.at = at
            self._go_on(pull, free=bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier))
        return True

    def release(self, at: Point, event: QMouseEvent) -> None:  # noqa: ARG002 - where the last move was
        pull, self._pull = self._pull, None
        if pull is not None and pull.edit is not None and self._desk.document.in_gesture:
            self._desk.adjusting.take(self._name(pull.held, pull.body), pull.edit)
        self._hover(self._at(at))
        self._tell()

    def double_click(self, at: Point, event: QMouseEvent) -> bool:
        held = None if event.modifiers() & _PAST else self._at(at)
        return held is not None and (self._take_out(held) or self._split(held))

    def leave(self) -> None:
        self._hover(None)

    def cursor(self) -> Qt.CursorShape | None:
        return Qt.CursorShape.CrossCursor if self._pull is not None or self.over is not None else None

    def wants(self, event: QKeyEvent) -> bool:
        key, target = event.key(), self._target()
        if event.modifiers() & ~_PLAIN:
            return False
        if self._pull is not None:
            return key == Qt.Key.Key_Escape or key in _OUT
        out = target is not None and target.grip.kind == "point" and key in _OUT
        return out or (self.taken is not None and (key == Qt.Key.Key_Escape or key in _ARROWS or key in _ENTER))

    def key(self, event: QKeyEvent) -> bool:
        key = event.key()
        if self.body() is None or event.modifiers() & ~_PLAIN:
            return False
        if self._pull is not None:
            return self._key_while_pulled(self._pull, key)
        if key in _TABS:
            return self._step_to(_TABS[Qt.Key(key)])
        if key in _ARROWS and self.taken is not None:
            fine = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._nudge(self.taken, _ARROWS[Qt.Key(key)], GRID * (FINE if fine else 1.0))
            return True
        target = self._target()
        if key in _OUT and target is not None and target.grip.kind == "point":
            self._take_out(target)
            return True
        if key in _ENTER and self.taken is not None:
            return self._split(self.taken)
        if key == Qt.Key.Key_Escape and self.taken is not None:
            self._take(None)
            self._leaving = True
            return True
        return False

    def words_at(self, unit: float) -> list[Extent]:
        """Names of bodies keep off all grips but the rings on an edge, of which an outline may have hundreds."""
        body = self.body()
        if body is None:
            return []
        seen = (held for held in self.shown() if held.grip.kind not in ON_EDGE and not _told_by_the_body(body, held))
        return [_kept_free(body.shapes[held.index], held.grip, unit) for held in seen]

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        body = self.body()
        if body is None:
            return
        style, target = self.board.style_drawn(), self._target()
        here = self._now(target)
        at_work = self.board.hand_on_body or (self._pull is not None and self._pull.begun)
        for held in () if at_work else self.shown():
            if not _told_by_the_body(body, held) and not (here is not None and _same(held, here)):
                draw_grip(painter, view, style, body.shapes[held.index], held.grip, width=theme.NARROW)
        if here is None:
            return
        shape = body.shapes[here.index]
        if self._pull is not None and self._pull.snapped is not None:
            draw_snapped(painter, view, style, self._pull.snapped, named_at=NAMED_ABOVE if _is_above(shape, here.grip) else NAMED_AT)
        if self._pull is not None or self.over is None:
            draw_lengths(painter, view, style, lengths_of(shape, here.grip, air=AIR / self.board.pixels_a_mm))
        draw_grip(painter, view, style, shape, here.grip, width=theme.SELECTED)
        draw_told(painter, style, window, self._said)

    def _at(self, at: Point) -> Held | None:
        """The grip under the pointer: the nearest, of some in one place the one taken."""
        within = REACH / self.board.pixels_a_mm
        taken = self.taken
        near = [(_away(held.grip.at, at), held) for held in self.shown()]
        near = [one for one in near if one[0] <= within]
        if not near:
            return None
        least = min(one[0] for one in near)
        together = [held for far, held in near if far <= least]
        return next((held for held in together if taken is not None and _same(held, taken)), together[0])

    def _target(self) -> Held | None:
        """The grip that is pulled, else the one under the pointer, else the one taken."""
        return self.taken if self._pull is not None else self.over or self.taken

    def _now(self, held: Held | None) -> Held | None:
        """A grip where it is now; None where the body no longer has it."""
        return next((one for one in self._found()[0] if _same(one, held)), None) if held is not None else None

    def _go_on(self, pull: Pull, *, free: bool) -> None:
        index, grip = pull.held.index, pull.held.grip
        shape, within = pull.body.shapes[index], SNAP_PIXELS / self.board.pixels_a_mm
        whole = self.tr("whole 5\N{DEGREE SIGN}") if grip.kind == "turn" else self.tr("whole mm")
        found = () if free else snaps(shape, grip, pull.at, pull.there, within=within, whole=whole)
        pull.snapped = next_of(found, pull.turns)
        to = pull.snapped.at if pull.snapped is not None else loose(shape, grip, pull.at)
        pull.begun, pull.edit = True, self._edit(pull.section, pull.body, pull.held, to)
        self._desk.adjusting.try_out(self._name(pull.held, pull.body), pull.edit)
        self.taken = Held(index, led_by(grip, to))
        self._tell()

    def _key_while_pulled(self, pull: Pull, key: int) -> bool:
        if key == Qt.Key.Key_Escape:
            self._give_back()
        elif key in _TABS and pull.begun:
            pull.turns += _TABS[Qt.Key(key)]
            self._go_on(pull, free=False)
        return key == Qt.Key.Key_Escape or key in _TABS or key in _OUT

    def _give_back(self) -> None:
        pull, self._pull = self._pull, None
        if pull is not None:
            if pull.begun:
                self._desk.adjusting.give_back()
            self._take(pull.held)

    def _step_to(self, by: int) -> bool:
        """Take the next grip; after the last one, or once Esc let one go, the keyboard goes on to what follows the board."""
        shown = () if self._leaving else self.shown()
        taken = self.taken
        place = next((place for place, held in enumerate(shown) if taken is not None and _same(held, taken)), None)
        following = (0 if by > 0 else len(shown) - 1) if place is None else place + by
        there = 0 <= following < len(shown)
        self._take(shown[following] if there else None)
        return there

    def _nudge(self, held: Held, way: Point, by: float) -> None:
        body, now, section = self.body(), self._now(held), self._desk.choice.section
        if body is None or now is None or section is None:
            return
        to = stepped(body.shapes[now.index], now.grip, way, by)
        if to is not None and self._desk.document.change(self._name(now, body), self._edit(section, body, now, to)):
            self._take(Held(now.index, led_by(now.grip, to)))

    def _take_out(self, held: Held) -> bool:
        body, section = self.body(), self._desk.choice.section
        if body is None or section is None or held.grip.kind != "point":
            return False
        if not can_go(body, held.index, held.grip):
            self._say(self.tr("Three points are the least that an outline has."))
            return True
        self.over = self.taken = None
        text = out_name(held.grip, held.index, body, self.tr)
        self._desk.document.change(text, lambda project: taken_out(project, section, body.name, held.index, held.grip))
        self._tell()
        return True

    def _split(self, held: Held) -> bool:
        body, section = self.body(), self._desk.choice.section
        if body is None or section is None or held.grip.kind != "middle":
            return False
        text = self._name(held, body)
        self._desk.document.change(text, lambda project: split(project, section, body.name, held.index, held.grip))
        self.over = None
        self._take(Held(held.index, led_by(held.grip, held.grip.at)))
        return True

    def _edit(self, section: SectionName, body: Body, held: Held, to: Point) -> Edit:
        return partial(pulled, section=section, body=body.name, index=held.index, grip=held.grip, to=to)

    def _name(self, held: Held, body: Body) -> str:
        return step_name(held.grip, body, self.tr)

    def _hover(self, held: Held | None) -> None:
        if held != self.over:
            self.over = held
            self._tell()

    def _take(self, held: Held | None) -> None:
        self.taken, self._leaving = held, False
        self._tell()

    def _follow(self) -> None:
        """Another body is in hand, or the same one has changed."""
        choice, body = self._desk.choice, self.body()
        of = (self._desk.document.opened, choice.section, body.name if body is not None else None)
        if of != self._of:
            self._of, self.over, self.taken = of, None, None
            if self._pull is not None and not self._pull.begun:
                self._pull = None
        elif self._pull is None and self._now(self.taken) is None:
            self.taken = None
        if self._pull is None and self._now(self.over) is None:
            self.over = None
        self._tell()

    def _tell(self) -> None:
        body, target = self.body(), self._now(self._target())
        said = ""
        if body is not None and target is not None:
            said = f"{told(body, target.index, target.grip, self.tr)}. {how_to(body, target.index, target.grip, self.tr)}"
        self._say(said)

    def _say(self, said: str) -> None:
        if said != self._said:
            self._said = said
            self.board.setAccessibleDescription(said)
        self.board.viewport().update()


def _told_by_the_body(body: Body, held: Held) -> bool:
    """The centre of a body's only shape: a hand anywhere on the body moves it as well, and its name may stand there."""
    return held.grip.kind == "centre" and len(body.shapes) == 1


def _kept_free(shape: Shape, grip: Grip, unit: float) -> Extent:
    """What a grip takes of the board, mm: an arc that turns reaches farther across its way than along it."""
    (x, y), across, upward = grip.at, NAMES_OFF * unit, NAMES_OFF * unit
    if grip.kind == "turn" and isinstance(shape, Box | Frame):
        along = (x - shape.centre[0], y - shape.centre[1])
        share = max(math.hypot(*along), unit)
        across = max(across, SWEEP * unit * abs(along[1]) / share)
        upward = max(upward, SWEEP * unit * abs(along[0]) / share)
    return x - across, y - upward, x + across, y + upward


def _is_above(shape: Shape, grip: Grip) -> bool:
    """Whether the grip is over the middle of its shape, so that dimension lines run down from it."""
    _, bottom, _, top = reach_of(shape)
    return grip.at[1] > (bottom + top) / 2


def _key(held: Held) -> Key:
    return (held.index, held.grip.kind, held.grip.place, held.grip.hole)


def _same(one: Held, other: Held) -> bool:
    return _key(one) == _key(other)


def _away(one: Point, other: Point) -> float:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1]))
