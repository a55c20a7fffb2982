"""The mechanism of a project: its rigid groups, the joints that lead to each, and the loops that joints close."""

import cmath
import math
from collections import defaultdict
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Project, Section
from core.motion.groups import rigid_groups
from core.motion.tree import Link, Ring, Tree, rings, spanning_tree

Floats = npt.NDArray[np.float64]
Ratios = tuple[tuple[int, float], ...]
"""Pairs (index of a drive, ratio): a joint value is the sum of ratio x (drive value - drawn value)."""

_RANKS = {"slide": 1, "pivot": 2, "pin_slot": 3}


@dataclass(frozen=True, slots=True)
class Step:
    """One freedom of a joint on the way from the bay to a group.

    at: the pin, mm, section frame at the drawn pose. along: unit direction of a slide in that frame, 0 for a pivot.
    ratios: as walked outward, so the sign is turned where the joint leads from the moved to the reference body;
    the value is in degrees for a pivot, mm for a slide. free: no drive moves it and no loop settles it.
    passive: it lies on a loop, and its value follows from the closure of the loop.
    reach: of a slot, mm, the step values within which the pin stays in it. play: diametral mm, told by the first step of a joint.
    """

    joint: JointName
    kind: Literal["pivot", "slide"]
    at: complex
    along: complex
    ratios: Ratios
    free: bool
    passive: bool = False
    reach: tuple[float, float] | None = None
    play: float = 0.0


@dataclass(frozen=True, slots=True)
class Closing:
    """A joint that is not in the tree and closes a loop. groups: (reference, moved). ratios: of a drive that moves it.

    along: unit direction of a slide (belongs to the reference) or a slot (belongs to the moved), 0 for a pivot. reach: of a
    slot, mm along it, where the pin stays. play: diametral mm.
    """

    joint: JointName
    kind: Literal["pivot", "slide", "pin_slot"]
    groups: tuple[int, int]
    at: complex
    along: complex
    ratios: Ratios
    reach: tuple[float, float] | None = None
    play: float = 0.0


@dataclass(frozen=True, slots=True)
class Loop:
    """Loops that share joints, closed together.

    joints: all round it. root: the group that carries it, whose frame the loop is closed in. groups: those that
    the closure poses, each after its parent. parents and steps: the tree inside the loop, one entry for each of `groups`.
    plays: diametral play of each joint, mm, in the order of `joints`.
    """

    joints: tuple[JointName, ...]
    root: int
    groups: tuple[int, ...]
    parents: tuple[int, ...]
    steps: tuple[tuple[Step, ...], ...]
    closing: tuple[Closing, ...]
    plays: tuple[float, ...]

    @property
    def passive(self) -> tuple[Step, ...]:
        """The freedoms that the closure settles, in the order of its unknowns."""
        return tuple(step for steps in self.steps for step in steps if step.passive)

    @property
    def drives(self) -> tuple[int, ...]:
        """Indices of the drives that move a joint of the loop, sorted."""
        moved = [step.ratios for steps in self.steps for step in steps] + [closing.ratios for closing in self.closing]
        return tuple(sorted({drive for ratios in moved for drive, _ in ratios}))


@dataclass(frozen=True, slots=True)
class SectionLinkage:
    """The mechanism of one section.

    groups: rigid groups; group 0 is the bay, even where it is empty. parents: the group before each, -1 for roots.
    steps: the joint from the parent to each group, () for roots. order: all groups, each after its parent.
    unheld: groups with no joints that lead to the bay. idle: joints between bodies that move as one, which do nothing.
    """

    section: SectionName
    groups: tuple[tuple[BodyName, ...], ...]
    parents: tuple[int, ...]
    steps: tuple[tuple[Step, ...], ...]
    order: tuple[int, ...]
    loops: tuple[Loop, ...]
    unheld: tuple[int, ...]
    idle: tuple[JointName, ...]

    def group_of(self, body: BodyName) -> int:
        """The group that `body` is in; KeyError where the section has no such body."""
        for index, group in enumerate(self.groups):
            if body in group:
                return index
        raise KeyError(body)

    def way(self, group: int) -> tuple[int, ...]:
        """The groups passed from the bay (left out) to `group`; from the root of its part where nothing holds it."""
        way: list[int] = []
        while self.parents[group] >= 0:
            way.append(group)
            group = self.parents[group]
        return tuple(reversed(way))

    def only(self, group: int) -> "SectionLinkage":
        """The same with the order of `group` and the groups that carry it alone: their poses are the same, all others stay as drawn."""
        way = self.way(group)
        root = self.parents[way[0]] if way else group
        return replace(self, order=(root, *way))

    def chain(self, group: int) -> tuple[Step, ...]:
        """The steps from the bay outward to `group`; from the root of its part where nothing holds it."""
        return tuple(step for passed in self.way(group) for step in self.steps[passed])

    def on_loop(self, group: int) -> bool:
        """Whether the pose of `group` needs the closure of a loop: it lies on one, or is carried by one."""
        return any(step.passive for step in self.chain(group))

    def loops_of(self, group: int) -> tuple[int, ...]:
        """Indices of the loops that `group` lies on or is carried by, its own drive's loop included."""
        way = set(self.way(group))
        return tuple(index for index, loop in enumerate(self.loops) if way.intersection(loop.groups))

    @property
    def loop_joints(self) -> tuple[JointName, ...]:
        """The joints that are not in the tree and close loops."""
        return tuple(closing.joint for loop in self.loops for closing in loop.closing)


@dataclass(frozen=True, slots=True)
class Linkage:
    """The mechanism of a project. `home` and `drawn`: (D,) float, drive units, read-only."""

    sections: tuple[SectionLinkage, ...]
    drives: tuple[DriveName, ...]
    home: Floats = field(compare=False)
    drawn: Floats = field(compare=False)

    def section(self, name: SectionName) -> SectionLinkage:
        """The linkage of one section by its name; KeyError where there is none."""
        for section in self.sections:
            if section.section == name:
                return section
        raise KeyError(name)


def linkage_of(project: Project) -> Linkage:
    """The mechanism of a valid project. A section without bodies or joints gives its groups alone, all as drawn."""
    moves: dict[tuple[SectionName, JointName], list[tuple[int, float]]] = defaultdict(list)
    for index, drive in enumerate(project.drives):
        for move in drive.moves:
            moves[move.section, move.joint].append((index, move.ratio))
    sections = tuple(
        _section_linkage(section, {joint.name: tuple(moves.get((section.name, joint.name), ())) for joint in section.joints})
        for section in project.sections
    )
    home, drawn = (
        np.array(values, dtype=np.float64)
        for values in ([drive.home for drive in project.drives], [drive.drawn_value for drive in project.drives])
    )
    home.flags.writeable = drawn.flags.writeable = False
    return Linkage(sections, tuple(drive.name for drive in project.drives), home, drawn)


def _section_linkage(section: Section, moves: dict[JointName, Ratios]) -> SectionLinkage:
    groups = rigid_groups(section)
    group_of = {body: index for index, group in enumerate(groups) for body in group}
    links = [
        Link(index, (group_of[joint.between[0]], group_of[joint.between[1]]), 0 if moves[joint.name] else _RANKS[kind_of(joint)])
        for index, joint in enumerate(section.joints)
        if not isinstance(joint, Bolted)
    ]
    tree = spanning_tree(links, groups=len(groups))
    found = rings(tree)
    looped = {group for ring in found for group in ring.links}
    steps = []
    for group, (parent, link) in enumerate(zip(tree.parents, tree.links, strict=True)):
        joint = section.joints[link] if parent >= 0 else None
        ratios = moves[joint.name] if joint else ()
        outward = joint is not None and group_of[joint.between[0]] == parent
        steps.append(_steps(joint, ratios, outward=outward, on_loop=group in looped) if joint else ())
    loops = tuple(_loop(ring, tree, tuple(steps), section, moves) for ring in found)
    unheld = tuple(group for group in range(len(groups)) if tree.root(group) != 0)
    idle = tuple(section.joints[link.index].name for link in tree.idle)
    return SectionLinkage(section.name, groups, tree.parents, tuple(steps), tree.order, loops, unheld, idle)


def kind_of(joint: Joint) -> Literal["pivot", "slide", "pin_slot", "bolted"]:
    """The kind of a joint as the file spells it."""
    if isinstance(joint, Pivot):
        return "pivot"
    if isinstance(joint, Slide):
        return "slide"
    return "bolted" if isinstance(joint, Bolted) else "pin_slot"


def _steps(joint: Joint, ratios: Ratios, *, outward: bool, on_loop: bool) -> tuple[Step, ...]:
    """The freedoms of a joint, outward from the bay.

    The slot body of a pin-in-slot shifts along its own slot before it turns about the pin, so that walked from the pin
    to the slot the turn comes first, and from the slot to the pin the shift.
    """
    if isinstance(joint, Bolted):
        return ()
    at, along = complex(*joint.at), direction(joint)
    turned = tuple((drive, ratio if outward else -ratio) for drive, ratio in ratios)
    free, passive = not ratios and not on_loop, not ratios and on_loop
    pivot = Step(joint.name, "pivot", at, 0j, turned, free, passive)
    slide = Step(joint.name, "slide", at, along, turned, free, passive)
    if isinstance(joint, Pivot):
        return (replace(pivot, play=joint.play),)
    if isinstance(joint, Slide):
        return (replace(slide, play=joint.play),)
    if outward:
        away = replace(slide, reach=(-joint.reach[1], -joint.reach[0]) if joint.reach else None)
        return replace(pivot, play=joint.play), away
    return replace(slide, reach=joint.reach, play=joint.play), pivot


def direction(joint: Joint) -> complex:
    """Unit direction of a slide or a slot in the section frame at the drawn pose; 0 for a pivot and a bolted joint."""
    if isinstance(joint, Pivot | Bolted):
        return 0j
    quarters, rest = divmod(joint.along, 90.0)
    return complex(0, 1) ** int(quarters % 4) * cmath.exp(1j * math.radians(rest))


def _loop(ring: Ring, tree: Tree, steps: tuple[tuple[Step, ...], ...], section: Section, moves: dict[JointName, Ratios]) -> Loop:
    closing = tuple(_closing(section.joints[link.index], link, moves) for link in ring.closing)
    names = [section.joints[tree.links[group]].name for group in ring.links] + [joint.joint for joint in closing]
    own = [joint for joint in section.joints if joint.name in names]
    parents = tuple(tree.parents[group] for group in ring.links)
    return Loop(
        joints=tuple(joint.name for joint in own),
        root=ring.root,
        groups=ring.links,
        parents=parents,
        steps=tuple(steps[group] for group in ring.links),
        closing=closing,
        plays=tuple(0.0 if isinstance(joint, Bolted) else joint.play for joint in own),
    )


def _closing(joint: Joint, link: Link, moves: dict[JointName, Ratios]) -> Closing:
    kind = kind_of(joint)
    if isinstance(joint, Bolted) or kind == "bolted":
        raise ValueError(f"a bolted joint closes no loop: {joint.name}")
    reach = joint.reach if isinstance(joint, PinSlot) else None
    return Closing(joint.name, kind, link.groups, complex(*joint.at), direction(joint), moves[joint.name], reach, joint.play)
