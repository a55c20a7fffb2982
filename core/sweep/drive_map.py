"""Two-drive map: over two drives, where anything breaches with the others at home, or anywhere in their travel.

The plane of the two drives is a grid of cells no larger than the leaf. A cell is clear where every pair is proved clear
over all of it, a breach where some position in it breaches, and undecided where neither is proved.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.distance import Look
from core.clearance.motion_in_box import Boxes, Floats, Ints
from core.model.names import DriveName, SectionName
from core.model.project import Drive, Project
from core.motion.linkage import linkage_of
from core.sweep.all_rows import restricted
from core.sweep.frontier import Effort, Pending, Progress, halves, looked, whole_range, worst_first
from core.sweep.looped import LoopSights
from core.sweep.plan import Plan, needing_sweep, plan_of
from core.sweep.result import Pair, Work
from core.sweep.rows_at import Table
from core.sweep.tables import RowsOf, all_drives, with_loops
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

CLEAR, UNDECIDED, BREACH = 0, 1, 2
MOST_CELLS = 1024
"""Cells a drive at most; a smaller leaf is not taken."""

FINER = 4
"""A cell is looked at in this many parts a side before it is left undecided."""

Others = Literal["home", "any"]


@dataclass(frozen=True, slots=True, eq=False)
class DriveMap:
    """The map of two drives. Arrays are read-only.

    edges: of the first drive (n + 1,) and the second (m + 1,), drive units. state: (m, n) CLEAR, UNDECIDED or BREACH.
    pair: (m, n) index into `pairs` of a pair that breaches there, -1 where none does. left_out: pairs that depend on one
    of the drives and cannot be swept; where there are any, no cell is clear.
    """

    drives: tuple[DriveName, DriveName]
    others: Others
    edges: tuple[Floats, Floats]
    state: NDArray[np.uint8]
    pair: NDArray[np.int16]
    pairs: tuple[tuple[SectionName, Pair], ...]
    left_out: tuple[tuple[SectionName, Pair], ...]
    work: Work


class _Rows(NamedTuple):
    """Rows of a table cut for the map: columns (R, 2) of the two drives among the row's, -1 where one is not on its path."""

    table: Table
    need: Floats
    columns: Ints
    row: tuple[int, ...]


class _Sheet(NamedTuple):
    """The map while it is painted."""

    edges: tuple[Floats, Floats]
    state: NDArray[np.uint8]
    pair: NDArray[np.int16]


def map_of(
    project: Project,
    first: DriveName,
    second: DriveName,
    *,
    others: Others = "home",
    leaf: float = 1.0,
    boxes: int = 200_000,
    tolerances: Tolerances = DEFAULT_TOLERANCES,
    progress: Progress | None = None,
) -> DriveMap:
    """Map two different drives of a valid project. leaf: the largest side of a cell, drive units. boxes: cap a row.

    Raises KeyError for a drive that the project does not have, ValueError where both are the same or the leaf is not above 0.
    """
    if first == second or not leaf > 0:
        raise ValueError("a map needs two drives and a leaf above 0")
    drives = {drive.name: (index, drive) for index, drive in enumerate(project.drives)}
    (one, drive_a), (two, drive_b) = drives[first], drives[second]
    effort = Effort()
    plan = needing_sweep(plan_of(project, linkage_of(project), tolerances=tolerances))
    sheet = _sheet(drive_a, drive_b, leaf)
    tables, left = _tables(plan, (one, two), tolerances)
    pairs: list[int] = []
    for number, rows in enumerate(tables):
        cut = _cut(plan, rows, (one, two), others)
        if len(cut.row):
            _paint_all(cut, sheet, pairs, boxes, effort, tolerances, _share(progress, number, len(tables)))
    if left:
        sheet.state[sheet.state == CLEAR] = UNDECIDED
    for array in (*sheet.edges, sheet.state, sheet.pair):
        array.flags.writeable = False
    return DriveMap(
        drives=(first, second),
        others=others,
        edges=sheet.edges,
        state=sheet.state,
        pair=sheet.pair,
        pairs=tuple(_name(plan, row) for row in pairs),
        left_out=tuple(dict.fromkeys(_name(plan, row) for row in left)),
        work=Work(boxes=effort.boxes, gap_queries=effort.gap_queries),
    )


def _share(progress: Progress | None, number: int, count: int) -> Progress | None:
    return None if progress is None else lambda share: progress((number + share) / count)


def _name(plan: Plan, row: int) -> tuple[SectionName, Pair]:
    return plan.rows[row].pair.section, plan.rows[row].pair.between


def _sheet(first: Drive, second: Drive, leaf: float) -> _Sheet:
    edges = tuple(np.linspace(drive.start, drive.end, _cells(drive, leaf) + 1) for drive in (first, second))
    shape = (len(edges[1]) - 1, len(edges[0]) - 1)
    return _Sheet((edges[0], edges[1]), np.zeros(shape, dtype=np.uint8), np.full(shape, -1, dtype=np.int16))


def _cells(drive: Drive, leaf: float) -> int:
    """A power of two, so that boxes that are halved lie on the grid."""
    return int(min(2 ** max(math.ceil(math.log2((drive.end - drive.start) / leaf)), 0), MOST_CELLS))


def _tables(plan: Plan, drives: tuple[int, int], tolerances: Tolerances) -> tuple[list[RowsOf], list[int]]:
    sights = LoopSights(plan.linkage, low=plan.low, high=plan.high, home=plan.home, tolerances=tolerances)
    loops = with_loops(plan, sights)
    tables = [rows for rows in (all_drives(plan), loops.together) if rows is not None and rows.row]
    held = {row for rows in tables for row in rows.row}
    left = [number for number, row in enumerate(plan.rows) if number not in held and set(row.drives) & set(drives)]
    return [restricted(plan, rows) for rows in tables], left


def _cut(plan: Plan, rows: RowsOf, drives: tuple[int, int], others: Others) -> _Rows:
    """The rows that depend on one of the drives, with the ranges of the other drives as asked."""
    chosen = [place for place, number in enumerate(rows.row) if set(plan.rows[number].drives) & set(drives)]
    place = np.array(chosen, dtype=np.int64)
    paths = [plan.rows[rows.row[number]].drives for number in chosen]
    columns = np.array([[path.index(drive) if drive in path else -1 for drive in drives] for path in paths], dtype=np.int64).reshape(-1, 2)
    first = rows.table.pairs.start[place]
    low, high = rows.table.sight.low[first].copy(), rows.table.sight.high[first].copy()
    if others == "home":
        for row, path in enumerate(paths):
            for column, drive in enumerate(path):
                if drive not in drives:
                    low[row, column] = high[row, column] = plan.home[drive]
    need = np.array([plan.rows[rows.row[number]].need for number in chosen])
    return _Rows(rows.table.of(place, low, high), need, columns, tuple(rows.row[number] for number in chosen))


def _paint_all(
    rows: _Rows, sheet: _Sheet, pairs: list[int], cap: int, effort: Effort, tolerances: Tolerances, progress: Progress | None
) -> None:
    table = rows.table
    pending = whole_range(table, np.arange(len(table.row), dtype=np.int64))
    spent = np.zeros(len(table), dtype=np.int64)
    while len(pending):
        now, later = worst_first(pending)
        row = table.row[now.boxes.pair]
        seen = looked(table, now, enough=rows.need[row], margin=tolerances.arithmetic, effort=effort)
        spent += np.bincount(row, minlength=len(table))
        open_boxes = np.flatnonzero(seen.lower < rows.need[row])
        cells = _cells_of(rows, sheet, now.boxes.of(open_boxes))
        kept = _paint(rows, sheet, pairs, now.boxes.of(open_boxes), _of(seen, open_boxes), cells, spent, cap, tolerances)
        again = open_boxes[kept]
        pending = later.joined(_split(rows, sheet, now.boxes.of(again), seen.lower[again]))
        if progress is not None and not progress(1.0 - len(np.unique(table.row[pending.boxes.pair])) / max(len(table), 1)):
            effort.stopped = True
            _give_up(sheet, _cells_of(rows, sheet, pending.boxes))
            break


def _of(seen: Look, chosen: Ints) -> Look:
    return Look(seen.gap[chosen], seen.lower[chosen], seen.upper[chosen])


class _Cells(NamedTuple):
    """The block of cells that each of N boxes covers: from (included) and to (excluded) on both drives, (N, 2)."""

    start: Ints
    end: Ints


def _cells_of(rows: _Rows, sheet: _Sheet, boxes: Boxes) -> _Cells:
    columns = rows.columns[rows.table.row[boxes.pair]]
    each = np.arange(len(boxes.pair))
    start, end = np.zeros((len(each), 2), dtype=np.int64), np.zeros((len(each), 2), dtype=np.int64)
    for side, edges in enumerate(sheet.edges):
        count, step = len(edges) - 1, edges[1] - edges[0]
        column = columns[:, side]
        centre, half = boxes.centre[each, column], boxes.half[each, column]
        # Cells of rules between drives need not lie on the grid: then all that is touched counts.
        first = np.floor((centre - half - edges[0]) / step + 1e-9).astype(np.int64)
        last = np.ceil((centre + half - edges[0]) / step - 1e-9).astype(np.int64)
        first = np.clip(first, 0, count - 1)
        start[:, side] = np.where(column < 0, 0, first)
        end[:, side] = np.where(column < 0, count, np.clip(np.maximum(last, first + 1), 1, count))
    return _Cells(start, end)


def _paint(
    rows: _Rows,
    sheet: _Sheet,
    pairs: list[int],
    boxes: Boxes,
    seen: Look,
    cells: _Cells,
    spent: Ints,
    cap: int,
    tolerances: Tolerances,
) -> Ints:
    """Paint what is decided of boxes that are not clear; the places of those to be split."""
    row = rows.table.row[boxes.pair]
    whole = seen.upper < rows.need[row]
    hit = seen.gap < rows.need[row]
    small = np.all(cells.end - cells.start <= 1, axis=1)
    travel = (rows.table.sight.reach[boxes.pair] * boxes.half).sum(axis=1)
    stuck = (travel <= tolerances.arithmetic) | (spent[row] >= cap) | _blind(rows, boxes, seen)
    kept = []
    for place in range(len(row)):
        (left, low), (right, high) = cells.start[place].tolist(), cells.end[place].tolist()
        block = sheet.state[low:high, left:right]
        if block.min() == BREACH:
            continue
        if whole[place] or (hit[place] and small[place]):
            block[:] = BREACH
            sheet.pair[low:high, left:right] = _number(pairs, rows.row[row[place]])
        elif stuck[place] or (small[place] and not _others_open(rows, boxes, place, sheet)):
            np.maximum(block, UNDECIDED, out=block)
        else:
            kept.append(place)
    return np.array(kept, dtype=np.int64)


def _blind(rows: _Rows, boxes: Boxes, seen: Look) -> NDArray[np.bool_]:
    blind: NDArray[np.bool_] = np.isneginf(seen.lower) & np.all(boxes.half <= rows.table.sight.finest[boxes.pair], axis=1)
    return blind


def _others_open(rows: _Rows, boxes: Boxes, place: int, sheet: _Sheet) -> bool:
    """Whether a box on one cell can still be split: along other drives, or a little finer than the cell."""
    columns = rows.columns[rows.table.row[boxes.pair[place]]]
    half = boxes.half[place].copy()
    for side, column in enumerate(columns.tolist()):
        if column >= 0:
            cell = sheet.edges[side][1] - sheet.edges[side][0]
            if half[column] > cell / 2 / FINER:
                return True
            half[column] = 0.0
    return bool(np.any(rows.table.sight.reach[boxes.pair[place]] * half > 1e-6))


def _number(pairs: list[int], row: int) -> int:
    if row not in pairs:
        pairs.append(row)
    return pairs.index(row)


def _split(rows: _Rows, sheet: _Sheet, boxes: Boxes, lower: Floats) -> Pending:
    """Halves along the two drives while a box covers more than one cell (the longer side first), then by reach."""
    if not len(lower):
        return Pending(boxes, lower)
    cells = _cells_of(rows, sheet, boxes)
    many = cells.end - cells.start
    columns = rows.columns[rows.table.row[boxes.pair]]
    side = np.argmax(np.where(columns >= 0, many, 0), axis=1)
    each = np.arange(len(side))
    wide = (many[each, side] > 1) & (columns[each, side] >= 0)
    parts = [halves(rows.table, boxes.of(~wide), lower[~wide])]
    if np.any(wide):
        own, axis = boxes.of(wide), columns[each, side][wide]
        half, shift = own.half.copy(), np.zeros_like(own.half)
        rows_of = np.arange(len(axis))
        half[rows_of, axis] /= 2
        shift[rows_of, axis] = half[rows_of, axis]
        both = Boxes(np.tile(own.pair, 2), np.concatenate([own.centre - shift, own.centre + shift]), np.tile(half, (2, 1)))
        parts.append(Pending(both, np.tile(lower[wide], 2)))
    return parts[0] if len(parts) == 1 else parts[0].joined(parts[1])


def _give_up(sheet: _Sheet, cells: _Cells) -> None:
    for (left, low), (right, high) in zip(cells.start.tolist(), cells.end.tolist(), strict=True):
        block = sheet.state[low:high, left:right]
        np.maximum(block, UNDECIDED, out=block)


def state_at(found: DriveMap, values: Sequence[float]) -> int:
    """The state of the cell that two drive values lie in."""
    places = [
        int(np.clip(np.searchsorted(edges, value, side="right") - 1, 0, len(edges) - 2))
        for edges, value in zip(found.edges, values, strict=True)
    ]
    return int(found.state[places[1], places[0]])
