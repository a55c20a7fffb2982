"""Over which slabs may a higher one lie? Their surrounding circles tell, and only those that have moved are looked at again."""

from collections.abc import Iterable, Sequence

import numpy as np

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

    def put(self, number: int, disc: Disc) -> None:
        """Another circle is around a slab."""
        self._discs[number] = disc
        self._stale.add(number)

    def covered(self, poses: Sequence[Pose], moved: Iterable[int]) -> list[bool]:
        """Whether a higher slab may lie over each, at these poses of all of them; `moved`: those posed otherwise than last time."""
        numbers = sorted(self._stale.union(moved))
        self._stale.clear()
        if numbers:
            turn, x, y = np.array([(poses[number].turn, poses[number].x, poses[number].y) for number in numbers]).T
            c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
            left, low, own = self._discs[numbers].T
            self._at[numbers] = c * left - s * low + x + 1j * (s * left + c * low + y)
            meets = np.abs(self._at[numbers, None] - self._at) < own[:, None] + self._discs[:, 2]
            self._meets[numbers] = meets
            self._meets[:, numbers] = meets.T
        covered: list[bool] = np.any(self._meets & self._above, axis=1).tolist()
        return covered
