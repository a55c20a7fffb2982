"""How does every pair of bodies stand to the check? Whether it is checked, with which required gap, and why not otherwise."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Literal

from core.clearance.pairs import BodyPair
from core.clearance.rules import Asked, asked_by, rules_on
from core.model.joints import Bolted
from core.model.names import BodyName, SectionName
from core.model.project import GapRule, Project, Section
from core.motion.linkage import Linkage, SectionLinkage
from core.sweep.beside import unchecked_of
from core.sweep.result import Pair, Unchecked

Standing = Literal["checked", "exempt", "passes-over", "knuckle", "still", "fixed", "bolted", "unknown"]
"""checked: swept. exempt: by a rule. passes-over: far enough across the section. knuckle: all of both lies about their common pin.

still: no drive moves them apart, fixed: both belong to the bay; both are looked at once as drawn. bolted: directly together.
unknown: the pair is not laid out yet.
"""


@dataclass(frozen=True, slots=True)
class PairStand:
    """One pair of bodies of a section, in the file's order.

    asked: what the rules ask, mm. rules: those that cover the pair, strongest first; without any the project's own gaps hold.
    unchecked: the reason as every answer tells it, where one does.
    """

    section: SectionName
    between: Pair
    standing: Standing
    asked: Asked
    rules: tuple[GapRule, ...] = ()
    unchecked: Unchecked | None = None


def pair_stands(project: Project, linkage: Linkage, moving: Iterable[BodyPair]) -> tuple[PairStand, ...]:
    """Every pair of every section, in the file's order. linkage: of this valid project.

    moving: its pairs of bodies that can move relative to each other, as `core.clearance.pairs` lays them out; those of a state
    before are told by the rules of this one. A pair that is not among them is unknown.
    """
    told = {(pair.section, pair.between): pair for pair in moving}
    found: list[PairStand] = []
    for section, links in zip(project.sections, linkage.sections, strict=True):
        groups = _Groups(section, links)
        ruled = any(rule.section == section.name for rule in project.gap_rules)
        for first, second in combinations(section.bodies, 2):
            between = (first.name, second.name)
            rules = rules_on(project, section.name, between) if ruled else ()
            found.append(groups.stand(project, between, rules, told.get((section.name, between))))
    return tuple(found)


def pair_stand(
    project: Project, linkage: Linkage, moving: Iterable[BodyPair], section: SectionName, bodies: Iterable[BodyName]
) -> PairStand | None:
    """The same of two bodies in either order; None where the section has no such two."""
    own = next((one for one in project.sections if one.name == section), None)
    wanted = set(bodies)
    names = tuple(body.name for body in own.bodies if body.name in wanted) if own is not None else ()
    if own is None or len(names) != len(wanted) or len(names) != 2:
        return None
    between = (names[0], names[1])
    pair = next((each for each in moving if (each.section, each.between) == (section, between)), None)
    return _Groups(own, linkage.section(section)).stand(project, between, rules_on(project, section, between), pair)


class _Groups:
    """What moves as one in a section."""

    def __init__(self, section: Section, links: SectionLinkage) -> None:
        self._section = section
        self._group = {body: number for number, bodies in enumerate(links.groups) for body in bodies}
        self._bolted = {frozenset(joint.between) for joint in section.joints if isinstance(joint, Bolted)}

    def stand(self, project: Project, between: Pair, rules: tuple[GapRule, ...], pair: BodyPair | None) -> PairStand:
        """How a pair stands. pair: as it is laid out, where it is."""
        asked = asked_by(project, rules)
        if self._group[between[0]] == self._group[between[1]]:
            return PairStand(self._section.name, between, self._together(between, asked), asked, rules)
        own = replace(pair, asked=asked) if pair is not None else None
        reason = next(unchecked_of((own,)), None) if own is not None else None
        return PairStand(self._section.name, between, _apart(own, reason, asked), asked, rules, reason)

    def _together(self, between: Pair, asked: Asked) -> Standing:
        """Of two bodies that move as one, or not at all."""
        if frozenset(between) in self._bolted:
            return "bolted"
        if asked.unchecked is not None:
            return "exempt"
        return "fixed" if all(body.fixed for body in self._section.bodies if body.name in between) else "still"


def _apart(pair: BodyPair | None, reason: Unchecked | None, asked: Asked) -> Standing:
    if asked.unchecked is not None:
        return "exempt"
    if pair is None:
        return "unknown"
    if reason is not None and reason.code == "passes-over":
        return "passes-over"
    return "knuckle" if pair.nothing_left else "checked"
