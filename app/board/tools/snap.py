"""Where does the pointer snap to? Pure: bodies and a point in; frozen candidates out, the likeliest first.

Points come first, the nearest before the others: ends, middles, centres and pins, where edges cross, and, from where a line
begins, where it would be square to an edge or touch a round one. Then the nearest point of an edge; then the grid.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

from PySide6.QtCore import QCoreApplication

from app.board.tools.places import Spot, places
from core.drawing.edge_points import meeting_points, nearest_point, square_points, touching_points
from core.drawing.path import DRAWN, Arc, Edge, Pose, Segment
from core.model.joints import Bolted, Joint
from core.model.names import BodyName, JointName
from core.model.project import Body
from core.model.shapes import Point
from core.tolerances import DEFAULT_TOLERANCES

Kind = Literal["end", "middle", "centre", "corner", "pin", "crossing", "square", "touching", "edge", "grid"]

MOST_EDGES = 16
"""Edges near the pointer that are looked at, the nearest; more are more than can be told apart."""

_WORDS: Final[Mapping[str, str]] = {
    "end": "end of {body}",
    "middle": "middle of {body}",
    "centre": "centre of {body}",
    "corner": "corner of {body}, before rounding",
    "square": "square to {body}",
    "touching": "touching {body}",
    "edge": "edge of {body}",
}


def tr(text: str) -> str:
    """The translation of what is snapped to."""
    return QCoreApplication.translate("Snap", text)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A place to snap to, and what it is: "middle of wall". `body` is whose it is.

    `line`: the straight edge it lies on, if it lies on one; `edges`: the edges and arcs to thicken, two where they cross; `pin`:
    the joint whose pin it is. All mm, section frame, at the poses asked for.
    """

    at: Point
    told: str
    body: BodyName | None = None
    line: tuple[Point, Point] | None = None
    kind: Kind = "grid"
    edges: tuple[Edge, ...] = ()
    pin: JointName | None = None


@dataclass(frozen=True, slots=True)
class _Near:
    """An edge near the pointer, posed, with its nearest point."""

    edge: Edge
    body: BodyName
    at: Point


def candidates(
    bodies: Iterable[Body],
    at: Point,
    *,
    within: float,
    grid: float,
    poses: Mapping[BodyName, Pose] | None = None,
    joints: Iterable[Joint] = (),
    from_: Point | None = None,
    on_edges: bool = True,
) -> tuple[Candidate, ...]:
    """What lies within `within` mm of `at`, points first, nearest first; the grid, of `grid` mm a step (0: none), last.

    `poses`: where bodies are that are not as drawn. `joints`: those whose pins count. `from_`: where the line begins that is
    being drawn. `on_edges`: whether any point of an edge will do.
    """
    there = poses or {}
    spots: list[Candidate] = []
    near: list[_Near] = []
    for body in bodies:
        pose = there.get(body.name, DRAWN)
        own, offered = at if pose is DRAWN else pose.unplace(at), places(body)
        if not offered.far(own, within):
            spots += [_spot(body.name, spot, pose) for spot in offered.spots_near(own, within)]
            near += [_Near(edge, body.name, pose.place(nearest_point(edge, own))) for edge in offered.edges_near(own, within)]
    nearest = sorted((one for one in near if math.dist(one.at, at) <= within), key=lambda one: math.dist(one.at, at))[:MOST_EDGES]
    near = [_Near(_posed(one.edge, there.get(one.body, DRAWN)), one.body, one.at) for one in nearest]
    drawn = [*_pins(joints, there), *spots, *_crossings(near), *_from(near, from_)]
    points = _once(sorted((one for one in drawn if math.dist(one.at, at) <= within), key=lambda one: math.dist(one.at, at)))
    edges = [_on_edge(one) for one in near] if on_edges else []
    return (*points, *_beside(edges, points), *_on_grid(at, within, grid))


def _spot(body: BodyName, spot: Spot, pose: Pose) -> Candidate:
    line = (pose.place(spot.line[0]), pose.place(spot.line[1])) if spot.line is not None else None
    edges = (_posed(spot.edge, pose),) if spot.edge is not None else ()
    return Candidate(pose.place(spot.at), tr(_WORDS[spot.kind]).format(body=body), body, line, spot.kind, edges)


def _posed(edge: Edge, pose: Pose) -> Edge:
    if pose == DRAWN:
        return edge
    if isinstance(edge, Segment):
        return Segment(pose.place(edge.start), pose.place(edge.end))
    return Arc(pose.place(edge.centre), edge.radius, edge.first + math.radians(pose.turn), edge.sweep)


def _pins(joints: Iterable[Joint], poses: Mapping[BodyName, Pose]) -> Iterator[Candidate]:
    """Pins go with the first body; that of a slide or pivot lies in both."""
    for joint in joints:
        if not isinstance(joint, Bolted):
            first = joint.between[0]
            yield Candidate(
                poses.get(first, DRAWN).place(joint.at), tr("pin of {joint}").format(joint=joint.name), first, None, "pin", pin=joint.name
            )


def _crossings(near: Sequence[_Near]) -> Iterator[Candidate]:
    for one, other in combinations(near, 2):
        told = tr("where {one} and {other} cross") if one.body != other.body else tr("where outlines of {one} cross")
        told = told.format(one=one.body, other=other.body)
        for point in meeting_points(one.edge, other.edge):
            yield Candidate(point, told, one.body, _line(one.edge), "crossing", (one.edge, other.edge))


def _from(near: Sequence[_Near], start: Point | None) -> Iterator[Candidate]:
    if start is None:
        return
    for one in near:
        for point in square_points(one.edge, start):
            yield _of_edge(one, point, "square")
        for point in touching_points(one.edge, start):
            yield _of_edge(one, point, "touching")


def _on_edge(one: _Near) -> Candidate:
    return _of_edge(one, one.at, "edge")


def _of_edge(one: _Near, point: Point, kind: Kind) -> Candidate:
    return Candidate(point, tr(_WORDS[kind]).format(body=one.body), one.body, _line(one.edge), kind, (one.edge,))


def _line(edge: Edge) -> tuple[Point, Point] | None:
    return (edge.start, edge.end) if isinstance(edge, Segment) else None


_MADE: Final = ("crossing", "square", "touching")


def _once(points: Sequence[Candidate]) -> list[Candidate]:
    """Crossings and the like only where no point is that is there by itself, and each place of them once."""
    there = [one.at for one in points if one.kind not in _MADE]
    kept: list[Candidate] = []
    for one in points:
        if one.kind in _MADE:
            if any(_together(one.at, other) for other in there):
                continue
            there.append(one.at)
        kept.append(one)
    return kept


def _beside(edges: Sequence[Candidate], points: Sequence[Candidate]) -> list[Candidate]:
    """Of points of edges, those that are no other point already."""
    return [one for one in edges if not any(_together(one.at, other.at) for other in points)]


def _together(one: Point, other: Point) -> bool:
    return math.dist(one, other) <= DEFAULT_TOLERANCES.on_outline


def _on_grid(at: Point, within: float, grid: float) -> Iterator[Candidate]:
    if grid > 0.0:
        there = (round(at[0] / grid) * grid, round(at[1] / grid) * grid)
        if math.dist(there, at) <= within:
            yield Candidate(there, tr("grid"))
