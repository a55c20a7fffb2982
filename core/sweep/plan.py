"""What a sweep has to look at, in numbers: rows (a pair judged against one need) and the core pairs that make each."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import CorePair, Kind
from core.clearance.pairs import BodyPair, SeenPairs, ShapePair
from core.clearance.reach import PairMotion, between
from core.model.names import SectionName
from core.model.project import Project
from core.motion.linkage import Linkage, SectionLinkage, Step
from core.tolerances import Tolerances

Floats = NDArray[np.float64]
Bars = Literal["", "free", "loop"]


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One pair of bodies, judged against one need.

    required: mm, what the row is judged against. need: the least nominal gap in the section that counts as met.
    play: mm, how far the joints on its path that lie on no loop between them may stand off together; `need` counts it.
    loose: joints of a loop between them have play; bounds over that loop count it.
    across: mm between the depth bands where the row passes over and is judged by the required depth gap, else None.
    drives: indices of those on the pair's path. bars: why the row cannot be swept by bounds ("" : it can): an undriven
    freedom ("free") or a closed loop ("loop") lies on the path.
    """

    pair: BodyPair
    required: float
    need: float
    across: float | None
    running: bool
    drives: tuple[int, ...]
    bars: Bars
    shape_pairs: tuple[ShapePair, ...]
    play: float = 0.0
    loose: bool = False

    @property
    def exact(self) -> bool:
        """Whether the signed gaps of its cores are its overlap depth too."""
        return all(pair.exact for pair in self.shape_pairs)

    @property
    def chord(self) -> float:
        """How far in mm the outlines swept lie outside the true ones at most; 0: exact."""
        return max((pair.chord for pair in self.shape_pairs), default=0.0)

    def gap_of(self, in_section: float) -> float:
        """The row's gap from the gap in the section: the same, or over the depth where the row passes over."""
        return in_section if self.across is None else sqrt(max(in_section, 0.0) ** 2 + self.across**2)


@dataclass(frozen=True, slots=True, eq=False)
class Tasks:
    """T core pairs with the row and motion of each. shape: which of the row's shape pairs each belongs to."""

    cores: tuple[CorePair, ...]
    row: NDArray[np.int64]
    shape: NDArray[np.int64]
    owner: NDArray[np.int64]
    motions: tuple[PairMotion, ...]


class KnownMotions:
    """How pairs of groups of one mechanism move relative to each other, each found once however often it is asked."""

    def __init__(self, linkage: Linkage) -> None:
        self._linkage = linkage
        self._all: dict[tuple[SectionName, tuple[int, int], bool], PairMotion] = {}
        self._alone: dict[tuple[PairMotion, int], PairMotion] = {}

    def of(self, section: SectionName, groups: tuple[int, int], *, seen_from_second: bool) -> PairMotion:
        """The first group's motion relative to the second over all drives between them."""
        key = (section, groups, seen_from_second)
        if key not in self._all:
            links = self._linkage.section(section)
            motion = between(links.chain(groups[0]), links.chain(groups[1]), drawn=self._linkage.drawn.tolist())
            self._all[key] = motion.in_frame_of_b() if seen_from_second else motion
        return self._all[key]

    def alone(self, motion: PairMotion, drive: int) -> PairMotion:
        """A motion over one of its drives, the others at home."""
        if (motion, drive) not in self._alone:
            home = self._linkage.home[list(motion.drives)]
            self._alone[motion, drive] = motion.along(motion.drives.index(drive), home)
        return self._alone[motion, drive]


@dataclass(frozen=True, eq=False)
class Plan:
    """All rows of a project in the file's order, and the tasks of those that bounds can sweep, which are made when first asked for."""

    project: Project
    linkage: Linkage
    pairs: tuple[BodyPair, ...]
    rows: tuple[Row, ...]
    low: Floats
    high: Floats
    home: Floats
    motions: KnownMotions

    @cached_property
    def tasks(self) -> Tasks:
        """The core pairs of all rows that bounds can sweep, with the motion that each needs."""
        return _tasks_of(self.rows, self.motions)

    def of(self, rows: Sequence[int]) -> "Plan":
        """The plan with the chosen rows alone."""
        chosen = tuple(self.rows[number] for number in rows)
        return replace(self, rows=chosen)


def needing_sweep(plan: Plan) -> Plan:
    """The plan without the rows that pass over far enough, which need no sweep."""
    return plan.of([number for number, row in enumerate(plan.rows) if row.across is None or row.across < row.required])


def plan_of(project: Project, linkage: Linkage, *, tolerances: Tolerances, passing: bool = False) -> Plan:
    """Lay out the sweep of a valid project. With `passing`, pairs that pass over far enough get rows too."""
    pairs = tuple(SeenPairs(tolerances).of(project, linkage).moving)
    rows = tuple(row for pair in pairs for row in rows_of(pair, linkage, tolerances, passing=passing))
    return plan_with(project, linkage, pairs, rows, KnownMotions(linkage))


def plan_with(project: Project, linkage: Linkage, pairs: tuple[BodyPair, ...], rows: tuple[Row, ...], motions: KnownMotions) -> Plan:
    """The plan of rows that are laid out already."""
    drives = project.drives
    return Plan(
        project=project,
        linkage=linkage,
        pairs=pairs,
        rows=rows,
        low=np.array([drive.start for drive in drives], dtype=float),
        high=np.array([drive.end for drive in drives], dtype=float),
        home=np.array([drive.home for drive in drives], dtype=float),
        motions=motions,
    )


def rows_of(pair: BodyPair, linkage: Linkage, tolerances: Tolerances, *, passing: bool = False) -> list[Row]:
    """The rows of one pair, none where it is exempt; what passes over far enough only with `passing`."""
    if pair.asked.unchecked is not None or (not passing and pair.passes_over is not None):
        return []
    return _rows(pair, linkage.section(pair.section), tolerances, passing=passing)


def _rows(pair: BodyPair, linkage: SectionLinkage, tolerances: Tolerances, *, passing: bool) -> list[Row]:
    classes: dict[tuple[float, bool], list[ShapePair]] = {}
    for shapes in pair.shape_pairs:
        if shapes.across < 0:
            classes.setdefault((-1.0, shapes.running), []).append(shapes)
        elif passing or shapes.across < pair.asked.depth_gap:
            classes.setdefault((shapes.across, False), []).append(shapes)
    steps = own_steps(linkage, pair.groups)
    loops = [loop for loop in linkage.loops if any(step in loop.passive for step in steps)]
    driven = {index for step in steps for index, _ in step.ratios}
    drives = tuple(sorted(driven.union(*(loop.drives for loop in loops))))
    bars: Bars = "loop" if any(step.passive for step in steps) else "free" if any(step.free for step in steps) else ""
    loose = any(play > 0 for loop in loops for play in loop.plays)
    looped = {joint for loop in loops for joint in loop.joints}
    off = sum(step.play for step in steps if step.joint not in looped) / 2
    found = []
    for (across, running), shape_pairs in sorted(classes.items(), key=lambda item: item[0]):
        required = 0.0 if running else pair.asked.gap if across < 0 else pair.asked.depth_gap
        found.append(
            Row(
                pair=pair,
                required=required,
                # A running fit is the play of its own pin: no more of it is asked.
                need=-inf
                if running and loose
                else _need(required, across=across, running=running, taken=pair.tolerance + off * (not running), touch=tolerances.touch),
                across=across if across >= 0 else None,
                running=running,
                drives=drives,
                bars=bars,
                shape_pairs=tuple(shape_pairs),
                play=0.0 if running else off,
                loose=loose,
            )
        )
    return found


def _need(required: float, *, across: float, running: bool, taken: float, touch: float) -> float:
    """The least nominal gap in the section that counts as met; -inf where the bands alone keep the bodies far enough apart.

    taken: mm, what outline tolerance and play take off.
    """
    if running:
        return taken + touch
    least = required + taken - touch
    if across < 0:
        return least
    return sqrt(least**2 - across**2) if least > across else -inf


def own_steps(linkage: SectionLinkage, groups: tuple[int, int]) -> tuple[Step, ...]:
    """The joints between two groups: their two chains without what carries both alike."""
    first, second = (linkage.chain(group) for group in groups)
    common = 0
    while common < min(len(first), len(second)) and first[common] == second[common]:
        common += 1
    return (*first[common:], *second[common:])


def _tasks_of(rows: Sequence[Row], known: KnownMotions) -> Tasks:
    cores: list[CorePair] = []
    row_of: list[int] = []
    shape_of: list[int] = []
    owner: list[int] = []
    motions: dict[PairMotion, int] = {}
    for number, row in enumerate(rows):
        if row.bars:
            continue
        for place, shapes in enumerate(row.shape_pairs):
            groups = row.pair.groups[::-1] if shapes.room_first else row.pair.groups
            faces = shapes.cores[0].kind == Kind.FACE
            motion = motions.setdefault(known.of(row.pair.section, groups, seen_from_second=faces), len(motions))
            cores.extend(shapes.cores)
            row_of.extend([number] * len(shapes.cores))
            shape_of.extend([place] * len(shapes.cores))
            owner.extend([motion] * len(shapes.cores))
    return Tasks(tuple(cores), np.array(row_of, dtype=int), np.array(shape_of, dtype=int), np.array(owner, dtype=int), tuple(motions))
