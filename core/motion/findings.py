"""What the user should know of the mechanism before anything is swept."""

import math
from collections.abc import Iterator

from core.model.finding import Datum, Finding, Level, Place
from core.model.names import JointName
from core.model.project import Project, Section
from core.motion.linkage import Linkage, Loop, SectionLinkage
from core.motion.loop_states import LoopState, reach_of, worst_fit
from core.motion.mobility import SectionMobility, mobility
from core.motion.play_left import left_by_play
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

_ENDS: dict[str, str] = {
    code.removeprefix("loop-"): code for code in ("loop-not-assembled", "loop-dead-centre", "loop-slot-end", "loop-conflict")
}
"""Codes of findings by the codes of the states that stop a drive."""


def motion_findings(project: Project, linkage: Linkage, tolerances: Tolerances = DEFAULT_TOLERANCES) -> tuple[Finding, ...]:
    """Everything that is odd in how the project moves, section by section, then of the whole project.

    Codes and data: `body-unheld` (bodies), `joint-idle` (first, second), `undriven` (joints, freedoms), `dead-centre-drawn`
    (joints, freedoms), `drive-blocked` (joints), `redundant` (joints, number). Where joints of a loop have play: `play-fits` (joints,
    value, unit, misfit, play: redundant joints that fit by their play, where they disagree most), `play-left` (joints, value, unit,
    bodies, measure, low, high: how far these may stand there). Where a loop
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
    ends = tuple(_ends(project, linkage, tolerances))
    conflicts = {finding.data["joints"] for finding in ends if finding.code.startswith("loop-conflict")}
    return (*found, *ends, *(each for each in _left_open(project, linkage, tolerances) if not _said(each, conflicts)))


def _said(finding: Finding, conflicts: set[Datum]) -> bool:
    """Of rods that conflict it is told already what play they need."""
    return finding.code == "play-fits" and finding.data["joints"] in conflicts


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


def _left_open(project: Project, linkage: Linkage, tolerances: Tolerances) -> Iterator[Finding]:
    """What the play of loops' joints leaves open: where redundant rods disagree most, else at home."""
    for section in linkage.sections:
        for loop in section.loops:
            if any(play > 0 for play in loop.plays) and loop.drives:
                yield from _left_of(section, linkage, loop, project, tolerances)


def _left_of(section: SectionLinkage, linkage: Linkage, loop: Loop, project: Project, tolerances: Tolerances) -> Iterator[Finding]:
    fits = []
    for drive in loop.drives:
        own = project.drives[drive]
        fits.append((drive, worst_fit(linkage, loop, drive, start=own.start, end=own.end, tolerances=tolerances)))
    drive, worst = max(fits, key=lambda fit: fit[1].misfit)
    own = project.drives[drive]
    place = Place(section=section.section, drive=own.name)
    at: dict[str, Datum] = {"joints": loop.joints, "value": worst.value, "unit": own.unit}
    if worst.misfit:
        yield Finding("note", place, "play-fits", {**at, "misfit": worst.misfit, "play": worst.play})
    values = linkage.home.copy()
    values[drive] = worst.value
    for left in left_by_play(section, linkage, loop, values, tolerances):
        bodies: dict[str, Datum] = {"bodies": left.bodies, "measure": left.unit, "low": left.low, "high": left.high}
        yield Finding("note", place, "play-left", {**at, **bodies})
