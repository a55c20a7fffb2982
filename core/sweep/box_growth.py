"""The box about home that holds none of some poses: its sides grow evenly, and then alone where room is left."""

import math
from collections.abc import Sequence

import numpy as np

from core.clearance.motion_in_box import Floats

PARTS = 1000
"""Ends are told in this many parts of a drive unit: no finer than `Tolerances.sweep_end` knows them."""

APART = 0.25
"""Share of `close` that a side keeps from a pose at least, so that what lies before the pose can be proved."""


def grown(poses: Sequence[Floats], limit: Floats, home: Floats, *, close: float) -> Floats:
    """(2, D): how far the box reaches from home, down and up, drive units; `limit` (2, D) where nothing stops it.

    poses: (D,) signed distances from home, NaN for drives that do not matter. Ends are rounded toward home. close: drive units.
    """
    growth = _Growth(poses, limit, home, close)
    growth.evenly()
    growth.alone()
    return growth.reach


class _Growth:
    """A box while it grows. out (P, 2, D): how far down and up each pose stands, 0 on the other side and where it does not matter."""

    def __init__(self, poses: Sequence[Floats], limit: Floats, home: Floats, close: float) -> None:
        away = np.nan_to_num(np.array(poses).reshape(len(poses), len(home)))
        self._out = np.stack([np.maximum(-away, 0.0), np.maximum(away, 0.0)], axis=1)
        self._limit, self._home, self._apart = limit, home, APART * close
        self.reach = np.zeros_like(limit)

    def evenly(self) -> None:
        """All sides by the same share of their limit, until each is stopped or at its end."""
        growing = self._limit > 0
        shares = np.divide(self._out, self._limit, out=np.where(self._out > 0, np.inf, 0.0), where=self._limit > 0)
        while np.any(growing):
            # A pose beyond a side that has stopped is out of reach for good.
            reached = np.flatnonzero(
                np.all(growing | (self._out <= self.reach), axis=(1, 2)) & np.any(growing & (self._out > 0), axis=(1, 2))
            )
            share = np.where(growing, shares[reached], 0.0)
            far = share.max(axis=(1, 2), initial=0.0)
            if not len(reached) or far.min() > 1:
                self.reach = np.where(growing, self._limit, self.reach)
                return
            nearest = int(np.argmin(far))
            way, drive = np.unravel_index(int(np.argmax(share[nearest])), growing.shape)
            self.reach[way, drive] = self._before(int(way), int(drive), float(self._out[reached[nearest], way, drive]))
            growing[way, drive] = False

    def alone(self) -> None:
        """Each side that was stopped as far as it goes with the others where they are, those of the least share first."""
        sides = [(way, drive) for way, drive in np.argwhere(self.reach < self._limit).tolist()]
        for way, drive in sorted(sides, key=lambda side: (self.reach[side] / self._limit[side], side[1], side[0])):
            others = np.ones(self.reach.shape, dtype=bool)
            others[way, drive] = False
            meets = np.all(~others | (self._out <= self.reach), axis=(1, 2)) & (self._out[:, way, drive] > self.reach[way, drive])
            nearest = self._out[meets, way, drive].min(initial=np.inf)
            self.reach[way, drive] = max(self.reach[way, drive], self._before(way, drive, float(nearest)))

    def _before(self, way: int, drive: int, pose: float) -> float:
        """How far a side reaches that a pose stops, rounded toward home."""
        if pose > self._limit[way, drive]:
            return float(self._limit[way, drive])
        home = float(self._home[drive])
        reach = max(pose - self._apart, 0.0)
        end = math.floor((home + reach) * PARTS) if way else math.ceil((home - reach) * PARTS)
        return max(end / PARTS - home if way else home - end / PARTS, 0.0)
