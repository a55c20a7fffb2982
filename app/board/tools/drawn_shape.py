"""Which shape do two points of the board make? Pure: points in mm in; a shape of the file format out, or None where it has no size."""

import math
from collections.abc import Callable, Mapping
from typing import Final, Literal

from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Shape

Kind = Literal["disc", "bar", "box", "bore", "frame"]

BAR_RADIUS = 2.0
"""mm; half the width that a new bar has until it is changed."""

WALL = 2.0
"""mm; the wall that a new room has until it is changed."""


def drawn_shape(kind: Kind, first: Point, second: Point) -> Shape | None:
    """Discs and bores from centre to rim, bars from end to end, boxes and frames from corner to corner; rooms by their free inside."""
    return _MAKERS[kind](first, second)


def _disc(first: Point, second: Point) -> Shape | None:
    radius = math.dist(first, second)
    return Disc(centre=first, radius=radius) if radius > 0.0 else None


def _bore(first: Point, second: Point) -> Shape | None:
    radius = math.dist(first, second)
    return Bore(centre=first, radius=radius, wall=WALL) if radius > 0.0 else None


def _bar(first: Point, second: Point) -> Shape | None:
    return Bar(start=first, end=second, radius=BAR_RADIUS) if first != second else None


def _box(first: Point, second: Point) -> Shape | None:
    centre, size = _middle(first, second), _extent(first, second)
    return Box(centre=centre, size=size) if min(size) > 0.0 else None


def _frame(first: Point, second: Point) -> Shape | None:
    centre, size = _middle(first, second), _extent(first, second)
    return Frame(centre=centre, size=size, wall=WALL) if min(size) > 0.0 else None


def _middle(first: Point, second: Point) -> Point:
    return ((first[0] + second[0]) / 2.0, (first[1] + second[1]) / 2.0)


def _extent(first: Point, second: Point) -> Point:
    return (abs(second[0] - first[0]), abs(second[1] - first[1]))


_MAKERS: Final[Mapping[Kind, Callable[[Point, Point], Shape | None]]] = {
    "disc": _disc,
    "bar": _bar,
    "box": _box,
    "bore": _bore,
    "frame": _frame,
}
