"""Where is the mark of two bodies that are bolted together drawn? Pure; mm, section frame, as drawn."""

from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from core.drawing.outline import outline
from core.drawing.region import region
from core.model.joints import Bolted
from core.model.project import Body, Section
from core.model.shapes import Point

WITHIN = 0.25
"""mm; how exactly the place is looked for."""

KEPT_PLACES = 1024
"""Pairs of bodies whose places are kept: an edit changes few of them."""


def bolt_place(section: Section, joint: Bolted) -> Point | None:
    """The middle of the widest place that both bodies of `joint` cover, beside the pins that stand there.

    Bodies that do not lie over each other have it between their nearest points. None where one of them has no outline.
    """
    bodies = {body.name: body for body in section.bodies}
    first, second = (bodies[name] for name in joint.between)
    return _place(first, second, tuple(pinned.at for pinned in section.joints if not isinstance(pinned, Bolted)))


@lru_cache(maxsize=KEPT_PLACES)
def _place(first: Body, second: Body, pins: tuple[Point, ...]) -> Point | None:
    one, other = (region([outline(shape) for shape in body.shapes], chord=WITHIN) for body in (first, second))
    common = one.intersection(other)
    widest = _widest(common)
    if widest is None:
        return _middle(shapely.shortest_line(one, other))
    at, room = widest
    beside = _widest(common.difference(shapely.MultiPoint(pins).buffer(room)))
    return at if beside is None else beside[0]


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
