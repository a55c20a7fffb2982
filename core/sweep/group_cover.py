"""What holds a group of bodies over boxes of drive values: hulls of corner points, and how much they must be grown.

Over a box a point v of the group is offset + sum_k t_k slope_k + spin v (1 + i sum_k t_k rate_k), |t_k| <= 1, but for a rest of second
order. At fixed t that is affine in v, at fixed v affine in t; so the images of a convex piece's corners at the corners of the box hold,
in their hull grown by the rest, all that the piece covers.
"""

import math
from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.clearance.batch import Motions, padded
from core.clearance.motion_in_box import Complexes, Floats, Ints, spread_over
from core.clearance.reach import PairMotion
from core.clearance.rounded import Piece, ring_of_room, rounded_of
from core.model.project import Body
from core.model.shapes import Room
from core.sweep.looped import Path, tubes

_SLENDER, _MOST_CUTS = 2.2, 24
"""How much longer than thick a bar is before it is cut, and into how many at most."""

_SLIDING = 0.01
"""How much a drive that only shifts counts where boxes are halved: hulls hold a translation exactly."""

AT_A_TIME = 4096
"""Boxes whose corners are laid out at once, so that the arrays stay small."""


def pieces_of(bodies: Sequence[Body], *, chord: float) -> tuple[Piece, ...]:
    """The convex pieces of bodies, each with the radius that rounds it and its body's outline tolerance; rooms give their walls.

    The wall of a bore is polygonised outward, within `chord` mm.
    """
    made = []
    for body in bodies:
        for shape in body.shapes:
            rounded = ring_of_room(shape, chord=chord) if isinstance(shape, Room) else rounded_of(shape)
            made += [Piece(piece.points, piece.radius + body.outline_tolerance) for piece in rounded.pieces]
    return tuple(made)


class Cover(NamedTuple):
    """A group over N boxes. slope (N, R) complex mm and rate (N, R) radians: what half a box's width adds, for each running drive.

    rest, play (N,) mm: what hulls must be grown by, for what the first order leaves out and for the play of joints on loops. mix (N,)
    mm: how far a hull's points may lie from every pose, since it joins corners of the piece at different corners of the box; spread
    (N,) radians: the same for each mm of a piece's radius. pull (N, R) mm: how far each drive moves the group. sure (N,): False where
    a loop is not proved to stay on its branch.
    """

    offset: Complexes
    spin: Complexes
    slope: Complexes
    rate: Floats
    rest: Floats
    play: Floats
    mix: Floats
    spread: Floats
    pull: Floats
    sure: NDArray[np.bool_]

    def of(self, chosen: NDArray[np.bool_] | Ints) -> "Cover":
        """The chosen boxes."""
        return Cover(
            self.offset[chosen],
            self.spin[chosen],
            self.slope[chosen],
            self.rate[chosen],
            self.rest[chosen],
            self.play[chosen],
            self.mix[chosen],
            self.spread[chosen],
            self.pull[chosen],
            self.sure[chosen],
        )

    def hulls(self, points: Complexes) -> NDArray[np.object_]:
        """(N,) shapely geometries: the hull of a convex core (V,) at the corners of each box; a point or a line where it is one."""
        parts = [
            _hulls(self.of(np.arange(first, min(first + AT_A_TIME, len(self.rest)))), points)
            for first in range(0, len(self.rest), AT_A_TIME)
        ]
        return np.concatenate(parts) if parts else np.empty(0, dtype=object)


def tips(piece: Piece, *, size: float) -> tuple[Complexes, ...]:
    """The corners of a convex core, each with the points `size` mm along its edges (half an edge at most): small convex cores.

    They stay inside the core, and a circle of radius `size` about the corner holds each. A point has none.
    """
    points = piece.points
    if len(points) < 2:
        return ()
    near = []
    for ahead in (np.roll(points, -1) - points, np.roll(points, 1) - points):
        length = np.abs(ahead)
        near.append(points + ahead * np.minimum(0.5, size / np.maximum(length, size)))
    return tuple(np.array(corner) for corner in zip(points, *near, strict=True))


def cut_across(piece: Piece) -> tuple[Piece, ...]:
    """A bar cut into bars of at most `_SLENDER` times its thickness, that share their ends. Others whole."""
    thick = 2.0 * piece.radius
    if len(piece.points) != 2 or thick == 0.0:
        return (piece,)
    start, end = piece.points.tolist()
    count = min(max(math.ceil(abs(end - start) / (_SLENDER * thick)), 1), _MOST_CUTS)
    ends = [start + (end - start) * place / count for place in range(count)] + [end]
    return tuple(Piece(np.array(ends[place : place + 2]), piece.radius) for place in range(count))


def _shape(points: Complexes) -> BaseGeometry:
    return shapely.MultiPoint(np.column_stack([points.real, points.imag]))


def _hulls(cover: Cover, points: Complexes) -> NDArray[np.object_]:
    signs = np.array([*product((-1.0, 1.0), repeat=cover.rate.shape[1])])
    turned = cover.spin[:, None] * points
    swing = 1.0 + 1j * cover.rate @ signs.T
    placed = (cover.offset[:, None] + cover.slope @ signs.T)[:, :, None] + turned[:, None, :] * swing[:, :, None]
    flat = placed.reshape(len(placed), -1)
    corners = np.stack([flat.real, flat.imag], axis=-1)
    if corners.shape[1] == 1:
        alone: NDArray[np.object_] = np.asarray(shapely.points(corners[:, 0]))
        return alone
    found: NDArray[np.object_] = np.asarray(shapely.convex_hull(shapely.linestrings(corners)))
    return found


class GroupCover:
    """The motion of one group of bodies in its section, ready to be covered.

    run: which of the path's drives run, by their place among them; the others stand still. turns: whether each turns anything; along
    loops all may. points of pieces are counted from the
    group's last pin.
    """

    def __init__(self, path: Path, motion: PairMotion, pieces: Sequence[Piece], *, run: tuple[int, ...]) -> None:
        nothing = np.zeros(len(motion.drives))
        self._path, self._motion, self._run = path, motion, run
        self._motions: Motions = padded([motion], [(nothing, nothing)])
        self.pieces = tuple(Piece(piece.points - motion.last_a, piece.radius) for piece in pieces)
        # A hull's point is a mean of corners v_j at t_j; it differs from the mean corner at the mean t by the covariance of the two,
        # which for |t| <= 1 and corners in a circle of this radius is no more than the radius.
        self._broadest = max(float(shapely.minimum_bounding_radius(_shape(piece.points))) for piece in self.pieces)
        turning = (np.abs(motion.turn).sum(axis=0) + np.abs(motion.turn_a) > 0.0) | bool(path.chases)
        self.turns: tuple[bool, ...] = tuple(bool(turning[place]) for place in run)
        self._farthest = max(float(np.abs(piece.points).max()) for piece in self.pieces)

    def alone(self, piece: Piece) -> "GroupCover":
        """The same for one piece, counted from the group's last pin as those of `pieces` are."""
        return GroupCover(self._path, self._motion, (Piece(piece.points + self._motion.last_a, piece.radius),), run=self._run)

    def over(self, centre: Floats, half: Floats) -> Cover:
        """The cover of boxes of all drives on the path, centre and half (N, K) drive units."""
        count, drives = centre.shape
        width = self._motions.drawn.shape[1]
        if self._path.chases:
            (ways, *_) = self._path.ways
            places, mix, errors, sure = tubes(self._path, ways, centre, half, width=width)
        else:
            places, mix, errors = centre, np.tile(np.eye(drives), (count, 1, 1)), np.zeros((count, 0))
            sure = np.ones(count, dtype=bool)
        with np.errstate(all="ignore"):  # where nothing is proved the numbers may be anything
            spread = spread_over(
                self._motions, np.zeros(count, dtype=np.int64), centre=places, half=np.concatenate([half, errors], axis=1), mix=mix
            )
            pull = np.abs(spread.slope) + self._farthest * np.abs(spread.rate_a)
            loose = drives + sum(len(own) for own in self._path.passive)
            rest = spread.rest + self._farthest * spread.rest_a
            rest += np.einsum("ne,ne->n", pull[:, drives:loose], errors[:, : loose - drives])
            play = np.einsum("ne,ne->n", pull[:, loose:], errors[:, loose - drives :])
        run = list(self._run)
        sure = sure & np.isfinite(rest) & np.isfinite(play)
        spread_by = np.abs(spread.rate_a[:, run] * half[:, run]).sum(axis=1)
        return Cover(
            offset=spread.offset,
            spin=spread.spin_a,
            slope=spread.slope[:, run] * half[:, run],
            rate=spread.rate_a[:, run] * half[:, run],
            rest=rest,
            play=play,
            mix=self._broadest * spread_by,
            spread=spread_by,
            pull=pull[:, run] * half[:, run] * np.where(self.turns, 1.0, _SLIDING),
            sure=sure,
        )
