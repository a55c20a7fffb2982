"""Which core pair is the lowest of its row, and which row the lowest of its pair? Told of many at once."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.meeting import first_at_minimum
from core.clearance.motion_in_box import Floats, Ints
from core.clearance.row_gaps import Nearest


class Runs(NamedTuple):
    """Things that lie side by side in groups: owner (n,) the number of each one's group, starts (R,) of the groups."""

    owner: Ints
    starts: Ints

    def first_lowest(self, values: Floats) -> Ints:
        """(R,) for each group the first place where its lowest value stands."""
        return first_at_minimum(values, self.owner, np.minimum.reduceat(values, self.starts))


def runs_of(keys: Ints) -> Runs:
    """The groups of neighbours with equal keys, (n,); none where there is none."""
    fresh = np.concatenate([np.ones(min(len(keys), 1), dtype=bool), keys[1:] != keys[:-1]])
    return Runs(np.cumsum(fresh) - 1, np.flatnonzero(fresh))


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """What R rows are judged by, in their order.

    needed: required gap and tolerance together, mm. across: the depth gap of those that pass over, mm, nan in the section.
    blocks: which blocks of core pairs are of one row. pairs: which rows are of one pair. exact: whether the gap is the overlap
    depth too. swept: whether the pair is.
    """

    needed: Floats
    across: Floats
    blocks: Runs
    pairs: Runs
    exact: NDArray[np.bool_]
    swept: NDArray[np.bool_]

    def lowest(self, seen: Nearest) -> tuple[Floats, Ints, Ints]:
        """The gap of each row (R,) mm and the core pair that has it (R,), and the first row of each pair with its lowest gap."""
        block = self.blocks.first_lowest(seen.gap[0])
        low, core = seen.gap[0][block], seen.pair[0][block]
        gap = np.where(np.isnan(self.across), low, np.sqrt(np.maximum(low, 0.0) ** 2 + self.across**2))
        return gap, core, self.pairs.first_lowest(gap)
