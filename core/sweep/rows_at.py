"""The gap of whole rows (least over their core pairs) at given drive values, and its descent to a nearby low."""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Ragged
from core.clearance.motion_in_box import Boxes, Floats, Ints
from core.sweep.allowed import Cells
from core.sweep.sight import Sight


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """What rows are looked at through: row (T,) of each core pair; pairs: the core pairs of each row, side by side.

    cells: what rules between drives leave of each row's range, None where they leave all.
    """

    sight: Sight
    row: Ints
    pairs: Ragged
    cells: Cells | None = None

    def __len__(self) -> int:
        """The number of rows."""
        return len(self.pairs.length)

    def of(self, rows: Ints, low: Floats, high: Floats) -> "Table":
        """A table of the given rows (repeats allowed) over other ranges, (n, K) each, of their drives."""
        owner, pair = self.pairs.spread(rows)
        part = table_of(self.sight.of(pair, low[owner], high[owner]), owner, rows=len(rows))
        return part if self.cells is None else replace(part, cells=self.cells.of(rows, low, high))

    def allows(self, rows: Ints, values: Floats) -> NDArray[np.bool_]:
        """Whether rules between drives allow the values (n, K) of the rows (n,)."""
        return np.ones(len(rows), dtype=bool) if self.cells is None else self.cells.hold(rows, values)


def table_of(sight: Sight, row: Ints, *, rows: int) -> Table:
    """row: (T,) sorted, below `rows`."""
    count = np.bincount(row, minlength=rows).astype(np.int64)
    return Table(sight, row, Ragged(np.cumsum(count) - count, count))


class Low(NamedTuple):
    """The least gap known of each row: gap (R,) mm, at (R, K) drive units, pair (R,) the core pair that has it."""

    gap: Floats
    at: Floats
    pair: Ints

    def improved(self, rows: Ints, gap: Floats, at: Floats, pair: Ints) -> "Low":
        """The better of what was known and of new values (n,), several a row allowed; the first of equals stays."""
        order = np.lexsort((np.arange(len(rows)), gap, rows))
        first = order[np.unique(rows[order], return_index=True)[1]]
        better = first[gap[first] < self.gap[rows[first]]]
        found = Low(self.gap.copy(), self.at.copy(), self.pair.copy())
        found.gap[rows[better]], found.at[rows[better]], found.pair[rows[better]] = gap[better], at[better], pair[better]
        return found


def nothing_known(rows: int, *, width: int) -> Low:
    """No gap known of any row."""
    return Low(np.full(rows, np.inf), np.zeros((rows, width)), np.zeros(rows, dtype=np.int64))


def lower_at(table: Table, low: Low, rows: Ints, values: Floats) -> Low:
    """What is known after looking at the rows (n,) at the values (n, K); only gaps below the known ones are measured."""
    allowed = table.allows(rows, values)
    rows, values = rows[allowed], values[allowed]
    owner, pair = table.pairs.spread(rows)
    at = values[owner]
    seen = table.sight.look(Boxes(pair, at, np.zeros_like(at)), enough=low.gap[rows][owner], margin=0.0)
    real = np.flatnonzero(~np.isnan(seen.gap))
    return low.improved(rows[owner[real]], seen.gap[real], at[real], pair[real])


def descended(table: Table, low: Low, rows: Ints, bounds: tuple[Floats, Floats], *, first_step: float, rounds: int) -> Low:
    """Compass search from what is known of the rows: each round tries a step both ways on every drive.

    bounds: low and high (R, K). first_step: share of the range to begin with; halved where a round finds nothing.
    It finds good upper bounds of the lowest gap; it proves nothing.
    """
    below, above = bounds
    step = (above - below) * first_step
    width = below.shape[1]
    ways = np.concatenate([np.eye(width), -np.eye(width)])
    rows = rows[np.isfinite(low.gap[rows])]
    for _ in range(rounds):
        if not len(rows) or not width:
            break
        tried = np.repeat(rows, len(ways))
        values = low.at[tried] + np.tile(ways, (len(rows), 1)) * step[tried]
        values = np.clip(values, below[tried], above[tried])
        found = lower_at(table, low, tried, values)
        stuck = ~(found.gap[rows] < low.gap[rows])
        step[rows[stuck]] /= 2
        low = found
    return low


def ends_of(table: Table) -> tuple[Floats, Floats]:
    """Low and high of the drives of each row, (R, K); 0 for a row without core pairs."""
    shape = (len(table), table.sight.low.shape[1])
    below, above = np.zeros(shape), np.zeros(shape)
    below[table.row], above[table.row] = table.sight.low, table.sight.high
    return below, above


def chosen_rows(flags: NDArray[np.bool_]) -> Ints:
    """The numbers of the rows that are flagged."""
    return np.flatnonzero(flags).astype(np.int64)
