"""How high and how far right do slabs reach at a pose? For side views that follow every frame: fast, within a chord error."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from core.drawing.path import DRAWN, Pose
from core.drawing.region import region
from core.drawing.slabs import Slab
from core.model.names import BodyName

CHORD = 0.02
"""mm; a side view may fall short of an arc by this much."""


@dataclass(frozen=True, slots=True)
class View:
    """A slab seen from the section's right, mm: lowest and highest y; how near it is (highest x); what of it is cut.

    `cut`: spans of y that are material where the slab is cut along a line up through its middle: a bore or frame shows
    its two walls, all else its whole height.
    """

    low: float
    high: float
    near: float
    cut: tuple[tuple[float, float], ...]


class Silhouettes:
    """Side views of `slabs`; made once, asked at many poses."""

    def __init__(self, slabs: Sequence[Slab]) -> None:
        """Slabs that have no material are left out."""
        made = [(slab, region(slab.fills, chord=CHORD)) for slab in slabs]
        kept = [(slab, material) for slab, material in made if not material.is_empty]
        self._slabs = tuple(slab for slab, _ in kept)
        self._walls = [_walls(slab, material) for slab, material in kept]
        hulls = [shapely.get_coordinates(material.convex_hull) for _, material in kept]
        self._points = np.concatenate(hulls) if hulls else np.empty((0, 2))
        self._owner = np.repeat(np.arange(len(hulls)), [len(hull) for hull in hulls])
        self._starts = np.cumsum([0, *(len(hull) for hull in hulls)])[:-1]

    def seen(self, poses: Mapping[BodyName, Pose]) -> tuple[tuple[Slab, View], ...]:
        """The slabs in the order in which they are drawn, farthest first; bodies without a pose stand as drawn."""
        if not self._slabs:
            return ()
        low, high, near = self._reach(poses)
        order = np.argsort(near, kind="stable")
        return tuple(
            (self._slabs[i], View(float(low[i]), float(high[i]), float(near[i]), self._cut(i, float(low[i]), float(high[i]))))
            for i in order
        )

    def _reach(self, poses: Mapping[BodyName, Pose]) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        placed = np.array([(p.turn, p.x, p.y) for p in (poses.get(slab.body, DRAWN) for slab in self._slabs)])
        turn = np.radians(placed[:, 0])
        c, s = np.cos(turn)[self._owner], np.sin(turn)[self._owner]
        x = c * self._points[:, 0] - s * self._points[:, 1] + placed[self._owner, 1]
        y = s * self._points[:, 0] + c * self._points[:, 1] + placed[self._owner, 2]
        return np.minimum.reduceat(y, self._starts), np.maximum.reduceat(y, self._starts), np.maximum.reduceat(x, self._starts)

    def _cut(self, index: int, low: float, high: float) -> tuple[tuple[float, float], ...]:
        wall = self._walls[index]
        return ((low, high),) if wall is None else ((low, low + wall), (high - wall, high))


def _walls(slab: Slab, material: shapely.Geometry) -> float | None:
    """The wall of a slab made of one room, mm, as drawn; None for all other slabs."""
    if not slab.rooms or len(slab.fills) > 1:
        return None
    (_, low, _, high) = material.bounds
    hole = shapely.Polygon(material.interiors[0])
    return float(min(hole.bounds[1] - low, high - hole.bounds[3]))
