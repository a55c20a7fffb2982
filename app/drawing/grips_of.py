"""Where can a hand take a shape, and what does a shape become where it is dragged? Pure: shapes and points in, shapes out. mm, degrees.

Places of a box or frame are told in a frame of its own: its centre at (0, 0), x along its width.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from msgspec.structs import replace

from core.drawing.path import Pose
from core.model.outline import edges, signed_area
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape

Kind = Literal["centre", "point", "corner", "end", "radius", "side", "turn", "wall", "rounding", "middle"]

AS_POINTS: Final = frozenset({"centre", "point", "corner", "end", "middle"})
"""Grips that go wherever the pointer does; the others change one number."""
LEAST = 0.01
"""mm; no size, radius, wall or length becomes smaller under a hand."""
CORNERS: Final = ((-1, -1), (1, -1), (1, 1), (-1, 1))
"""Of a box, by their place, counter-clockwise."""
SIDES: Final = ((1, 0), (0, 1), (-1, 0), (0, -1))
"""Of a box, by their place: which way each looks."""
MOST_TURN = 360.0
"""Degrees, beyond which a turn is told by what is left of it."""


@dataclass(frozen=True, slots=True)
class Grip:
    """A place of a shape: `place` says which of its kind (a corner, a point, the end 0 or 1), `hole` in which ring of a polygon.

    `away`: mm by which it stands off what it changes, so that it can be told from what lies there.
    """

    kind: Kind
    at: Point
    place: int = 0
    hole: int | None = None
    away: float = 0.0


@dataclass(frozen=True, slots=True)
class Along:
    """A number read along `way` (of length 1) from `start`: `times` the distance there, less `less`."""

    start: Point
    way: Point
    less: float = 0.0
    times: float = 1.0

    def number(self, at: Point) -> float:
        """The number where the grip is at `at`."""
        return (_dot(_less(at, self.start), self.way) - self.less) * self.times

    def place(self, number: float, hint: Point) -> Point:
        """Where the grip has that number; across the way it is where `hint` is."""
        by = (number - self.number(hint)) / self.times
        return (hint[0] + by * self.way[0], hint[1] + by * self.way[1])


@dataclass(frozen=True, slots=True)
class Beyond:
    """The distance from a centre, less `less`."""

    centre: Point
    less: float = 0.0

    def number(self, at: Point) -> float:
        """The number where the grip is at `at`."""
        return math.dist(self.centre, at) - self.less

    def place(self, number: float, hint: Point) -> Point:
        """Where the grip has that number, seen from the centre as `hint` is."""
        x, y = _unit(_less(hint, self.centre), (1.0, 0.0))
        far = number + self.less
        return (self.centre[0] + far * x, self.centre[1] + far * y)


@dataclass(frozen=True, slots=True)
class Bearing:
    """The direction from a centre, degrees counter-clockwise from +x."""

    centre: Point

    def number(self, at: Point) -> float:
        """The number where the grip is at `at`."""
        x, y = _less(at, self.centre)
        return math.degrees(math.atan2(y, x))

    def place(self, number: float, hint: Point) -> Point:
        """Where the grip has that number, as far from the centre as `hint` is."""
        far, angle = math.dist(self.centre, hint), math.radians(number)
        return (self.centre[0] + far * math.cos(angle), self.centre[1] + far * math.sin(angle))


Measure = Along | Beyond | Bearing


def grips_of(shape: Shape, *, away: float) -> tuple[Grip, ...]:
    """All grips of a shape, those that matter most first. `away`: mm that some stand off what they change."""
    match shape:
        case Disc():
            return (Grip("centre", shape.centre), Grip("radius", _off(shape.centre, shape.radius, 0.0)))
        case Bore():
            rim, wall = _off(shape.centre, shape.radius, 0.0), _off(shape.centre, 0.0, shape.radius + shape.wall)
            return (Grip("centre", shape.centre), Grip("radius", rim), Grip("wall", wall))
        case Bar():
            middle, across = _middle(shape.start, shape.end), _across(shape)
            radius = _off(middle, shape.radius * across[0], shape.radius * across[1])
            return (Grip("end", shape.start, 0), Grip("end", shape.end, 1), Grip("centre", middle), Grip("radius", radius))
        case Box() | Frame():
            return tuple(_of_box(shape, away))
        case Polygon():
            return tuple(_of_polygon(shape, away))


def measure_of(shape: Shape, grip: Grip) -> Measure | None:
    """The number that a grip changes, as it is read from the place of the grip; None where it goes as a point."""
    match grip.kind, shape:
        case "radius", Bar():
            return Along(_middle(shape.start, shape.end), _across(shape))
        case "radius", Disc() | Bore():
            return Beyond(shape.centre)
        case "wall", Bore():
            return Beyond(shape.centre, shape.radius)
        case "wall", Frame():
            return Along(_own(shape).place((0.0, shape.size[1] / 2)), _way(shape, (0, 1)))
        case "side", Box() | Frame():
            look = SIDES[grip.place]
            return Along(_own(shape).place((-look[0] * shape.size[0] / 2, -look[1] * shape.size[1] / 2)), _way(shape, look))
        case "turn", Box() | Frame():
            return Bearing(shape.centre)
        case "rounding", Box():
            return Along(_own(shape).place((shape.size[0] / 2, shape.size[1] / 2)), _way(shape, (-1, 0)), grip.away)
        case "rounding", Polygon():
            return _rounding(shape, grip.away)
    return None


def dragged(shape: Shape, grip: Grip, to: Point) -> Shape:
    """The shape with one of its grips at `to`, or, where the grip changes a number, the number that belongs to `to`.

    What lies over against it stays: the other corner, side or end. Sizes stay above `LEAST`; a box keeps corners that fit.
    """
    measure = measure_of(shape, grip)
    if measure is not None:
        return _measured(shape, grip, measure, measure.number(to))
    match shape:
        case Disc() | Bore():
            return replace(shape, centre=to)
        case Bar():
            return _bar(shape, grip, to)
        case Box() | Frame():
            return replace(shape, centre=to) if grip.kind == "centre" else _cornered(shape, CORNERS[grip.place], to)
        case Polygon():
            ring = shape.points if grip.hole is None else shape.holes[grip.hole]
            after = grip.place + 1
            put = (*ring[:after], to, *ring[after:]) if grip.kind == "middle" else (*ring[: grip.place], to, *ring[after:])
            return _with_ring(shape, grip.hole, put)


def led_by(grip: Grip, to: Point) -> Grip:
    """The grip that is held once this one has been dragged: the point that came of the middle of an edge, or itself."""
    return Grip("point", to, grip.place + 1, grip.hole) if grip.kind == "middle" else replace_at(grip, to)


def replace_at(grip: Grip, at: Point) -> Grip:
    """The grip elsewhere."""
    return Grip(grip.kind, at, grip.place, grip.hole, grip.away)


def same_grip(one: Grip, other: Grip) -> bool:
    """Whether two are the same grip of a shape, wherever they are."""
    return (one.kind, one.place, one.hole) == (other.kind, other.place, other.hole)


def told_apart(grips: Sequence[Grip], least: float) -> tuple[Grip, ...]:
    """The grips without those nearer than `least` mm to one before."""
    kept: list[Grip] = []
    cells: dict[tuple[int, int], list[Point]] = {}
    for grip in grips:
        column, row = math.floor(grip.at[0] / least), math.floor(grip.at[1] / least)
        around = [at for x in (-1, 0, 1) for y in (-1, 0, 1) for at in cells.get((column + x, row + y), ())]
        if all(math.dist(at, grip.at) >= least for at in around):
            kept.append(grip)
            cells.setdefault((column, row), []).append(grip.at)
    return tuple(kept)


def _of_box(shape: Box | Frame, away: float) -> Iterator[Grip]:
    own, half_x, half_y = _own(shape), shape.size[0] / 2, shape.size[1] / 2
    wall = shape.wall if isinstance(shape, Frame) else 0.0
    for place, (x, y) in enumerate(CORNERS):
        yield Grip("corner", own.place((x * half_x, y * half_y)), place)
    yield Grip("centre", shape.centre)
    for place, (x, y) in enumerate(SIDES):
        yield Grip("side", own.place((x * half_x, y * half_y)), place)
    yield Grip("turn", own.place((half_x + wall + away, 0.0)), away=away)
    if isinstance(shape, Frame):
        yield Grip("wall", own.place((half_x / 2, half_y + wall)))
    else:
        yield Grip("rounding", own.place((half_x - shape.corner_radius - away, half_y)), away=away)


def _of_polygon(shape: Polygon, away: float) -> Iterator[Grip]:
    rings: list[tuple[int | None, Sequence[Point]]] = [(None, shape.points), *enumerate(shape.holes)]
    for hole, ring in rings:
        for place, point in enumerate(ring):
            yield Grip("point", point, place, hole)
    rounding = _rounding(shape, away)
    if rounding is not None:
        yield Grip("rounding", rounding.place(shape.corner_radius, rounding.start), away=away)
    for hole, ring in rings:
        for place, (start, end) in enumerate(edges(ring)):
            yield Grip("middle", _middle(start, end), place, hole)


def _rounding(shape: Polygon, away: float) -> Along | None:
    """Read along the longest edge from a corner that sticks out, the one where it begins; None where none does.

    Where the corner is `angle` wide, a rounding by r begins r / tan(angle / 2) from it.
    """
    turn = 1.0 if signed_area(shape.points) > 0 else -1.0
    ring = shape.points
    found: tuple[float, Point, Point, float] | None = None
    for place, corner in enumerate(ring):
        before, after = _less(ring[place - 1], corner), _less(ring[(place + 1) % len(ring)], corner)
        length = math.hypot(*after)
        cross = (before[1] * after[0] - before[0] * after[1]) * turn
        if cross > 0.0 and (found is None or length > found[0]):
            half = math.atan2(cross, _dot(before, after)) / 2
            found = (length, corner, (after[0] / length, after[1] / length), math.tan(half))
    return Along(found[1], found[2], away, found[3]) if found is not None else None


def _measured(shape: Shape, grip: Grip, measure: Measure, number: float) -> Shape:
    match grip.kind, shape:
        case "radius", Disc() | Bar() | Bore():
            return replace(shape, radius=max(abs(number), LEAST))
        case "wall", Bore() | Frame():
            return replace(shape, wall=max(number, LEAST))
        case "rounding", Box():
            return replace(shape, corner_radius=min(max(number, 0.0), min(shape.size) / 2))
        case "rounding", Polygon():
            return replace(shape, corner_radius=max(number, 0.0))
        case "turn", Box() | Frame():
            turn = shape.turn + math.remainder(number - shape.turn, MOST_TURN)
            return replace(shape, turn=turn if abs(turn) <= MOST_TURN else math.remainder(turn, MOST_TURN))
        case "side", Box() | Frame():
            size = math.copysign(max(abs(number), LEAST), number)
            if not isinstance(measure, Along):
                raise TypeError("a side is measured along a line")
            x, y = measure.start
            centre = (x + size / 2 * measure.way[0], y + size / 2 * measure.way[1])
            sizes = (abs(size), shape.size[1]) if SIDES[grip.place][0] else (shape.size[0], abs(size))
            return _sized(shape, centre, sizes)
    raise TypeError(f"no {grip.kind} of a {shape.__struct_config__.tag}")


def _bar(shape: Bar, grip: Grip, to: Point) -> Bar:
    if grip.kind == "centre":
        x, y = _less(to, _middle(shape.start, shape.end))
        return replace(shape, start=_off(shape.start, x, y), end=_off(shape.end, x, y))
    still, held = (shape.end, shape.start) if grip.place == 0 else (shape.start, shape.end)
    if math.dist(still, to) < LEAST:
        x, y = _unit(_less(held, still), (1.0, 0.0))
        to = _off(still, LEAST * x, LEAST * y)
    return replace(shape, start=to) if grip.place == 0 else replace(shape, end=to)


def _cornered(shape: Box | Frame, corner: tuple[int, int], to: Point) -> Box | Frame:
    """With a corner at `to`, and that over against it in its place."""
    half = (corner[0] * shape.size[0] / 2, corner[1] * shape.size[1] / 2)
    still = _own(shape).place((-half[0], -half[1]))
    wanted = Pose(shape.turn, *still).unplace(to)
    x, y = (math.copysign(max(abs(size), LEAST), size or side) for size, side in zip(wanted, half, strict=True))
    return _sized(shape, Pose(shape.turn, *still).place((x / 2, y / 2)), (abs(x), abs(y)))


def _sized(shape: Box | Frame, centre: Point, size: Point) -> Box | Frame:
    if isinstance(shape, Frame):
        return replace(shape, centre=centre, size=size)
    return replace(shape, centre=centre, size=size, corner_radius=min(shape.corner_radius, min(size) / 2))


def _with_ring(shape: Polygon, hole: int | None, ring: tuple[Point, ...]) -> Polygon:
    if hole is None:
        return replace(shape, points=ring)
    return replace(shape, holes=(*shape.holes[:hole], ring, *shape.holes[hole + 1 :]))


def _own(shape: Box | Frame) -> Pose:
    return Pose(shape.turn, *shape.centre)


def _way(shape: Box | Frame, look: tuple[int, int]) -> Point:
    return Pose(shape.turn).place((float(look[0]), float(look[1])))


def _across(bar: Bar) -> Point:
    """Square to the bar, to the left of its way from start to end."""
    x, y = _unit(_less(bar.end, bar.start), (1.0, 0.0))
    return (-y, x)


def _unit(way: Point, otherwise: Point) -> Point:
    length = math.hypot(*way)
    return (way[0] / length, way[1] / length) if length > 0.0 else otherwise


def _middle(one: Point, other: Point) -> Point:
    return ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)


def _off(at: Point, x: float, y: float) -> Point:
    return (at[0] + x, at[1] + y)


def _less(one: Point, other: Point) -> Point:
    return (one[0] - other[0], one[1] - other[1])


def _dot(one: Point, other: Point) -> float:
    return one[0] * other[0] + one[1] * other[1]
