"""Where everything of the map stands, as pure functions: drive values and pixels, numbers of the axes, cells under pixels."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from app.board.scale import round_step, ticks
from core.model.project import Drive
from core.sweep.drive_map import DriveMap

NUMBER_LEAST = (44.0, 26.0)
"""Logical pixels between numbers of the level axis and of the upright one, on which they stand above each other."""
NEAR_END = 1e-9
Side = Literal[0, 1]


@dataclass(frozen=True, slots=True)
class Plane:
    """The first drive across and the second upward, over a rectangle of logical pixels (y down)."""

    drives: tuple[Drive, Drive]
    left: float
    top: float
    width: float
    height: float

    def point(self, values: tuple[float, float]) -> tuple[float, float]:
        """The pixel (x, y) of two drive values."""
        across, up = (self._share(drive, value) for drive, value in zip(self.drives, values, strict=True))
        return self.left + across * self.width, self.top + (1.0 - up) * self.height

    def values(self, x: float, y: float) -> tuple[float, float]:
        """The drive values under a pixel, held within travel."""
        shares = ((x - self.left) / max(self.width, 1.0), 1.0 - (y - self.top) / max(self.height, 1.0))
        first, second = (
            drive.start + min(max(share, 0.0), 1.0) * (drive.end - drive.start) for drive, share in zip(self.drives, shares, strict=True)
        )
        return first, second

    def holds(self, x: float, y: float) -> bool:
        """Whether a pixel lies on the map."""
        return self.left <= x <= self.left + self.width and self.top <= y <= self.top + self.height

    def numbers(self, side: Side) -> tuple[list[float], float]:
        """The values that an axis writes, and the step between them."""
        drive, length = self.drives[side], (self.width, self.height)[side]
        step = round_step(max((drive.end - drive.start) * NUMBER_LEAST[side] / max(length, 1.0), NEAR_END))
        return ticks(drive.start, drive.end, step), step

    @staticmethod
    def _share(drive: Drive, value: float) -> float:
        return (value - drive.start) / (drive.end - drive.start)


def cell_at(found: DriveMap, values: tuple[float, float]) -> tuple[int, int]:
    """The cell (row of the second drive, column of the first) that two drive values lie in."""
    first, second = (
        int(np.clip(np.searchsorted(edges, value, side="right") - 1, 0, len(edges) - 2))
        for edges, value in zip(found.edges, values, strict=True)
    )
    return second, first


def worst_under(state: NDArray[np.uint8], *, width: int, height: int) -> NDArray[np.uint8]:
    """(height, width): the worst state under each pixel, the first row at the top; a cell smaller than a pixel is never lost."""
    for axis, pixels in ((0, height), (1, width)):
        cells = state.shape[axis]
        if cells > pixels:
            state = np.maximum.reduceat(state, np.arange(pixels) * cells // pixels, axis=axis)
        else:
            state = np.take(state, ((np.arange(pixels) + 0.5) * cells / pixels).astype(np.int64), axis=axis)
    return state[::-1]
