"""What is a line on the drawing made of? Straight edges and exact arcs, joined into runs; runs into paths.

Lengths mm, section frame, y up. Angles are radians, counter-clockwise positive. Outer outlines run counter-clockwise and
holes clockwise, so that both the winding and the even-odd rule fill them alike.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from core.model.shapes import Point

FULL_TURN = 2.0 * math.pi


class Pose(NamedTuple):
    """Takes drawn to posed: p' = R(turn) p + (x, y); `turn` in degrees, x and y in mm."""

    turn: float = 0.0
    x: float = 0.0
    y: float = 0.0

    def place(self, point: Point) -> Point:
        """The posed place of a point of the drawn section."""
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        return (c * point[0] - s * point[1] + self.x, s * point[0] + c * point[1] + self.y)

    def unplace(self, point: Point) -> Point:
        """The point of the drawn section that is posed at `point`: the inverse of `place`."""
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        x, y = point[0] - self.x, point[1] - self.y
        return (c * x + s * y, c * y - s * x)


DRAWN = Pose()


@dataclass(frozen=True, slots=True)
class Segment:
    """A straight edge; `start` may equal `end`, it then draws nothing."""

    start: Point
    end: Point

    def point(self, share: float) -> Point:
        """The point at `share` (0 start, 1 end) of the edge."""
        return (self.start[0] + share * (self.end[0] - self.start[0]), self.start[1] + share * (self.end[1] - self.start[1]))

    def heading(self, share: float) -> float:  # noqa: ARG002 - an arc needs it
        """The direction of travel, radians."""
        return math.atan2(self.end[1] - self.start[1], self.end[0] - self.start[0])

    def part(self, low: float, high: float) -> "Segment":
        """The edge between two shares."""
        return Segment(self.point(low), self.point(high))

    @property
    def length(self) -> float:
        """How long the edge is, mm."""
        return math.dist(self.start, self.end)


@dataclass(frozen=True, slots=True)
class Arc:
    """A piece of a circle from angle `first` through `sweep` radians (negative: clockwise; a full circle: +-2 pi)."""

    centre: Point
    radius: float
    first: float
    sweep: float

    def point(self, share: float) -> Point:
        """The point at `share` (0 start, 1 end) of the arc."""
        angle = self.first + share * self.sweep
        return (self.centre[0] + self.radius * math.cos(angle), self.centre[1] + self.radius * math.sin(angle))

    @property
    def start(self) -> Point:
        """Where the arc begins."""
        return self.point(0.0)

    @property
    def end(self) -> Point:
        """Where the arc ends."""
        return self.point(1.0)

    def heading(self, share: float) -> float:
        """The direction of travel at `share`, radians."""
        return self.first + share * self.sweep + math.copysign(math.pi / 2.0, self.sweep)

    def part(self, low: float, high: float) -> "Arc":
        """The arc between two shares."""
        return Arc(self.centre, self.radius, self.first + low * self.sweep, (high - low) * self.sweep)

    @property
    def length(self) -> float:
        """How long the edge is, mm."""
        return self.radius * abs(self.sweep)


Edge = Segment | Arc


@dataclass(frozen=True, slots=True)
class Run:
    """Edges that follow each other end to start; closed runs bound material."""

    edges: tuple[Edge, ...]
    closed: bool = True


Path = tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Command:
    """One stroke of a pen: move or line to `point`; arc about `centre`; close the run.

    Arcs of more than half a turn come as several, so that a writer that knows end points alone can draw them.
    """

    kind: Literal["move", "line", "arc", "close"]
    point: Point = (0.0, 0.0)
    centre: Point = (0.0, 0.0)
    radius: float = 0.0
    first: float = 0.0
    sweep: float = 0.0


def commands(path: Path) -> Iterator[Command]:
    """The path as pen strokes, in order; an empty path or run gives none."""
    for run in path:
        if not run.edges:
            continue
        yield Command("move", run.edges[0].start)
        for edge in run.edges:
            yield from _strokes(edge)
        if run.closed:
            yield Command("close")


def _strokes(edge: Edge) -> Iterator[Command]:
    if isinstance(edge, Segment):
        yield Command("line", edge.end)
        return
    # Half a turn is the largest arc whose end points still tell its centre's side.
    count = max(1, math.ceil(abs(edge.sweep) / math.pi - 1e-12))
    for number in range(count):
        part = edge.part(number / count, (number + 1) / count)
        yield Command("arc", part.end, part.centre, part.radius, part.first, part.sweep)


def moved(path: Path, pose: Pose, scale: float = 1.0) -> Path:
    """The path enlarged about the origin by `scale` and then put at `pose`."""
    turn = math.radians(pose.turn)
    c, s = scale * math.cos(turn), scale * math.sin(turn)

    def placed(point: Point) -> Point:
        return (c * point[0] - s * point[1] + pose.x, s * point[0] + c * point[1] + pose.y)

    def edges_there(edges: Sequence[Edge]) -> Iterator[Edge]:
        before: Point | None = None
        there: Point = (0.0, 0.0)
        for edge in edges:
            if isinstance(edge, Arc):
                yield Arc(placed(edge.centre), scale * edge.radius, edge.first + turn, edge.sweep)
                continue
            # Most edges begin where the one before ends.
            first = there if edge.start is before else placed(edge.start)
            before, there = edge.end, placed(edge.end)
            yield Segment(first, there)

    return tuple(Run(tuple(edges_there(run.edges)), run.closed) for run in path)


def polyline(*points: Point, closed: bool = False) -> Run:
    """A run of straight edges through `points`; fewer than two points give an empty run."""
    ends = (*points[1:], points[0]) if closed and points else points[1:]
    return Run(tuple(Segment(a, b) for a, b in zip(points, ends, strict=False)), closed)


def circle(centre: Point, radius: float, *, hole: bool = False) -> Run:
    """A full circle, clockwise where it is a hole; radius 0 gives a run that draws nothing."""
    return Run((Arc(centre, radius, 0.0, -FULL_TURN if hole else FULL_TURN),))


def reversed_run(run: Run) -> Run:
    """The same line, travelled the other way."""
    back = [
        Segment(edge.end, edge.start) if isinstance(edge, Segment) else Arc(edge.centre, edge.radius, edge.first + edge.sweep, -edge.sweep)
        for edge in reversed(run.edges)
    ]
    return Run(tuple(back), run.closed)
