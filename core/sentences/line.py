"""The verdict as one line that follows an edit while it goes on, and what the edit has changed."""

from core.model.project import Project
from core.sentences.checks import judged
from core.sentences.numbers import Translator, at_list, counted, proved_mm
from core.sentences.verdict import telling_check
from core.sweep.result import SweepResult
from core.tolerances import DEFAULT_TOLERANCES, Tolerances


def verdict_line(result: SweepResult, project: Project, tr: Translator, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> str:
    """The verdict in one line.

    "Proved: nothing closer than 0.50 mm in 294 pairs, 10 drives, every combination." A breach is told by one pair at one
    position, and how many more there are; what is undecided is counted. Where pairs ask for different gaps and the closest
    of all is not the tightest, it says that every gap is kept.
    """
    verdicts = result.pair_verdicts
    if not verdicts:
        return tr("Nothing to check: no two bodies here move relative to each other, or every pair is among those not checked.")
    if result.verdict == "breach":
        return _breach_line(result, project, tr)
    if result.verdict == "undecided":
        open_pairs = sum(verdict == "undecided" for verdict in verdicts.values())
        if not open_pairs:
            return tr("Undecided: the sweep was stopped before its end.")
        told = tr("Undecided: {open} of {pairs}; the others keep what is asked of them.")
        return told.format(open=open_pairs, pairs=_pairs(len(verdicts), tr))
    told_of = result.of_sweep("combined") or result.checks
    floors = [((check.lowest_gap if check.floor is None else check.floor) - check.tolerance, check.required_gap) for check in told_of]
    floor, required = min(floors)
    tightest = min(floors, key=lambda pair: pair[0] - pair[1])
    values = {"pairs": _pairs(len(verdicts), tr), "how": _how(result, project, tr)}
    if tightest[1] != required:
        told = tr("Proved: every gap is kept, nothing closer than {floor} in {pairs}, {how}.")
    else:
        told = tr("Proved: nothing closer than {floor} in {pairs}, {how}.")
    return told.format(floor=proved_mm(floor, required=required, touch=tolerances.touch, tr=tr), **values)


def _breach_line(result: SweepResult, project: Project, tr: Translator) -> str:
    worst = telling_check(check for check in result.checks if check.verdict == "breach")
    first, second = worst.between
    meets = judged(worst) <= 0 and worst.depth_gap is None
    told = tr("Breach: {first} meets {second} {where}") if meets else tr("Breach: {first} comes too close to {second} {where}")
    where = tr("with {values}").format(values=at_list(worst.at, project, tr)) if worst.at else tr("in the home pose")
    told = told.format(first=first, second=second, where=where)
    more = sum(verdict == "breach" for verdict in result.pair_verdicts.values()) - 1
    if more:
        told = tr("{breach}; {more}").format(breach=told, more=counted(more, "1 more pair breaches", "{number} more pairs breach", tr))
    return tr("{breach}.").format(breach=told)


def _pairs(number: int, tr: Translator) -> str:
    return counted(number, "1 pair", "{number} pairs", tr)


def _how(result: SweepResult, project: Project, tr: Translator) -> str:
    drives = counted(len(project.drives), "1 drive", "{number} drives", tr)
    if result.covers == "solo":
        return tr("{drives}, one at a time").format(drives=drives)
    if project.allowed_together:
        return tr("{drives}, every combination that your rules allow").format(drives=drives)
    return tr("{drives}, every combination").format(drives=drives)


def change_line(before: SweepResult, after: SweepResult, tr: Translator) -> str:
    """What an edit did to the breaches, pair by pair: "3 cleared, 1 new".

    Cleared is a pair that breached and is now clear or no longer to be checked; a pair that is now undecided is counted apart.
    """
    old = {key for key, verdict in before.pair_verdicts.items() if verdict == "breach"}
    now = after.pair_verdicts
    cleared = sum(now.get(key, "clear") == "clear" for key in old)
    new = sum(verdict == "breach" and key not in old for key, verdict in now.items())
    was_open = {key for key, verdict in before.pair_verdicts.items() if verdict == "undecided"}
    undecided = sum(verdict == "undecided" and key not in was_open for key, verdict in now.items())
    told = [tr("{number} cleared").format(number=cleared), tr("{number} new").format(number=new)]
    if undecided:
        told.append(tr("{number} now undecided").format(number=undecided))
    return tr("no breach cleared, none new") if not (cleared or new or undecided) else ", ".join(told)
