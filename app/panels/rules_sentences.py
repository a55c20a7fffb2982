"""The rules of a project as sentences with numbers, and what a change of each number is. Pure."""

from collections.abc import Callable
from typing import Literal

from msgspec.structs import replace

from app.panels.adjustable import GAP_STEP, SHIFT_STEP, TURN_STEP, Adjustable, Change, Edit, Translator
from app.panels.number_sentence import Number
from core.clearance.rules import asked_of
from core.model.edit_project import set_required
from core.model.edit_rules import change_asked, put_gap_rule, replace_together
from core.model.gap_rights import settled
from core.model.names import EVERY_BODY, BodyName, SectionName
from core.model.project import AllowedTogether, Drive, DriveSpan, GapRule, Project, Unit

Side = Literal["when", "keep"]


def of_every_pair(project: Project, tr: Translator) -> Adjustable:
    """What is asked of every pair, in the section and across it."""
    return Adjustable(
        tr("Every pair is to keep {gap}, and {depth} where one passes over the other, unless a rule says otherwise."),
        (
            Number("gap", project.required_gap, tr("Required gap of every pair"), step=GAP_STEP),
            Number("depth", project.required_depth_gap, tr("Required depth gap of every pair"), step=GAP_STEP),
        ),
        (
            ("gap", Change(tr("Required gap"), lambda value, project: set_required(project, gap=value))),
            ("depth", Change(tr("Required depth gap"), lambda value, project: set_required(project, depth_gap=value))),
        ),
    )


def is_for_many(rule: GapRule) -> bool:
    """Whether a rule names every body on one side."""
    return EVERY_BODY in rule.between


def of_many(rule: GapRule, tr: Translator) -> Adjustable:
    """A rule for every pair of a body, or of a section: its gaps, or why none of them is checked."""
    named = rule_named(rule, tr)
    about = (rule.section, rule.between, rule.unchecked)
    text = _no_braces(named)
    if rule.unchecked is not None:
        return Adjustable(tr("{pairs}: not checked, {why}.").format(pairs=text, why=_no_braces(rule.unchecked)), about=about)
    step = tr("Gap of {pairs}").format(pairs=named)
    asked = {"gap": rule.required_gap, "depth": rule.required_depth_gap}
    sentence = {
        (True, False): tr("{pairs}: to keep {gap}."),
        (False, True): tr("{pairs}: to keep {depth} where one passes over the other."),
    }.get((asked["gap"] is not None, asked["depth"] is not None), tr("{pairs}: to keep {gap}, and {depth} across."))
    edits: dict[str, Callable[[float, Project], Project]] = {
        "gap": lambda value, project: change_asked(project, rule.section, rule.between, gap=value),
        "depth": lambda value, project: change_asked(project, rule.section, rule.between, depth_gap=value),
    }
    numbers = tuple(
        Number(key, value, f"{named}: {tr('required gap') if key == 'gap' else tr('required depth gap')}", step=GAP_STEP)
        for key, value in asked.items()
        if value is not None
    )
    changes = tuple((number.key, Change(step, edits[number.key])) for number in numbers)
    return Adjustable(sentence.replace("{pairs}", text), numbers, changes, about)


def rule_named(rule: GapRule, tr: Translator) -> str:
    """The pairs that a rule for many covers, in words."""
    one = next((name for name in rule.between if name != EVERY_BODY), None)
    if one is None:
        return tr("Every pair of {section}").format(section=rule.section)
    return tr("Every pair with {body}").format(body=one)


def ask_of_many(section: SectionName, body: BodyName, *, reason: str | None = None) -> Edit:
    """An edit: a rule for every pair with a body; its gap is the one asked already, or with a reason none of them is checked.

    Where another body has such a rule too, their own pair gets the stricter of both (`core.model.gap_rights`).
    """

    def put(project: Project) -> Project:
        between = (body, EVERY_BODY)
        gap = None if reason is not None else asked_of(project, section, between).gap
        return settled(project=put_gap_rule(project, _rule(section, between, gap, reason)), section=section, new=(body,))

    return put


def _rule(section: SectionName, between: tuple[BodyName, BodyName], gap: float | None, reason: str | None) -> GapRule:
    return GapRule(section=section, between=between, required_gap=gap, unchecked=reason)


def new_together(when: Drive, keep: Drive) -> AllowedTogether:
    """A rule between two drives that forbids nothing yet: both spans are whole travels."""
    return AllowedTogether(
        when=DriveSpan(drive=when.name, start=when.start, end=when.end), keep=DriveSpan(drive=keep.name, start=keep.start, end=keep.end)
    )


def of_together(index: int, rule: AllowedTogether, project: Project, tr: Translator) -> Adjustable:
    """A rule between two drives, with the ends of both spans."""
    units = {drive.name: drive.unit for drive in project.drives}
    text = tr("While {when} is from {low} to {high}, {keep} stays from {least} to {most}.")
    if rule.reason:
        text = f"{text} {tr('Because: {why}').format(why=_no_braces(rule.reason))}"
    text = text.replace("{when}", _no_braces(rule.when.drive)).replace("{keep}", _no_braces(rule.keep.drive))
    step = together_named(rule, tr)
    parts: tuple[tuple[str, Side, str], ...] = (
        ("low", "when", "start"),
        ("high", "when", "end"),
        ("least", "keep", "start"),
        ("most", "keep", "end"),
    )
    numbers, changes = [], []
    for key, side, end in parts:
        span: DriveSpan = getattr(rule, side)
        unit: Unit = units.get(span.drive, "deg")
        told = tr("{drive}: from here") if end == "start" else tr("{drive}: to here")
        numbers.append(
            Number(key, getattr(span, end), told.format(drive=span.drive), unit, TURN_STEP if unit == "deg" else SHIFT_STEP),
        )
        changes.append((key, Change(step, _put_end(index, side, end))))
    return Adjustable(text, tuple(numbers), tuple(changes), (index, rule.when.drive, rule.keep.drive))


def together_named(rule: AllowedTogether, tr: Translator) -> str:
    """The two drives of a rule, for the name of a step."""
    return tr("Rule between {when} and {keep}").format(when=rule.when.drive, keep=rule.keep.drive)


def _put_end(index: int, side: Side, end: str) -> Callable[[float, Project], Project]:
    def put(value: float, project: Project) -> Project:
        rule = project.allowed_together[index]
        return replace_together(project, index, replace(rule, **{side: replace(getattr(rule, side), **{end: value})}))

    return put


def pairs_of_drives(drives: tuple[Drive, ...], tr: Translator) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Under "while fold 1 is in a part of its travel" every other drive, keyed by both places in the project."""
    return tuple(
        (
            tr("While {drive} is in a part of its travel").format(drive=one.name),
            tuple(
                (f"{first} {second}", tr("{drive} stays in a part of its own").format(drive=other.name))
                for second, other in enumerate(drives)
                if other is not one
            ),
        )
        for first, one in enumerate(drives)
    )


def moved_by(drives: tuple[Drive, ...], key: str) -> tuple[Drive, Drive]:
    """The two drives of a key of `pairs_of_drives`."""
    first, second = (int(number) for number in key.split())
    return drives[first], drives[second]


def _no_braces(text: str) -> str:
    return text.replace("{", "").replace("}", "")
