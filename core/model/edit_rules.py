"""How is it changed what pairs must keep, and what drives may do together? Edits of the two kinds of rules."""

import msgspec

from core.model.names import BodyName, SectionName
from core.model.project import AllowedTogether, GapRule, Project
from core.model.rounding import rounded


def put_gap_rule(project: Project, rule: GapRule) -> Project:
    """Put a rule in the place of the one for the same pair, in either order, or at the end."""
    same = [index for index, old in enumerate(project.gap_rules) if _same_pair(old, rule.section, rule.between)]
    rules = [old for index, old in enumerate(project.gap_rules) if index not in same[1:]]
    if same:
        rules[same[0]] = rounded(rule)
    else:
        rules.append(rounded(rule))
    return msgspec.structs.replace(project, gap_rules=tuple(rules))


def ask_gap(
    project: Project,
    section: SectionName,
    between: tuple[BodyName, BodyName],
    *,
    gap: float | None = None,
    depth_gap: float | None = None,
) -> Project:
    """Ask a gap of a pair, mm; None leaves the project's. With neither the pair's own rule goes."""
    if gap is None and depth_gap is None:
        return delete_gap_rule(project, section, between)
    return put_gap_rule(project, GapRule(section=section, between=between, required_gap=gap, required_depth_gap=depth_gap))


def change_asked(
    project: Project,
    section: SectionName,
    between: tuple[BodyName, BodyName],
    *,
    gap: float | None = None,
    depth_gap: float | None = None,
) -> Project:
    """Ask another gap of a pair, mm; None leaves what its own rule asks already, and its notes. An exempt pair is checked again."""
    old = gap_rule_of(project, section, between)
    rule = GapRule(section=section, between=between) if old is None else msgspec.structs.replace(old, unchecked=None)
    return put_gap_rule(
        project,
        msgspec.structs.replace(
            rule,
            required_gap=rule.required_gap if gap is None else gap,
            required_depth_gap=rule.required_depth_gap if depth_gap is None else depth_gap,
        ),
    )


def exempt_pair(project: Project, section: SectionName, between: tuple[BodyName, BodyName], *, reason: str) -> Project:
    """Take a pair out of the check. ValueError without a reason: every answer tells it."""
    if not reason.strip():
        raise ValueError("a pair is taken out of the check with a reason only")
    return put_gap_rule(project, GapRule(section=section, between=between, unchecked=reason.strip()))


def delete_gap_rule(project: Project, section: SectionName, between: tuple[BodyName, BodyName]) -> Project:
    """Delete the rule for a pair, in either order; without one nothing changes."""
    rules = tuple(rule for rule in project.gap_rules if not _same_pair(rule, section, between))
    return msgspec.structs.replace(project, gap_rules=rules)


def gap_rule_of(project: Project, section: SectionName, between: tuple[BodyName, BodyName]) -> GapRule | None:
    """The rule that names just this pair, in either order."""
    return next((rule for rule in project.gap_rules if _same_pair(rule, section, between)), None)


def add_together(project: Project, rule: AllowedTogether) -> Project:
    """Put a rule on two drives at the end."""
    return rounded(msgspec.structs.replace(project, allowed_together=(*project.allowed_together, rule)))


def replace_together(project: Project, index: int, rule: AllowedTogether) -> Project:
    """Put `rule` in the place of a rule on two drives. IndexError where there is none."""
    rules = list(project.allowed_together)
    rules[_within(index, len(rules))] = rule
    return rounded(msgspec.structs.replace(project, allowed_together=tuple(rules)))


def delete_together(project: Project, index: int) -> Project:
    """Delete a rule on two drives. IndexError where there is none."""
    _within(index, len(project.allowed_together))
    rules = tuple(rule for place, rule in enumerate(project.allowed_together) if place != index)
    return msgspec.structs.replace(project, allowed_together=rules)


def _same_pair(rule: GapRule, section: SectionName, between: tuple[BodyName, BodyName]) -> bool:
    return rule.section == section and frozenset(rule.between) == frozenset(between)


def _within(index: int, count: int) -> int:
    if not 0 <= index < count:
        raise IndexError(index)
    return index
