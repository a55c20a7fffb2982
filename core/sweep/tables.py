"""From a plan to the tables that the sweeps run on: all drives of each row, or one drive a row with the others at home."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import CorePair, batch_of
from core.clearance.reach import PairMotion
from core.sweep.plan import Plan, Tasks
from core.sweep.rows_at import Table, table_of
from core.sweep.sight import OpenSight

Floats = NDArray[np.float64]


class RowsOf(NamedTuple):
    """A table and what its rows stand for: row (n,) of the plan, drive (n,) index or -1 for all on the path."""

    table: Table
    row: tuple[int, ...]
    drive: tuple[int, ...]


def all_drives(plan: Plan) -> RowsOf:
    """One row for every row of the plan that bounds can sweep, over all drives on its path."""
    tasks = plan.tasks
    present, row = np.unique(tasks.row, return_inverse=True)
    table = _table(plan, tasks.cores, tasks.owner.tolist(), tasks.motions, row, rows=len(present))
    return RowsOf(table, tuple(present.tolist()), (-1,) * len(present))


def one_drive(plan: Plan) -> RowsOf:
    """One row for each drive on the path of each row of the plan, the others at home."""
    tasks = plan.tasks
    motions: list[PairMotion] = []
    known: dict[tuple[int, int], int] = {}
    cores: list[CorePair] = []
    owner: list[int] = []
    row_of: list[int] = []
    rows: list[tuple[int, int]] = []
    for number, own in _by_row(tasks):
        for drive in plan.rows[number].drives:
            for task in own:
                key = (int(tasks.owner[task]), drive)
                if key not in known:
                    known[key] = len(motions)
                    motions.append(_held(plan, tasks.motions[key[0]], drive))
                cores.append(tasks.cores[task])
                owner.append(known[key])
                row_of.append(len(rows))
            rows.append((number, drive))
    table = _table(plan, cores, owner, motions, np.array(row_of, dtype=np.int64), rows=len(rows))
    return RowsOf(table, tuple(number for number, _ in rows), tuple(drive for _, drive in rows))


def _by_row(tasks: Tasks) -> list[tuple[int, range]]:
    present, first, count = np.unique(tasks.row, return_index=True, return_counts=True)
    return [(row, range(start, start + many)) for row, start, many in zip(present.tolist(), first.tolist(), count.tolist(), strict=True)]


def _held(plan: Plan, motion: PairMotion, drive: int) -> PairMotion:
    return motion.along(motion.drives.index(drive), plan.home[list(motion.drives)])


def _table(
    plan: Plan,
    cores: Sequence[CorePair],
    owner: Sequence[int],
    motions: Sequence[PairMotion],
    row: NDArray[np.int64],
    *,
    rows: int,
) -> Table:
    ranges = [(plan.low[list(motion.drives)], plan.high[list(motion.drives)]) for motion in motions]
    return table_of(OpenSight(batch_of(cores, owner, motions, ranges)), row, rows=rows)
