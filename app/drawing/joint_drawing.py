"""What the Joints step draws over the bodies: symbols, with a heavier line where they are in hand, and marks of what nothing drives."""

import math
from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QTransform

from app.board.paint import draw_items
from app.theme import Style
from core.drawing.bolt_place import bolt_place
from core.drawing.display_list import Fill, Item, Stroke
from core.drawing.lines import LineClass
from core.drawing.path import Arc, Path, Run, polyline
from core.drawing.section import placed_symbols
from core.model.joints import Bolted, Joint, Pivot
from core.model.project import Section

HEAVIER: Final[dict[LineClass, LineClass]] = {"wide": "selected", "narrow": "wide"}
MARK_RADIUS, MARK_FROM, MARK_SWEEP = 14.0, math.radians(25.0), math.radians(110.0)
"""Of the arc beside a pivot that nothing drives: logical pixels about the pin, radians counter-clockwise."""
MARK_ASIDE, MARK_HALF = 15.0, 11.0
"""Of the arrow beside a slide or slot that nothing drives: logical pixels from it, and half its length."""
ARROW, ARROW_HALF = 5.0, 2.2
"""Length of an arrow head and half its width, logical pixels."""


def draw_joint(painter: QPainter, view: QTransform, style: Style, joint: Joint, section: Section, *, heavier: bool) -> None:
    """The symbol of a joint as drawn."""
    grounded = any(body.fixed and body.name in joint.between for body in section.bodies)
    pixels = view.m11()
    bolt = bolt_place(section, joint) if isinstance(joint, Bolted) else None
    for placed in placed_symbols(joint, {}, unit=1.0 / pixels, grounded=grounded, bolt=bolt):
        at = view.map(QPointF(placed.pose.x, placed.pose.y))
        there = QTransform().translate(at.x(), at.y()).rotate(-placed.pose.turn).scale(1.0, -1.0)
        draw_items(painter, [_heavier(item) for item in placed.symbol] if heavier else placed.symbol, style, to_pixels=there)


def draw_undriven(painter: QPainter, view: QTransform, style: Style, joint: Joint) -> None:
    """The mark beside the symbol of a joint that nothing drives: the way that it is free to go, an arrow head at each end."""
    if isinstance(joint, Bolted):
        return
    turn = 0.0 if isinstance(joint, Pivot) else joint.along
    at = view.map(QPointF(*joint.at))
    there = QTransform().translate(at.x(), at.y()).rotate(-turn).scale(1.0, -1.0)
    draw_items(painter, ROUND_MARK if isinstance(joint, Pivot) else STRAIGHT_MARK, style, to_pixels=there)


def _heavier(item: Item) -> Item:
    return Stroke(item.path, HEAVIER.get(item.line, item.line), item.paint) if isinstance(item, Stroke) else item


def _arc() -> Path:
    return (Run((Arc((0.0, 0.0), MARK_RADIUS, MARK_FROM, MARK_SWEEP),), closed=False),)


def _head(x: float, y: float, heading: float) -> Path:
    """An arrow head with its tip at (x, y), pointing to `heading` radians."""
    c, s = math.cos(heading), math.sin(heading)
    back = (x - ARROW * c, y - ARROW * s)
    sides: Sequence[tuple[float, float]] = [(back[0] - sign * ARROW_HALF * s, back[1] + sign * ARROW_HALF * c) for sign in (1.0, -1.0)]
    return (polyline((x, y), *sides, closed=True),)


def _tip(angle: float, way: float) -> Path:
    # An arrow head is straight: turned by half its length it lies along the arc.
    heading = angle + way * (math.pi / 2.0 - ARROW / MARK_RADIUS / 2.0)
    return _head(MARK_RADIUS * math.cos(angle), MARK_RADIUS * math.sin(angle), heading)


ROUND_MARK: Final = (
    Stroke(_arc(), "wide"),
    Fill((_tip(MARK_FROM, -1.0), _tip(MARK_FROM + MARK_SWEEP, 1.0)), "ink"),
)
STRAIGHT_MARK: Final = (
    Stroke((polyline((-MARK_HALF, MARK_ASIDE), (MARK_HALF, MARK_ASIDE)),), "wide"),
    Fill((_head(-MARK_HALF, MARK_ASIDE, math.pi), _head(MARK_HALF, MARK_ASIDE, 0.0)), "ink"),
)
