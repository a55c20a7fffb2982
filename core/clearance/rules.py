"""What the rules ask of a pair of bodies: the exact rule beats one with a `*`, that beats two, then the project's own."""

from collections.abc import Sequence
from typing import NamedTuple

from core.model.names import EVERY_BODY, BodyName, SectionName
from core.model.project import GapRule, Project

Pair = tuple[BodyName, BodyName]


class Asked(NamedTuple):
    """Required gap and required depth gap of a pair, mm; `unchecked`: the reason why it is exempt, or None."""

    gap: float
    depth_gap: float
    unchecked: str | None


def asked_of(project: Project, section: SectionName, between: Pair) -> Asked:
    """What the rules ask of a pair. Each gap comes from the strongest rule that names it."""
    return asked_by(project, rules_on(project, section, between))


def asked_by(project: Project, rules: Sequence[GapRule]) -> Asked:
    """What is asked of a pair that `rules` cover, strongest first."""
    gaps = [rule.required_gap for rule in rules if rule.required_gap is not None]
    depths = [rule.required_depth_gap for rule in rules if rule.required_depth_gap is not None]
    return Asked(
        gap=(gaps or [project.required_gap])[0],
        depth_gap=(depths or [project.required_depth_gap])[0],
        unchecked=rules[0].unchecked if rules else None,
    )


def rules_on(project: Project, section: SectionName, between: Pair) -> tuple[GapRule, ...]:
    """The rules that cover a pair, strongest first."""
    own = [rule for rule in project.gap_rules if rule.section == section and _covers(rule.between, between)]
    return tuple(sorted(own, key=lambda rule: rule.between.count(EVERY_BODY)))


def _covers(asked: Pair, between: Pair) -> bool:
    return any(all(sign in (EVERY_BODY, name) for sign, name in zip(asked, order, strict=True)) for order in (between, between[::-1]))
