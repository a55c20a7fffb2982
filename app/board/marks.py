"""What was measured: marks on places of bodies, that go with their bodies. Pure: marks and poses in; values and dimensions out.

Lengths mm, angles degrees. A mark is never written into the project.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from core.drawing.dimension import TEXT_SIZE, angles, lengths, radii
from core.drawing.display_list import DisplayList, Text
from core.drawing.gap_mark import GapMark, gap_dimensions
from core.drawing.path import DRAWN, Pose
from core.model.names import BodyName, JointName
from core.model.shapes import Point
from core.sentences.numbers import Translator, rounded
from core.sweep.result import Pair
from core.tolerances import DEFAULT_TOLERANCES

Poses = Mapping[BodyName, Pose]


@dataclass(frozen=True, slots=True)
class Held:
    """A point that goes with a body (None: it stays in the section): `at` mm as drawn; what it is in words: "middle of wall".

    `pin`: the joint whose pin it is.
    """

    at: Point
    told: str
    body: BodyName | None = None
    pin: JointName | None = None

    def posed(self, poses: Poses) -> Point:
        """Where it is, mm."""
        return poses.get(self.body, DRAWN).place(self.at) if self.body is not None else self.at


@dataclass(frozen=True, slots=True)
class Arm:
    """A ray of an angle: along the line from `start` to `end`, on the side where `spot` is."""

    start: Held
    end: Held
    spot: Held


@dataclass(frozen=True, slots=True)
class Distance:
    """How far two points are apart."""

    first: Held
    last: Held


@dataclass(frozen=True, slots=True)
class Angle:
    """Between two rays, less than half a turn. Of three points both arms begin at the corner."""

    first: Arm
    last: Arm


@dataclass(frozen=True, slots=True)
class Radius:
    """Of a round edge about `centre`, told at its point `rim`."""

    centre: Held
    rim: Held


@dataclass(frozen=True, slots=True)
class Gap:
    """The exact gap of two bodies, wherever their nearest points are."""

    pair: Pair


Mark = Distance | Angle | Radius | Gap


@dataclass(frozen=True, slots=True)
class Reading:
    """A mark at a pose. `gap`: of a gap mark, None where it has none there; `value`: None then, else mm or degrees."""

    mark: Mark
    poses: Mapping[BodyName, Pose]
    gap: GapMark | None = None

    @property
    def value(self) -> float | None:
        """What was measured, mm or degrees."""
        match self.mark:
            case Distance():
                return math.dist(*self.ends())
            case Radius():
                return math.dist(*self.ends())
            case Angle():
                return abs(math.degrees(self._rays()[1]))
            case Gap():
                return self.gap.gap if self.gap is not None else None

    def ends(self) -> tuple[Point, Point]:
        """The two points of a distance or radius, or where the nearest points of a gap are."""
        match self.mark:
            case Distance(first, last):
                return first.posed(self.poses), last.posed(self.poses)
            case Radius(centre, rim):
                return centre.posed(self.poses), rim.posed(self.poses)
            case Angle(first_arm, last_arm):
                return first_arm.spot.posed(self.poses), last_arm.spot.posed(self.poses)
            case Gap():
                return self.gap.points if self.gap is not None else ((0.0, 0.0), (0.0, 0.0))

    def words(self, tr: Translator) -> str:
        """The number as its dimension shows it (ISO 129-1: R before a radius); a gap rounded down."""
        value = self.value
        if value is None:
            return tr("no gap")
        match self.mark:
            case Angle():
                return tr("{value}\N{DEGREE SIGN}").format(value=rounded(value, places=2))
            case Radius():
                return tr("R {value} mm").format(value=rounded(value, places=2))
            case Gap():
                return self.gap.words if self.gap is not None else ""
            case _:
                return tr("{value} mm").format(value=rounded(value, places=2))

    def ways(self, unit: float, tr: Translator) -> Iterator[DisplayList]:
        """The ways to draw it, the likeliest first; `unit` mm to a drawing unit. None where there is nothing to draw."""
        words = self.words(tr)
        match self.mark:
            case Distance():
                return lengths(*self.ends(), words, unit=unit)
            case Radius():
                return radii(*self.ends(), words, unit=unit)
            case Gap():
                return gap_dimensions(self.gap, unit=unit) if self.gap is not None else iter(())
            case Angle():
                return self._angle_ways(words, unit, tr)

    def _angle_ways(self, words: str, unit: float, tr: Translator) -> Iterator[DisplayList]:
        corner, _ = self._rays()
        first, last = self.ends()
        if corner is not None:
            return angles(corner, first, last, words, unit=unit)
        middle = ((first[0] + last[0]) / 2.0, (first[1] + last[1]) / 2.0)
        return iter([(Text(middle, tr("{angle}, parallel").format(angle=words), TEXT_SIZE, strong=True, halo=True),)])

    def _rays(self) -> tuple[Point | None, float]:
        """The corner of an angle, and the turn from its first ray to its last, radians within half a turn; None and 0 of parallel edges."""
        if not isinstance(self.mark, Angle):
            raise TypeError("only an angle has rays")
        one, other = self._line(self.mark.first), self._line(self.mark.last)
        corner = _meeting(one, other)
        if corner is None:
            return None, 0.0
        spots = [complex(*arm.spot.posed(self.poses)) for arm in (self.mark.first, self.mark.last)]
        ways = [_along(line, corner, spot) for line, spot in zip((one, other), spots, strict=True)]
        return (corner.real, corner.imag), math.atan2(*_cross_dot(*ways))

    def _line(self, arm: Arm) -> tuple[complex, complex]:
        return complex(*arm.start.posed(self.poses)), complex(*arm.end.posed(self.poses))


def bodies_of(mark: Mark) -> tuple[BodyName, ...]:
    """The bodies that a mark goes with, each once."""
    if isinstance(mark, Gap):
        return mark.pair
    return tuple(dict.fromkeys(held.body for held in points_of(mark) if held.body is not None))


def points_of(mark: Mark) -> tuple[Held, ...]:
    """All points that a mark holds; a gap holds none."""
    match mark:
        case Distance(first, last):
            return (first, last)
        case Radius(centre, rim):
            return (centre, rim)
        case Angle(one, other):
            return (one.start, one.end, one.spot, other.start, other.end, other.spot)
        case Gap():
            return ()


def with_points(mark: Mark, points: Sequence[Held]) -> Mark:
    """The mark on other points, in the order of `points_of`."""
    match mark:
        case Distance():
            return Distance(*points)
        case Radius():
            return Radius(*points)
        case Angle():
            return Angle(Arm(*points[:3]), Arm(*points[3:]))
        case Gap():
            return mark


def _meeting(one: tuple[complex, complex], other: tuple[complex, complex]) -> complex | None:
    """Where two lines meet; where both begin, if they begin at one place; None where they are parallel."""
    if abs(one[0] - other[0]) <= DEFAULT_TOLERANCES.on_outline:
        return one[0]
    along, beside = one[1] - one[0], other[1] - other[0]
    turned, _ = _cross_dot(along, beside)
    if abs(turned) <= DEFAULT_TOLERANCES.arithmetic * abs(along) * abs(beside):
        return None
    return one[0] + along * (_cross_dot(other[0] - one[0], beside)[0] / turned)


def _along(line: tuple[complex, complex], corner: complex, spot: complex) -> complex:
    """The direction of a ray: along its line, toward the spot from the corner; as the line runs where that is no help."""
    way = line[1] - line[0]
    if abs(spot - corner) <= DEFAULT_TOLERANCES.on_outline:
        return way
    return way if _cross_dot(way, spot - corner)[1] >= 0.0 else -way


def _cross_dot(one: complex, other: complex) -> tuple[float, float]:
    """Cross and dot product; atan2 of them is the turn from the first to the second."""
    product = one.conjugate() * other
    return product.imag, product.real
