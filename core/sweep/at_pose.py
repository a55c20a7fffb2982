"""The gaps of all checked pairs at given drive values: number, nearest points, and the way out of an overlap."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Kind
from core.clearance.motion_in_box import Floats, Ints, Spread
from core.clearance.overlap import WayOut, way_out
from core.clearance.pairs import ShapePair
from core.clearance.posed import gaps_at, posed_batch, spread_at, witness
from core.clearance.rounded import Piece
from core.model.names import DriveName, SectionName
from core.model.project import Project
from core.model.shapes import Point
from core.motion.linkage import Linkage, linkage_of
from core.motion.pose import Poses, poses
from core.sweep.plan import Plan, Row, plan_of
from core.sweep.result import Pair
from core.tolerances import DEFAULT_TOLERANCES, Tolerances


@dataclass(frozen=True, slots=True)
class PoseGap:
    """One pair at a pose. points: on the two outlines where they are nearest, section frame, mm.

    gap: nominal, mm; of a pair that passes over, over the depth too. way_out: the shortest translation of the second
    body that separates an overlap, mm; None where there is none or inside a room. reached: False where a loop cannot
    be followed to this pose; the gap is then that of the nearest pose that was.
    """

    section: SectionName
    between: Pair
    gap: float
    points: tuple[Point, Point]
    way_out: Point | None
    required_gap: float
    tolerance: float
    reached: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class _Core:
    """What is known of each core pair: its row, shape pair, and the groups of its A and B."""

    row: Ints
    shape: Ints
    group_a: Ints
    group_b: Ints
    faces: NDArray[np.bool_]


class PoseGaps:
    """Prepared once a project, asked at many poses. Exempt pairs are left out, pairs that pass over are in."""

    def __init__(self, project: Project, *, linkage: Linkage | None = None, tolerances: Tolerances = DEFAULT_TOLERANCES) -> None:
        self.project = project
        self.linkage = linkage or linkage_of(project)
        self.tolerances = tolerances
        self.plan = plan_of(project, self.linkage, tolerances=tolerances, passing=True)
        cores = [core for row in self.plan.rows for shapes in row.shape_pairs for core in shapes.cores]
        self._batch = posed_batch(cores)
        self._core = _layout(self.plan)
        self._sections = [section.name for section in project.sections]
        self._numbers = {_key(row): number for number, row in enumerate(self.plan.rows)}
        self._section_of_row = np.array([self._sections.index(row.pair.section) for row in self.plan.rows], dtype=np.int64)

    def at(self, values: Mapping[DriveName, float]) -> tuple[PoseGap, ...]:
        """One answer a pair, in the file's order. Drives that are not named stand at home."""
        posed = self._posed(values)
        everything = np.arange(len(self._core.row))
        spread = self._spread(everything, posed)
        gaps = gaps_at(self._batch, everything, spread)
        best: dict[tuple[SectionName, Pair], tuple[float, int]] = {}
        for row, first, end in self._runs():
            core = first + int(np.argmin(gaps[first:end]))
            gap = row.gap_of(float(gaps[core]))
            key = (row.pair.section, row.pair.between)
            if key not in best or gap < best[key][0]:
                best[key] = (gap, core)
        return tuple(self._told(core, gap, posed) for gap, core in best.values())

    def row_at(self, row: Row, values: Mapping[DriveName, float]) -> PoseGap:
        """The gap of one row of a plan of this project alone, exact in overlap too."""
        number = self._numbers[_key(row)]
        posed = self._posed(values)
        own = np.flatnonzero(self._core.row == number)
        gaps = gaps_at(self._batch, own, self._spread(own, posed))
        core = int(own[np.argmin(gaps)])
        return self._told(core, self.plan.rows[number].gap_of(float(gaps.min())), posed)

    def row_over(self, row: Row, values: Floats) -> tuple[Floats, NDArray[np.bool_]]:
        """Gaps (n,) mm in the section of one row at n drive positions (n, D), and whether each was reached (n,).

        Overstated where concave shapes overlap.
        """
        number = self._numbers[_key(row)]
        posed = poses(self.linkage.section(row.pair.section), self.linkage, values)
        own = np.flatnonzero(self._core.row == number)
        count = len(posed.turn)
        pair = np.tile(own, count)
        spread = _spread(self._core, pair, np.repeat(np.arange(count), len(own)), posed)
        gaps = gaps_at(self._batch, pair, spread).reshape(count, len(own))
        return gaps.min(axis=1), posed.reached

    def _posed(self, values: Mapping[DriveName, float]) -> list[Poses]:
        drives = [values.get(drive.name, drive.home) for drive in self.project.drives]
        at = np.array([drives], dtype=float).reshape(1, len(drives))
        return [poses(section, self.linkage, at) for section in self.linkage.sections]

    def _runs(self) -> list[tuple[Row, int, int]]:
        ends = np.cumsum([sum(len(shapes.cores) for shapes in row.shape_pairs) for row in self.plan.rows]).tolist()
        return list(zip(self.plan.rows, [0, *ends[:-1]], ends, strict=True)) if ends else []

    def _spread(self, pair: Ints, posed: list[Poses]) -> Spread:
        """The core pairs at one pose, each in its own section."""
        section = self._section_of_row[self._core.row[pair]]
        width = max(section.turn.shape[1] for section in posed)
        turn, shift = np.zeros((len(posed), width)), np.zeros((len(posed), width), dtype=complex)
        for number, own in enumerate(posed):
            turn[number, : own.turn.shape[1]], shift[number, : own.shift.shape[1]] = own.turn[0], own.shift[0]
        one = Poses(turn, shift, np.ones(len(posed), dtype=bool))
        return _spread(self._core, pair, section, one)

    def _told(self, core: int, gap: float, posed: list[Poses]) -> PoseGap:
        number = int(self._core.row[core])
        row = self.plan.rows[number]
        shapes = row.shape_pairs[int(self._core.shape[core])]
        own = posed[int(self._section_of_row[number])]
        move: complex | None = None
        if gap < 0 and row.across is None and not shapes.exact:
            shapes, found = self._deepest(row, own)
            gap, move = -found.depth, found.move
        return PoseGap(
            section=row.pair.section,
            between=row.pair.between,
            gap=gap,
            points=self._points(core, shapes, posed),
            way_out=self._way(core, shapes, gap, posed) if move is None else (move.real, move.imag),
            required_gap=row.required,
            tolerance=row.pair.tolerance,
            reached=bool(own.reached[0]),
        )

    def _deepest(self, row: Row, posed: Poses) -> tuple[ShapePair, WayOut]:
        """The shape pair of a row that overlaps deepest, by the exact overlap of concave shapes."""
        found = [(shapes, self._overlap(row, shapes, posed)) for shapes in row.shape_pairs if shapes.relation == "solid"]
        return max(found, key=lambda item: item[1].depth)

    def _overlap(self, row: Row, shapes: ShapePair, posed: Poses) -> WayOut:
        sides = []
        for group, pieces in zip(row.pair.groups, shapes.pieces, strict=True):
            spin, shift = np.exp(1j * posed.turn[0, group]), posed.shift[0, group]
            sides.append([Piece(spin * piece.points + shift, piece.radius) for piece in pieces])
        return way_out(*sides, tolerances=self.tolerances)

    def _way(self, core: int, shapes: ShapePair, gap: float, posed: list[Poses]) -> Point | None:
        if gap >= 0 or shapes.relation == "room":
            return None
        one = np.array([core])
        move = complex(witness(self._batch, one, self._spread(one, posed)).normal[0]) * gap
        return (move.real, move.imag)

    def _points(self, core: int, shapes: ShapePair, posed: list[Poses]) -> tuple[Point, Point]:
        """The nearest points of the two outlines, of the first and the second body of the pair."""
        one = np.array([core])
        seen = witness(self._batch, one, self._spread(one, posed))
        on_a, on_b, normal = complex(seen.on_a[0]), complex(seen.on_b[0]), complex(seen.normal[0])
        own = posed[int(self._section_of_row[self._core.row[core]])]
        group = int(self._core.group_b[core])
        turned = complex(np.exp(1j * own.turn[0, group])) if self._core.faces[core] else 1.0
        shift = complex(own.shift[0, group])
        inner, outer = shapes.radii[::-1] if shapes.room_first else shapes.radii
        ends = [turned * (on_a - inner * normal) + shift, turned * (on_b + outer * normal) + shift]
        if shapes.relation == "room" and self._batch.kind[core] == Kind.BORE:
            # The room radius was lessened by the inner body's, so its wall stands that much farther out.
            ends[1] -= inner * normal
        first, second = ends[::-1] if shapes.room_first else ends
        return (first.real, first.imag), (second.real, second.imag)


def _key(row: Row) -> tuple[SectionName, Pair, float | None, bool]:
    return (row.pair.section, row.pair.between, row.across, row.running)


def _layout(plan: Plan) -> _Core:
    rows, places, group_a, group_b, faces = [], [], [], [], []
    for number, row in enumerate(plan.rows):
        for place, shapes in enumerate(row.shape_pairs):
            groups = row.pair.groups[::-1] if shapes.room_first else row.pair.groups
            for core in shapes.cores:
                rows.append(number)
                places.append(place)
                group_a.append(groups[0])
                group_b.append(groups[1])
                faces.append(core.kind == Kind.FACE)
    row_of, shape_of, first, second = (np.array(values, dtype=np.int64) for values in (rows, places, group_a, group_b))
    return _Core(row_of, shape_of, first, second, np.array(faces, dtype=bool))


def _spread(core: _Core, pair: Ints, at: Ints, posed: Poses) -> Spread:
    """Core pairs (N,) at the positions (N,) of `posed`, with B's shift taken off: the frame that `witness` tells."""
    first, second = core.group_a[pair], core.group_b[pair]
    return spread_at(
        posed.turn[at, first],
        posed.shift[at, first],
        posed.turn[at, second],
        posed.shift[at, second],
        in_frame_of_b=core.faces[pair],
    )
