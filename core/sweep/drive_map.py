"""Two-drive map: over two drives, where anything breaches with the others at home, or anywhere in their travel.

The plane of the two drives is a grid of cells no larger than the leaf. A cell is clear where every pair is proved clear
over all of it, a breach where some position in it breaches, and undecided where neither is proved. Nothing is said of positions that
rules between drives leave out: a cell that holds any is never clear, but ruled out where the rest of it is. The grid is painted tile
by tile, in the same tiles wherever and in whatever order they are painted, so that the map does not depend on who paints it.
"""

import math
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from core.clearance.motion_in_box import Floats
from core.model.names import DriveName, SectionName
from core.model.project import Drive, Project
from core.motion.linkage import linkage_of
from core.sweep.all_rows import restricted
from core.sweep.allowed import allowed_cells
from core.sweep.frontier import Progress
from core.sweep.looped import LoopSights
from core.sweep.map_tile import BREACH, CLEAR, RULED_OUT, UNDECIDED, Painted, Rows, Sheet, Tile, blank, painted, part_of
from core.sweep.plan import Plan, needing_sweep, plan_of
from core.sweep.result import Pair, Work
from core.sweep.tables import RowsOf, all_drives, with_loops
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

__all__ = ["BREACH", "CLEAR", "RULED_OUT", "UNDECIDED", "DriveMap", "Others", "map_of", "state_at"]

MOST_CELLS = 1024
"""Cells a drive at most; a smaller leaf is not taken."""

TILE = 128
"""Cells a side of a tile at most: enough for its boxes to be looked at many at once."""

HEARD = 0.1
"""Seconds between two looks at whether to go on, while others paint."""

Others = Literal["home", "any"]


@dataclass(frozen=True, slots=True, eq=False)
class DriveMap:
    """The map of two drives. Arrays are read-only.

    edges: of the first drive (n + 1,) and the second (m + 1,), drive units. state: (m, n) CLEAR, RULED_OUT, UNDECIDED or BREACH.
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
    executor: Executor | None = None,
    plan: Plan | None = None,
) -> DriveMap:
    """Map two different drives of a valid project. leaf: the largest side of a cell, drive units. boxes: cap a row and tile.

    executor: who paints the tiles, in threads or in processes of its own; the map is the same with any, and with none. Where
    progress stops it, tiles that are not begun are left undecided, and those that are being painted are not waited for.

    plan: of this project, where it is laid out already with these tolerances.

    Raises KeyError for a drive that the project does not have, ValueError where both are the same or the leaf is not above 0.
    """
    if first == second or not leaf > 0:
        raise ValueError("a map needs two drives and a leaf above 0")
    drives = {drive.name: (index, drive) for index, drive in enumerate(project.drives)}
    (one, drive_a), (two, drive_b) = drives[first], drives[second]
    plan = needing_sweep(_moved_by(plan or plan_of(project, linkage_of(project), tolerances=tolerances), (one, two)))
    edges = _edges(drive_a, leaf), _edges(drive_b, leaf)
    tables, left = _tables(plan, (one, two), tolerances)
    blocks = list(_blocks(edges))
    tiles = [
        _tile(plan, tables, (one, two), (edges[0][left:right], edges[1][low:high]), others, boxes, tolerances)
        for left, right, low, high in blocks
    ]
    done = _one_by_one(tiles, progress) if executor is None else _by(executor, tiles, progress)
    sheet = blank(edges)
    for (across, across_end, up, up_end), tile in zip(blocks, done, strict=True):
        sheet.state[up : up_end - 1, across : across_end - 1] = tile.sheet.state
        sheet.pair[up : up_end - 1, across : across_end - 1] = tile.sheet.pair
    _rule_out(sheet, _allowed_share(plan, (one, two), edges, others), tolerances)
    if left:
        sheet.state[sheet.state == CLEAR] = UNDECIDED
    pairs, which = _numbered(sheet.pair)
    for array in (*edges, sheet.state, which):
        array.flags.writeable = False
    return DriveMap(
        drives=(first, second),
        others=others,
        edges=edges,
        state=sheet.state,
        pair=which,
        pairs=tuple(_name(plan, row) for row in pairs),
        left_out=tuple(dict.fromkeys(_name(plan, row) for row in left)),
        work=Work(boxes=sum(tile.boxes for tile in done), gap_queries=sum(tile.gap_queries for tile in done)),
    )


def _moved_by(plan: Plan, drives: tuple[int, int]) -> Plan:
    """The plan with the rows alone that one of the drives can move."""
    return plan.of([number for number, row in enumerate(plan.rows) if set(row.drives) & set(drives)])


def _one_by_one(tiles: Sequence[Tile], progress: Progress | None) -> list[Painted]:
    return [painted(tile, part_of(progress, number, len(tiles))) for number, tile in enumerate(tiles)]


def _by(executor: Executor, tiles: Sequence[Tile], progress: Progress | None) -> list[Painted]:
    """The same by an executor; while it paints, progress is asked whether to go on."""
    asked: list[Future[Painted]] = [executor.submit(painted, tile) for tile in tiles]
    pending = set(asked)
    while pending:
        _, pending = wait(pending, timeout=HEARD, return_when=FIRST_COMPLETED)
        if progress is not None and not progress(1 - len(pending) / len(tiles)):
            break
    for future in pending:
        future.cancel()
    return [
        future.result() if future.done() and not future.cancelled() else _unpainted(tile) for future, tile in zip(asked, tiles, strict=True)
    ]


def _rule_out(sheet: Sheet, share: Floats, tolerances: Tolerances) -> None:
    """Mark the cells of which rules leave out all, whatever was found there, and the clear ones of which they leave out some."""
    out = (share <= tolerances.arithmetic) | ((sheet.state == CLEAR) & (share < 1.0 - tolerances.arithmetic))
    sheet.state[out], sheet.pair[out] = RULED_OUT, -1


def _allowed_share(plan: Plan, drives: tuple[int, int], edges: tuple[Floats, Floats], others: Others) -> Floats:
    """(m, n): how much of a cell, 0 to 1, rules between drives allow; with the others anywhere, the rules between these two alone."""
    mapped = tuple(range(len(plan.project.drives))) if others == "home" else drives
    low, high = (np.array([ends[drive] if drive in drives else plan.home[drive] for drive in mapped]) for ends in (plan.low, plan.high))
    covered = np.zeros((len(edges[1]) - 1, len(edges[0]) - 1))
    for start, end in allowed_cells(plan.project, mapped, low=low, high=high):
        across, up = (_shared(own, start[place], end[place]) for own, place in zip(edges, map(mapped.index, drives), strict=True))
        covered += np.outer(up, across)
    share: Floats = covered / np.outer(np.diff(edges[1]), np.diff(edges[0]))
    return share


def _shared(edges: Floats, start: float, end: float) -> Floats:
    """How much of each interval between edges lies between start and end."""
    shared: Floats = np.maximum(np.minimum(edges[1:], end) - np.maximum(edges[:-1], start), 0.0)
    return shared


def _unpainted(tile: Tile) -> Painted:
    return Painted(blank(tile.edges, UNDECIDED), 0, 0)


def _numbered(rows: NDArray[np.int32]) -> tuple[list[int], NDArray[np.int16]]:
    """The rows of the plan that stand in cells, in order, and for each cell the place of its row among them, -1 for none."""
    present = [row for row in np.unique(rows).tolist() if row >= 0]
    place = np.full(max(present, default=-1) + 2, -1, dtype=np.int16)
    place[present] = range(len(present))
    return present, place[rows]


def _name(plan: Plan, row: int) -> tuple[SectionName, Pair]:
    return plan.rows[row].pair.section, plan.rows[row].pair.between


def _edges(drive: Drive, leaf: float) -> Floats:
    return np.linspace(drive.start, drive.end, _cells(drive, leaf) + 1)


def _blocks(edges: tuple[Floats, Floats]) -> Iterator[tuple[int, int, int, int]]:
    """The tiles as places of edges: from and to (excluded) on the first drive, then on the second."""
    across, up = (range(0, len(own) - 1, TILE) for own in edges)
    for low in up:
        for left in across:
            yield left, min(left + TILE, len(edges[0]) - 1) + 1, low, min(low + TILE, len(edges[1]) - 1) + 1


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


def _tile(
    plan: Plan,
    tables: Sequence[RowsOf],
    drives: tuple[int, int],
    edges: tuple[Floats, Floats],
    others: Others,
    cap: int,
    tolerances: Tolerances,
) -> Tile:
    return Tile(tuple(_cut(plan, rows, drives, edges, others) for rows in tables), edges, cap, tolerances)


def _cut(plan: Plan, rows: RowsOf, drives: tuple[int, int], edges: tuple[Floats, Floats], others: Others) -> Rows:
    """The rows that depend on one of the drives: those cut to the edges of a tile, the others to what is asked of them."""
    chosen = [place for place, number in enumerate(rows.row) if set(plan.rows[number].drives) & set(drives)]
    place = np.array(chosen, dtype=np.int64)
    paths = [plan.rows[rows.row[number]].drives for number in chosen]
    columns = np.array([[path.index(drive) if drive in path else -1 for drive in drives] for path in paths], dtype=np.int64).reshape(-1, 2)
    first = rows.table.pairs.start[place]
    low, high = rows.table.sight.low[first].copy(), rows.table.sight.high[first].copy()
    for row, path in enumerate(paths):
        for column, drive in enumerate(path):
            if drive in drives:
                own = edges[drives.index(drive)]
                low[row, column], high[row, column] = own[0], own[-1]
            elif others == "home":
                low[row, column] = high[row, column] = plan.home[drive]
    need = np.array([plan.rows[rows.row[number]].need for number in chosen])
    return Rows(rows.table.of(place, low, high), need, columns, tuple(rows.row[number] for number in chosen))


def state_at(found: DriveMap, values: Sequence[float]) -> int:
    """The state of the cell that two drive values lie in."""
    places = [
        int(np.clip(np.searchsorted(edges, value, side="right") - 1, 0, len(edges) - 2))
        for edges, value in zip(found.edges, values, strict=True)
    ]
    return int(found.state[places[1], places[0]])
