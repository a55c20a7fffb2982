"""Where does the pointer snap to? Pure: bodies as drawn and a point in; frozen candidates out, the likeliest first."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape


@dataclass(frozen=True, slots=True)
class Candidate:
    """A place to snap to, and what it is: "middle of wall". `line` is the edge it lies on, if it lies on one; `body` whose it is."""

    at: Point
    told: str
    body: BodyName | None = None
    line: tuple[Point, Point] | None = None


def candidates(bodies: Iterable[Body], at: Point, *, within: float, grid: float) -> tuple[Candidate, ...]:
    """What lies within `within` mm of `at`, nearest first; the grid, of `grid` mm a step, after all that is drawn."""
    drawn = [found for body in bodies for shape in body.shapes for found in _of_shape(body.name, shape)]
    near = sorted((found for found in drawn if math.dist(found.at, at) <= within), key=lambda found: math.dist(found.at, at))
    on_grid = Candidate((round(at[0] / grid) * grid, round(at[1] / grid) * grid), "grid")
    return (*near, on_grid) if math.dist(on_grid.at, at) <= within else tuple(near)


def _of_shape(body: BodyName, shape: Shape) -> Iterator[Candidate]:
    if isinstance(shape, Disc | Bore | Box | Frame):
        yield Candidate(shape.centre, f"centre of {body}", body)
    if isinstance(shape, Bar):
        yield from _of_edge(body, shape.start, shape.end)
        yield Candidate(shape.end, f"end of {body}", body, (shape.start, shape.end))
    ring = _corners(shape)
    for start, end in zip(ring, (*ring[1:], *ring[:1]), strict=True):
        yield from _of_edge(body, start, end)


def _of_edge(body: BodyName, start: Point, end: Point) -> Iterator[Candidate]:
    """Its first end and its middle: the other end is the first of the next edge."""
    yield Candidate(start, f"end of {body}", body, (start, end))
    yield Candidate(((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0), f"middle of {body}", body, (start, end))


def _corners(shape: Shape) -> tuple[Point, ...]:
    """The corners of the outline before any rounding, of a room those of its free inside; none of what is round."""
    if isinstance(shape, Polygon):
        return shape.points
    if not isinstance(shape, Box | Frame):
        return ()
    turn = math.radians(shape.turn)
    cos, sin = math.cos(turn), math.sin(turn)
    half_x, half_y = shape.size[0] / 2.0, shape.size[1] / 2.0
    offsets = ((-half_x, -half_y), (half_x, -half_y), (half_x, half_y), (-half_x, half_y))
    return tuple((shape.centre[0] + cos * x - sin * y, shape.centre[1] + sin * x + cos * y) for x, y in offsets)
