"""What is kept from one answer to the next, so that an edit costs no more than the pairs it touches.

Answers of rows are kept by their task (`core.sweep.task`), under whatever names: renaming keeps everything, and what is kept
is named anew. What is laid out before a sweep (the mechanism, the pairs of bodies, their rows) is kept by content too, for the
last two projects asked about. Nothing is ever compared by time, order or identity alone.
"""

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from core.clearance.pairs import BodyPair, SeenPairs
from core.model.finding import Finding
from core.model.names import DriveName, SectionName
from core.model.project import Project
from core.motion.findings import motion_findings
from core.motion.linkage import Linkage, linkage_of
from core.sweep.all_rows import RowChecks
from core.sweep.at_pose import PoseGaps
from core.sweep.looped import LoopSights
from core.sweep.plan import KnownMotions, Row, plan_with, rows_of
from core.sweep.result import Check, Pair
from core.sweep.task import Settings, Task, Tasks
from core.tolerances import Tolerances

MOST_ROWS = 50_000
"""Answers of rows kept at most; those not asked for the longest are dropped first. 98 bodies on 32 drives have 4,500."""


MOST_SETTINGS = 4
"""Settings for which the last answer is at hand without a look at any task: a window asks for verdicts, then for lowest gaps."""


@dataclass(frozen=True, slots=True, eq=False)
class Mechanism:
    """How a project moves, without its shapes. findings: what is odd in it."""

    linkage: Linkage
    motions: KnownMotions
    sights: LoopSights
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, eq=False)
class LaidOut:
    """A project ready to be swept. moving, still: see `core.clearance.pairs.AllPairs`. rows: all that need a sweep, by pair."""

    project: Project
    mechanism: Mechanism
    moving: list[BodyPair]
    still: list[BodyPair]
    rows: tuple[Row, ...]


class _Names(NamedTuple):
    """What a row's answer is told under."""

    section: SectionName
    between: Pair
    drives: tuple[DriveName, ...]


class _Named(NamedTuple):
    """What is kept of a row, under the names it had when it was last asked for."""

    names: _Names
    found: RowChecks


class Kept:
    """Held by whoever asks again after an edit; not for two threads at once. Its size is bounded by `most` rows."""

    def __init__(self, *, most: int = MOST_ROWS) -> None:
        self._most = most
        self._rows: OrderedDict[Task, _Named] = OrderedDict()
        self._mechanism: tuple[object, Mechanism] | None = None
        self._laid: tuple[Tolerances, LaidOut] | None = None
        self._pairs: SeenPairs | None = None
        self._laid_rows: dict[BodyPair, list[Row]] = {}
        self._depths: dict[BodyPair, float] = {}
        self._last: OrderedDict[Settings, tuple[object, dict[Row, RowChecks]]] = OrderedDict()

    def __len__(self) -> int:
        """How many answers of rows are kept."""
        return len(self._rows)

    def laid_out(self, project: Project, tolerances: Tolerances) -> LaidOut:
        """Lay out the sweep of a valid project; what has not changed since the last ones is taken from them."""
        if self._laid is None or (self._laid[0], self._laid[1].project) != (tolerances, project):
            self._laid = tolerances, self._lay_out(project, tolerances)
        return self._laid[1]

    def poses(self, project: Project, tolerances: Tolerances) -> PoseGaps:
        """The gaps of a valid project at poses, of all pairs that are not exempt, made of what is laid out for its sweep."""
        laid = self.laid_out(project, tolerances)
        linkage = laid.mechanism.linkage
        rows = tuple(row for pair in laid.moving for row in self._all_rows(pair, linkage, tolerances))
        plan = plan_with(project, linkage, tuple(laid.moving), rows, laid.mechanism.motions)
        return PoseGaps(project, linkage=linkage, tolerances=tolerances, plan=plan)

    def _all_rows(self, pair: BodyPair, linkage: Linkage, tolerances: Tolerances) -> list[Row]:
        """The rows of a pair, those that pass over far enough too; most pairs have none, and all of theirs are laid out already."""
        passing = any(shapes.across >= pair.asked.depth_gap for shapes in pair.shape_pairs)
        return rows_of(pair, linkage, tolerances, passing=True) if passing else self._laid_rows[pair]

    def _lay_out(self, project: Project, tolerances: Tolerances) -> LaidOut:
        before = self._mechanism
        mechanism = self._mechanism_of(project, tolerances)
        if self._pairs is None or self._pairs.tolerances != tolerances:
            self._pairs = SeenPairs(tolerances)
        pairs = self._pairs.of(project, mechanism.linkage)
        known = self._laid_rows if self._mechanism is before else {}
        self._laid_rows = {pair: known.get(pair) or rows_of(pair, mechanism.linkage, tolerances) for pair in pairs.moving}
        rows = tuple(row for own in self._laid_rows.values() for row in own)
        return LaidOut(project, mechanism, pairs.moving, pairs.still, rows)

    def _mechanism_of(self, project: Project, tolerances: Tolerances) -> Mechanism:
        content = (mechanism_told(project), tolerances)
        if self._mechanism is None or self._mechanism[0] != content:
            linkage = linkage_of(project)
            low, high = (np.array([getattr(drive, end) for drive in project.drives], dtype=float) for end in ("start", "end"))
            sights = LoopSights(linkage, low=low, high=high, home=linkage.home, tolerances=tolerances)
            self._mechanism = content, Mechanism(linkage, KnownMotions(linkage), sights, motion_findings(project, linkage, tolerances))
        return self._mechanism[1]

    def depths(self, laid: LaidOut, measured: Callable[[Sequence[BodyPair]], list[float]]) -> list[float]:
        """How deep each still pair overlaps as drawn, mm."""
        fresh = [pair for pair in laid.still if pair not in self._depths]
        known = self._depths | dict(zip(fresh, measured(fresh), strict=True))
        self._depths = {pair: known[pair] for pair in laid.still}
        return list(self._depths.values())

    def answers(
        self, laid: LaidOut, settings: Settings, find: Callable[[list[Row]], tuple[tuple[RowChecks, ...], bool]]
    ) -> list[RowChecks]:
        """The answer of each row. find: sweeps rows; tells their answers, and whether it came to the end, so that they may be kept."""
        world = (self._mechanism, laid.project.allowed_together)
        before, last = self._last.get(settings, (None, {}))
        last = last if before == world else {}
        tasks = Tasks(laid.project, laid.mechanism.linkage, settings)
        found: dict[Row, RowChecks] = {}
        fresh: dict[Row, Task] = {}
        for row in laid.rows:
            known = last.get(row)
            if known is None:
                task = tasks.of(row)
                known = self._named(task, laid, row)
                if known is None:
                    fresh[row] = task
                    continue
            found[row] = known
        swept, whole = find(list(fresh)) if fresh else ((), True)
        for (row, task), answer in zip(fresh.items(), swept, strict=True):
            found[row] = answer
            if whole:
                self._keep(task, _Named(_names(laid, row), answer))
        if whole:
            self._last[settings] = world, found
            self._last.move_to_end(settings)
            while len(self._last) > MOST_SETTINGS:
                self._last.popitem(last=False)
        return [found[row] for row in laid.rows]

    def _named(self, task: Task, laid: LaidOut, row: Row) -> RowChecks | None:
        """What is kept of a task, under the names of a row."""
        kept = self._rows.get(task)
        if kept is None:
            return None
        names = _names(laid, row)
        if kept.names != names:
            kept = _Named(names, _renamed(kept, names))
        self._keep(task, kept)
        return kept.found

    def _keep(self, task: Task, named: _Named) -> None:
        self._rows[task] = named
        self._rows.move_to_end(task)
        while len(self._rows) > self._most:
            self._rows.popitem(last=False)


def mechanism_told(project: Project) -> tuple[object, ...]:
    """All of a project that says how it moves: not its shapes, nor what is asked."""
    sections = tuple(
        (section.name, section.joints, tuple((body.name, body.fixed) for body in section.bodies)) for section in project.sections
    )
    return (sections, project.drives)


def _names(laid: LaidOut, row: Row) -> _Names:
    drives = laid.mechanism.linkage.drives
    return _Names(row.pair.section, row.pair.between, tuple(drives[index] for index in row.drives))


def _renamed(kept: _Named, names: _Names) -> RowChecks:
    new = dict(zip(kept.names.drives, names.drives, strict=True))

    def of(check: Check) -> Check:
        return replace(
            check,
            section=names.section,
            between=names.between,
            drives=tuple(new[name] for name in check.drives),
            reached=tuple((new[name], low, high) for name, low, high in check.reached),
            at=tuple((new[name], value) for name, value in check.at),
        )

    return RowChecks(tuple(map(of, kept.found.checks)), tuple(map(of, kept.found.without_rules)))
