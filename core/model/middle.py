"""How far do shapes and bodies reach, as drawn, and where is their middle? For edits about the middle of a selection."""

from collections.abc import Iterable
from math import cos, radians, sin

from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape

Span = tuple[float, float, float, float]
"""left, bottom, right, top, mm, section frame."""


def reach_of(shape: Shape) -> Span:
    """The upright rectangle about a shape; corners count as if they were not rounded. A polygon without points: its origin."""
    match shape:
        case Disc():
            return _about([shape.centre], shape.radius)
        case Bore():
            return _about([shape.centre], shape.radius + shape.wall)
        case Bar():
            return _about([shape.start, shape.end], shape.radius)
        case Polygon():
            return _about(shape.points or [(0.0, 0.0)], 0.0)
        case Box():
            return _about(corners(shape.centre, shape.size, turn=shape.turn), 0.0)
        case Frame():
            outer = (shape.size[0] + 2 * shape.wall, shape.size[1] + 2 * shape.wall)
            return _about(corners(shape.centre, outer, turn=shape.turn), 0.0)


def reach_of_bodies(bodies: Iterable[Body]) -> Span | None:
    """The upright rectangle about all shapes of bodies; None where there are none."""
    spans = [reach_of(shape) for body in bodies for shape in body.shapes]
    if not spans:
        return None
    left, bottom, right, top = zip(*spans, strict=True)
    return (min(left), min(bottom), max(right), max(top))


def middle_of_bodies(bodies: Iterable[Body]) -> Point:
    """The middle of that rectangle; the origin where there are no shapes."""
    left, bottom, right, top = reach_of_bodies(bodies) or (0.0, 0.0, 0.0, 0.0)
    return ((left + right) / 2, (bottom + top) / 2)


def corners(centre: Point, size: Point, *, turn: float) -> tuple[Point, ...]:
    """The four corners of a rectangle turned by `turn` degrees, counter-clockwise from its lower left."""
    c, s = cos(radians(turn)), sin(radians(turn))
    half_x, half_y = size[0] / 2, size[1] / 2
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return tuple((centre[0] + c * i * half_x - s * j * half_y, centre[1] + s * i * half_x + c * j * half_y) for i, j in signs)


def _about(points: Iterable[Point], radius: float) -> Span:
    xs, ys = zip(*points, strict=True)
    return (min(xs) - radius, min(ys) - radius, max(xs) + radius, max(ys) + radius)
