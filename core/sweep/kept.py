"""Results that are kept from one answer to the next, by the content of all that they depend on.

What a row of a plan answers depends on the shapes of its two bodies, on how the joints between the bay and both move with
the drives, on the travel and home of those drives, on what is asked, and on the settings: those are its task. Tasks carry no
names, so that renaming keeps everything; what is kept is named anew where names have changed. Nothing is guessed:
tasks are compared whole. Since a kept answer never leaves the process that found it, a task names no version of the program.
"""

from collections import OrderedDict
from dataclasses import replace
from typing import NamedTuple

from msgspec import structs

from core.model.joints import Bolted, Joint
from core.model.project import Body, Project, Section
from core.motion.linkage import Linkage, SectionLinkage, Step
from core.sweep.all_rows import RowChecks
from core.sweep.allowed import Bound, bounds_of
from core.sweep.plan import Plan, Row
from core.sweep.result import Check, Covers
from core.tolerances import Tolerances

MOST_ROWS = 50_000
"""Answers of rows kept at most; those not asked for the longest are dropped first. Some 98 bodies on 32 drives have 4,500."""


class Settings(NamedTuple):
    """What all rows of an answer share. cap: boxes a row. rules: whether drives have rules between them."""

    covers: Covers
    lowest: bool
    cap: int
    tolerances: Tolerances
    rules: bool


class Task(NamedTuple):
    """All that the answer of a row depends on, in numbers, without names.

    shapes: of both bodies, with their depth bands. joints: between the two, as knuckles see them. motion: the joints
    from the bay to both and their drives. rules: between drives, as they bind the row's.
    """

    settings: Settings
    shapes: tuple[object, ...]
    joints: tuple[object, ...]
    motion: tuple[object, ...]
    required: float
    need: float
    tolerance: float
    across: float | None
    running: bool
    rules: tuple[Bound, ...]


class _Named(NamedTuple):
    """What is kept of a row, under the names it had when it was last asked for."""

    names: tuple[object, ...]
    found: RowChecks


class Kept:
    """Answers of rows by their task; held by whoever asks again after an edit. Not for two threads at once."""

    def __init__(self, *, most: int = MOST_ROWS) -> None:
        self._most = most
        self._rows: OrderedDict[Task, _Named] = OrderedDict()

    def __len__(self) -> int:
        """How many answers of rows are kept."""
        return len(self._rows)

    def found(self, task: Task, plan: Plan, row: Row) -> RowChecks | None:
        """What is kept of a task, under the names of a row of a plan."""
        kept = self._rows.get(task)
        if kept is None:
            return None
        self._rows.move_to_end(task)
        names = _names(plan, row)
        if kept.names != names:
            kept = _Named(names, _renamed(kept, plan, row))
            self._rows[task] = kept
        return kept.found

    def keep(self, task: Task, plan: Plan, row: Row, found: RowChecks) -> None:
        """Keep the answer of a row that was swept to its end."""
        self._rows[task] = _Named(_names(plan, row), found)
        self._rows.move_to_end(task)
        while len(self._rows) > self._most:
            self._rows.popitem(last=False)


def _names(plan: Plan, row: Row) -> tuple[object, ...]:
    return (row.pair.section, row.pair.between, *(plan.linkage.drives[index] for index in row.drives))


def _renamed(kept: _Named, plan: Plan, row: Row) -> RowChecks:
    old = kept.names[2:]
    new = {name: plan.linkage.drives[index] for name, index in zip(old, row.drives, strict=True)}

    def of(check: Check) -> Check:
        return replace(
            check,
            section=row.pair.section,
            between=row.pair.between,
            drives=tuple(new[name] for name in check.drives),
            reached=tuple((new[name], low, high) for name, low, high in check.reached),
            at=tuple((new[name], value) for name, value in check.at),
        )

    return RowChecks(tuple(of(check) for check in kept.found.checks), tuple(of(check) for check in kept.found.without_rules))


def tasks_of_rows(plan: Plan, settings: Settings) -> list[Task]:
    """The task of each row of a plan."""
    return _Tasks(plan, settings).all()


class _Tasks:
    """Makes the tasks of one plan; what rows share is made once."""

    def __init__(self, plan: Plan, settings: Settings) -> None:
        self._plan, self._settings = plan, settings
        self._bodies = {(section.name, body.name): _shapes_of(body) for section in plan.project.sections for body in section.bodies}
        self._joints = {section.name: _joints_of(section) for section in plan.project.sections}
        self._motions: dict[tuple[object, ...], tuple[object, ...]] = {}
        self._rules: dict[tuple[int, ...], tuple[Bound, ...]] = {}
        self._whole = _whole(plan.project, plan.linkage) if any(section.loops for section in plan.linkage.sections) else ()

    def all(self) -> list[Task]:
        """One a row."""
        return [self._task(row) for row in self._plan.rows]

    def _task(self, row: Row) -> Task:
        pair = row.pair
        first, second = pair.between
        return Task(
            settings=self._settings,
            shapes=(self._bodies[pair.section, first], self._bodies[pair.section, second]),
            joints=self._joints[pair.section].get(frozenset(pair.between), ()),
            motion=self._motion(row),
            required=row.required,
            need=row.need,
            tolerance=pair.tolerance,
            across=row.across,
            running=row.running,
            rules=self._bound(row.drives),
        )

    def _motion(self, row: Row) -> tuple[object, ...]:
        key = (row.pair.section, row.pair.groups)
        if key not in self._motions:
            section = self._plan.linkage.section(row.pair.section)
            # Where a section has loops, whether a pose is reached at all depends on every one of them.
            own = (*self._whole, section.section, *row.pair.groups) if section.loops else _chains(self._plan, section, row)
            self._motions[key] = own
        return self._motions[key]

    def _bound(self, drives: tuple[int, ...]) -> tuple[Bound, ...]:
        if drives not in self._rules:
            self._rules[drives] = tuple(bounds_of(self._plan.project, drives))
        return self._rules[drives]


def _shapes_of(body: Body) -> tuple[object, ...]:
    return tuple((structs.replace(shape, notes="") if shape.notes else shape, shape.depth or body.depth) for shape in body.shapes)


def _joints_of(section: Section) -> dict[frozenset[str], tuple[object, ...]]:
    found: dict[frozenset[str], tuple[object, ...]] = {}
    for joint in section.joints:
        if not isinstance(joint, Bolted):
            between: frozenset[str] = frozenset(joint.between)
            found[between] = (*found.get(between, ()), _nameless(joint))
    return found


def _nameless(joint: Joint) -> tuple[object, ...]:
    """A joint as knuckles and running fits see it."""
    return (type(joint), joint.at, joint.relief) if not isinstance(joint, Bolted) else ()


def _chains(plan: Plan, section: SectionLinkage, row: Row) -> tuple[object, ...]:
    """The joints from the bay to both groups and the drives on them, numbered as they are met; joints have no loops."""
    chains = [section.chain(group) for group in row.pair.groups]
    joints: dict[str, int] = {}
    for step in (*chains[0], *chains[1]):
        joints.setdefault(step.joint, len(joints))
    drives = sorted({index for chain in chains for step in chain for index, _ in step.ratios})
    number = {index: place for place, index in enumerate(drives)}
    steps = tuple(tuple(_step(step, joints, number) for step in chain) for chain in chains)
    return (steps, tuple(_range(plan, index, own=index in row.drives) for index in drives))


def _step(step: Step, joints: dict[str, int], drives: dict[int, int]) -> tuple[object, ...]:
    ratios = tuple((drives[index], ratio) for index, ratio in step.ratios)
    return (joints[step.joint], step.kind, step.at, step.along, ratios, step.free, step.passive, step.reach, step.play)


def _range(plan: Plan, index: int, *, own: bool) -> tuple[object, ...]:
    """What matters of a drive; of one that moves both bodies alike only where it stands at home."""
    stands = (float(plan.linkage.home[index]), float(plan.linkage.drawn[index]))
    return (*stands, float(plan.low[index]), float(plan.high[index])) if own else stands


def _whole(project: Project, linkage: Linkage) -> tuple[object, ...]:
    """The whole mechanism of a project with loops, names included."""
    drives = tuple((drive.name, drive.start, drive.end, drive.home, drive.drawn_value) for drive in project.drives)
    return (tuple((section.parents, section.steps, section.order, section.loops) for section in linkage.sections), drives)
