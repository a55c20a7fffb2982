"""Over which slabs may a higher one lie? Their surrounding circles tell, and only those that have moved are looked at again."""

from collections.abc import Callable, Iterable

import numpy as np
from numpy.typing import NDArray

from core.drawing.path import Pose

Disc = tuple[float, float, float]


class Overlaid:
    """Knows slabs by their place in the order of heights, each by a circle around it as drawn: its centre and radius, mm."""

    def __init__(self, discs: Iterable[Disc]) -> None:
        self._discs = np.array(list(discs), float).reshape(-1, 3)
        count = len(self._discs)
        self._at = np.zeros(count, complex)
        self._meets = np.zeros((count, count), bool)
        self._above = np.triu(np.ones((count, count), bool), 1)
        self._stale = set(range(count))
        self._covered: NDArray[np.bool_] | None = None

    def put(self, number: int, disc: Disc) -> None:
        """Another circle is around a slab."""
        self._discs[number] = disc
        self._stale.add(number)

    def told(self, pose_of: Callable[[int], Pose], moved: Iterable[int]) -> dict[int, bool]:
        """Whether a higher slab may lie over it: of every slab of which that is new, at first of all.

        pose_of: where a slab is now. moved: those posed otherwise than last time; the others are not asked for.
        """
        numbers = sorted(self._stale.union(moved))
        self._stale.clear()
        if numbers:
            poses = [pose_of(number) for number in numbers]
            turn, x, y = np.array(poses).T
            c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
            left, low, own = self._discs[numbers].T
            self._at[numbers] = c * left - s * low + x + 1j * (s * left + c * low + y)
            meets = np.abs(self._at[numbers, None] - self._at) < own[:, None] + self._discs[:, 2]
            self._meets[numbers] = meets
            self._meets[:, numbers] = meets.T
        before, self._covered = self._covered, np.any(self._meets & self._above, axis=1)
        new = range(len(self._covered)) if before is None else np.flatnonzero(self._covered != before).tolist()
        return {number: bool(self._covered[number]) for number in new}
