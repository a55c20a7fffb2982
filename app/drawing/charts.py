"""How is a point told by numbers? Pure: a chart tells a point from where another is, and finds it again by that. mm, degrees."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from core.model.project import Unit
from core.model.shapes import Point


class Chart(Protocol):
    """`keys` name the numbers. `point` finds the point with these numbers; `hint` is where the pointer is, for what they leave open."""

    @property
    def keys(self) -> tuple[str, ...]: ...
    def numbers(self, at: Point) -> tuple[float, ...]: ...
    def point(self, numbers: Sequence[float], hint: Point) -> Point: ...


UNITS: dict[str, Unit] = {"direction": "deg"}
"""By key; all others are mm."""


@dataclass(frozen=True, slots=True)
class Place:
    """By its coordinates in the section."""

    keys: tuple[str, ...] = ("x", "y")

    def numbers(self, at: Point) -> tuple[float, ...]:
        return at

    def point(self, numbers: Sequence[float], hint: Point) -> Point:  # noqa: ARG002 - nothing is left open
        return (numbers[0], numbers[1])


@dataclass(frozen=True, slots=True)
class Rim:
    """By its distance from a centre."""

    centre: Point
    keys: tuple[str, ...] = ("radius",)

    def numbers(self, at: Point) -> tuple[float, ...]:
        return (math.dist(self.centre, at),)

    def point(self, numbers: Sequence[float], hint: Point) -> Point:
        return _along(self.centre, numbers[0], _direction(self.centre, hint))


@dataclass(frozen=True, slots=True)
class Stretch:
    """By length and direction from a point, degrees counter-clockwise from +x."""

    start: Point
    keys: tuple[str, ...] = ("length", "direction")

    def numbers(self, at: Point) -> tuple[float, ...]:
        return (math.dist(self.start, at), math.degrees(_direction(self.start, at)))

    def point(self, numbers: Sequence[float], hint: Point) -> Point:  # noqa: ARG002 - nothing is left open
        return _along(self.start, numbers[0], math.radians(numbers[1]))


@dataclass(frozen=True, slots=True)
class Back:
    """By how far it lies from a point the other way: `direction`, degrees counter-clockwise from +x, is the way it does not lie."""

    start: Point
    direction: float
    keys: tuple[str, ...] = ("length",)

    def numbers(self, at: Point) -> tuple[float, ...]:
        c, s = math.cos(math.radians(self.direction)), math.sin(math.radians(self.direction))
        return (max(0.0, c * (self.start[0] - at[0]) + s * (self.start[1] - at[1])),)

    def point(self, numbers: Sequence[float], hint: Point) -> Point:  # noqa: ARG002 - nothing is left open
        return _along(self.start, -numbers[0], math.radians(self.direction))


@dataclass(frozen=True, slots=True)
class Opposite:
    """By the extents of the upright rectangle whose other corner is given; the pointer says to which side it lies."""

    corner: Point
    keys: tuple[str, ...] = ("width", "height")

    def numbers(self, at: Point) -> tuple[float, ...]:
        return (abs(at[0] - self.corner[0]), abs(at[1] - self.corner[1]))

    def point(self, numbers: Sequence[float], hint: Point) -> Point:
        x, y = (base + math.copysign(size, there - base) for base, size, there in zip(self.corner, numbers, hint, strict=True))
        return (x, y)


def _direction(start: Point, at: Point) -> float:
    return math.atan2(at[1] - start[1], at[0] - start[0])


def _along(start: Point, length: float, direction: float) -> Point:
    return (start[0] + length * math.cos(direction), start[1] + length * math.sin(direction))
