"""What a sweep looks through: boxes of drive values in, gaps and proved bounds out."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from core.clearance.batch import Batch
from core.clearance.distance import Look, look
from core.clearance.motion_in_box import Boxes, Floats, Ints


class Sight(Protocol):
    """T core pairs over K drives, all arrays (T, K) in drive units but reach.

    low, high: the range of each. reach: mm a drive unit, by which boxes are split. finest: half-width below which a box
    that nothing can be told of is left as it is.
    """

    @property
    def low(self) -> Floats:
        """Where each range begins."""

    @property
    def high(self) -> Floats:
        """Where each range ends."""

    @property
    def reach(self) -> Floats:
        """How far a drive unit moves the pair."""

    @property
    def finest(self) -> Floats:
        """The smallest half-width worth a look where nothing is told."""

    @property
    def grain(self) -> Floats:
        """Half-width below which play blurs where a gap crosses what is asked, so that a box is not worth splitting for it."""

    @property
    def unfolding(self) -> Floats:
        """Per drive unit, how much splitting that drive helps where nothing is told of a box; 0 where it does not."""

    def look(self, boxes: Boxes, *, enough: Floats, margin: float) -> Look:
        """See `core.clearance.distance.look`; a box that nothing can be told of has lower -inf, upper inf and gap NaN."""

    def of(self, pairs: Ints, low: Floats, high: Floats) -> "Sight":
        """The chosen core pairs (repeats allowed) over ranges inside their own."""


@dataclass(frozen=True, slots=True, eq=False)
class OpenSight:
    """Pairs with open chains only: their motion is known in closed form."""

    batch: Batch

    @property
    def low(self) -> Floats:
        """Where each range begins."""
        return self.batch.low

    @property
    def high(self) -> Floats:
        """Where each range ends."""
        return self.batch.high

    @property
    def reach(self) -> Floats:
        """A proved bound of how far a drive unit moves the pair."""
        return self.batch.reach

    @property
    def finest(self) -> Floats:
        """0: something is told of every box."""
        return np.zeros_like(self.batch.low)

    @property
    def grain(self) -> Floats:
        """0: nothing blurs."""
        return np.zeros_like(self.batch.low)

    @property
    def unfolding(self) -> Floats:
        """0: something is told of every box."""
        return np.zeros_like(self.batch.low)

    def look(self, boxes: Boxes, *, enough: Floats, margin: float) -> Look:
        """Look at the boxes."""
        return look(self.batch, boxes, enough=enough, margin=margin)

    def of(self, pairs: Ints, low: Floats, high: Floats) -> "OpenSight":
        """The chosen core pairs over other ranges."""
        return OpenSight(self.batch.of(pairs, low, high))
