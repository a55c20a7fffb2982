"""How many ways each section can move: by counting joints, and by the rank of what the joints forbid."""

from dataclasses import dataclass

from core.model.joints import Bolted, PinSlot
from core.model.names import JointName, SectionName
from core.model.project import Project, Section
from core.motion.linkage import Linkage, SectionLinkage
from core.motion.loop_freedom import LoopFreedom, Undriven, loop_freedom
from core.tolerances import DEFAULT_TOLERANCES, Tolerances


@dataclass(frozen=True, slots=True)
class Excess:
    """Joints round a loop that forbid the same thing more than once: `redundant` equations too many."""

    joints: tuple[JointName, ...]
    redundant: int


@dataclass(frozen=True, slots=True)
class SectionMobility:
    """Mobility of one section at the drawn pose.

    count: 3 (groups - 1) - 2 (pivots and slides) - (pins in slots), joints inside one group left out.
    real: 3 (groups - 1) - rank. instantaneous: freedoms of `real` that go as soon as the mechanism moves.
    drives: how many drives move joints of the section. redundant: real - instantaneous - count.
    loose: groups whose pose the drives do not settle; pairs that depend on them cannot be proved.
    blocked: pairs (drive, loop) of indices where the drive cannot move at the drawn pose.
    """

    section: SectionName
    count: int
    real: int
    rank: int
    instantaneous: int
    drives: int
    undriven: tuple[Undriven, ...]
    excess: tuple[Excess, ...]
    loose: frozenset[int]
    blocked: tuple[tuple[int, int], ...] = ()

    @property
    def redundant(self) -> int:
        """Equations that say again what others say."""
        return sum(excess.redundant for excess in self.excess)


def mobility(project: Project, linkage: Linkage, tolerances: Tolerances = DEFAULT_TOLERANCES) -> tuple[SectionMobility, ...]:
    """The mobility of every section, in order; a section without moving bodies has count and real 0."""
    return tuple(_section_mobility(section, found, tolerances) for section, found in zip(project.sections, linkage.sections, strict=True))


def _section_mobility(section: Section, linkage: SectionLinkage, tolerances: Tolerances) -> SectionMobility:
    joints = [joint for joint in section.joints if not isinstance(joint, Bolted) and joint.name not in linkage.idle]
    ways = 3 * (len(linkage.groups) - 1)
    count = ways - sum(1 if isinstance(joint, PinSlot) else 2 for joint in joints)
    floating = 3 * sum(linkage.parents[group] < 0 for group in linkage.unheld)
    looped = {group for loop in linkage.loops for group in loop.groups}
    open_steps = [step for group in linkage.order if group not in looped for step in linkage.steps[group]]
    freedoms = [loop_freedom(loop, tolerances) for loop in linkage.loops]
    real = floating + len(open_steps) + sum(freedom.real for freedom in freedoms)
    free: dict[JointName, int] = {}
    for step in open_steps:
        if step.free:
            free[step.joint] = free.get(step.joint, 0) + 1
    undriven = [Undriven((joint,), freedoms=number, lasting=True) for joint, number in free.items()]
    drives = {drive for steps in linkage.steps for step in steps for drive, _ in step.ratios}
    drives.update(drive for loop in linkage.loops for drive in loop.drives)
    return SectionMobility(
        section.name,
        count,
        real,
        ways - real,
        sum(freedom.real - freedom.lasting for freedom in freedoms),
        len(drives),
        (*undriven, *(entry for freedom in freedoms for entry in freedom.undriven)),
        tuple(Excess(loop.joints, freedom.redundant) for loop, freedom in zip(linkage.loops, freedoms, strict=True) if freedom.redundant),
        _loose(linkage, freedoms),
        tuple((drive, index) for index, freedom in enumerate(freedoms) for drive in freedom.blocked),
    )


def _loose(linkage: SectionLinkage, freedoms: list[LoopFreedom]) -> frozenset[int]:
    """Groups moved by an undriven freedom, or carried by such a group, or held by nothing."""
    loose = set(linkage.unheld).union(*(freedom.loose for freedom in freedoms))
    for group in linkage.order:
        if linkage.parents[group] in loose or any(step.free for step in linkage.steps[group]):
            loose.add(group)
    return frozenset(loose)
