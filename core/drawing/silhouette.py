"""How high and how far right do slabs reach at a pose? For side views that follow every frame: fast, within a chord error."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from core.drawing.path import DRAWN, Path, Pose
from core.drawing.region import region
from core.drawing.slabs import Slab
from core.model.names import BodyName

Span = tuple[float, float]

CHORD = 0.02
"""mm; a side view may fall short of an arc by this much."""

KEPT_PATHS = 4096
"""Outlines whose hulls are kept, for as long as others are dragged among them."""


@dataclass(frozen=True, slots=True)
class View:
    """A slab seen from the section's right, mm: lowest and highest y, and what of that height is material.

    `cut`: sorted spans of y. Bores and frames are cut open, so that what they hold can be seen: they give their two walls
    (as thick as they are at the drawn pose); all other shapes their whole height. `open`: there is a bore or frame.
    """

    low: float
    high: float
    cut: tuple[Span, ...]
    open: bool


class _Side:
    """A slab with the hulls of what it fills, its view at the pose asked for last, and how far right it reaches there."""

    __slots__ = ("at", "hulls", "near", "slab", "view", "walls")

    def __init__(self, slab: Slab) -> None:
        shapes = [(hull, wall) for path, wall in zip(slab.fills, slab.walls, strict=True) if len(hull := _hull(path))]
        self.slab = slab
        self.hulls, self.walls = [hull for hull, _ in shapes], [wall for _, wall in shapes]
        self.at: Pose | None = None
        self.view, self.near = View(0.0, 0.0, (), open=False), 0.0

    def take(self, pose: Pose, low: Sequence[float], high: Sequence[float], near: float) -> None:
        """Be seen at another pose, where the shapes reach from `low` to `high`."""
        spans: list[Span] = []
        for wall, bottom, top in zip(self.walls, low, high, strict=True):
            spans += [(bottom, top)] if wall is None else [(bottom, bottom + wall), (top - wall, top)]
        self.at, self.view, self.near = pose, _view(self.slab, spans), near


class Silhouettes:
    """Side views of `slabs`; made once, asked at many poses."""

    def __init__(self, slabs: Sequence[Slab], before: "Silhouettes | None" = None) -> None:
        """Slabs that have no material are left out of every view. What slabs are the same objects as in `before` is taken over."""
        known = {id(side.slab): side for side in before.sides} if before is not None else {}
        sides = (known.get(id(slab)) or _Side(slab) for slab in slabs)
        self.sides: list[_Side] = [side for side in sides if side.hulls]
        self._seen: tuple[tuple[Slab, View], ...] = ()

    def seen(self, poses: Mapping[BodyName, Pose]) -> tuple[tuple[Slab, View], ...]:
        """The slabs in the order in which they are drawn: what is cut open first, then the farthest; bodies without a pose as drawn.

        A slab at the pose at which it was asked for last gives the same view, as an object.
        """
        moved: list[_Side] = []
        there: list[Pose] = []
        for side in self.sides:
            pose = poses.get(side.slab.body, DRAWN)
            if side.at is not pose and side.at != pose:
                moved.append(side)
                there.append(pose)
        if moved or not self._seen:
            _see(moved, there)
            self._seen = tuple((side.slab, side.view) for side in sorted(self.sides, key=lambda side: (not side.view.open, side.near)))
        return self._seen


def _see(sides: Sequence[_Side], poses: Sequence[Pose]) -> None:
    """Have slabs seen at other poses: lowest and highest y and highest x of each shape, all in one go."""
    hulls = [hull for side in sides for hull in side.hulls]
    if not hulls:
        return
    lengths = [len(hull) for hull in hulls]
    placed = np.array([(pose.turn, pose.x, pose.y) for side, pose in zip(sides, poses, strict=True) for _ in side.hulls])
    turn = np.radians(placed[:, 0])
    c, s, right, up = (np.repeat(each, lengths) for each in (np.cos(turn), np.sin(turn), placed[:, 1], placed[:, 2]))
    points = np.concatenate(hulls)
    x = c * points[:, 0] - s * points[:, 1] + right
    y = s * points[:, 0] + c * points[:, 1] + up
    starts = np.cumsum([0, *lengths])[:-1]
    low, high, near = (way.reduceat(each, starts).tolist() for way, each in ((np.minimum, y), (np.maximum, y), (np.maximum, x)))
    first = 0
    for side, pose in zip(sides, poses, strict=True):
        own = slice(first, first := first + len(side.hulls))
        side.take(pose, low[own], high[own], max(near[own]))


@lru_cache(maxsize=KEPT_PATHS)
def _hull(path: Path) -> NDArray[np.float64]:
    """The corners of the hull of what a path encloses, (n, 2) float, mm, read-only; none where it encloses nothing."""
    material = region((path,), chord=CHORD)
    hull = np.empty((0, 2)) if material.is_empty else shapely.get_coordinates(material.convex_hull)
    hull.flags.writeable = False
    return hull


def _view(slab: Slab, spans: list[Span]) -> View:
    cut = _joined(spans)
    return View(cut[0][0], cut[-1][1], cut, any(wall is not None for wall in slab.walls))


def _joined(spans: list[Span]) -> tuple[Span, ...]:
    made: list[Span] = []
    for low, high in sorted(spans):
        if made and low <= made[-1][1]:
            made[-1] = (made[-1][0], max(high, made[-1][1]))
        else:
            made.append((low, high))
    return tuple(made)
