"""Hands on the joints of the section shown: pointed at they are named, clicked they are in hand, dragged their pin moves."""

import math

from msgspec.structs import replace
from PySide6.QtCore import QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QTransform

from app.board.board import Board
from app.board.taker import Taker
from app.board.tools.snap import Candidate, candidates
from app.document.choice import section_named
from app.document.desk import Desk
from app.drawing.joint_drawing import draw_joint, draw_undriven
from app.drawing.point_tool import DECIMALS, GRID, SNAP_PIXELS
from app.drawing.snapped import NAMED_AT, draw_snapped, write_beside
from core.model.edit_joints import change_joint
from core.model.joints import Bolted, PinSlot, Pivot, Slide
from core.model.names import JointName, SectionName
from core.model.project import Project, Section
from core.model.shapes import Point

Pinned = Pivot | Slide | PinSlot
"""The joints that have a pin, and a symbol there."""
PICK_PIXELS = 9.0
"""Logical pixels about a pin within which its joint is pointed at."""
DRAG_PIXELS = 4.0
"""Logical pixels a press may wander and still be a click."""


class JointHands(Taker, QObject):
    """Joints as drawn. While `on` is False nothing is taken and nothing drawn; while `moving`, bodies stand elsewhere, nothing drawn."""

    taken = Signal()
    """A hand has come down on a joint."""

    def __init__(self, desk: Desk, board: Board, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._board = desk, board
        self.on = False
        self.moving = False
        self.hovered: JointName | None = None
        self._held: tuple[Pinned, Point] | None = None
        self._before: JointName | None = None
        self._dragging = False
        self._snapped: Candidate | None = None
        self._told: tuple[Project | None, SectionName | None, frozenset[JointName]] | None = None

    def section(self) -> Section | None:
        """The section shown, as far as it can be drawn."""
        return section_named(self._desk.drawn(), self._desk.choice.section)

    def joint_at(self, at: Point) -> Pinned | None:
        """The joint whose pin is nearest to `at`, mm; of several in one place the one after that in hand."""
        section = self.section()
        if section is None or not self.on:
            return None
        within = PICK_PIXELS / self._board.pixels_a_mm
        shown = pinned(section)
        near = sorted(((math.dist(joint.at, at), joint) for joint in shown), key=lambda entry: entry[0])
        there = [joint for apart, joint in near if apart <= within and joint.at == near[0][1].at]
        names = [joint.name for joint in there]
        after = names.index(self._desk.choice.joint) + 1 if self._desk.choice.joint in names else 0
        return there[after % len(there)] if there else None

    def undriven(self) -> frozenset[JointName]:
        """The joints of the section that nothing drives, found once an edit has ended; none with faults in the project."""
        desk = self._desk
        project, linkage = desk.project, desk.linkage
        if not desk.document.in_gesture and (self._told is None or self._told[:2] != (project, desk.choice.section)):
            known = desk.mobility.of(project, linkage) if project is not None and linkage is not None else ()
            left = [left for each in known if each.section == desk.choice.section for left in each.undriven]
            self._told = (project, desk.choice.section, frozenset(name for one in left for name in one.joints))
        return self._told[2] if self._told is not None else frozenset()

    def press(self, at: Point, event: QMouseEvent) -> bool:  # noqa: ARG002 - Taker's signature
        joint = self.joint_at(at)
        if joint is None:
            return False
        own = self._in_hand()
        # What is in hand is dragged, whatever else has its pin there.
        holds = own if own is not None and own.at == joint.at else joint
        self._before, self._held, self._dragging = joint.name, (holds, at), False
        self.taken.emit()
        return True

    def _in_hand(self) -> Pinned | None:
        section = self.section()
        found = next((one for one in section.joints if one.name == self._desk.choice.joint), None) if section is not None else None
        return None if isinstance(found, Bolted) else found

    def move(self, at: Point, event: QMouseEvent) -> bool:
        if self._held is None:
            return self._hover(at)
        joint, start = self._held
        if not self._dragging and math.dist(start, at) * self._board.pixels_a_mm < DRAG_PIXELS:
            return True
        if not self._dragging:
            self._dragging = True
            self._desk.choice.pick_joint(joint.name)
            self._desk.document.begin(self.tr("Move {joint}").format(joint=joint.name))
        self._drag(joint, at, free=bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier))
        return True

    def release(self, at: Point, event: QMouseEvent) -> None:  # noqa: ARG002 - Taker's signature
        dragging, self._held, self._snapped, self._dragging = self._dragging, None, None, False
        if dragging:
            self._desk.document.commit()
        elif self._before is not None:
            self._desk.choice.pick_joint(self._before)
        self._board.viewport().update()

    def leave(self) -> None:
        self._set_hovered(None)

    def wants(self, event: QKeyEvent) -> bool:
        return self._dragging and event.key() == Qt.Key.Key_Escape

    def key(self, event: QKeyEvent) -> bool:
        """Esc gives a pin back that is being dragged."""
        if not self.wants(event):
            return False
        self._dragging, self._held, self._before, self._snapped = False, None, None, None
        self._desk.document.cancel()
        return True

    def _hover(self, at: Point) -> bool:
        joint = self.joint_at(at)
        self._set_hovered(joint.name if joint is not None else None)
        return joint is not None

    def _set_hovered(self, name: JointName | None) -> None:
        if name != self.hovered:
            self.hovered = name
            self._board.viewport().update()

    def _drag(self, joint: Pinned, at: Point, *, free: bool) -> None:
        press, section = self._desk.document.at_press, self._desk.choice.section
        drawn = section_named(press, section)
        if press is None or drawn is None or section is None or not self._desk.document.in_gesture:
            return
        within = SNAP_PIXELS / self._board.pixels_a_mm
        others = [one for one in drawn.joints if one.name != joint.name]
        shown = [body for body in drawn.bodies if not body.view.hidden]
        found = () if free else candidates(shown, at, within=within, grid=GRID, joints=others)
        self._snapped = found[0] if found else None
        there = self._snapped.at if self._snapped is not None else (round(at[0], DECIMALS), round(at[1], DECIMALS))
        moved = change_joint(press, section, joint.name, lambda old: replace(old, at=there))
        self._desk.document.preview(moved.project)

    def draw(self, painter: QPainter, view: QTransform, window: QRectF) -> None:
        section, style = self.section(), self._board.style_drawn()
        if section is None or not self.on or self.moving:
            return
        painter.setClipRect(window)
        loose, shown = self.undriven(), pinned(section)
        for joint in shown:
            if joint.name in loose:
                draw_undriven(painter, view, style, joint)
        self._draw_in_hand(painter, view, section)
        hovered = next((joint for joint in shown if joint.name == self.hovered), None)
        if hovered is not None and not self._dragging:
            told = self.tr("{joint}, nothing drives it") if hovered.name in loose else "{joint}"
            write_beside(painter, style, view.map(QPointF(*hovered.at)) + NAMED_AT, told.replace("{joint}", hovered.name))
        if self._dragging and self._snapped is not None:
            draw_snapped(painter, view, style, self._snapped)

    def _draw_in_hand(self, painter: QPainter, view: QTransform, section: Section) -> None:
        """Heavier; what stands over it on the same pin is drawn again, as it was."""
        in_hand, style, over = self._in_hand(), self._board.style_drawn(), False
        bolted = bolt_in_hand(section, self._desk.choice.joint)
        if bolted is not None:
            draw_joint(painter, view, style, bolted, section, heavier=True)
        for joint in pinned(section):
            if in_hand is not None and joint.at == in_hand.at:
                over = over or joint.name == in_hand.name
                if over:
                    draw_joint(painter, view, style, joint, section, heavier=joint.name == in_hand.name)


def bolt_in_hand(section: Section, name: JointName | None) -> Bolted | None:
    """The bolted joint of that name whose mark is shown: neither of its bodies is hidden."""
    hidden = {body.name for body in section.bodies if body.view.hidden}
    found = next((joint for joint in section.joints if joint.name == name), None)
    return found if isinstance(found, Bolted) and hidden.isdisjoint(found.between) else None


def pinned(section: Section) -> list[Pinned]:
    """The joints whose symbols are shown: neither of their bodies is hidden."""
    hidden = {body.name for body in section.bodies if body.view.hidden}
    return [joint for joint in section.joints if not isinstance(joint, Bolted) and hidden.isdisjoint(joint.between)]
