"""Overlap with the wall of a room that a body is drawn across: the shortest way out of it, outward or into the room.

A shape is of one piece, so it is free of the wall where it lies outside the room's outer outline or wholly in its inside.
Both ways are known in closed form but for the outline of the shape itself; the wall needs no chords.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.overlap import WayOut, way_out
from core.clearance.rounded import Piece, complex_of, outer_of_room
from core.model.shapes import Bore, Room
from core.tolerances import Tolerances

Complexes = NDArray[np.complex128]


class Wall(NamedTuple):
    """A room's wall. side: 0 or 1, which of two shapes it is. filled: the room with its inside filled, as drawn."""

    side: int
    room: Room
    filled: Piece


def wall_of(room: Room, *, side: int) -> Wall:
    """The wall of a room that is the first (0) or second (1) of two shapes."""
    (filled,) = outer_of_room(room).pieces
    return Wall(side, room, filled)


def way_out_of_wall(wall: Wall, body: Sequence[Piece], *, spin: complex, shift: complex, tolerances: Tolerances) -> WayOut:
    """Depth of a body in the wall, and the shortest translation of the second of the two shapes.

    spin, shift: the room's pose, p' = spin p + shift; body: posed already. 0 where nothing overlaps.
    """
    filled = Piece(spin * wall.filled.points + shift, wall.filled.radius)
    outward = way_out([filled], body, tolerances=tolerances)
    inward = _into(wall.room, np.concatenate([piece.points for piece in body]), body[0].radius, spin, shift, tolerances)
    found = outward if inward is None or outward.depth <= abs(inward) else WayOut(abs(inward), inward)
    return found if wall.side == 0 else WayOut(found.depth, -found.move)


def _into(room: Room, points: Complexes, radius: float, spin: complex, shift: complex, tolerances: Tolerances) -> complex | None:
    """The shortest translation of the points, each with a radius around it, into the room; None where they do not fit."""
    away = points - (spin * complex_of(room.centre) + shift)
    if isinstance(room, Bore):
        return _into_circle(away, room.radius - radius, tolerances)
    ahead = spin * np.exp(1j * np.radians(room.turn))
    own = away / ahead
    steps = []
    for places, size in ((own.real, room.size[0]), (own.imag, room.size[1])):
        low, high = radius - size / 2 - float(places.min()), size / 2 - radius - float(places.max())
        if low > high:
            return None
        steps.append(min(max(0.0, low), high))
    return complex(ahead * complex(*steps))


def _into_circle(away: Complexes, room: float, tolerances: Tolerances) -> complex | None:
    """The shortest translation that brings all points within `room` of the origin: one or two of them end up on the rim."""
    if room < 0:
        return None
    far = np.abs(away)
    if far.max() <= room:
        return 0j
    hull = np.unique(away)
    size = np.abs(hull)
    alone = hull * (np.minimum(size, room) / np.where(size > 0, size, 1.0) - 1.0)
    first, second = np.triu_indices(len(hull), 1)
    half = (hull[second] - hull[first]) / 2
    reach = np.abs(half)
    fits = (reach <= room) & (reach > 0)
    middle, half, reach = (hull[first] + half)[fits], half[fits], reach[fits]
    aside = 1j * half / reach * np.sqrt(room**2 - reach**2)
    moves = np.concatenate([alone, aside - middle, -aside - middle])
    inside = np.abs(hull[:, None] + moves).max(axis=0) <= room + tolerances.arithmetic
    return complex(min(moves[inside], key=abs)) if np.any(inside) else None
