"""Where do edges meet? And which point of one is nearest to a place, square to a line from there, or touched by one.

Closed forms for straight edges and arcs of circles. Lengths mm, section frame. All answers lie on the edges, to within
`on_outline`; an edge of no length meets nothing and has no foot, but has a nearest point.
"""

import cmath
import math

from core.drawing.path import FULL_TURN, Arc, Edge, Segment
from core.model.shapes import Point
from core.tolerances import DEFAULT_TOLERANCES

WITHIN = DEFAULT_TOLERANCES.on_outline


def meeting_points(one: Edge, other: Edge) -> tuple[Point, ...]:
    """Where two edges cross or touch, at most two points; none where they lie along each other."""
    if isinstance(one, Segment) and isinstance(other, Segment):
        found = _lines(one, other)
    elif isinstance(one, Arc) and isinstance(other, Arc):
        found = _circles(complex(*one.centre), one.radius, complex(*other.centre), other.radius)
    elif isinstance(one, Segment) and isinstance(other, Arc):
        found = _line_circle(one, complex(*other.centre), other.radius)
    else:
        return meeting_points(other, one)
    return tuple((z.real, z.imag) for z in found if _on(one, z) and _on(other, z))


def nearest_point(edge: Edge, to: Point) -> Point:
    """The point of the edge nearest to `to`; the start of an arc whose centre that is."""
    at = complex(*to)
    if isinstance(edge, Segment):
        start, along = complex(*edge.start), complex(*edge.end) - complex(*edge.start)
        square = abs(along) ** 2
        share = min(1.0, max(0.0, ((at - start) * along.conjugate()).real / square)) if square > 0.0 else 0.0
        return edge.point(share)
    centre = complex(*edge.centre)
    if at == centre:
        return edge.start
    foot = centre + edge.radius * (at - centre) / abs(at - centre)
    if _on(edge, foot):
        return (foot.real, foot.imag)
    return min((edge.start, edge.end), key=lambda end: math.dist(end, to))


def square_points(edge: Edge, start: Point) -> tuple[Point, ...]:
    """Where a line from `start` meets the edge at right angles: at most one point of a straight edge, two of an arc."""
    at = complex(*start)
    if isinstance(edge, Segment):
        foot, along = complex(*edge.start), complex(*edge.end) - complex(*edge.start)
        if along == 0.0:
            return ()
        unit = along / abs(along)
        feet = [foot + ((at - foot) * unit.conjugate()).real * unit]
    else:
        centre = complex(*edge.centre)
        if abs(at - centre) <= WITHIN:
            return ()  # every line from the centre is square to the arc
        out = edge.radius * (at - centre) / abs(at - centre)
        feet = [centre + out, centre - out]
    return tuple((z.real, z.imag) for z in feet if _on(edge, z) and abs(z - at) > WITHIN)


def touching_points(edge: Edge, start: Point) -> tuple[Point, ...]:
    """Where a line from `start` touches an arc (tangent): two points or fewer; none of a straight edge, or from inside the circle."""
    if isinstance(edge, Segment):
        return ()
    centre, at = complex(*edge.centre), complex(*start)
    away = abs(at - centre)
    if away <= edge.radius + WITHIN or edge.radius <= 0.0:
        return ()
    # The radius to the point of touch stands square on the tangent: cos(angle at the centre) = radius / away.
    toward, turn = edge.radius * (at - centre) / away, math.acos(edge.radius / away)
    found = (centre + toward * cmath.rect(1.0, turn), centre + toward * cmath.rect(1.0, -turn))
    return tuple((z.real, z.imag) for z in found if _on(edge, z))


def _on(edge: Edge, at: complex) -> bool:
    """Whether a point of the edge's whole line or circle lies within the edge."""
    if isinstance(edge, Segment):
        start, along = complex(*edge.start), complex(*edge.end) - complex(*edge.start)
        length = abs(along)
        return length > 0.0 and -WITHIN <= ((at - start) * along.conjugate()).real / length <= length + WITHIN
    if edge.radius <= 0.0:
        return False
    low, span = (edge.first, edge.sweep) if edge.sweep >= 0.0 else (edge.first + edge.sweep, -edge.sweep)
    slack = WITHIN / edge.radius
    return (cmath.phase(at - complex(*edge.centre)) - low + slack) % FULL_TURN <= span + 2.0 * slack


def _lines(one: Segment, other: Segment) -> list[complex]:
    start, along = complex(*one.start), complex(*one.end) - complex(*one.start)
    there, beside = complex(*other.start), complex(*other.end) - complex(*other.start)
    lengths = abs(along) * abs(beside)
    turned = (along.conjugate() * beside).imag
    if lengths == 0.0 or abs(turned) <= DEFAULT_TOLERANCES.arithmetic * lengths:
        return []
    return [start + along * (((there - start).conjugate() * beside).imag / turned)]


def _line_circle(line: Segment, centre: complex, radius: float) -> list[complex]:
    start, along = complex(*line.start), complex(*line.end) - complex(*line.start)
    if along == 0.0:
        return []
    unit = along / abs(along)
    foot = start + ((centre - start) * unit.conjugate()).real * unit
    off = abs(foot - centre)
    if off > radius + WITHIN:
        return []
    half = math.sqrt(max(0.0, radius**2 - off**2))
    return [foot] if half <= WITHIN else [foot - half * unit, foot + half * unit]


def _circles(centre: complex, radius: float, other: complex, reach: float) -> list[complex]:
    apart = abs(other - centre)
    if apart <= WITHIN or apart > radius + reach + WITHIN or apart < abs(radius - reach) - WITHIN:
        return []
    unit = (other - centre) / apart
    along = (apart**2 + radius**2 - reach**2) / (2.0 * apart)
    across = math.sqrt(max(0.0, radius**2 - along**2))
    if across <= WITHIN:
        return [centre + math.copysign(radius, along) * unit]
    return [centre + unit * complex(along, across), centre + unit * complex(along, -across)]
