"""Shapes as rounded cores: a core (point, segment or polygon) and a radius around it.

Points are complex numbers x + iy, mm, section frame at the drawn pose. Discs, bars and rounded corners are exact with
few vertices; no curve is polygonised except the wall ring of a bore (see `ring_of_room`).
"""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.convex import Rings, convex_pieces
from core.clearance.remembered import Remembered
from core.model.outline import inset_ring, outline_of_box
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Room, Shape

Points = NDArray[np.complex128]


class Piece(NamedTuple):
    """A convex core and the radius around it: 1 point, 2 ends of a segment, or 3 or more corners counter-clockwise."""

    points: Points
    radius: float


@dataclass(frozen=True, eq=False)
class Rounded:
    """A shape as rings of its core (outer first, then holes) and a radius.

    rings: each (n,) complex; one ring of 1 point or 2 points for a disc or bar. chord: how far at most the true
    outline lies inside this one, mm (0: exact).
    """

    rings: Rings
    radius: float
    chord: float = 0.0

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The core cut into convex pieces, each with the radius of the whole; their union is the shape."""
        return tuple(Piece(points, self.radius) for points in convex_pieces(self.rings))

    @property
    def is_convex(self) -> bool:
        """Whether the shape is convex (one piece)."""
        return len(self.pieces) == 1


def complex_of(point: Point) -> complex:
    """The point as x + iy."""
    return complex(point[0], point[1])


def box_corners(*, centre: Point, size: Point, turn: float) -> Points:
    """The four corners of a rectangle, counter-clockwise; `turn` degrees; a side of 0 gives a flat rectangle."""
    return np.array([complex_of(corner) for corner in outline_of_box(centre=centre, size=size, turn=turn)])


def rounded_of(shape: Disc | Bar | Box | Polygon) -> Rounded:
    """The rounded core of a solid shape. A box that its corner radius eats up on one side or both becomes a bar or disc."""
    match shape:
        case Disc():
            return Rounded((np.array([complex_of(shape.centre)]),), shape.radius)
        case Bar():
            return Rounded((np.array([complex_of(shape.start), complex_of(shape.end)]),), shape.radius)
        case Box():
            return _rounded_box(shape)
        case Polygon():
            return _rounded_polygon(shape)


def _rounded_box(box: Box) -> Rounded:
    radius = box.corner_radius
    inner = (max(box.size[0] - 2 * radius, 0.0), max(box.size[1] - 2 * radius, 0.0))
    corners = box_corners(centre=box.centre, size=inner, turn=box.turn)
    if inner[0] == 0.0 and inner[1] == 0.0:
        corners = corners[:1]
    elif inner[0] == 0.0:
        corners = corners[[1, 2]]
    elif inner[1] == 0.0:
        corners = corners[:2]
    return Rounded((corners,), radius)


def _rounded_polygon(polygon: Polygon) -> Rounded:
    rings = []
    for number, ring in enumerate((polygon.points, *polygon.holes)):
        cut = inset_ring(ring, -polygon.corner_radius if number else polygon.corner_radius)
        if cut is None:
            raise ValueError("corner radius too large for this outline; validation refuses it before a sweep")
        points = np.array([complex_of(point) for point in cut])
        rings.append(points if (area(points) > 0) == (number == 0) else points[::-1])
    return Rounded(tuple(rings), polygon.corner_radius)


def area(ring: Points) -> float:
    """Signed area of a ring, mm2: positive where it runs counter-clockwise; 0 for fewer than 3 points."""
    return float(np.sum(ring.real * np.roll(ring.imag, -1) - np.roll(ring.real, -1) * ring.imag) / 2)


def outer_of_room(room: Room) -> Rounded:
    """A room with its inside filled: what a body outside it meets."""
    if isinstance(room, Bore):
        return Rounded((np.array([complex_of(room.centre)]),), room.radius + room.wall)
    size = (room.size[0] + 2 * room.wall, room.size[1] + 2 * room.wall)
    return Rounded((box_corners(centre=room.centre, size=size, turn=room.turn),), 0.0)


def ring_of_room(room: Room, *, chord: float) -> Rounded:
    """The wall of a room as material with a hole. A bore's wall is polygonised outward, within `chord` mm."""
    if isinstance(room, Frame):
        outer = outer_of_room(room).rings[0]
        inner = box_corners(centre=room.centre, size=room.size, turn=room.turn)
        return Rounded((outer, inner[::-1]), 0.0)
    outer_radius = room.radius + room.wall
    count = max(16, math.ceil(math.pi / math.acos(max(1 - chord / outer_radius, 0.5))))
    spokes = np.exp(2j * np.pi * np.arange(count) / count)
    around = complex_of(room.centre) + spokes * (outer_radius / math.cos(math.pi / count))
    within = complex_of(room.centre) + spokes * room.radius
    return Rounded((around, within[::-1]), 0.0, chord=outer_radius / math.cos(math.pi / count) - outer_radius)


class Solids:
    """Shapes as others meet them from outside (rooms with their inside filled), each cut once however often it is asked."""

    def __init__(self) -> None:
        self._known: Remembered[Shape, Rounded] = Remembered()

    def turn(self) -> None:
        """Forget, in the long run, shapes that are not asked for any more."""
        self._known.turn()

    def of(self, shape: Shape) -> Rounded:
        """The rounded core of a solid, or of a room with its inside filled."""
        return self._known.of(shape, lambda: outer_of_room(shape) if isinstance(shape, Bore | Frame) else rounded_of(shape))
