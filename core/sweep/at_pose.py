"""The gaps of all checked pairs at given drive values: number, nearest points, and the way out of an overlap."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Kind, ragged
from core.clearance.motion_in_box import Complexes, Floats, Ints, Spread
from core.clearance.overlap import Sides, WayOut, ways_out
from core.clearance.posed import Witness, gaps_at, posed_batch, spread_at, witness
from core.clearance.rounded import Piece
from core.clearance.row_gaps import RowGaps
from core.model.names import DriveName, SectionName
from core.model.project import Project
from core.model.shapes import Point
from core.motion.linkage import Linkage, SectionLinkage, linkage_of
from core.motion.pose import Poses, poses
from core.sweep.lowest import Judged, runs_of
from core.sweep.plan import Plan, Row, plan_of
from core.sweep.result import Pair
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

NEAR = 5.0
"""mm beyond all that is asked; the tightest pair is looked for nearer than that first."""

Placed = tuple[float, float, float]
"""turn in degrees counter-clockwise, shift in x and y, mm: takes drawn to posed."""

MOST_MEASURED = 4096
"""Gaps of single rows that are remembered: a sweep asks for the same pose more than once."""

ROWS_AT_ONCE = 512
"""Rows measured in one go, each at values of its own."""

AT_ONCE = 512
"""Gaps of single rows that are measured in one go at most."""


_Posed = Mapping[int, Poses]
"""The poses of sections, by their number, all of them at the same positions."""


class PoseGap(NamedTuple):
    """One pair at a pose. points: on the two outlines where they are nearest, section frame, mm.

    gap: nominal, mm; of a pair that passes over, over the depth too. way_out: the shortest translation of the second
    body that separates an overlap, mm; None where there is none or inside a room. reached: False where a loop cannot
    be followed to this pose; the gap is then that of the nearest pose that was. passes_over: the pair is not swept,
    since it passes over as far as is asked in every position. depth_gap: mm between the depths of the two where they pass over each
    other, which the gap counts; None in the section.
    """

    section: SectionName
    between: Pair
    gap: float
    points: tuple[Point, Point]
    way_out: Point | None
    required_gap: float
    tolerance: float
    reached: bool = True
    passes_over: bool = False
    depth_gap: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class _Core:
    """What is known of each core pair: its row, shape pair, the groups and core radii of its A and B.

    faces: seen from B. swapped: A is of the pair's second body.
    """

    row: Ints
    shape: Ints
    group_a: Ints
    group_b: Ints
    faces: NDArray[np.bool_]
    radius_a: Floats
    radius_b: Floats
    swapped: NDArray[np.bool_]


class _Placed(NamedTuple):
    """Where the groups of A and B of N core pairs are: turns (N,) radians, shifts (N,) mm, and whether that was reached (N,)."""

    turn_a: Floats
    shift_a: Complexes
    turn_b: Floats
    shift_b: Complexes
    reached: NDArray[np.bool_]

    def of(self, which: Ints) -> "_Placed":
        return _Placed(self.turn_a[which], self.shift_a[which], self.turn_b[which], self.shift_b[which], self.reached[which])


class PoseGaps:
    """Prepared once a project, asked at many poses. Exempt pairs are left out, pairs that pass over are in."""

    def __init__(
        self,
        project: Project,
        *,
        linkage: Linkage | None = None,
        tolerances: Tolerances = DEFAULT_TOLERANCES,
        plan: Plan | None = None,
    ) -> None:
        """`plan`: of this project, where only the gaps of its rows are asked for; else all pairs are laid out."""
        self.project = project
        self.linkage = linkage or linkage_of(project)
        self.tolerances = tolerances
        self.plan = plan or plan_of(project, self.linkage, tolerances=tolerances, passing=True)
        cores = [core for row in self.plan.rows for shapes in row.shape_pairs for core in shapes.cores]
        self._batch = posed_batch(cores)
        self._core = _layout(self.plan)
        self._sections = [section.name for section in project.sections]
        self._measured: dict[tuple[int, tuple[float, ...]], PoseGap] = {}
        self._numbers = {_key(row): number for number, row in enumerate(self.plan.rows)}
        self._of_section: dict[SectionName, RowGaps] = {}
        self._judged: dict[SectionName | None, Judged] = {}
        numbers = {name: number for number, name in enumerate(self._sections)}
        self._section_of_row = np.array([numbers[row.pair.section] for row in self.plan.rows], dtype=np.int64)
        self._section_of_core = self._section_of_row[self._core.row]
        self._cores_of_row = ragged(np.bincount(self._core.row, minlength=len(self.plan.rows)))
        self._rows_of_pair: dict[tuple[SectionName, Pair], list[int]] = {}
        for number, row in enumerate(self.plan.rows):
            self._rows_of_pair.setdefault((row.pair.section, row.pair.between), []).append(number)
        self._first_group = np.cumsum([0, *(len(section.groups) for section in self.linkage.sections)])

    def let_go(self, entries: int) -> Iterator[None]:
        """Let go of all that is kept of single rows and pairs, so many entries at each step; it answers nothing any more.

        Of some thousand rows it takes longer at once than a frame of a window does.
        """
        for kept in (self._measured, self._numbers, self._rows_of_pair):
            while kept:
                for _ in range(min(entries, len(kept))):
                    kept.popitem()
                yield
        left = [*self.plan.pairs, *self.plan.rows]
        self.plan = replace(self.plan, pairs=(), rows=())
        while left:
            del left[-entries:]
            yield

    def at(self, values: Mapping[DriveName, float]) -> tuple[PoseGap, ...]:
        """One answer a pair, in the file's order. Drives that are not named stand at home."""
        if not self.plan.rows:
            return ()
        at = self._values(values)
        posed = [poses(section, self.linkage, at) for section in self.linkage.sections]
        turn = np.concatenate([section.turn for section in posed], axis=1)
        shift = np.concatenate([section.shift for section in posed], axis=1)
        gap, core, lead = self._judged_of(None).lowest(self._everything.nearest(turn, shift, cap=np.inf))
        cores = core[lead]
        section = self._section_of_core[cores]
        reached = np.array([own.reached[0] for own in posed])
        return self._told(cores, gap[lead], self._placed(cores, turn[0], shift[0], reached[section], self._first_group[section]))

    def tightest(self, section: SectionName, values: Mapping[DriveName, float]) -> PoseGap | None:
        """The swept pair of a section that keeps least of what is asked of it; None where nothing is swept.

        The same answer as the least of `at`, without the gaps of pairs that are far apart.
        """
        if section not in self._sections or not len(self._row_gaps_of(section).pair):
            return None
        own = poses(self.linkage.section(section), self.linkage, self._values(values))
        judged = self._judged_of(section)
        for cap in (NEAR + float(judged.needed.max()), np.inf):
            found = self._tightest(section, own, judged, cap)
            if found is not None:
                return found
        return None

    def _tightest(self, section: SectionName, own: Poses, judged: Judged, cap: float) -> PoseGap | None:
        """Of the rows nearer than `cap` mm; None where one that is farther may keep less of what is asked."""
        gap, core, lead = judged.lowest(self._row_gaps_of(section).nearest(own.turn, own.shift, cap=cap))
        left = gap[lead] - judged.needed[lead]
        known = lead[judged.swept[lead] & (core[lead] >= 0)]
        if not len(known) or (gap[known] - judged.needed[known]).min() > cap - judged.needed.max():
            return None
        # Concave shapes may overlap deeper than the nearest of their pieces.
        first = lead[np.argmin(np.where(np.isin(lead, known), left, np.inf))]
        asked = known[(known == first) | ((gap[known] < 0.0) & ~judged.exact[known])]
        reached = np.full(len(asked), own.reached[0])
        told = self._told(core[asked], gap[asked], self._placed(core[asked], own.turn[0], own.shift[0], reached))
        return min(told, key=lambda one: one.gap - one.tolerance - one.required_gap)

    def _judged_of(self, section: SectionName | None) -> Judged:
        """Of a section, or of all rows."""
        if section not in self._judged:
            own = np.ones(len(self.plan.rows), bool) if section is None else self._section_of_row == self._sections.index(section)
            chosen = np.flatnonzero(own).tolist()
            rows = [self.plan.rows[number] for number in chosen]
            gaps = self._everything if section is None else self._row_gaps_of(section)
            self._judged[section] = Judged(
                needed=np.array([row.required + row.pair.tolerance for row in rows]),
                across=np.array([np.nan if row.across is None else row.across for row in rows]),
                blocks=runs_of(gaps.row_of_block),
                pairs=runs_of(np.array([self._rows_of_pair[row.pair.section, row.pair.between][0] for row in rows], dtype=np.int64)),
                exact=np.array([row.exact for row in rows]),
                swept=np.array([row.pair.passes_over is None for row in rows]),
            )
        return self._judged[section]

    def pair_at(self, section: SectionName, pair: Pair, values: Mapping[DriveName, float]) -> PoseGap | None:
        """The gap of one pair, exact in overlap too; None where it is not laid out. Of shapes at several depths, the tightest."""
        numbers = self._rows_of_pair.get((section, pair), ())
        return min(self.rows_at([(self.plan.rows[number], values) for number in numbers]), key=lambda gap: gap.gap, default=None)

    def row_at(self, row: Row, values: Mapping[DriveName, float]) -> PoseGap:
        """The gap of one row of a plan of this project alone, exact in overlap too."""
        return self.rows_at([(row, values)])[0]

    def rows_at(self, asked: Sequence[tuple[Row, Mapping[DriveName, float]]]) -> list[PoseGap]:
        """The same of many rows, each at values of its own. Measured all at once, and remembered for who asks `row_at` later."""
        homes = [(drive.name, drive.home) for drive in self.project.drives]
        keys = [(self._numbers[_key(row)], tuple([values.get(name, home) for name, home in homes])) for row, values in asked]
        found = {key: self._measured[key] for key in keys if key in self._measured}
        fresh = [key for key in dict.fromkeys(keys) if key not in found]
        for first in range(0, len(fresh), ROWS_AT_ONCE):
            part = fresh[first : first + ROWS_AT_ONCE]
            values = np.array([key[1] for key in part], dtype=float).reshape(len(part), len(self.project.drives))
            found.update(zip(part, self._rows_at([key[0] for key in part], values), strict=True))
        if fresh:
            if len(self._measured) >= MOST_MEASURED:
                self._measured.clear()
            self._measured.update(found)
        return [found[key] for key in keys]

    def row_when(self, row: Row, placed: tuple[Placed, Placed]) -> PoseGap:
        """The gap of one row where its two bodies, in the order of its pair, are placed so, whatever put them there."""
        cores = np.flatnonzero(self._core.row == self._numbers[_key(row)])
        sides = [(np.full(len(cores), np.radians(turn)), np.full(len(cores), complex(x, y))) for turn, x, y in placed]
        (turn_a, shift_a), (turn_b, shift_b) = sides[::-1] if self._core.swapped[cores[0]] else sides
        where = _Placed(turn_a, shift_a, turn_b, shift_b, np.ones(len(cores), dtype=bool))
        return self._least_told(cores, np.zeros(len(cores), dtype=np.int64), where)[0]

    def _rows_at(self, numbers: list[int], values: Floats) -> tuple[PoseGap, ...]:
        """Rows (n,) by their numbers, each at its own values (n, D)."""
        rows = np.array(numbers, dtype=np.int64)
        section, width = self._section_of_row[rows], max(len(section.groups) for section in self.linkage.sections)
        turn, shift = np.zeros((len(rows), width)), np.zeros((len(rows), width), dtype=complex)
        reached = np.ones(len(rows), dtype=bool)
        for number, linkage in enumerate(self.linkage.sections):
            own = np.flatnonzero(section == number)
            for part, posed in self._each_posed(linkage, own, values):
                groups = slice(len(linkage.groups))
                turn[part, groups], shift[part, groups], reached[part] = posed.turn, posed.shift, posed.reached
        owner, cores = self._cores_of_row.spread(rows)
        return self._least_told(cores, owner, self._placed(cores, turn, shift, reached[owner], at=owner))

    def _each_posed(self, section: SectionLinkage, chosen: Ints, values: Floats) -> Iterator[tuple[Ints, Poses]]:
        """The poses of the chosen positions, none of them otherwise for those beside it."""
        if section.loops:
            # A loop is followed to all that is asked for at once, whose rounding differs with what is asked for.
            places, which = np.unique(values[chosen], axis=0, return_inverse=True)
            for number, place in enumerate(places):
                yield chosen[which.ravel() == number], poses(section, self.linkage, place)
        elif len(chosen) == 1:
            # One position alone is posed number by number, whose rounding differs from that of arrays.
            twice = np.repeat(chosen, 2)
            yield twice, poses(section, self.linkage, values[twice])
        elif len(chosen):
            yield chosen, poses(section, self.linkage, values[chosen])

    def _least_told(self, cores: Ints, owner: Ints, placed: _Placed) -> tuple[PoseGap, ...]:
        """Of each owner's core pairs (N,), side by side, the one with the least gap, told."""
        gaps = gaps_at(self._batch, cores, self._spread(cores, placed))
        best = runs_of(owner).first_lowest(gaps)
        rows = [self.plan.rows[number] for number in self._core.row[cores[best]].tolist()]
        least = np.array([row.gap_of(gap) for row, gap in zip(rows, gaps[best].tolist(), strict=True)])
        return self._told(cores[best], least, placed.of(best))

    def row_over(self, row: Row, values: Floats) -> tuple[Floats, NDArray[np.bool_]]:
        """Gaps (n,) mm in the section of one row at n drive positions (n, D), and whether each was reached (n,).

        Overstated where concave shapes overlap.
        """
        number = self._numbers[_key(row)]
        posed = poses(self.linkage.section(row.pair.section), self.linkage, values)
        own = np.flatnonzero(self._core.row == number)
        count = len(posed.turn)
        pair = np.tile(own, count)
        spread = _spread(self._core, pair, np.repeat(np.arange(count), len(own)), posed.turn, posed.shift)
        gaps = gaps_at(self._batch, pair, spread).reshape(count, len(own))
        return gaps.min(axis=1), posed.reached

    def all_over(self, section: SectionName, values: Floats, *, cap: float) -> Floats:
        """Gaps (n, R) mm of all rows of a section at n drive positions (n, D), exact below `cap` mm; `cap` where at least that.

        inf asks for every gap, at the price of measuring every pair. Overstated where concave shapes overlap.
        """
        posed = poses(self.linkage.section(section), self.linkage, values)
        return self._row_gaps_of(section).rows(posed.turn, posed.shift, cap=cap)

    @cached_property
    def _everything(self) -> RowGaps:
        """All rows, whose sections' groups lie side by side."""
        return self._row_gaps(np.arange(len(self._core.row)), self._first_group[self._section_of_core])

    def _row_gaps_of(self, section: SectionName) -> RowGaps:
        if section not in self._of_section:
            self._of_section[section] = self._row_gaps(np.flatnonzero(self._section_of_core == self._sections.index(section)))
        return self._of_section[section]

    def _row_gaps(self, own: Ints, first_group: Ints | int = 0) -> RowGaps:
        """first_group: what the number of each core pair's groups begins at, where sections lie side by side."""
        core, margin = self._core, self.tolerances.arithmetic
        return RowGaps(self._batch, own, core.row[own], core.group_a[own] + first_group, core.group_b[own] + first_group, margin)

    def _values(self, values: Mapping[DriveName, float]) -> Floats:
        drives = [values.get(drive.name, drive.home) for drive in self.project.drives]
        return np.array([drives], dtype=float).reshape(1, len(drives))

    def _placed(
        self,
        cores: Ints,
        turn: Floats,
        shift: Complexes,
        reached: NDArray[np.bool_],
        first_group: Ints | int = 0,
        *,
        at: Ints | None = None,
    ) -> _Placed:
        """Core pairs (N,) at one pose (G,) of the groups, or each at its own (`at`, (N,)) of many poses (n, G)."""
        a, b = self._core.group_a[cores] + first_group, self._core.group_b[cores] + first_group
        if at is None:
            return _Placed(turn[a], shift[a], turn[b], shift[b], reached)
        return _Placed(turn[at, a], shift[at, a], turn[at, b], shift[at, b], reached)

    def _spread(self, cores: Ints, placed: _Placed) -> Spread:
        """The core pairs with B's shift taken off: the frame that `witness` tells."""
        return spread_at(placed.turn_a, placed.shift_a, placed.turn_b, placed.shift_b, in_frame_of_b=self._core.faces[cores])

    def _told(self, cores: Ints, gaps: Floats, placed: _Placed) -> tuple[PoseGap, ...]:
        """What is told of rows by the core pair (N,) that comes nearest in each, and its gap (N,)."""
        if not len(cores):
            return ()
        seen = witness(self._batch, cores, self._spread(cores, placed))
        points = zip(*map(_points, self._nearest_points(cores, seen, placed)), strict=True)
        depths: list[float] = gaps.tolist()
        moves: list[Point | None] = [None] * len(cores)
        for place, (depth, move) in self._ways(cores, gaps, seen, placed).items():
            depths[place], moves[place] = depth, move
        rows = self._core.row[cores]
        # column by column, in the order of the record's fields: row by row takes four times as long
        section, between, required, tolerance, passes, across = (column[rows].tolist() for column in self._known_of_rows)
        columns = (section, between, depths, points, moves, required, tolerance, placed.reached.tolist(), passes, across)
        return tuple(map(PoseGap._make, zip(*columns, strict=True)))

    @cached_property
    def _known_of_rows(self) -> tuple[NDArray[np.object_], ...]:
        """What is told of each row at any pose: section, bodies, required gap, tolerance, whether it passes over, and its depth gap."""
        rows = self.plan.rows
        columns = (
            [row.pair.section for row in rows],
            [row.pair.between for row in rows],
            [row.required for row in rows],
            [row.pair.tolerance for row in rows],
            [row.pair.passes_over is not None for row in rows],
            [row.across for row in rows],
        )
        return tuple(np.fromiter(column, dtype=object, count=len(rows)) for column in columns)

    def _ways(self, cores: Ints, gaps: Floats, seen: Witness, placed: _Placed) -> dict[int, tuple[float, Point | None]]:
        """The gap and the way out by the place of each overlap; concave shapes may overlap deeper than the nearest of their pieces."""
        found: dict[int, tuple[float, Point | None]] = {}
        owner: list[int] = []
        sides: list[Sides] = []
        for place in np.flatnonzero(gaps < 0).tolist():
            row, gap = self.plan.rows[self._core.row[cores[place]]], float(gaps[place])
            if row.across is not None:
                continue
            room = row.shape_pairs[self._core.shape[cores[place]]].relation == "room"
            found[place] = gap, None if room else _point(complex(seen.normal[place]) * gap)
            if not row.exact:
                own = self._solids(row, cores[place], placed, place)
                owner.extend([place] * len(own))
                sides.extend(own)
        deepest: dict[int, WayOut] = {}
        for place, way in zip(owner, ways_out(sides, tolerances=self.tolerances), strict=True):
            if place not in deepest or way.depth > deepest[place].depth:
                deepest[place] = way
        for place, way in deepest.items():
            if -way.depth <= found[place][0]:
                found[place] = -way.depth, _point(way.move)
        return found

    def _solids(self, row: Row, core: int, placed: _Placed, place: int) -> list[Sides]:
        """The pieces of a row's solid shapes, posed as at `place`, one of its core pairs."""
        bodies = [(placed.turn_a[place], placed.shift_a[place]), (placed.turn_b[place], placed.shift_b[place])]
        if self._core.swapped[core]:
            bodies.reverse()
        (one, shift), (other, move) = ((np.exp(1j * turn), shift) for turn, shift in bodies)
        return [
            (
                [Piece(one * piece.points + shift, piece.radius) for piece in shapes.pieces[0]],
                [Piece(other * piece.points + move, piece.radius) for piece in shapes.pieces[1]],
            )
            for shapes in row.shape_pairs
            if shapes.relation == "solid"
        ]

    def _nearest_points(self, cores: Ints, seen: Witness, placed: _Placed) -> tuple[Complexes, Complexes]:
        """The nearest points of the two outlines (n,), of the first and the second body of each pair, section frame."""
        core, shift = self._core, placed.shift_b
        turned = np.ones(len(cores), dtype=complex)
        faces = np.flatnonzero(core.faces[cores])
        turned[faces] = np.exp(1j * placed.turn_b[faces])
        inner, outer = core.radius_a[cores], core.radius_b[cores]
        on_a = turned * (seen.on_a - inner * seen.normal) + shift
        # A bore's radius was lessened by the inner body's, so its wall stands that much farther out.
        wall = np.where(self._batch.kind[cores] == Kind.BORE, -inner, outer)
        on_b = turned * (seen.on_b + wall * seen.normal) + shift
        swapped = core.swapped[cores]
        return np.where(swapped, on_b, on_a), np.where(swapped, on_a, on_b)


def _point(place: complex) -> Point:
    return (place.real, place.imag)


def _points(places: Complexes) -> list[Point]:
    return list(zip(places.real.tolist(), places.imag.tolist(), strict=True))


def _key(row: Row) -> tuple[SectionName, Pair, float | None, bool]:
    return (row.pair.section, row.pair.between, row.across, row.running)


def _layout(plan: Plan) -> _Core:
    told = []
    for number, row in enumerate(plan.rows):
        for place, shapes in enumerate(row.shape_pairs):
            groups, radii = row.pair.groups, shapes.radii
            if shapes.room_first:
                groups, radii = groups[::-1], radii[::-1]
            told.extend([(number, place, *groups, core.kind == Kind.FACE, *radii, shapes.room_first) for core in shapes.cores])
    columns = [np.array(column) for column in zip(*told, strict=True)] if told else [np.zeros(0)] * 8
    row_of, shape_of, first, second = (column.astype(np.int64) for column in columns[:4])
    return _Core(
        row=row_of,
        shape=shape_of,
        group_a=first,
        group_b=second,
        faces=columns[4].astype(bool),
        radius_a=columns[5].astype(float),
        radius_b=columns[6].astype(float),
        swapped=columns[7].astype(bool),
    )


def _spread(core: _Core, pair: Ints, at: Ints, turn: Floats, shift: Complexes) -> Spread:
    """Core pairs (N,) at the rows (N,) of the groups' poses, with B's shift taken off: the frame that `witness` tells."""
    first, second = core.group_a[pair], core.group_b[pair]
    return spread_at(
        turn[at, first],
        shift[at, first],
        turn[at, second],
        shift[at, second],
        in_frame_of_b=core.faces[pair],
    )
