"""The verdict of a whole sweep as sentences: the first thing that is read, and all that some people read."""

from collections.abc import Iterable

from core.model.names import SectionName
from core.model.project import Project
from core.sentences.checks import beyond_reach, bound_words, check_sentence, judged, only_together, sampled_sentence, together_alone
from core.sentences.numbers import Translator, at_list, counted, exact_mm, mm, proved_mm
from core.sweep.result import RANK, Check, Pair, SweepResult, Verdict
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

PairKey = tuple[SectionName, Pair]


def verdict_sentence(result: SweepResult, project: Project, tr: Translator, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> str:
    """The verdict in words a person believes: the worst breach, or what is undecided and what would help, or what is proved.

    A result without a check says so, whatever its verdict.
    """
    if not result.checks:
        return tr("Nothing was checked: no two bodies here move relative to each other, or every pair is among those not checked.")
    if result.verdict == "breach":
        worst = telling_check(check for check in result.checks if check.verdict == "breach")
        told = check_sentence(worst, project, tr, together=only_together(worst, result), opens=False, tolerances=tolerances)
        told = tr("Breach: {sentence}").format(sentence=told)
        return " ".join([told, *_worse_together(worst, result, project, tr), *_without_rules(result, project, tr)])
    if result.verdict == "undecided":
        return _undecided_sentence(result, project, tr)
    return " ".join([_clear_sentence(result, project, tr, tolerances), *_without_rules(result, project, tr)])


def counts_sentence(result: SweepResult, tr: Translator) -> str:
    """How many pairs breach, are undecided and are clear; empty where nothing was checked."""
    verdicts = list(result.pair_verdicts.values())
    if not verdicts:
        return ""
    hidden = {key for key, checks in result.by_pair.items() if any(together_alone(check, checks) for check in checks)}
    told = [
        counted(verdicts.count(verdict), one, many, tr)
        for verdict, one, many in (
            ("breach", "1 pair breaches", "{number} pairs breach"),
            ("undecided", "1 pair is undecided", "{number} pairs are undecided"),
            ("clear", "1 pair is clear", "{number} pairs are clear"),
        )
        if verdict in verdicts
    ]
    if hidden:
        told[0] = tr("{breaches}, {number} of them only when drives move together").format(breaches=told[0], number=len(hidden))
    return tr("{counts}.").format(counts=("; " if hidden else ", ").join(told))


def telling_check(checks: Iterable[Check]) -> Check:
    """The check to tell of several: worst verdict first, then the least gap over the required one, solo before combined.

    A solo sweep's breach is told before any combined one even where that is deeper, since it has an interval and names
    one drive to blame. `checks` must not be empty.
    """

    def order(check: Check) -> tuple[int, bool, float, bool]:
        together = check.sweep == "combined"
        return RANK[check.verdict], together and check.verdict == "breach", judged(check) - check.required_gap, together

    return min(checks, key=order)


def _worse_together(told: Check, result: SweepResult, project: Project, tr: Translator) -> list[str]:
    """What the combined sweep adds to a solo breach of the same pair: a place where it is worse than told by the resolution."""
    own = result.by_pair.get((told.section, told.between), ())
    worse = [
        check
        for check in own
        if check.sweep == "combined" and check.lowest_gap < told.lowest_gap - result.resolution and check.depth_gap == told.depth_gap
    ]
    if told.sweep == "combined" or not worse:
        return []
    lowest = min(worse, key=lambda check: check.lowest_gap)
    where = at_list(lowest.at, project, tr)
    if lowest.lowest_gap < 0:
        sentence = tr("Worse when drives move together: {depth} deep with {where}.")
        return [sentence.format(depth=mm(-lowest.lowest_gap, tr=tr), where=where)]
    return [tr("Worse when drives move together: {gap} with {where}.").format(gap=mm(judged(lowest), to="down", tr=tr), where=where)]


def _clear_sentence(result: SweepResult, project: Project, tr: Translator, tolerances: Tolerances) -> str:
    told_of = result.of_sweep("combined") or result.checks
    tightest = min(told_of, key=lambda check: _proved(check) - check.required_gap)
    floor = min(_proved(check) for check in told_of)
    values = {"where": _everywhere(result, project, tr), "required": exact_mm(tightest.required_gap, tr)}
    if len({check.required_gap for check in told_of}) == 1:
        told = tr("Clear: {where}, no checked pair comes closer than {floor}. You asked for {required}.")
    else:
        floor = _proved(tightest)
        told = tr(
            "Clear: {where}, every checked pair keeps the gap you asked for. "
            "The tightest is {first} and {second}, never closer than {floor}; you asked for {required} there."
        )
    values["floor"] = proved_mm(floor, required=tightest.required_gap, touch=tolerances.touch, tr=tr)
    told = told.format(first=tightest.between[0], second=tightest.between[1], **values)
    if any(check.tolerance for check in told_of):
        told += " " + tr("The outline tolerances you gave are taken off.")
    if any(check.play for check in told_of):
        told += " " + tr("The play you gave is taken off.")
    return told


def _proved(check: Check) -> float:
    """The proved gap after outline tolerances and play, mm; where no floor is given the lowest gap found stands in."""
    return (check.lowest_gap - check.play if check.floor is None else check.floor) - check.tolerance


def _everywhere(result: SweepResult, project: Project, tr: Translator) -> str:
    drives = len(project.drives)
    if drives == 0:
        return tr("as drawn, with no drive to move anything")
    if drives == 1:
        return tr("in every position {drive} can reach").format(drive=project.drives[0].name)
    rules = len(project.allowed_together)
    if result.covers != "solo" and rules:
        return counted(rules, "in every position that your rule allows", "in every position that your {number} rules allow", tr)
    if result.covers == "solo":
        return tr("with one of the {number} drives moving and the others at home").format(number=drives)
    return tr("in every position the {number} drives can reach together").format(number=drives)


def _without_rules(result: SweepResult, project: Project, tr: Translator) -> list[str]:
    """The other answer where rules between drives govern the first: what the combined sweep finds without them."""
    if not result.without_rules:
        return []
    without = pairs_that(result.without_rules, "breach")
    within = pairs_that(result.of_sweep("combined"), "breach")
    rules = len(project.allowed_together)
    doubtful = pairs_that(result.without_rules, "undecided") - without
    if without - within:
        lead = counted(rules, "Without your rule", "Without your {number} rules", tr)
        if not pairs_that(result.checks, "breach"):
            return [lead + ": " + counted(len(without), "breach, 1 pair.", "breach, {number} pairs.", tr)]
        return [lead + " " + counted(len(without - within), "1 more pair breaches.", "{number} more pairs breach.", tr)]
    if doubtful:
        lead = counted(rules, "Without your rule", "Without your {number} rules", tr)
        return [lead + " " + counted(len(doubtful), "1 pair is undecided.", "{number} pairs are undecided.", tr)]
    if within:
        return [counted(rules, "Without your rule the same pairs breach.", "Without your {number} rules the same pairs breach.", tr)]
    return [counted(rules, "It is clear without your rule too.", "It is clear without your {number} rules too.", tr)]


def pairs_that(checks: Iterable[Check], verdict: Verdict) -> set[PairKey]:
    """The pairs of checks that have a verdict."""
    return {(check.section, check.between) for check in checks if check.verdict == verdict}


def _undecided_sentence(result: SweepResult, project: Project, tr: Translator) -> str:
    undecided = [check for check in result.checks if check.verdict == "undecided"]
    pairs = {(check.section, check.between) for check in undecided}
    if not pairs:
        return tr("Not decided: the sweep was stopped before its end. Allow more time.")
    told = [counted(len(pairs), "Not decided: 1 pair.", "Not decided: {number} pairs.", tr)]
    short = [check for check in undecided if beyond_reach(check, project)]
    told += _ran_out(result, [check for check in undecided if check.open_share and check.proof == "bounded" and check not in short], tr)
    sampled = [check.step for check in undecided if check.proof == "sampled"]
    if sampled:
        told.append(sampled_sentence(max((step for step in sampled if step is not None), default=None), tr))
    if short:
        told.append(tr("Part of the travel asked for was not reached; the findings say where."))
    if len(told) == 1:
        told.append(tr("A joint is moved by no drive, or its position cannot be told; the findings say which."))
    return " ".join(told)


def _ran_out(result: SweepResult, left: list[Check], tr: Translator) -> list[str]:
    if not left:
        return []
    floors = [check.floor for check in left]
    ran_out = tr("The time allowed ran out") if result.stopped else tr("The boxes allowed ran out")
    helps = tr("Allow more time, or a coarser resolution.") if result.stopped else tr("Allow more boxes, or a coarser resolution.")
    known = [floor for floor in floors if floor is not None]
    if len(known) < len(floors):
        return [tr("{ran_out}.").format(ran_out=ran_out), helps]
    return [tr("{ran_out}; {bound}.").format(ran_out=ran_out, bound=bound_words(min(known), tr)), helps]
