"""Where is a mark after an edit? Pure: a mark and the section before and after in; the mark there, or None where it has lost its place.

A point goes with what it was: the same end, middle or centre of the body, the same share of its edge, the pin of its joint. A
point in the middle of a body goes with it where it was moved as a whole.
"""

import cmath
import math

from app.board.marks import Gap, Held, Mark, points_of, with_points
from app.board.tools.places import Places, places
from core.drawing.edge_points import nearest_point
from core.drawing.path import Arc, Edge, Segment
from core.model.joints import Bolted
from core.model.names import BodyName
from core.model.project import Body, Section
from core.model.shapes import Point
from core.tolerances import DEFAULT_TOLERANCES

_NEAR = DEFAULT_TOLERANCES.on_outline


def followed(mark: Mark, before: Section, after: Section) -> Mark | None:
    """The mark in the section after an edit; None where a body or place of it is gone."""
    if isinstance(mark, Gap):
        first, second = (_renamed(name, before, after) for name in mark.pair)
        return Gap((first, second)) if first is not None and second is not None else None
    points = [_point(held, before, after) for held in points_of(mark)]
    found = [held for held in points if held is not None]
    return with_points(mark, found) if len(found) == len(points) else None


def _renamed(name: BodyName, before: Section, after: Section) -> BodyName | None:
    """What a body is called now: a body of the same shapes in its place that has a name which is new is that body."""
    if any(body.name == name for body in after.bodies):
        return name
    place = next((number for number, body in enumerate(before.bodies) if body.name == name), None)
    if place is None or len(before.bodies) != len(after.bodies):
        return None
    now = after.bodies[place]
    known = {body.name for body in before.bodies}
    return now.name if now.name not in known and now.shapes == before.bodies[place].shapes else None


def _point(held: Held, before: Section, after: Section) -> Held | None:
    if held.pin is not None:
        return _pin(held, after)
    if held.body is None:
        return held
    name = _renamed(held.body, before, after)
    one, other = _body(held.body, before), _body(name, after)
    if name is None or one is None or other is None:
        return None
    told = held.told if name == held.body else held.told.replace(held.body, name)
    if one.shapes is other.shapes or one.shapes == other.shapes:
        return Held(held.at, told, name)
    there = _place(held.at, places(one), places(other))
    return None if there is None else Held(there, told, name)


def _pin(held: Held, after: Section) -> Held | None:
    joint = next((joint for joint in after.joints if joint.name == held.pin), None)
    if joint is None or isinstance(joint, Bolted):
        return None
    return Held(joint.at, held.told, joint.between[0], joint.name)


def _body(name: BodyName | None, section: Section) -> Body | None:
    return next((body for body in section.bodies if body.name == name), None)


def _place(at: Point, before: Places, after: Places) -> Point | None:
    """Where a point of a body's outline or inside is after the body was changed."""
    same = len(before.spots) == len(after.spots) and len(before.edges) == len(after.edges)
    spot = next((number for number, spot in enumerate(before.spots) if math.dist(spot.at, at) <= _NEAR), None)
    if spot is not None:
        if same and before.spots[spot].kind == after.spots[spot].kind:
            return after.spots[spot].at
        return at if any(math.dist(one.at, at) <= _NEAR for one in after.spots) else None
    edge = next((number for number, edge in enumerate(before.edges) if math.dist(nearest_point(edge, at), at) <= _NEAR), None)
    if edge is not None:
        if same and type(before.edges[edge]) is type(after.edges[edge]):
            return after.edges[edge].point(_share(before.edges[edge], at))
        return at if any(math.dist(nearest_point(one, at), at) <= _NEAR for one in after.edges) else None
    return _carried(at, before, after) if same else None


def _share(edge: Edge, at: Point) -> float:
    """How far along the edge the point is, 0 start, 1 end."""
    if isinstance(edge, Segment):
        return math.dist(edge.start, at) / edge.length
    turned = math.atan2(at[1] - edge.centre[1], at[0] - edge.centre[0]) - edge.first
    return _within_turn(turned, edge) / edge.sweep


def _within_turn(turned: float, edge: Arc) -> float:
    full = math.copysign(2.0 * math.pi, edge.sweep)
    share = turned % full
    return 0.0 if abs(share - full) * edge.radius <= _NEAR else share


def _carried(at: Point, before: Places, after: Places) -> Point | None:
    """A point that goes with a body which was moved or turned as a whole; None where its form has changed."""
    old = [complex(*spot.at) for spot in before.spots]
    new = [complex(*spot.at) for spot in after.spots]
    if not old:
        return None
    far = max(range(len(old)), key=lambda number: abs(old[number] - old[0]))
    span = old[far] - old[0]
    turn = (new[far] - new[0]) / span if abs(span) > _NEAR else 1.0 + 0.0j
    turn = cmath.rect(1.0, cmath.phase(turn))
    # Files round to a millionth: a point turned and rounded is that far off.
    if any(abs(new[0] + turn * (one - old[0]) - other) > 10.0 * _NEAR for one, other in zip(old, new, strict=True)):
        return None
    there = new[0] + turn * (complex(*at) - old[0])
    return (there.real, there.imag)
