"""Which body lies under the pointer? Pure: slabs, poses and a point in; a frozen answer out."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.drawing.crossings import Pieces, covered, pieces
from core.drawing.path import DRAWN, Pose
from core.drawing.slabs import Slab
from core.model.names import BodyName
from core.model.shapes import Point

_RING = 8


@dataclass(frozen=True, slots=True)
class Hit:
    """The topmost body at a point. `exact`: the point lies inside it, not merely within the tolerance."""

    body: BodyName
    exact: bool


@dataclass(frozen=True)
class Target:
    """A slab made ready for many questions; all of it lies within `radius` mm of `centre` at the drawn pose."""

    slab: Slab
    centre: Point
    radius: float

    @property
    def disc(self) -> tuple[float, float, float]:
        """The circle about all of it: centre and radius, mm."""
        return (*self.centre, self.radius)

    @cached_property
    def table(self) -> Pieces:
        """Its outline, made with the first question: while a hand drags it nobody asks."""
        return pieces(self.slab.fills)


def targets(slabs: Sequence[Slab]) -> tuple[Target, ...]:
    """Make slabs ready for `hit_test`; keep their order, low to high."""
    return tuple(target_of(slab) for slab in slabs)


def target_of(slab: Slab) -> Target:
    """Make one slab ready."""
    low_x, low_y, high_x, high_y = slab.extent() or (0.0, 0.0, 0.0, 0.0)
    centre = ((low_x + high_x) / 2.0, (low_y + high_y) / 2.0)
    return Target(slab, centre, math.hypot(high_x - low_x, high_y - low_y) / 2.0)


def hit_test(
    ready: Sequence[Target], poses: Mapping[BodyName, Pose], point: Point, *, tolerance: float, only: Collection[BodyName] | None = None
) -> Hit | None:
    """The topmost body whose posed material holds `point` (mm), else the topmost within about `tolerance` mm, else None.

    Bodies without a pose stay as drawn. `only`: the bodies asked for, None for all. The free inside of a bore or frame
    is not material. A tolerance of 0 asks for the point alone.
    """
    around = np.array([(0.0, 0.0), *_around(tolerance)])
    near: Hit | None = None
    for target in reversed(ready):
        body = target.slab.body
        if only is not None and body not in only:
            continue
        centre = poses.get(body, DRAWN).unplace(point)
        if math.dist(centre, target.centre) > target.radius + tolerance:
            continue
        inside = covered(target.table, np.asarray(centre) + around)
        if inside[0]:
            return Hit(body, exact=True)
        if near is None and inside.any():
            near = Hit(body, exact=False)
    return near


def any_at(ready: Sequence[Target], poses: Mapping[BodyName, Pose], points: NDArray[np.float64]) -> bool:
    """Whether posed material of any body holds any of `points` (n, 2), mm."""
    middle = points.mean(axis=0)
    reach = float(np.hypot(*(points - middle).T).max())
    for target in ready:
        pose = poses.get(target.slab.body, DRAWN)
        if math.dist(pose.place(target.centre), middle) > target.radius + reach:
            continue
        c, s = math.cos(math.radians(pose.turn)), math.sin(math.radians(pose.turn))
        x, y = points[:, 0] - pose.x, points[:, 1] - pose.y
        if covered(target.table, np.column_stack([c * x + s * y, c * y - s * x])).any():
            return True
    return False


def bodies_at(ready: Sequence[Target], poses: Mapping[BodyName, Pose], point: Point, *, tolerance: float) -> tuple[BodyName, ...]:
    """Every body whose posed material holds `point`, topmost first; where there is none, those within about `tolerance` mm."""
    inside: dict[BodyName, None] = {}
    near: dict[BodyName, None] = {}
    for target in reversed(ready):
        hit = hit_test((target,), poses, point, tolerance=tolerance)
        if hit is not None:
            (inside if hit.exact else near)[hit.body] = None
    return tuple(inside or near)


def _around(radius: float) -> list[Point]:
    if radius <= 0.0:
        return []
    angles = np.linspace(0.0, 2.0 * np.pi, _RING + 1)
    return [(radius * float(np.cos(angle)), radius * float(np.sin(angle))) for angle, _ in pairwise(angles)]
