"""Findings (code and data) made sentences."""

import re
from collections.abc import Mapping
from dataclasses import replace
from string import Formatter

from core.model.faults import FAULTS, fault_of
from core.model.finding import Finding, Place
from core.model.project import Unit
from core.sentences.numbers import Translator, counted, drive_number, drive_value, exact_mm, listed, mm, opening, rounded

MOTION_SENTENCES: Mapping[str, str] = {
    "body-unheld": "No joint leads from the bay to {bodies}, and nothing says where that part stands. Give it a joint, or fix it.",
    "joint-idle": "{joint} joins {first} and {second}, which move as one anyway; it does nothing.",
    "undriven": "No drive moves {freedoms:freedoms} at {joints}; pairs that hang on it are not decided. Add a drive or a joint.",
    "dead-centre-drawn": "As drawn {joints} stand at a dead centre: {freedoms:freedoms} open there that no drive holds.",
    "drive-blocked": "{drive} cannot move from the drawn pose: {joints} stand at the end of what they allow.",
    "redundant": "{joints} hold the same thing more than once ({number} too many); they fit only where their sizes agree.",
    "loop-not-assembled": "{drive} goes from {from} to {to} only, the other drives at home: beyond {value} the joints {joints} cannot "
    "meet.",
    "loop-dead-centre": "{drive} comes to a dead centre at {value}, the other drives at home: from there {joints} may go on in more "
    "than one way, and no pose beyond is told.",
    "loop-slot-end": "{drive} goes from {from} to {to} only, the other drives at home: at {value} a pin comes to the end of its slot, "
    "among {joints}.",
    "loop-conflict": "Rods conflict by {misfit:fine_up} over the travel of {drive}: {joints} hold the same thing in ways that agree "
    "from {from} to {to} only. They fit from {play:fine_up} of play in every joint.",
    "loop-conflict-fixed": "Joints conflict by {misfit:fine_up} over the travel of {drive}: {joints} hold the same thing in ways that "
    "agree from {from} to {to} only, and play takes up none of it.",
    "play-fits": "Rods differ by up to {misfit:fine_up}, most of all with {drive} at {value}, and the play you gave takes that up; they "
    "fit from {play:fine_up} of play in every joint: {joints}.",
    "play-left": "With {drive} at {value}, the other drives at home, play leaves {bodies} anywhere from {low} to {high}, counted from "
    "where drawn.",
}

# Field forms: {depth:mm} two decimals; {depth:mm_up}, {gap:mm_down} rounded so; {misfit:fine} three decimals;
# {misfit:fine_up} the same rounded up; {freedoms:freedoms} with its noun; {play:typed} as the user typed it; {value:drive} a drive's
# number without a unit. Where a finding tells a drive's `unit`, its `from`, `to` and `value` carry it, rounded into the travel.
SWEEP_SENTENCES: Mapping[str, str] = {
    "still-overlap": "{first} and {second} overlap by {depth:mm_up} as drawn, and no drive moves them apart. "
    "Bolt them together, or mend the outline or the depth.",
    "knuckle-nothing-left": "{first} and {second} have nothing left to check: all of both lies inside the relief disc of {joint}. "
    "Give the joint a smaller relief if they can meet.",
    "running-fit": "{first} runs in {second} about {joint} with {play:mm_down} of radial play.",
    "solo-unseen": "{first} and {second} breach only when drives move together; no sweep of a single drive shows it.",
    "loop-not-swept": "{first} and {second} were not swept: a closed loop lies between them.",
    "free-not-swept": "{first} and {second} were not swept: a joint between them is moved by no drive.",
}


_HOLE = re.compile(r"\.holes\[(\d+)\]")

SENTENCES: Mapping[str, str] = {**MOTION_SENTENCES, **SWEEP_SENTENCES}


class _Fields(Formatter):
    """Fills a template; the form after the colon says how a number is written."""

    def __init__(self, tr: Translator) -> None:
        self._tr = tr

    def format_field(self, value: object, format_spec: str) -> str:
        if not format_spec or not isinstance(value, int | float):
            return _word(value, self._tr)
        forms = {
            "mm": lambda: mm(value, tr=self._tr),
            "mm_up": lambda: mm(value, to="up", tr=self._tr),
            "mm_down": lambda: mm(value, to="down", tr=self._tr),
            "fine": lambda: self._tr("{value} mm").format(value=rounded(value, places=3)),
            "fine_up": lambda: self._tr("{value} mm").format(value=rounded(value, places=3, to="up")),
            "typed": lambda: exact_mm(value, self._tr),
            "drive": lambda: drive_number(value),
            "freedoms": lambda: counted(int(value), "1 freedom", "{number} freedoms", self._tr),
        }
        return forms[format_spec]()


def finding_sentence(finding: Finding, tr: Translator) -> str:
    """The finding as a sentence or two, with what to do. A code without a sentence is shown with its data."""
    if finding.code in FAULTS:
        fault, remedy = fault_of(_counted_from_one(finding), translate=tr)
        return opening(tr("{place} {fault}. {remedy}.").format(place=_subject(finding.place, tr), fault=fault, remedy=remedy))
    template = SENTENCES.get(finding.code)
    if template is None:
        return _bare(finding, tr)
    return opening(_Fields(tr).vformat(tr(template), (), {**_fields(finding), **_within_travel(finding, tr), **_left_open(finding, tr)}))


def _counted_from_one(finding: Finding) -> Finding:
    """The finding with the other hole that it names counted as a reader counts, from one, and not as the file's paths do."""
    other = finding.data.get("other")
    if finding.code not in ("holes-meet", "hole-in-hole") or not isinstance(other, int):
        return finding
    return replace(finding, data={**finding.data, "other": other + 1})


_RULES: Mapping[str, str] = {
    "gap_rules[": "a gap rule of {section}",
    "allowed_together[": "a rule between drives",
    "required_gap": "the required gap",
    "required_depth_gap": "the required depth gap",
}
"""What the rules of a project are called, by the beginning of their path."""


def _subject(place: Place, tr: Translator) -> str:
    """The place by name, or by path where it has none: the reader of a drawing knows names, not paths."""
    if place.body and (hole := _HOLE.search(place.path)):
        return tr("hole {number} of {body}").format(number=int(hole[1]) + 1, body=place.body)
    named = place.body or place.joint or place.drive
    rule = next((told for start, told in _RULES.items() if place.path.startswith(start)), "")
    return named or (tr(rule).format(section=place.section) if rule else place.section or place.path or tr("the project"))


def _fields(finding: Finding) -> dict[str, object]:
    place = finding.place
    return {"section": place.section, "body": place.body, "joint": place.joint, "drive": place.drive, "path": place.path, **finding.data}


def _within_travel(finding: Finding, tr: Translator) -> dict[str, object]:
    """The drive values of a finding with their unit, rounded towards the travel that is left."""
    unit, low, high, value = (finding.data.get(key) for key in ("unit", "from", "to", "value"))
    if unit not in ("deg", "mm") or not (isinstance(low, float | int) and isinstance(high, float | int) and isinstance(value, float | int)):
        return {}
    told: Unit = "deg" if unit == "deg" else "mm"
    upper = abs(value - high) < abs(value - low)
    return {
        "from": drive_value(low, told, to="up", tr=tr),
        "to": drive_value(high, told, to="down", tr=tr),
        "value": drive_value(value, told, to="down" if upper else "up", tr=tr),
    }


def _left_open(finding: Finding, tr: Translator) -> dict[str, object]:
    """What play leaves open at a drive's value, rounded outward."""
    unit, measure, low, high, value = (finding.data.get(key) for key in ("unit", "measure", "low", "high", "value"))
    if "from" in finding.data or not isinstance(value, float | int):
        return {}
    told: dict[str, object] = {"value": drive_value(value, "deg" if unit == "deg" else "mm", tr=tr)}
    if isinstance(low, float | int) and isinstance(high, float | int):
        own: Unit = "deg" if measure == "deg" else "mm"
        told |= {"low": drive_value(low, own, to="down", tr=tr), "high": drive_value(high, own, to="up", tr=tr)}
    return told


def _bare(finding: Finding, tr: Translator) -> str:
    data = ", ".join(f"{key} {_word(value, tr)}" for key, value in {**finding.place.as_names(), **finding.data}.items())
    return tr("{code}: {data}").format(code=finding.code, data=data) if data else finding.code


def _word(value: object, tr: Translator) -> str:
    if isinstance(value, float):
        return drive_number(value)
    if isinstance(value, tuple):
        return listed((_word(each, tr) for each in value), tr)
    return str(value)
