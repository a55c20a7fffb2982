"""How far does a point lie outside a shape or body? Rooms and holes count as filled: a pin in a bore is held by it."""

from math import cos, hypot, inf, radians, sin

from core.model.outline import Ring, distance_to_edge, distance_to_ring, inset_ring, ring_holds
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape


def distance_from_body(body: Body, point: Point) -> float:
    """Distance in mm from a point to the nearest shape, 0 inside; infinite for a body without shapes."""
    return min((distance_from_shape(shape, point) for shape in body.shapes), default=inf)


def distance_from_shape(shape: Shape, point: Point) -> float:
    """Distance in mm from a point to a shape with its inside filled, 0 inside and on the outline. The shape must be valid."""
    match shape:
        case Disc():
            return max(0.0, hypot(point[0] - shape.centre[0], point[1] - shape.centre[1]) - shape.radius)
        case Bore():
            return max(0.0, hypot(point[0] - shape.centre[0], point[1] - shape.centre[1]) - shape.radius - shape.wall)
        case Bar():
            return max(0.0, distance_to_edge(point, (shape.start, shape.end)) - shape.radius)
        case Box():
            return _from_box(point, shape.centre, shape.size, shape.turn, shape.corner_radius)
        case Frame():
            size = (shape.size[0] + 2 * shape.wall, shape.size[1] + 2 * shape.wall)
            return _from_box(point, shape.centre, size, shape.turn, 0.0)
        case Polygon():
            return _from_polygon(point, shape.points, shape.corner_radius)


def _from_box(point: Point, centre: Point, size: Point, turn: float, radius: float) -> float:
    c, s = cos(radians(turn)), sin(radians(turn))
    dx, dy = point[0] - centre[0], point[1] - centre[1]
    beyond_x = abs(c * dx + s * dy) - (size[0] / 2 - radius)
    beyond_y = abs(c * dy - s * dx) - (size[1] / 2 - radius)
    return max(0.0, hypot(max(0.0, beyond_x), max(0.0, beyond_y)) - radius)


def _from_polygon(point: Point, points: Ring, radius: float) -> float:
    core = inset_ring(points, radius) or points
    return 0.0 if ring_holds(core, point) else max(0.0, distance_to_ring(point, core) - radius)
