"""One tile of a two-drive map painted: boxes of drive values are split until the cells they lie on are decided."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.distance import Look
from core.clearance.motion_in_box import Boxes, Floats, Ints
from core.sweep.frontier import Effort, Pending, Progress, halves, looked, whole_range, worst_first
from core.sweep.rows_at import Table
from core.tolerances import Tolerances

CLEAR, RULED_OUT, UNDECIDED, BREACH = range(4)
"""States of a cell, the worse the higher. RULED_OUT: rules between drives leave out some of it or all, and the rest is clear."""

FINER = 4
"""A cell is looked at in this many parts a side before it is left undecided."""


class Rows(NamedTuple):
    """Rows of a table cut for a tile: columns (R, 2) of the two drives among the row's, -1 where one is not on its path."""

    table: Table
    need: Floats
    columns: Ints
    row: tuple[int, ...]


class Sheet(NamedTuple):
    """A tile while it is painted; see `core.sweep.drive_map.DriveMap`. pair: the row of the plan that breaches, -1 for none."""

    edges: tuple[Floats, Floats]
    state: NDArray[np.uint8]
    pair: NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class Tile:
    """All that painting one tile depends on, ready to be sent to another process. cap: boxes a row."""

    rows: tuple[Rows, ...]
    edges: tuple[Floats, Floats]
    cap: int
    tolerances: Tolerances


@dataclass(frozen=True, slots=True, eq=False)
class Painted:
    """A tile as it was painted."""

    sheet: Sheet
    boxes: int
    gap_queries: int


def blank(edges: tuple[Floats, Floats], state: int = CLEAR) -> Sheet:
    """A tile of which nothing is known but `state`."""
    shape = (len(edges[1]) - 1, len(edges[0]) - 1)
    return Sheet(edges, np.full(shape, state, dtype=np.uint8), np.full(shape, -1, dtype=np.int32))


def painted(tile: Tile, progress: Progress | None = None) -> Painted:
    """Paint a tile; what progress stops is left undecided."""
    sheet, effort = blank(tile.edges), Effort()
    for number, rows in enumerate(tile.rows):
        if len(rows.row):
            _paint_all(rows, sheet, tile, effort, part_of(progress, number, len(tile.rows)))
    return Painted(sheet, effort.boxes, effort.gap_queries)


def part_of(progress: Progress | None, number: int, count: int) -> Progress | None:
    """The progress of one of so many parts."""
    return None if progress is None else lambda share: progress((number + share) / count)


def _paint_all(rows: Rows, sheet: Sheet, tile: Tile, effort: Effort, progress: Progress | None) -> None:
    table, tolerances = rows.table, tile.tolerances
    pending = whole_range(table, np.arange(len(table.row), dtype=np.int64))
    spent = np.zeros(len(table), dtype=np.int64)
    while len(pending):
        now, later = worst_first(pending)
        row = table.row[now.boxes.pair]
        seen = looked(table, now, enough=rows.need[row], margin=tolerances.arithmetic, effort=effort)
        spent += np.bincount(row, minlength=len(table))
        open_boxes = np.flatnonzero(seen.lower < rows.need[row])
        cells = _cells_of(rows, sheet, now.boxes.of(open_boxes))
        kept = _paint(rows, sheet, now.boxes.of(open_boxes), _of(seen, open_boxes), cells, spent, tile)
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


def _cells_of(rows: Rows, sheet: Sheet, boxes: Boxes) -> _Cells:
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
    rows: Rows,
    sheet: Sheet,
    boxes: Boxes,
    seen: Look,
    cells: _Cells,
    spent: Ints,
    tile: Tile,
) -> Ints:
    """Paint what is decided of boxes that are not clear; the places of those to be split."""
    row = rows.table.row[boxes.pair]
    whole = seen.upper < rows.need[row]
    hit = seen.gap < rows.need[row]
    small = np.all(cells.end - cells.start <= 1, axis=1)
    travel = (rows.table.sight.reach[boxes.pair] * boxes.half).sum(axis=1)
    stuck = (travel <= tile.tolerances.arithmetic) | (spent[row] >= tile.cap) | _blind(rows, boxes, seen)
    kept = []
    for place in range(len(row)):
        (left, low), (right, high) = cells.start[place].tolist(), cells.end[place].tolist()
        block = sheet.state[low:high, left:right]
        if block.min() == BREACH:
            continue
        if whole[place] or (hit[place] and small[place]):
            block[:] = BREACH
            sheet.pair[low:high, left:right] = rows.row[row[place]]
        elif stuck[place] or (small[place] and not _others_open(rows, boxes, place, sheet)):
            np.maximum(block, UNDECIDED, out=block)
        else:
            kept.append(place)
    return np.array(kept, dtype=np.int64)


def _blind(rows: Rows, boxes: Boxes, seen: Look) -> NDArray[np.bool_]:
    blind: NDArray[np.bool_] = np.isneginf(seen.lower) & np.all(boxes.half <= rows.table.sight.finest[boxes.pair], axis=1)
    return blind


def _others_open(rows: Rows, boxes: Boxes, place: int, sheet: Sheet) -> bool:
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


def _split(rows: Rows, sheet: Sheet, boxes: Boxes, lower: Floats) -> Pending:
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


def _give_up(sheet: Sheet, cells: _Cells) -> None:
    for (left, low), (right, high) in zip(cells.start.tolist(), cells.end.tolist(), strict=True):
        block = sheet.state[low:high, left:right]
        np.maximum(block, UNDECIDED, out=block)
