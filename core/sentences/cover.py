"""What an answer does not cover: pairs not checked, assumptions, and the caution that goes with every answer."""

from core.model.project import AllowedTogether, Body, DriveSpan, Project
from core.sentences.checks import sampled_sentence
from core.sentences.numbers import Translator, counted, drive_number, drive_value, listed, mm, unit_of
from core.sweep.result import Covers, SweepResult, Unchecked

MOST_NAMES = 4
"""More names than this in one sentence are counted instead."""

_SWEEPS_LEFT_OUT: dict[Covers, str] = {
    "solo": "Positions that drives reach only together were not looked at.",
    "combined": "The drives were swept together only; where one drive alone breaches is not told.",
}


def unchecked_reason(unchecked: Unchecked, tr: Translator) -> str:
    """Why a pair was not checked: the user's own reason, or "passes over, 3.00 mm apart"."""
    if unchecked.code == "passes-over" and unchecked.depth_gap is not None:
        return tr("passes over, {gap} apart").format(gap=mm(unchecked.depth_gap, to="down", tr=tr))
    return unchecked.reason


def unchecked_sentence(result: SweepResult, tr: Translator) -> str:
    """How many pairs were not checked; empty where all were."""
    if not result.unchecked:
        return ""
    one = "1 pair was not checked. It is listed with its reason; this answer says nothing about it."
    many = "{number} pairs were not checked. Each is listed with its reason; this answer says nothing about them."
    return counted(len(result.unchecked), one, many, tr)


def caution(tr: Translator) -> str:
    """The caution that stands under every answer."""
    return tr(
        "This is a drawing check, not a safety device. Cut the power before reaching in; a stalled motor can move without warning. "
        "Follow local rules, and have a competent person judge anything that can hurt someone."
    )


def not_covered_sentences(result: SweepResult, project: Project, tr: Translator) -> tuple[str, ...]:
    """What the answer rests on and leaves out, one sentence or two each, the general assumption first."""
    told = [
        tr(
            "Proved for the shapes as drawn, rigid and straight through their depth. "
            "Print errors, play and bending are not included unless you gave them."
        ),
        _tolerances_missing(project, tr),
        _not_measured(project, tr),
        _knuckles(result, tr),
        _sampled(result, tr),
        tr(_SWEEPS_LEFT_OUT[result.covers]) if result.covers in _SWEEPS_LEFT_OUT else "",
        *(_rule_on_drives(rule, project, tr) for rule in project.allowed_together),
        _sections_apart(project, tr),
    ]
    return tuple(sentence for sentence in told if sentence)


def _bodies(project: Project) -> list[Body]:
    return [body for section in project.sections for body in section.bodies]


def _names_or_number(bodies: list[Body], tr: Translator) -> str:
    if len(bodies) > MOST_NAMES:
        return tr("{number} bodies").format(number=len(bodies))
    return listed((body.name for body in bodies), tr)


def _tolerances_missing(project: Project, tr: Translator) -> str:
    bodies = _bodies(project)
    without = [body for body in bodies if not body.outline_tolerance]
    if not without:
        return ""
    if len(without) == len(bodies):
        return tr("No outline tolerance is given: every body is taken to be made exactly as drawn.")
    return tr("No outline tolerance is given for {bodies}: taken to be made exactly as drawn.").format(bodies=_names_or_number(without, tr))


def _not_measured(project: Project, tr: Translator) -> str:
    doubtful = [body for body in _bodies(project) if body.trust in ("typical", "guessed")]
    if not doubtful:
        return ""
    told = tr("Drawn from typical or guessed sizes, not measured: {bodies}. Measure them before you rely on this.")
    return told.format(bodies=_names_or_number(doubtful, tr))


def _knuckles(result: SweepResult, tr: Translator) -> str:
    pairs = {(knuckle.section, knuckle.between) for knuckle in result.knuckles if not knuckle.running}
    empty = pairs - result.by_pair.keys()
    if not pairs:
        return ""
    one = "1 pair shares a pin: about it, inside the relief disc, nothing is checked."
    many = "{number} pairs share a pin: about it, inside the relief disc, nothing is checked."
    told = counted(len(pairs), one, many, tr)
    if not empty:
        return told
    return told + " " + counted(len(empty), "1 of them has nothing else to check.", "{number} of them have nothing else to check.", tr)


def _sampled(result: SweepResult, tr: Translator) -> str:
    sampled = [check for check in result.checks if check.proof == "sampled"]
    if not sampled:
        return ""
    pairs = {(check.section, check.between) for check in sampled}
    step = max((check.step for check in sampled if check.step is not None), default=None)
    return counted(len(pairs), "1 pair is not proved.", "{number} pairs are not proved.", tr) + " " + sampled_sentence(step, tr)


def _rule_on_drives(rule: AllowedTogether, project: Project, tr: Translator) -> str:
    told = tr("Left out by your rule: positions where {when} is between {when_span} but {keep} is not between {keep_span}.")
    return told.format(
        when=rule.when.drive, when_span=_span(rule.when, project, tr), keep=rule.keep.drive, keep_span=_span(rule.keep, project, tr)
    )


def _span(span: DriveSpan, project: Project, tr: Translator) -> str:
    high = drive_value(span.end, unit_of(project, span.drive), tr=tr)
    return tr("{low} and {high}").format(low=drive_number(span.start), high=high)


def _sections_apart(project: Project, tr: Translator) -> str:
    if len(project.sections) < 2:
        return ""
    return tr("Sections are proved apart: a body taken out of its plane by another section's drive is not covered.")
