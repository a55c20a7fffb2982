"""What the user should know of the mechanism before anything is swept."""

import math
from collections.abc import Iterator

from core.model.finding import Datum, Finding, Level, Place
from core.model.joints import Bolted
from core.model.names import JointName
from core.model.project import Project, Section
from core.motion.linkage import Linkage, SectionLinkage
from core.motion.loop_states import LoopState, reach_of
from core.motion.mobility import SectionMobility, mobility
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

_ENDS: dict[str, str] = {
    code.removeprefix("loop-"): code for code in ("loop-not-assembled", "loop-dead-centre", "loop-slot-end", "loop-conflict")
}
"""Codes of findings by the codes of the states that stop a drive."""


def motion_findings(project: Project, linkage: Linkage, tolerances: Tolerances = DEFAULT_TOLERANCES) -> tuple[Finding, ...]:
    """Everything that is odd in how the project moves, section by section, then of the whole project.

    Codes and data: `body-unheld` (bodies), `joint-idle` (first, second), `undriven` (joints, freedoms), `dead-centre-drawn`
    (joints, freedoms), `drive-blocked` (joints), `redundant` (joints, number), `unused-key` (key, where). Where a loop
    stops a drive: `loop-not-assembled`, `loop-dead-centre`, `loop-slot-end`, `loop-conflict` (joints, value: the last that is
    reached, from, to: all that is reached, unit; conflict also misfit: the worst over the travel, mm, and play: what every joint
    would need, mm). A conflict that no play takes up is `loop-conflict-fixed`, without play.
    """
    found: list[Finding] = []
    for section, links, moves in zip(project.sections, linkage.sections, mobility(project, linkage, tolerances), strict=True):
        found += _unheld(links)
        found += _idle(section, links)
        found += _freedoms(links, moves)
        found += _blocked(links, moves, linkage)
    return (*found, *_ends(project, linkage, tolerances), *_unused_keys(project, linkage))


def _finding(level: Level, place: Place, code: str, **data: Datum) -> Finding:
    return Finding(level, place, code, data)


def _unheld(links: SectionLinkage) -> Iterator[Finding]:
    """One finding for each part that no joint leads to from the bay; its pairs are not decided."""
    for root in (group for group in links.unheld if links.parents[group] < 0):
        part = [group for group in links.unheld if group == root or root == _root(links, group)]
        bodies = tuple(body for group in part for body in links.groups[group])
        yield _finding("warning", Place(section=links.section, body=bodies[0]), "body-unheld", bodies=bodies)


def _root(links: SectionLinkage, group: int) -> int:
    while links.parents[group] >= 0:
        group = links.parents[group]
    return group


def _idle(section: Section, links: SectionLinkage) -> Iterator[Finding]:
    for joint in section.joints:
        if joint.name in links.idle:
            first, second = joint.between
            yield _finding("warning", Place(section=section.name, joint=joint.name), "joint-idle", first=first, second=second)


def _freedoms(links: SectionLinkage, moves: SectionMobility) -> Iterator[Finding]:
    for entry in moves.undriven:
        code = "undriven" if entry.lasting else "dead-centre-drawn"
        place = Place(section=links.section, joint=entry.joints[0])
        yield _finding("warning", place, code, joints=entry.joints, freedoms=entry.freedoms)
    for excess in moves.excess:
        place = Place(section=links.section, joint=excess.joints[0])
        yield _finding("note", place, "redundant", joints=excess.joints, number=excess.redundant)


def _blocked(links: SectionLinkage, moves: SectionMobility, linkage: Linkage) -> Iterator[Finding]:
    for drive, loop in moves.blocked:
        place = Place(section=links.section, drive=linkage.drives[drive])
        yield _finding("warning", place, "drive-blocked", joints=links.loops[loop].joints)


def _ends(project: Project, linkage: Linkage, tolerances: Tolerances) -> Iterator[Finding]:
    """Where loops stop a drive short of its travel, the others at home."""
    for index, drive in enumerate(project.drives):
        reach = reach_of(linkage, index, start=drive.start, end=drive.end, tolerances=tolerances)
        for end in _once(reach.ends):
            data: dict[str, Datum] = {"joints": end.joints, "value": end.value, "from": reach.low, "to": reach.high, "unit": drive.unit}
            code = _ENDS[end.code]
            if end.code == "conflict":
                code = code if math.isfinite(end.play) else "loop-conflict-fixed"
                data |= {"misfit": end.misfit, "play": end.play} if math.isfinite(end.play) else {"misfit": end.misfit}
            yield Finding("warning", Place(section=end.section, drive=drive.name), code, data)


def _once(ends: tuple[LoopState, ...]) -> Iterator[LoopState]:
    """All ends, but a conflict of the same loop once for both ways: its misfit already covers the travel on its own side."""
    told: dict[tuple[JointName, ...], LoopState] = {}
    for end in ends:
        if end.code != "conflict":
            yield end
        elif end.joints not in told or end.misfit > told[end.joints].misfit:
            told[end.joints] = end
    yield from told.values()


def _unused_keys(project: Project, linkage: Linkage) -> Iterator[Finding]:
    """Keys that a file may carry and that no sweep uses yet; play is used where redundant rods must fit, and there alone."""
    for section, links in zip(project.sections, linkage.sections, strict=True):
        looped: set[JointName] = {joint for loop in links.loops for joint in loop.joints}
        for joint in section.joints:
            if not isinstance(joint, Bolted) and joint.play and joint.name not in looped:
                yield _finding("note", Place(section=section.name, joint=joint.name), "unused-key", key="play", where=joint.name)
