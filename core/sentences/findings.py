"""Findings (code and data) made sentences."""

from collections.abc import Mapping
from string import Formatter

from core.model.faults import FAULTS, fault_of
from core.model.finding import Finding, Place
from core.sentences.numbers import Translator, counted, drive_number, exact_mm, listed, mm, opening, rounded

MOTION_SENTENCES: Mapping[str, str] = {
    "body-unheld": "No joint leads from the bay to {bodies}, and nothing says where that part stands. Give it a joint, or fix it.",
    "joint-idle": "{joint} joins {first} and {second}, which move as one anyway; it does nothing.",
    "undriven": "No drive moves {freedoms:freedoms} at {joints}; pairs that hang on it are not decided. Add a drive or a joint.",
    "dead-centre-drawn": "As drawn {joints} stand at a dead centre: {freedoms:freedoms} open there that no drive holds.",
    "drive-blocked": "{drive} cannot move from the drawn pose: {joints} stand at the end of what they allow.",
    "redundant": "{joints} hold the same thing more than once ({number} too many); they fit only where their sizes agree.",
}

# Field forms: {depth:mm} two decimals; {depth:mm_up}, {gap:mm_down} rounded so; {misfit:fine} three decimals;
# {freedoms:freedoms} with its noun; {play:typed} as the user typed it; {value:drive} a drive's number without a unit.
SWEEP_SENTENCES: Mapping[str, str] = {
    "still-overlap": "{first} and {second} overlap by {depth:mm_up} as drawn, and no drive moves them apart. "
    "Bolt them together, or mend the outline or the depth.",
    "knuckle-nothing-left": "{first} and {second} have nothing left to check: all of both lies inside the relief disc of {joint}. "
    "Give the joint a smaller relief if they can meet.",
    "running-fit": "{first} runs in {second} about {joint} with {play:mm_down} of radial play.",
    "solo-unseen": "{first} and {second} breach only when drives move together; no sweep of a single drive shows it.",
    "loop-not-swept": "{first} and {second} were not swept: a closed loop lies between them.",
    "free-not-swept": "{first} and {second} were not swept: a joint between them is moved by no drive.",
    "unused-key": "{key} of {where} is read but does nothing yet.",
}


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
            "typed": lambda: exact_mm(value, self._tr),
            "drive": lambda: drive_number(value),
            "freedoms": lambda: counted(int(value), "1 freedom", "{number} freedoms", self._tr),
        }
        return forms[format_spec]()


def finding_sentence(finding: Finding, tr: Translator) -> str:
    """The finding as a sentence or two, with what to do. A code without a sentence is shown with its data."""
    if finding.code in FAULTS:
        fault, remedy = fault_of(finding, translate=tr)
        return opening(tr("{place} {fault}. {remedy}.").format(place=_subject(finding.place, tr), fault=fault, remedy=remedy))
    template = SENTENCES.get(finding.code)
    if template is None:
        return _bare(finding, tr)
    return opening(_Fields(tr).vformat(tr(template), (), _fields(finding)))


def _subject(place: Place, tr: Translator) -> str:
    """The place by name, or by path where it has none: the reader of a drawing knows names, not paths."""
    return place.body or place.joint or place.drive or place.section or place.path or tr("the project")


def _fields(finding: Finding) -> dict[str, object]:
    place = finding.place
    return {"section": place.section, "body": place.body, "joint": place.joint, "drive": place.drive, "path": place.path, **finding.data}


def _bare(finding: Finding, tr: Translator) -> str:
    data = ", ".join(f"{key} {_word(value, tr)}" for key, value in {**finding.place.as_names(), **finding.data}.items())
    return tr("{code}: {data}").format(code=finding.code, data=data) if data else finding.code


def _word(value: object, tr: Translator) -> str:
    if isinstance(value, float):
        return drive_number(value)
    if isinstance(value, tuple):
        return listed((_word(each, tr) for each in value), tr)
    return str(value)
