"""How things stand, in words: the state under each step, the sentence, what was covered, and the findings. Pure functions."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from app.document.answer import Answer, Visit
from app.jobs.asker import Fault
from app.panels.findings import Entry
from app.panels.sentence import Kind
from app.panels.words import Tone
from core.model.finding import Finding
from core.model.names import DriveName
from core.model.project import Project
from core.motion.linkage import Linkage
from core.sentences import (
    caution,
    change_line,
    check_sentence,
    degree_sign,
    finding_sentence,
    not_covered_sentences,
    only_together,
    unchecked_sentence,
    verdict_line,
    verdict_sentence,
    way_out_sentence,
)
from core.sentences.numbers import drive_value
from core.sweep.result import Check, SweepResult
from core.sweep.timeline import Row, heat_step

Translator = Callable[[str], str]
State = tuple[str, Tone]


@dataclass(frozen=True, slots=True)
class Stand:
    """All that the words are made of."""

    project: Project | None
    linkage: Linkage | None
    answer: Answer | None
    values: Mapping[DriveName, float]
    sweeping: bool
    handed_over: SweepResult | None
    fault: Fault | None = None
    found: tuple[Finding, ...] = ()
    """What is wrong with the drawing, known before any sweep."""
    before: Answer | None = None
    """The answer before the last edit, or before the one that goes on."""
    live: tuple[Project, SweepResult] | None = None
    """A state that an edit passed through and its verdict, while there is no answer; `live_now`: it is the state at hand."""
    live_now: bool = False
    written: tuple[str, Project] | None = None
    """The file written last, in words, and the project that it was made of; None where the answer was handed over since."""

    @property
    def waits_for(self) -> tuple[Finding, ...]:
        """What must be mended before the project can be swept."""
        return tuple(finding for finding in self.found if finding.level == "error")


class Worded:
    """Remembers what the sentence and what was covered were last said of, since most of what happens changes neither."""

    def __init__(self) -> None:
        self._of: tuple[object, ...] = ()

    def changed(self, stand: Stand, row: Row | None) -> bool:
        """Whether they are to be said anew; then they are taken as said."""
        of = (stand.project, stand.answer, stand.fault, stand.found, stand.before, stand.live, stand.live_now, row)
        same = len(of) == len(self._of) and all(one is other for one, other in zip(of, self._of, strict=True))
        self._of = of
        return not same

    def forget(self) -> None:
        """Something else was said in between."""
        self._of = ()


def states(stand: Stand, tr: Translator) -> dict[str, State]:
    """The words under each step."""
    if stand.project is None:
        return dict.fromkeys(("Outline", "Joints", "Travel", "Gaps", "Hand-over"), ("", "quiet"))
    bodies = sum(len(section.bodies) for section in stand.project.sections)
    return {
        "Outline": (_counted(bodies, "1 body", "{number} bodies", tr), "quiet"),
        "Joints": (_joints(stand, tr), "quiet"),
        "Travel": (_travel(stand.project, stand.values, tr), "quiet"),
        "Gaps": _gaps(stand, tr),
        "Hand-over": (_hand_over(stand, tr), "quiet"),
    }


def _counted(number: int, one: str, many: str, tr: Translator) -> str:
    return tr(one if number == 1 else many).format(number=number)


def _joints(stand: Stand, tr: Translator) -> str:
    count = len(stand.project.drives) if stand.project else 0
    told = _counted(count, "1 drive", "{number} drives", tr)
    sections = stand.linkage.sections if stand.linkage else ()
    free = sum(any(step.free for step in steps) for section in sections for steps in section.steps)
    if free:
        return tr("{drives}, {undriven}").format(drives=told, undriven=_counted(free, "1 joint undriven", "{number} joints undriven", tr))
    return tr("{drives}, all driven").format(drives=told) if count else told


def _travel(project: Project, values: Mapping[DriveName, float], tr: Translator) -> str:
    off = [drive for drive in project.drives if values.get(drive.name, drive.home) != drive.home]
    if not off:
        return tr("all at home") if project.drives else tr("nothing moves yet")
    if len(off) == 1:
        value = drive_value(values[off[0].name], off[0].unit, tr=degree_sign(tr)).replace("-", "\N{MINUS SIGN}")
        return tr("{drive} at {value}").format(drive=off[0].name, value=value)
    return tr("{number} drives off home").format(number=len(off))


def _gaps(stand: Stand, tr: Translator) -> State:
    answer = stand.answer
    if stand.waits_for:
        return (tr("waits: {faults}").format(faults=_counted(len(stand.waits_for), "1 fault", "{number} faults", tr)), "breach")
    if answer is None or answer.result is None:
        return (tr("not proved") if stand.fault else tr("proving"), "quiet")
    rows, counts = answer.timeline.rows, answer.timeline.counts
    alone, together, undecided = counts["alone"], counts["together"], counts["undecided"]
    if alone or together:
        told = _counted(alone, "1 breach", "{number} breaches", tr)
        if together:
            told = tr("{breaches}, {number} more together").format(breaches=told, number=together)
            told = told if alone else _counted(together, "1 breach together", "{number} breaches together", tr)
        return (told, "breach")
    if undecided:
        return (_counted(undecided, "1 pair undecided", "{number} pairs undecided", tr), "ink")
    return (tr("clear"), "proved") if rows else (tr("nothing to check"), "quiet")


def _hand_over(stand: Stand, tr: Translator) -> str:
    result = stand.answer.result if stand.answer else None
    if stand.written is not None:
        word, project = stand.written
        return (tr("{file} written") if project == stand.project else tr("{file} out of date")).format(file=tr(word))
    if stand.handed_over is None:
        return tr("nothing handed over yet")
    return tr("answer handed over") if stand.handed_over is result else tr("answer out of date")


def sentence(stand: Stand, row: Row | None, tr: Translator) -> tuple[str, Kind]:
    """The verdict; while a pair is in hand, what it does."""
    if stand.project is None:
        return tr("No project is open."), "plain"
    if not any(section.bodies for section in stand.project.sections):
        return tr("Draw the bay's wall, or type its size with Ctrl+B: 80 x 50."), "plain"
    result = stand.answer.result if stand.answer else None
    if stand.waits_for:
        return waiting_sentence(stand.waits_for, tr), "undecided"
    if stand.fault is not None:
        return fault_sentence(stand.fault, tr), "undecided"
    if result is None and stand.live is not None:
        return true_minus(verdict_line(stand.live[1], stand.live[0], degree_sign(tr))), stand.live[
            1
        ].verdict if stand.live_now else "working"
    if result is None:
        return tr("Proving: how near each pair comes over every position the drives can reach."), "working"
    words = degree_sign(tr)
    if row is not None and row.lead is not None and result.verdict != "clear":
        return _of_pair(row.lead, result, stand.project, words), row.verdict or "working"
    return true_minus(verdict_sentence(result, stand.project, words)), result.verdict


def waiting_sentence(faults: tuple[Finding, ...], tr: Translator) -> str:
    """Why the sweep waits: the first fault of the drawing, and how many more there are."""
    told = tr("The sweep waits: {fault}").format(fault=true_minus(finding_sentence(faults[0], degree_sign(tr))))
    more = len(faults) - 1
    return (
        f"{told} {_counted(more, 'One more fault is among the findings.', '{number} more faults are among the findings.', tr)}"
        if more
        else told
    )


def fault_sentence(fault: Fault, tr: Translator) -> str:
    """Why there is no answer, and what to do."""
    if fault.what == "died":
        told = tr("Not proved: the process that proves ended by itself ({detail}). Another has taken its place; sweep once more.")
    else:
        told = tr("Not proved: the program met an error of its own ({detail}). Your file is unchanged; please report it with the file.")
    return told.format(detail=fault.detail)


def _of_pair(check: Check, result: SweepResult, project: Project, tr: Translator) -> str:
    told = check_sentence(check, project, tr, together=only_together(check, result), opens=False)
    # The interval of the breach stands beside the pair's row.
    told = told.partition(". ")[0].rstrip(".") + "."
    head = {"breach": tr("Breach: {told}"), "undecided": tr("Not decided: {told}"), "clear": tr("Clear: {told}")}
    return true_minus(head[check.verdict].format(told=told))


def true_minus(text: str) -> str:
    """A hyphen before a figure becomes a minus sign, unless it stands inside a name."""
    return text.replace(" -", " \N{MINUS SIGN}").replace("(-", "(\N{MINUS SIGN}")


def covered(stand: Stand, tr: Translator) -> tuple[str, str, Tone]:
    """What the answer covers and what it took: two lines and the tone of the first."""
    result = stand.answer.result if stand.answer else None
    if stand.project is None:
        return "", "", "quiet"
    if stand.waits_for:
        return tr("Nothing is swept while there are faults"), "", "quiet"
    if stand.fault is not None:
        return tr("Nothing proved"), "", "quiet"
    if result is None and stand.live is not None:
        return tr("Following the edit"), _changed(stand, stand.live[1], tr) if stand.live_now else "", "quiet"
    if result is None:
        return tr("Sampled so far, proving"), "", "quiet"
    if not result.checks:
        return tr("Nothing to prove yet"), "", "quiet"
    undecided = len({(check.section, check.between) for check in result.checks if check.verdict == "undecided"})
    upper = _counted(undecided, "1 pair left undecided", "{number} pairs left undecided", tr) if undecided else tr("Nothing left undecided")
    if result.stopped:
        upper = tr("Stopped early; {left}").format(left=_counted(undecided, "1 pair left", "{number} pairs left", tr))
    drives = _counted(len(stand.project.drives), "1 drive", "{number} drives", tr)
    lower = tr("{drives}, every combination, {seconds} s").format(drives=drives, seconds=_seconds(result.work.seconds))
    if changed := _changed(stand, result, tr):
        lower = tr("{changed} by the last edit, {seconds} s").format(changed=changed, seconds=_seconds(result.work.seconds))
    return upper, lower, "ink" if undecided else "proved"


def _changed(stand: Stand, result: SweepResult, tr: Translator) -> str:
    """What the last edit did to the breaches, "3 cleared, 1 new"; empty where there was no answer before it."""
    before = stand.before.result if stand.before is not None else None
    return change_line(before, result, tr) if before is not None else ""


def _seconds(seconds: float) -> str:
    return f"{seconds:.2f}" if seconds < 10 else f"{seconds:.0f}"


def entries(stand: Stand, found: tuple[Visit, ...], tr: Translator) -> tuple[Entry, ...]:
    """Breaches by depth, then the findings of the drawing and the mechanism."""
    result = stand.answer.result if stand.answer else None
    words = degree_sign(tr)
    if stand.project is None or result is None:
        return tuple(_of(finding, words) for finding in stand.found)
    breaches = [_entry(visit, result, stand.project, words) for visit in found]
    return (*breaches, *(_of(finding, words) for finding in (*stand.found, *result.findings)))


def faults(stand: Stand, tr: Translator) -> tuple[Entry, ...]:
    """What is to be mended in the drawing and the mechanism, as far as it is known; no breaches, and nothing that is for information.

    What was found of the mechanism before the edit that is being proved stays until it is found anew.
    """
    answer = stand.answer if stand.answer is not None and stand.answer.result is not None else stand.before
    motion = answer.result.findings if answer is not None and answer.result is not None and not stand.waits_for else ()
    to_mend = [finding for finding in (*stand.found, *_still_there(motion, stand.project)) if finding.level != "note"]
    return tuple(_of(finding, degree_sign(tr)) for finding in to_mend)


def _still_there(findings: Sequence[Finding], project: Project | None) -> list[Finding]:
    """Those findings of which what they are about is still called so."""
    if project is None or not findings:
        return []
    inside: dict[str, set[tuple[str, str]]] = {
        section.name: {(body.name, "") for body in section.bodies} | {("", joint.name) for joint in section.joints}
        for section in project.sections
    }
    drives = {"", *(drive.name for drive in project.drives)}
    return [
        finding
        for finding in findings
        if (place := finding.place).drive in drives
        and ((place.body, place.joint) == ("", "") or (place.body, place.joint) in inside.get(place.section, ()))
    ]


def _of(finding: Finding, tr: Translator) -> Entry:
    return Entry(true_minus(finding_sentence(finding, tr)), "", 0, finding=finding)


def _entry(visit: Visit, result: SweepResult, project: Project, tr: Translator) -> Entry:
    check = visit.check
    told = true_minus(check_sentence(check, project, tr, together=only_together(check, result)))
    head, stop, rest = told.partition(". ")
    detail = " ".join(part for part in (rest, way_out_sentence(check, tr)) if part)
    step = heat_step(check.lowest_gap - check.tolerance, check.required_gap)
    return Entry(head + stop.strip(), true_minus(detail), step, visit.place - 1)


def findings_note(stand: Stand, tr: Translator) -> str:
    """How many breaches: "5 solo, 3 together"."""
    if stand.answer is None or stand.answer.result is None:
        return ""
    breaches = stand.answer.timeline.breaches
    together = sum(row.group == "together" for row in breaches)
    alone = len(breaches) - together
    parts = [tr("{number} solo").format(number=alone) if alone else "", tr("{number} together").format(number=together) if together else ""]
    return ", ".join(part for part in parts if part)


def headings(tr: Translator) -> dict[str, str]:
    """What the dividers of the timeline say before each group of rows."""
    return {"together": tr("only when drives move together"), "undecided": tr("not decided")}


def rests_on(stand: Stand, tr: Translator) -> tuple[str, ...]:
    """The caution, then what the answer rests on and leaves out; what to wait for while there is none."""
    if stand.project is None or stand.answer is None or stand.answer.result is None:
        return (tr("The answer can be handed over once it is proved."),)
    result = stand.answer.result
    told = (caution(tr), unchecked_sentence(result, tr), *not_covered_sentences(result, stand.project, degree_sign(tr)))
    return tuple(sentence for sentence in told if sentence)


def no_findings(stand: Stand, tr: Translator) -> str:
    """What the list of findings says while it is empty."""
    if stand.answer is None or stand.answer.result is None:
        return tr("Findings appear here once they are proved.")
    if not stand.answer.result.checks:
        return tr("Nothing to check yet.")
    return tr("Nothing found: every checked pair keeps what is asked of it.") if stand.answer.result.verdict == "clear" else tr("None.")
