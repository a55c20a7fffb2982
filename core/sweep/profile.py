"""The gap of every pair along a drive, in columns: what the interference timeline and the gap curve are drawn from."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.clearance.motion_in_box import Boxes
from core.model.names import DriveName, SectionName
from core.model.project import Project
from core.sweep.at_pose import PoseGaps
from core.sweep.plan import Plan, needing_sweep
from core.sweep.result import Pair
from core.sweep.tables import RowsOf, one_drive
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

Floats = NDArray[np.float64]


MOST_COLUMNS = 20_000
"""Columns of all rows that are looked at in one go at most."""


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """One pair along one drive, the others at home, in n columns.

    edges: (n + 1,) drive units. lowest: (n,) mm, the lowest gap anywhere in each column, proved to second order (a
    column is never shown roomier than it is). middle: (n,) mm, the gap at the middle of each column, NaN where it is
    beyond the `far` tolerance. sampled: the pair lies on a loop; `lowest` is then the gap at the middle.
    """

    section: SectionName
    between: Pair
    drive: DriveName
    edges: Floats
    lowest: Floats
    middle: Floats
    required: float
    tolerance: float
    sampled: bool = False


class Profiles:
    """Prepared once a project; asked for any drive at any number of columns."""

    def __init__(
        self,
        project: Project,
        *,
        tolerances: Tolerances = DEFAULT_TOLERANCES,
        poses: PoseGaps | None = None,
        pairs: Collection[tuple[SectionName, Pair]] | None = None,
    ) -> None:
        """`poses`: the gaps of this project at poses, where they are prepared already with these tolerances. `pairs`: None: all."""
        self.project = project
        self.tolerances = tolerances
        self._poses = poses or PoseGaps(project, tolerances=tolerances)
        self.plan: Plan = needing_sweep(self._poses.plan if pairs is None else _plan_of(self._poses.plan, pairs))
        self._order = {(pair.section, pair.between): place for place, pair in enumerate(self.plan.pairs)}
        self._rows: RowsOf = one_drive(self.plan)

    def along(self, drive: DriveName, columns: int) -> tuple[Profile, ...]:
        """The profiles of every pair that the drive moves, in the file's order; `columns` equal parts of its travel."""
        return self.along_each([drive], columns)

    def along_each(self, drives: Sequence[DriveName], columns: int) -> tuple[Profile, ...]:
        """The same of several drives, one after the other; all are looked at in one go."""
        numbers = [self.plan.linkage.drives.index(drive) for drive in drives]
        edges = {number: self._edges(number, columns) for number in numbers}
        found: dict[int, list[Profile]] = {number: [] for number in numbers}
        rows = [row for row, number in enumerate(self._rows.drive) if number in edges]
        step = max(1, MOST_COLUMNS // columns)
        for first in range(0, len(rows), step):
            part = rows[first : first + step]
            for row, profile in zip(part, self._bounded(part, edges), strict=True):
                found[self._rows.drive[row]].append(profile)
        return tuple(
            profile
            for number in numbers
            for profile in sorted(
                (*found[number], *self._barred(number, edges[number])), key=lambda profile: self._order[profile.section, profile.between]
            )
        )

    def _edges(self, number: int, columns: int) -> Floats:
        own = self.project.drives[number]
        edges = np.linspace(own.start, own.end, columns + 1)
        edges.flags.writeable = False
        return edges

    def _bounded(self, rows: Sequence[int], edges: Mapping[int, Floats]) -> list[Profile]:
        """Of rows of the table; edges: of each drive."""
        table = self._rows.table
        owner, pair = table.pairs.spread(np.array(rows, dtype=np.int64))
        ends = np.stack([edges[self._rows.drive[row]] for row in rows])[owner]
        middle, half = ((ends[:, 1:] + ends[:, :-1]) / 2).reshape(-1, 1), (ends[:, 1] - ends[:, 0]) / 2
        count = ends.shape[1] - 1
        boxes = Boxes(np.repeat(pair, count), middle, np.repeat(half, count)[:, None])
        enough = np.full(len(middle), self.tolerances.far)
        seen = table.sight.look(boxes, enough=enough, margin=self.tolerances.arithmetic)
        gap = np.where(np.isnan(seen.gap), np.inf, seen.gap).reshape(len(pair), count)
        lower = seen.lower.reshape(len(pair), count)
        starts = np.searchsorted(owner, np.arange(len(rows)))
        lowest, centre = np.minimum.reduceat(lower, starts), np.minimum.reduceat(gap, starts)
        told = [(self._rows.row[row], self._rows.drive[row]) for row in rows]
        return [self._profile(row, number, edges[number], lowest[place], centre[place]) for place, (row, number) in enumerate(told)]

    def _barred(self, number: int, edges: Floats) -> list[Profile]:
        found = []
        values = np.tile(self.plan.home, (len(edges) - 1, 1))
        values[:, number] = (edges[1:] + edges[:-1]) / 2
        for place, row in enumerate(self.plan.rows):
            if row.bars == "loop" and number in row.drives:
                gap, reached = self._poses.row_over(row, values)
                gap = np.where(reached, gap, np.nan)
                found.append(self._profile(place, number, edges, gap, gap, sampled=True))
        return found

    def _profile(self, place: int, number: int, edges: Floats, lowest: Floats, middle: Floats, *, sampled: bool = False) -> Profile:
        """Of the row at `place` along the drive `number`."""
        row = self.plan.rows[place]
        over = np.vectorize(row.gap_of, otypes=[float])
        parts = [over(values) if row.across is not None else values.copy() for values in (lowest, middle)]
        parts[1][np.isinf(parts[1])] = np.nan
        for part in parts:
            part.flags.writeable = False
        return Profile(
            section=row.pair.section,
            between=row.pair.between,
            drive=self.plan.linkage.drives[number],
            edges=edges,
            lowest=parts[0],
            middle=parts[1],
            required=row.required,
            tolerance=row.pair.tolerance,
            sampled=sampled,
        )


def _plan_of(plan: Plan, pairs: Collection[tuple[SectionName, Pair]]) -> Plan:
    return plan.of([number for number, row in enumerate(plan.rows) if (row.pair.section, row.pair.between) in pairs])


def profiles(
    project: Project,
    columns: int,
    *,
    tolerances: Tolerances = DEFAULT_TOLERANCES,
    poses: PoseGaps | None = None,
    pairs: Collection[tuple[SectionName, Pair]] | None = None,
) -> tuple[Profile, ...]:
    """The profiles of `pairs` (None: of all) along every drive that moves them, drive by drive. poses: see `Profiles`."""
    table = Profiles(project, tolerances=tolerances, poses=poses, pairs=pairs)
    return table.along_each([drive.name for drive in project.drives], columns)
