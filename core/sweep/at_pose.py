"""The gaps of all checked pairs at given drive values: number, nearest points, and the way out of an overlap."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Kind
from core.clearance.motion_in_box import Complexes, Floats, Ints, Spread
from core.clearance.overlap import WayOut, way_out
from core.clearance.pairs import ShapePair
from core.clearance.posed import Witness, gaps_at, posed_batch, spread_at, witness
from core.clearance.rounded import Piece
from core.clearance.row_gaps import RowGaps
from core.model.names import DriveName, SectionName
from core.model.project import Project
from core.model.shapes import Point
from core.motion.linkage import Linkage, linkage_of
from core.motion.pose import Poses, poses
from core.sweep.plan import Plan, Row, plan_of
from core.sweep.result import Pair
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

NEAR = 5.0
"""mm beyond all that is asked; the tightest pair is looked for nearer than that first."""

Placed = tuple[float, float, float]
"""turn in degrees counter-clockwise, shift in x and y, mm: takes drawn to posed."""

MOST_MEASURED = 4096
"""Gaps of single rows that are remembered: a sweep asks for the same pose more than once."""


class PoseGap(NamedTuple):
    """One pair at a pose. points: on the two outlines where they are nearest, section frame, mm.

    gap: nominal, mm; of a pair that passes over, over the depth too. way_out: the shortest translation of the second
    body that separates an overlap, mm; None where there is none or inside a room. reached: False where a loop cannot
    be followed to this pose; the gap is then that of the nearest pose that was. passes_over: the pair is not swept,
    since it passes over as far as is asked in every position.
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


@dataclass(frozen=True, slots=True, eq=False)
class _Judged:
    """What the R rows of a section are judged by, in their order.

    needed: required gap and tolerance together, mm. across: the depth gap of those that pass over, mm, nan in the section.
    pair: which of them are of one pair. exact: whether the gap is the overlap depth too. swept: whether the pair is.
    """

    needed: Floats
    across: Floats
    pair: Ints
    exact: NDArray[np.bool_]
    swept: NDArray[np.bool_]


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
        self._measured: dict[tuple[float, ...], PoseGap] = {}
        self._numbers = {_key(row): number for number, row in enumerate(self.plan.rows)}
        self._of_section: dict[SectionName, RowGaps] = {}
        self._judged: dict[SectionName, _Judged] = {}
        sections = [self._sections.index(row.pair.section) for row in self.plan.rows]
        self._section_of_row = np.array(sections, dtype=np.int64)
        told = {(row.pair.section, row.pair.between): number for number, row in enumerate(self.plan.rows)}
        self._rows_of_pair: dict[tuple[SectionName, Pair], list[int]] = {}
        for number, row in enumerate(self.plan.rows):
            self._rows_of_pair.setdefault((row.pair.section, row.pair.between), []).append(number)
        self._pair_of_row = [told[row.pair.section, row.pair.between] for row in self.plan.rows]
        self._passes_over = [row.pair.passes_over is not None for row in self.plan.rows]
        own = np.arange(len(self._core.row))
        first_group = np.cumsum([0, *(len(section.groups) for section in self.linkage.sections)])
        self._everything = self._row_gaps(own, first_group[self._section_of_row[self._core.row]])

    def at(self, values: Mapping[DriveName, float]) -> tuple[PoseGap, ...]:
        """One answer a pair, in the file's order. Drives that are not named stand at home."""
        posed = self._posed(values)
        turn = np.concatenate([section.turn for section in posed], axis=1)
        shift = np.concatenate([section.shift for section in posed], axis=1)
        seen = self._everything.nearest(turn, shift, cap=np.inf)
        gaps, cores = seen.gap[0], seen.pair[0].tolist()
        best: dict[int, tuple[float, int]] = {}
        for number, block in enumerate(_first_lowest(gaps, self._everything.row_of_block)):
            gap, pair = self.plan.rows[number].gap_of(float(gaps[block])), self._pair_of_row[number]
            if pair not in best or gap < best[pair][0]:
                best[pair] = (gap, cores[block])
        return self._told([core for _, core in best.values()], [gap for gap, _ in best.values()], posed)

    def tightest(self, section: SectionName, values: Mapping[DriveName, float]) -> PoseGap | None:
        """The swept pair of a section that keeps least of what is asked of it; None where nothing is swept.

        The same answer as the least of `at`, without the gaps of pairs that are far apart.
        """
        if section not in self._sections or not len(self._rows_of(section).pair):
            return None
        own = poses(self.linkage.section(section), self.linkage, self._values(values))
        judged = self._judged_of(section)
        for cap in (NEAR + float(judged.needed.max()), np.inf):
            found = self._tightest(section, own, judged, cap)
            if found is not None:
                return found
        return None

    def _tightest(self, section: SectionName, own: Poses, judged: _Judged, cap: float) -> PoseGap | None:
        """Of the rows nearer than `cap` mm; None where one that is farther may keep less of what is asked."""
        rows = self._rows_of(section)
        seen = rows.nearest(own.turn, own.shift, cap=cap)
        block = np.array(_first_lowest(seen.gap[0], rows.row_of_block))
        low, core = seen.gap[0][block], seen.pair[0][block]
        over = np.sqrt(np.maximum(low, 0.0) ** 2 + judged.across**2)
        gap = np.where(np.isnan(judged.across), low, over)
        lead = np.array(_first_lowest(gap, judged.pair))
        left = gap[lead] - judged.needed[lead]
        known = lead[judged.swept[lead] & (core[lead] >= 0)]
        if not len(known) or (gap[known] - judged.needed[known]).min() > cap - judged.needed.max():
            return None
        # Concave shapes may overlap deeper than the nearest of their pieces.
        first = lead[np.argmin(np.where(np.isin(lead, known), left, np.inf))]
        asked = known[(known == first) | ((gap[known] < 0.0) & ~judged.exact[known])]
        told = self._told(core[asked].tolist(), gap[asked].tolist(), [own] * len(self.linkage.sections))
        return min(told, key=lambda one: one.gap - one.tolerance - one.required_gap)

    def _judged_of(self, section: SectionName) -> _Judged:
        if section not in self._judged:
            numbers = np.flatnonzero(self._section_of_row == self._sections.index(section)).tolist()
            rows = [self.plan.rows[number] for number in numbers]
            self._judged[section] = _Judged(
                needed=np.array([row.required + row.pair.tolerance for row in rows]),
                across=np.array([np.nan if row.across is None else row.across for row in rows]),
                pair=np.array([self._pair_of_row[number] for number in numbers]),
                exact=np.array([row.exact for row in rows]),
                swept=np.array([not self._passes_over[number] for number in numbers]),
            )
        return self._judged[section]

    def pair_at(self, section: SectionName, pair: Pair, values: Mapping[DriveName, float]) -> PoseGap | None:
        """The gap of one pair, exact in overlap too; None where it is not laid out. Of shapes at several depths, the tightest."""
        numbers = self._rows_of_pair.get((section, pair), ())
        return min((self.row_at(self.plan.rows[number], values) for number in numbers), key=lambda gap: gap.gap, default=None)

    def row_at(self, row: Row, values: Mapping[DriveName, float]) -> PoseGap:
        """The gap of one row of a plan of this project alone, exact in overlap too."""
        number = self._numbers[_key(row)]
        asked = (number, *(values.get(drive.name, drive.home) for drive in self.project.drives))
        if asked not in self._measured:
            if len(self._measured) >= MOST_MEASURED:
                self._measured.clear()
            self._measured[asked] = self._row_at(number, self._posed(values))
        return self._measured[asked]

    def row_when(self, row: Row, placed: tuple[Placed, Placed]) -> PoseGap:
        """The gap of one row where its two bodies, in the order of its pair, are placed so, whatever put them there."""
        posed = []
        for name, section in zip(self._sections, self.linkage.sections, strict=True):
            turn, shift = np.zeros((1, len(section.groups))), np.zeros((1, len(section.groups)), dtype=complex)
            if name == row.pair.section:
                for group, (degrees, x, y) in zip(row.pair.groups, placed, strict=True):
                    turn[0, group], shift[0, group] = np.radians(degrees), complex(x, y)
            posed.append(Poses(turn=turn, shift=shift, reached=np.ones(1, dtype=bool), misfit=np.zeros(1)))
        return self._row_at(self._numbers[_key(row)], posed)

    def _row_at(self, number: int, posed: list[Poses]) -> PoseGap:
        own = np.flatnonzero(self._core.row == number)
        gaps = gaps_at(self._batch, own, self._spread(own, posed))
        core = int(own[np.argmin(gaps)])
        return self._told([core], [self.plan.rows[number].gap_of(float(gaps.min()))], posed)[0]

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
        return self._rows_of(section).rows(posed.turn, posed.shift, cap=cap)

    def _rows_of(self, section: SectionName) -> RowGaps:
        if section not in self._of_section:
            own = np.flatnonzero(self._section_of_row[self._core.row] == self._sections.index(section))
            self._of_section[section] = self._row_gaps(own)
        return self._of_section[section]

    def _row_gaps(self, own: Ints, first_group: Ints | int = 0) -> RowGaps:
        """first_group: what the number of each core pair's groups begins at, where sections lie side by side."""
        core, margin = self._core, self.tolerances.arithmetic
        return RowGaps(self._batch, own, core.row[own], core.group_a[own] + first_group, core.group_b[own] + first_group, margin)

    def _values(self, values: Mapping[DriveName, float]) -> Floats:
        drives = [values.get(drive.name, drive.home) for drive in self.project.drives]
        return np.array([drives], dtype=float).reshape(1, len(drives))

    def _posed(self, values: Mapping[DriveName, float]) -> list[Poses]:
        at = self._values(values)
        return [poses(section, self.linkage, at) for section in self.linkage.sections]

    def _spread(self, pair: Ints, posed: list[Poses]) -> Spread:
        """The core pairs at one pose, each in its own section."""
        section = self._section_of_row[self._core.row[pair]]
        width = max(section.turn.shape[1] for section in posed)
        turn, shift = np.zeros((len(posed), width)), np.zeros((len(posed), width), dtype=complex)
        for number, own in enumerate(posed):
            turn[number, : own.turn.shape[1]], shift[number, : own.shift.shape[1]] = own.turn[0], own.shift[0]
        return _spread(self._core, pair, section, turn, shift)

    def _told(self, cores: Sequence[int], gaps: Sequence[float], posed: list[Poses]) -> tuple[PoseGap, ...]:
        """What is told of rows by the core pair that comes nearest in each."""
        if not cores:
            return ()
        chosen = np.array(cores, dtype=np.int64)
        seen = witness(self._batch, chosen, self._spread(chosen, posed))
        first, second = self._nearest_points(chosen, seen, posed)
        rows = self._core.row[chosen].tolist()
        reached = [bool(section.reached[0]) for section in posed]
        answers = []
        for place, (number, gap, ends) in enumerate(zip(rows, gaps, zip(_points(first), _points(second), strict=True), strict=True)):
            row, depth, move = self.plan.rows[number], gap, None
            if gap < 0:
                own = posed[self._section_of_row[number]]
                depth, move = self._way(row, int(self._core.shape[chosen[place]]), gap, complex(seen.normal[place]), own)
            answers.append(
                PoseGap(
                    section=row.pair.section,
                    between=row.pair.between,
                    gap=depth,
                    points=ends,
                    way_out=None if move is None else (move.real, move.imag),
                    required_gap=row.required,
                    tolerance=row.pair.tolerance,
                    reached=reached[self._section_of_row[number]],
                    passes_over=self._passes_over[number],
                )
            )
        return tuple(answers)

    def _way(self, row: Row, shape: int, gap: float, normal: complex, posed: Poses) -> tuple[float, complex | None]:
        """The gap and the way out of an overlap (`gap` below 0); concave shapes may overlap deeper than the nearest of their pieces."""
        if row.across is not None:
            return gap, None
        if not row.exact:
            found = self._deepest(row, posed)
            if -found.depth <= gap:
                return -found.depth, found.move
        return gap, None if row.shape_pairs[shape].relation == "room" else normal * gap

    def _deepest(self, row: Row, posed: Poses) -> WayOut:
        """The deepest overlap of a row's solid shapes, exact for concave ones."""
        found = [self._overlap(row, shapes, posed) for shapes in row.shape_pairs if shapes.relation == "solid"]
        return max(found, key=lambda way: way.depth)

    def _overlap(self, row: Row, shapes: ShapePair, posed: Poses) -> WayOut:
        sides = []
        for group, pieces in zip(row.pair.groups, shapes.pieces, strict=True):
            spin, shift = np.exp(1j * posed.turn[0, group]), posed.shift[0, group]
            sides.append([Piece(spin * piece.points + shift, piece.radius) for piece in pieces])
        return way_out(*sides, tolerances=self.tolerances)

    def _nearest_points(self, cores: Ints, seen: Witness, posed: list[Poses]) -> tuple[Complexes, Complexes]:
        """The nearest points of the two outlines (n,), of the first and the second body of each pair, section frame."""
        section = self._section_of_row[self._core.row[cores]]
        bodies = list(zip(section.tolist(), self._core.group_b[cores].tolist(), strict=True))
        shift = np.array([posed[number].shift[0, group] for number, group in bodies])
        turn = np.array([posed[number].turn[0, group] for number, group in bodies])
        turned = np.where(self._core.faces[cores], np.exp(1j * turn), 1.0)
        inner, outer = self._core.radius_a[cores], self._core.radius_b[cores]
        on_a = turned * (seen.on_a - inner * seen.normal) + shift
        # A bore's radius was lessened by the inner body's, so its wall stands that much farther out.
        wall = np.where(self._batch.kind[cores] == Kind.BORE, -inner, outer)
        on_b = turned * (seen.on_b + wall * seen.normal) + shift
        swapped = self._core.swapped[cores]
        return np.where(swapped, on_b, on_a), np.where(swapped, on_a, on_b)


def _points(places: Complexes) -> list[Point]:
    return list(zip(places.real.tolist(), places.imag.tolist(), strict=True))


def _first_lowest(gaps: Floats, rows: Ints) -> list[int]:
    """For each row the first of its core pairs with the lowest gap; rows lie side by side."""
    order = np.lexsort((np.arange(len(rows)), gaps, rows))
    first: list[int] = order[np.unique(rows[order], return_index=True)[1]].tolist()
    return first


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
