"""Where is the mark of two bodies that are bolted together drawn? Pure; mm, section frame, as drawn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from core.drawing.extent import Extent
from core.drawing.outline import outline
from core.drawing.region import region
from core.model.joints import Bolted
from core.model.names import BodyName, JointName
from core.model.project import Body, Section
from core.model.shapes import Point

WITHIN = 0.25
"""mm; how exactly the place is looked for."""

KEPT_PLACES = 1024
"""Pairs of bodies whose places are kept: an edit changes few of them."""


@dataclass(frozen=True, slots=True)
class _Common:
    """What two bodies cover both, the middle of its widest place, the room about that, mm, and how far pins matter."""

    region: BaseGeometry
    at: Point
    room: float
    reach: Extent


def bolt_place(section: Section, joint: Bolted) -> Point | None:
    """The middle of the widest place that both bodies of `joint` cover, beside the pins that stand there.

    Bodies that do not lie over each other have it between their nearest points. None where one of them has no outline, or is not
    there. `joint` may be one that is still to come.
    """
    return _place_of({body.name: body for body in section.bodies}, joint, _pins(section))


def bolt_places(section: Section) -> dict[JointName, Point | None]:
    """The place, see `bolt_place`, of every bolted joint of a section."""
    bodies, pins = {body.name: body for body in section.bodies}, _pins(section)
    return {joint.name: _place_of(bodies, joint, pins) for joint in section.joints if isinstance(joint, Bolted)}


def _pins(section: Section) -> list[Point]:
    return [joint.at for joint in section.joints if not isinstance(joint, Bolted)]


def _place_of(bodies: Mapping[BodyName, Body], joint: Bolted, pins: Sequence[Point]) -> Point | None:
    first, second = (bodies.get(name) for name in joint.between)
    return None if first is None or second is None else _place(first, second, pins)


def _place(first: Body, second: Body, pins: Sequence[Point]) -> Point | None:
    common = _common(first, second)
    if not isinstance(common, _Common):
        return common
    low_x, low_y, high_x, high_y = common.reach
    there = tuple([pin for pin in pins if low_x <= pin[0] <= high_x and low_y <= pin[1] <= high_y])
    return _beside(first, second, there) if there else common.at


@lru_cache(maxsize=KEPT_PLACES)
def _common(first: Body, second: Body) -> _Common | Point | None:
    """What both cover; of bodies that lie apart the middle between their nearest points."""
    one, other = (region([outline(shape) for shape in body.shapes], chord=WITHIN) for body in (first, second))
    common = one.intersection(other)
    widest = _widest(common)
    if widest is None:
        return _middle(shapely.shortest_line(one, other))
    at, room = widest
    low_x, low_y, high_x, high_y = common.bounds
    return _Common(common, at, room, (low_x - room, low_y - room, high_x + room, high_y + room))


@lru_cache(maxsize=KEPT_PLACES)
def _beside(first: Body, second: Body, pins: tuple[Point, ...]) -> Point | None:
    """The widest place beside pins, which stand in what both cover, or near it."""
    common = _common(first, second)
    if not isinstance(common, _Common):
        return common
    beside = _widest(common.region.difference(shapely.MultiPoint(pins).buffer(common.room)))
    return common.at if beside is None else beside[0]


def _widest(where: BaseGeometry) -> tuple[Point, float] | None:
    """Centre and radius of about the largest circle in the largest part of a region; None where it holds no area."""
    parts = [part for part in shapely.get_parts(where) if part.area > 0.0]
    if not parts:
        return None
    line = shapely.maximum_inscribed_circle(max(parts, key=lambda part: float(part.area)), tolerance=WITHIN)
    return (float(line.coords[0][0]), float(line.coords[0][1])), float(line.length)


def _middle(line: BaseGeometry | None) -> Point | None:
    if line is None or line.is_empty:
        return None
    (ax, ay), (bx, by) = line.coords[0], line.coords[-1]
    return (ax + bx) / 2.0, (ay + by) / 2.0
