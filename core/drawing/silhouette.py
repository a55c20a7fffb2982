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


@dataclass(frozen=True, slots=True)
class _Shape:
    slab: int
    hull: NDArray[np.float64]
    wall: float | None


class Silhouettes:
    """Side views of `slabs`; made once, asked at many poses."""

    def __init__(self, slabs: Sequence[Slab]) -> None:
        """Slabs that have no material are left out of every view."""
        self._slabs = tuple(slabs)
        entries = [(number, *entry) for number, slab in enumerate(slabs) for entry in zip(slab.fills, slab.walls, strict=True)]
        self._shapes = [shape for entry in entries if (shape := _shape(*entry)) is not None]
        hulls = [shape.hull for shape in self._shapes]
        self._points = np.concatenate(hulls) if hulls else np.empty((0, 2))
        self._owner = np.repeat(np.arange(len(hulls)), [len(hull) for hull in hulls])
        self._starts = np.cumsum([0, *(len(hull) for hull in hulls)])[:-1]

    def seen(self, poses: Mapping[BodyName, Pose]) -> tuple[tuple[Slab, View], ...]:
        """The slabs in the order in which they are drawn: what is cut open first, then the farthest; bodies without a pose as drawn."""
        if not self._shapes:
            return ()
        low, high, near = self._reach(poses)
        spans: dict[int, list[Span]] = {}
        nearest: dict[int, float] = {}
        for shape, bottom, top, right in zip(self._shapes, low.tolist(), high.tolist(), near.tolist(), strict=True):
            own = [(bottom, top)] if shape.wall is None else [(bottom, bottom + shape.wall), (top - shape.wall, top)]
            spans.setdefault(shape.slab, []).extend(own)
            nearest[shape.slab] = max(right, nearest.get(shape.slab, right))
        views = [(self._slabs[number], _view(self._slabs[number], spans[number]), nearest[number]) for number in spans]
        return tuple((slab, view) for slab, view, near in sorted(views, key=lambda entry: (not entry[1].open, entry[2])))

    def _reach(self, poses: Mapping[BodyName, Pose]) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest y and highest x of each shape."""
        placed = np.array([(p.turn, p.x, p.y) for p in (poses.get(self._slabs[shape.slab].body, DRAWN) for shape in self._shapes)])
        turn = np.radians(placed[:, 0])
        c, s = np.cos(turn)[self._owner], np.sin(turn)[self._owner]
        x = c * self._points[:, 0] - s * self._points[:, 1] + placed[self._owner, 1]
        y = s * self._points[:, 0] + c * self._points[:, 1] + placed[self._owner, 2]
        return np.minimum.reduceat(y, self._starts), np.maximum.reduceat(y, self._starts), np.maximum.reduceat(x, self._starts)


def _shape(slab: int, path: Path, wall: float | None) -> _Shape | None:
    hull = _hull(path)
    return _Shape(slab, hull, wall) if len(hull) else None


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
