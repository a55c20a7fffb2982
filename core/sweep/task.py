"""All that the answer of one row depends on, in numbers and without names: rows with equal tasks have equal answers.

It is the shapes of its two bodies, how the joints between the bay and both move with the drives, the travel and home of those drives,
what is asked, and the settings. Tasks are compared whole, so nothing is guessed. Since they never leave the process that made
them, they name no version of the program.
"""

from collections.abc import Sequence
from typing import NamedTuple

from msgspec import structs

from core.model.joints import Bolted, Joint
from core.model.names import BodyName, SectionName
from core.model.project import Body, Project, Section
from core.motion.linkage import Linkage, SectionLinkage, Step
from core.sweep.allowed import Bound, bounds_of
from core.sweep.plan import Row
from core.sweep.result import Covers
from core.tolerances import Tolerances


class Settings(NamedTuple):
    """What all rows of an answer share. cap: boxes a row. rules: whether drives have rules between them."""

    covers: Covers
    lowest: bool
    cap: int
    tolerances: Tolerances
    rules: bool


class Task(NamedTuple):
    """What a row depends on.

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


class Tasks:
    """Makes the tasks of the rows of one project; what rows share is made once."""

    def __init__(self, project: Project, linkage: Linkage, settings: Settings) -> None:
        self._project, self._linkage, self._settings = project, linkage, settings
        self._bodies = {(section.name, body.name): body for section in project.sections for body in section.bodies}
        self._shapes: dict[tuple[SectionName, BodyName], tuple[object, ...]] = {}
        self._joints = {section.name: _joints_of(section) for section in project.sections}
        self._motions: dict[tuple[object, ...], tuple[object, ...]] = {}
        self._rules: dict[tuple[int, ...], tuple[Bound, ...]] = {}

    def of(self, row: Row) -> Task:
        """The task of a row."""
        pair = row.pair
        first, second = pair.between
        return Task(
            settings=self._settings,
            shapes=(self._shapes_of(pair.section, first), self._shapes_of(pair.section, second)),
            joints=self._joints[pair.section].get(frozenset(pair.between), ()),
            motion=self._motion(row),
            required=row.required,
            need=row.need,
            tolerance=pair.tolerance,
            across=row.across,
            running=row.running,
            rules=self._bound(row.drives),
        )

    def _shapes_of(self, section: SectionName, body: BodyName) -> tuple[object, ...]:
        if (section, body) not in self._shapes:
            self._shapes[section, body] = shapes_of(self._bodies[section, body])
        return self._shapes[section, body]

    def _motion(self, row: Row) -> tuple[object, ...]:
        key = (row.pair.section, row.pair.groups)
        if key not in self._motions:
            section = self._linkage.section(row.pair.section)
            self._motions[key] = self._of_loops(section, row) if section.loops else self._chains(section, row)
        return self._motions[key]

    def _of_loops(self, section: SectionLinkage, row: Row) -> tuple[object, ...]:
        """The whole mechanism: in a section with loops every one of them has a say in whether a pose is reached at all."""
        own = self._linkage.sections.index(section)
        parts = tuple((each.parents, tuple(map(_joints_told, each.steps)), each.order, each.loops) for each in self._linkage.sections)
        drives = tuple((drive.start, drive.end, drive.home, drive.drawn_value) for drive in self._project.drives)
        return (own, row.pair.groups, parts, drives)

    def _chains(self, section: SectionLinkage, row: Row) -> tuple[object, ...]:
        """The joints from the bay to both groups and the drives on them, numbered as they are met."""
        chains = [section.chain(group) for group in row.pair.groups]
        joints: dict[str, int] = {}
        for step in (*chains[0], *chains[1]):
            joints.setdefault(step.joint, len(joints))
        drives = sorted({index for chain in chains for step in chain for index, _ in step.ratios})
        number = {index: place for place, index in enumerate(drives)}
        steps = tuple(tuple(_step(step, joints, number) for step in chain) for chain in chains)
        return (steps, tuple(self._range(index, own=index in row.drives) for index in drives))

    def _range(self, index: int, *, own: bool) -> tuple[object, ...]:
        """What matters of a drive; of one that moves both bodies alike only where it stands at home."""
        drive = self._project.drives[index]
        stands = (drive.home, drive.drawn_value)
        return (*stands, drive.start, drive.end) if own else stands

    def _bound(self, drives: tuple[int, ...]) -> tuple[Bound, ...]:
        if drives not in self._rules:
            self._rules[drives] = tuple(bounds_of(self._project, drives))
        return self._rules[drives]


def shapes_of(body: Body) -> tuple[object, ...]:
    """The shapes of a body and their depth bands."""
    return tuple((structs.replace(shape, notes="") if shape.notes else shape, shape.depth or body.depth) for shape in body.shapes)


def _joints_of(section: Section) -> dict[frozenset[BodyName], tuple[object, ...]]:
    found: dict[frozenset[BodyName], tuple[object, ...]] = {}
    for joint in section.joints:
        names = frozenset(joint.between)
        found[names] = (*found.get(names, ()), *_nameless(joint))
    return found


def _nameless(joint: Joint) -> Sequence[object]:
    """A joint as knuckles and running fits see it."""
    return () if isinstance(joint, Bolted) else ((type(joint), joint.at, joint.relief),)


def _joints_told(steps: tuple[Step, ...]) -> tuple[object, ...]:
    return tuple((step.kind, step.at, step.along, step.ratios, step.free, step.passive, step.reach, step.play) for step in steps)


def _step(step: Step, joints: dict[str, int], drives: dict[int, int]) -> tuple[object, ...]:
    ratios = tuple((drives[index], ratio) for index, ratio in step.ratios)
    return (joints[step.joint], step.kind, step.at, step.along, ratios, step.free, step.passive, step.reach, step.play)
