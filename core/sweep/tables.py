"""From a plan to the tables that the sweeps run on: all drives of each row, or one drive a row with the others at home."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import CorePair, Kind, batch_of
from core.clearance.reach import PairMotion
from core.sweep.looped import LoopSights, Path
from core.sweep.plan import Plan, Tasks
from core.sweep.result import Values
from core.sweep.rows_at import Table, table_of
from core.sweep.sight import OpenSight

Floats = NDArray[np.float64]


class RowsOf(NamedTuple):
    """A table and what its rows stand for: row (n,) of the plan, drive (n,) index or -1 for all on the path."""

    table: Table
    row: tuple[int, ...]
    drive: tuple[int, ...]

    def allows(self, number: int, values: Values) -> bool:
        """Whether rules between drives allow these values of a row's drives, which are in the row's order."""
        row = np.zeros((1, self.table.sight.low.shape[1]))
        row[0, : len(values)] = [value for _, value in values]
        return bool(self.table.allows(np.array([number]), row)[0])


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
                    motions.append(plan.motions.alone(tasks.motions[key[0]], drive))
                cores.append(tasks.cores[task])
                owner.append(known[key])
                row_of.append(len(rows))
            rows.append((number, drive))
    table = _table(plan, cores, owner, motions, np.array(row_of, dtype=np.int64), rows=len(rows))
    return RowsOf(table, tuple(number for number, _ in rows), tuple(drive for _, drive in rows))


class LoopTables(NamedTuple):
    """Rows with loops on their path: those that can be enclosed, all drives and one drive a row, and those that cannot."""

    together: RowsOf | None
    alone: RowsOf | None
    left: tuple[int, ...]


def with_loops(plan: Plan, sights: LoopSights) -> LoopTables:
    """The tables of the rows of the plan that have a loop on their path."""
    ready, left = _ready(plan, sights)
    return LoopTables(*_both(plan, sights, ready), left) if ready else LoopTables(None, None, left)


class LoopBatches(NamedTuple):
    """The same rows in batches, each all drives and one drive a row, in which no row is looked at otherwise for those beside it."""

    batches: tuple[tuple[RowsOf, RowsOf], ...]
    left: tuple[int, ...]


def loop_batches(plan: Plan, sights: LoopSights) -> LoopBatches:
    """Rows with loops that one drive moves share a batch; each other row has its own.

    A loop with several drives is followed to all values asked for at once, whose rounding differs with what is asked for.
    """
    ready, left = _ready(plan, sights)
    shared = [own for own in ready if all(len(chase.drives) == 1 for path in own.paths for chase in path.chases)]
    batches = [*([shared] if shared else []), *([own] for own in ready if own not in shared)]
    return LoopBatches(tuple(_both(plan, sights, batch) for batch in batches), left)


def _ready(plan: Plan, sights: LoopSights) -> tuple[list["_Looped"], tuple[int, ...]]:
    found = [(number, _looped(plan, sights, number)) for number, row in enumerate(plan.rows) if row.bars == "loop"]
    return [own for _, own in found if own is not None], tuple(number for number, own in found if own is None)


def _both(plan: Plan, sights: LoopSights, ready: Sequence["_Looped"]) -> tuple[RowsOf, RowsOf]:
    """The rows over all their drives, and over one each."""
    alone = [(own, axis) for own in ready for axis in range(len(plan.rows[own.row].drives))]
    return _loop_table(sights, [(own, -1) for own in ready]), _loop_table(sights, alone, plan)


class _Looped(NamedTuple):
    """A row ready for its loops: core pairs, and for each the motion and path it needs."""

    row: int
    cores: tuple[CorePair, ...]
    motions: tuple[PairMotion, ...]
    paths: tuple[Path, ...]


def _looped(plan: Plan, sights: LoopSights, number: int) -> _Looped | None:
    row = plan.rows[number]
    section = plan.linkage.section(row.pair.section)
    cores: list[CorePair] = []
    motions: list[PairMotion] = []
    paths: list[Path] = []
    for shapes in row.shape_pairs:
        groups = row.pair.groups[::-1] if shapes.room_first else row.pair.groups
        found = sights.path(section, groups, row.drives)
        if found is None:
            return None
        path, motion = found
        motion = motion.in_frame_of_b() if shapes.cores[0].kind == Kind.FACE else motion
        cores.extend(shapes.cores)
        motions.extend([motion] * len(shapes.cores))
        paths.extend([path] * len(shapes.cores))
    return _Looped(number, tuple(cores), tuple(motions), tuple(paths))


def _loop_table(sights: LoopSights, rows: Sequence[tuple[_Looped, int]], plan: Plan | None = None) -> RowsOf:
    """axis: the place of the one drive that runs among the row's, or -1."""
    cores = [core for own, _ in rows for core in own.cores]
    motions = [motion for own, _ in rows for motion in own.motions]
    paths = [path for own, _ in rows for path in own.paths]
    axes = [axis for own, axis in rows for _ in own.cores]
    row_of = np.array([number for number, (own, _) in enumerate(rows) for _ in own.cores], dtype=np.int64)
    sight = sights.sight(cores, motions, paths, axes)
    drive = tuple(-1 if plan is None else plan.rows[own.row].drives[axis] for own, axis in rows)
    return RowsOf(table_of(sight, row_of, rows=len(rows)), tuple(own.row for own, _ in rows), drive)


def _by_row(tasks: Tasks) -> list[tuple[int, range]]:
    present, first, count = np.unique(tasks.row, return_index=True, return_counts=True)
    return [(row, range(start, start + many)) for row, start, many in zip(present.tolist(), first.tolist(), count.tolist(), strict=True)]


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
