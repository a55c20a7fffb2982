"""Which of two gap rules with `*` holds where they meet? For bodies that an edit brought in: the stricter, written out for the pair.

Two bodies that each have a rule against `*` have two rules of equal right, which is refused (`core.model.validate_rules`).
"""

from collections.abc import Collection
from itertools import combinations

import msgspec

from core.model.lookup import section_of
from core.model.names import EVERY_BODY, BodyName, SectionName
from core.model.project import GapRule, Project


def settled(project: Project, section: SectionName, new: Collection[BodyName]) -> Project:
    """Add a rule for each pair with a body of `new` that two rules with `*` cover with equal right: the stricter of the two."""
    fixed = {body.name: body.fixed for body in section_of(project, section).bodies}
    rules = [rule for rule in project.gap_rules if rule.section == section]
    decided = {frozenset(rule.between) for rule in rules}
    starred = {name: rule for rule in rules if EVERY_BODY in rule.between for name in rule.between if name in fixed}
    added = [
        stricter(starred[one], starred[two], between=(one, two))
        for one, two in combinations(starred, 2)
        if {one, two} & set(new) and frozenset((one, two)) not in decided and not (fixed[one] and fixed[two])
    ]
    return msgspec.structs.replace(project, gap_rules=(*project.gap_rules, *added)) if added else project


def stricter(one: GapRule, two: GapRule, *, between: tuple[BodyName, BodyName]) -> GapRule:
    """A rule for a pair that asks at least what either asks: checked where either is, the larger of two gaps."""
    if one.unchecked is not None or two.unchecked is not None:
        asking = two if one.unchecked is not None else one
        return msgspec.structs.replace(asking, between=between)
    return GapRule(
        section=one.section,
        between=between,
        required_gap=_larger(one.required_gap, two.required_gap),
        required_depth_gap=_larger(one.required_depth_gap, two.required_depth_gap),
    )


def _larger(one: float | None, two: float | None) -> float | None:
    return max((gap for gap in (one, two) if gap is not None), default=None)
