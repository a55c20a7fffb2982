"""What is wrong with the rules: gap rules that contradict or ask for nothing, spans of drives allowed together.

The rule that wins for a pair wins whole: two bodies named beat one and `*`, which beats `*` twice. Two rules with
equal right to a pair are refused, unless a rule that names both bodies decides it, or both are fixed and no rule matters.
"""

from collections.abc import Iterator
from itertools import combinations

from core.model.finding import Finding, Place
from core.model.judge import error, inside, negative, not_finite
from core.model.names import EVERY_BODY, BodyName, SectionName
from core.model.project import AllowedTogether, Drive, DriveSpan, GapRule, Project, Section
from core.model.validate_joints import unknown_name

Pair = frozenset[BodyName]


def judge_gap_rules(project: Project) -> Iterator[Finding]:
    """Every finding of the gap rules, one by one and against each other."""
    sections = {section.name: section for section in project.sections}
    for index, rule in enumerate(project.gap_rules):
        place = Place(section=rule.section, path=f"gap_rules[{index}]")
        yield from _judge_asked(rule, place)
        if rule.section in sections:
            yield from _judge_between(rule, sections[rule.section], place)
        else:
            yield unknown_name("section", rule.section, list(sections), inside(place, "section"))
    for section in project.sections:
        yield from _judge_ranks(section, [(i, rule) for i, rule in enumerate(project.gap_rules) if rule.section == section.name])


def judge_allowed_together(project: Project) -> Iterator[Finding]:
    """Every finding of the rules on drives together."""
    drives = {drive.name: drive for drive in project.drives}
    for index, rule in enumerate(project.allowed_together):
        place = Place(path=f"allowed_together[{index}]")
        yield from _judge_together(rule, place)
        for span, key in ((rule.when, "while"), (rule.keep, "keep")):
            here = inside(place, key)
            if span.drive in drives:
                yield from _judge_span(span, drives[span.drive], here)
            else:
                yield unknown_name("drive", span.drive, list(drives), inside(here, "drive"))


def _judge_asked(rule: GapRule, place: Place) -> Iterator[Finding]:
    yield from not_finite(rule, place)
    yield from negative(place, required_gap=rule.required_gap, required_depth_gap=rule.required_depth_gap)
    gaps = rule.required_gap is not None or rule.required_depth_gap is not None
    if rule.unchecked is None and not gaps:
        yield error(place, "rule-empty")
    elif rule.unchecked is not None and gaps:
        yield error(place, "rule-with-both")
    if rule.unchecked is not None and not rule.unchecked.strip():
        yield error(inside(place, "unchecked"), "reason-empty")


def _judge_between(rule: GapRule, section: Section, place: Place) -> Iterator[Finding]:
    bodies: list[str] = [body.name for body in section.bodies]
    for index, name in enumerate(rule.between):
        if name != EVERY_BODY and name not in bodies:
            yield unknown_name("body", name, bodies, inside(place, f"between[{index}]"))
    if rule.between[0] == rule.between[1] != EVERY_BODY:
        yield error(place, "rule-with-itself", body=rule.between[0])


def _judge_ranks(section: Section, rules: list[tuple[int, GapRule]]) -> Iterator[Finding]:
    first: dict[Pair, int] = {}
    for index, rule in rules:
        pair = frozenset(rule.between)
        if pair in first:
            one, two = rule.between
            yield error(_rule_place(section.name, index), "rule-repeated", first=one, second=two, other=f"gap_rules[{first[pair]}]")
        first.setdefault(pair, index)
    yield from _judge_starred(section, first)


def _judge_starred(section: Section, rules: dict[Pair, int]) -> Iterator[Finding]:
    """Two bodies, each with a rule against `*`, have two rules of equal right."""
    fixed = {body.name: body.fixed for body in section.bodies}
    starred = [(body, index) for pair, index in rules.items() if EVERY_BODY in pair for body in pair if body in fixed]
    for (one, earlier), (two, later) in combinations(starred, 2):
        if frozenset((one, two)) not in rules and not (fixed[one] and fixed[two]):
            yield error(_rule_place(section.name, later), "rules-equal", first=one, second=two, other=f"gap_rules[{earlier}]")


def _rule_place(section: SectionName, index: int) -> Place:
    return Place(section=section, path=f"gap_rules[{index}]")


def _judge_together(rule: AllowedTogether, place: Place) -> Iterator[Finding]:
    yield from not_finite(rule, place)
    if rule.when.drive == rule.keep.drive:
        yield error(place, "together-one-drive", drive=rule.when.drive)
    if rule.when.start >= rule.when.end:
        yield error(inside(place, "while"), "span-empty", start=rule.when.start, end=rule.when.end)
    if rule.keep.start > rule.keep.end:  # one value is an interval to stay in: the drive waits at home
        yield error(inside(place, "keep"), "span-empty", start=rule.keep.start, end=rule.keep.end)


def _judge_span(span: DriveSpan, drive: Drive, place: Place) -> Iterator[Finding]:
    if span.start < drive.start or span.end > drive.end:
        told = {"start": span.start, "end": span.end, "low": drive.start, "high": drive.end}
        yield error(place, "span-outside-travel", drive=drive.name, unit=drive.unit, **told)
