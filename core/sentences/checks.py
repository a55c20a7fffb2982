"""One check as sentences: what the pair does, how far it falls short, and why the program says so."""

from collections.abc import Iterable

from core.model.project import Project
from core.sentences.numbers import (
    Translator,
    at_list,
    at_values,
    drive_number,
    drive_value,
    exact_mm,
    gap_mm,
    listed,
    mm,
    opening,
    proved_mm,
    rounded,
    unit_of,
)
from core.sweep.result import Breach, Check, Span, SweepResult
from core.tolerances import DEFAULT_TOLERANCES, Tolerances


def only_together(check: Check, result: SweepResult) -> bool:
    """Whether this combined breach is of a pair that is proved clear of each single drive; False where that was not looked at."""
    if check.sweep != "combined" or check.verdict != "breach":
        return False
    return together_alone(check, result.by_pair.get((check.section, check.between), ()))


def together_alone(check: Check, own: Iterable[Check]) -> bool:
    """The same, where the checks of its pair are at hand."""
    if check.sweep != "combined" or check.verdict != "breach":
        return False
    alone = [solo.verdict for solo in own if solo.sweep == "solo"]
    return bool(alone) and all(verdict == "clear" for verdict in alone)


def judged(check: Check) -> float:
    """The lowest gap less outline tolerances and what play takes, mm: what the required gap is held against."""
    return check.lowest_gap - check.tolerance - check.play


def far_over(lowest: Check, checks: Iterable[Check]) -> float | None:
    """Mm that a pair is proved to stay over as judged, in all its sweeps, where the gap of `lowest` was not narrowed; None for others.

    checks: of that pair. What one drive alone is proved to keep, drives together may not.
    """
    if not lowest.far:
        return None
    floors = [check.floor - check.tolerance for check in checks if check.floor is not None]
    return min(floors, default=None)


def check_sentence(
    check: Check,
    project: Project,
    tr: Translator,
    *,
    together: bool = False,
    opens: bool = True,
    tolerances: Tolerances = DEFAULT_TOLERANCES,
) -> str:
    """What the pair of this check does over its sweep, in one to three sentences.

    `together` (see `only_together`): say that it breaches only when drives move together. Names the section where the
    project has more than one. Without `opens` it follows other words: a body's name stands as the user spells it.
    """
    if check.verdict == "breach":
        told = _breach_sentence(check, project, tr, together=together, tolerances=tolerances)
    elif check.verdict == "clear":
        told = _clear_sentence(check, project, tr, tolerances)
    else:
        told = _undecided_sentence(check, project, tr)
    if len(project.sections) > 1:
        told = tr("in {section}, {sentence}").format(section=check.section, sentence=told)
    return opening(told) if opens else told


def way_out_sentence(check: Check, tr: Translator) -> str:
    """The shortest shift of the second body that parts an overlapping pair at its deepest pose; empty where there is none."""
    if check.way_out is None:
        return ""
    x, y = check.way_out
    moves = [
        tr(word).format(length=mm(abs(shift), to="up", tr=tr))
        for shift, word in ((x, "{length} right" if x > 0 else "{length} left"), (y, "{length} up" if y > 0 else "{length} down"))
        if abs(shift) >= 0.005
    ]
    if not moves:
        return ""
    return tr("The shortest way apart there: {body} goes {moves}.").format(body=check.between[1], moves=listed(moves, tr))


def why(check: Check, project: Project, tr: Translator, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> tuple[str, ...]:
    """The answer to "Why?": who was checked, over what, what was asked, what was found and how it was proved."""
    first, second = check.between
    lines = [
        tr("{first} and {second} of {section}.").format(first=first, second=second, section=check.section),
        _over_what(check, project, tr),
        _asked(check, tr),
        tr("Lowest gap found: {gap}{where}.").format(gap=gap_mm(check.lowest_gap, tr), where=_where(check, project, tr)),
        _floor_line(check, tr, tolerances),
        _proof_line(check, tr),
        way_out_sentence(check, tr),
    ]
    return tuple(opening(line) for line in lines if line)


def _breach_sentence(check: Check, project: Project, tr: Translator, *, together: bool, tolerances: Tolerances) -> str:
    worst = min(check.breaches, key=lambda breach: breach.lowest_gap, default=None)
    if check.depth_gap is not None:
        told = _too_little_depth(check, project, tr)
    elif check.lowest_gap > tolerances.touch:
        told = _short_sentence(check, project, tr, together=together)
    elif worst is not None and worst.contacts:
        told = _contact_sentence(check, worst, project, tr)
    else:
        told = _combined_contact(check, project, tr, together=together)
    if worst is not None:
        told += _missed_sentence(check, worst, project, tr, tolerances)
    if len(check.breaches) > 1:
        told += " " + tr("It is one of {number} breaches along {drive}.").format(number=len(check.breaches), drive=check.drives[0])
    return told


def _missed_sentence(check: Check, breach: Breach, project: Project, tr: Translator, tolerances: Tolerances) -> str:
    """Over what values the required gap is missed; empty where that is told already, since contact begins and ends with it."""
    if (breach.start, breach.end) == breach.contact or check.required_gap <= tolerances.touch:
        return ""
    drive = check.drives[0]
    unit = unit_of(project, drive)
    told = tr("The {required} you asked for is missed with {drive} from {low} to {high}.")
    low, high = drive_number(breach.start, to="down"), drive_value(breach.end, unit, to="up", tr=tr)
    return " " + told.format(required=exact_mm(check.required_gap, tr), drive=drive, low=low, high=high)


def _contact_sentence(check: Check, breach: Breach, project: Project, tr: Translator) -> str:
    """A solo contact: the deepest stretch of the drive's travel, told as it is met when the drive leaves home."""
    drive = check.drives[0]
    unit = unit_of(project, drive)
    contact = next((span for span in breach.contacts if span[0] <= breach.at <= span[1]), breach.contacts[0])
    template = _approach(check, contact, project)
    ends = {
        "low": drive_value(contact[0], unit, to="down", tr=tr),
        "low_number": drive_number(contact[0], to="down"),
        "high": drive_value(contact[1], unit, to="up", tr=tr),
    }
    first, second = check.between
    told = tr(template).format(first=first, second=second, drive=drive, **ends)
    depth = -breach.lowest_gap
    if depth < 0.005:
        return tr("{told}, and just touches it at {at}.").format(told=told, at=drive_value(breach.at, unit, tr=tr))
    return tr("{told}, and is {depth} deep at {at}.").format(told=told, depth=mm(depth, tr=tr), at=drive_value(breach.at, unit, tr=tr))


def _approach(check: Check, contact: Span, project: Project) -> str:
    start, end = next(((low, high) for _, low, high in check.reached), contact)
    home = next((drive.home for drive in project.drives if drive.name in check.drives), start)
    at_start, at_end = contact[0] <= start, contact[1] >= end
    if at_start and at_end:
        return "{first} meets {second} over the whole travel of {drive}"
    if at_end and home < contact[0]:
        return "{first} meets {second} once {drive} passes {low}"
    if at_start and home > contact[1]:
        return "{first} meets {second} once {drive} falls below {high}"
    if contact[0] <= home <= contact[1]:
        return "{first} meets {second} with {drive} at home, from {low_number} to {high}"
    return "{first} meets {second} while {drive} is between {low_number} and {high}"


def _combined_contact(check: Check, project: Project, tr: Translator, *, together: bool) -> str:
    first, second = check.between
    if together:
        told = tr("{first} meets {second} only when drives move together, for example {at}.")
    elif len(check.drives) > 1:
        told = tr("{first} meets {second}, for example with {at_list}.")
    else:
        told = tr("{first} meets {second} with {at_list}.") if check.at else tr("{first} meets {second} in the home pose.")
    told = told.format(first=first, second=second, at=at_values(check.at, project, tr), at_list=at_list(check.at, project, tr))
    depth = -check.lowest_gap
    return told if depth < 0.005 else told + " " + tr("It is {depth} deep there.").format(depth=mm(depth, tr=tr))


def _short_sentence(check: Check, project: Project, tr: Translator, *, together: bool) -> str:
    """0 < gap < required, or a contact that only the outline tolerances or play make."""
    first, second = check.between
    if judged(check) <= 0:
        if not check.play:
            told = tr("{first} can meet {second}{where}: {gap} apart as drawn, and the outlines may be {tolerance} larger.")
        elif not check.tolerance:
            told = tr("{first} can meet {second}{where}: {gap} apart with every pin centred, and play takes {play}.")
        else:
            told = tr(
                "{first} can meet {second}{where}: {gap} apart as drawn with every pin centred, the outlines may be {tolerance} "
                "larger, and play takes {play}."
            )
        values = {"gap": mm(check.lowest_gap, to="down", tr=tr), "tolerance": exact_mm(check.tolerance, tr)}
        values["play"] = mm(check.play, to="up", tr=tr)
        return told.format(first=first, second=second, where=_where(check, project, tr), **values)
    gap = rounded(judged(check), places=2, to="down")
    short = rounded(check.required_gap - float(gap), places=2, to="up")
    if together:
        told = tr("{first} clears {second} by only {gap} mm when drives move together, for example {at}.")
    else:
        told = tr("{first} clears {second} by only {gap} mm{where}.")
    told = told.format(first=first, second=second, gap=gap, at=at_values(check.at, project, tr), where=_where(check, project, tr))
    if check.tolerance:
        told += " " + tr("{tolerance} of outline tolerance is taken off.").format(tolerance=exact_mm(check.tolerance, tr))
    if check.play:
        told += " " + tr("{play} is taken off for play.").format(play=mm(check.play, to="up", tr=tr))
    return told + " " + tr("That is {short} mm short of what you asked.").format(short=short)


def _too_little_depth(check: Check, project: Project, tr: Translator) -> str:
    first, second = check.between
    gap, required = mm(judged(check), to="down", tr=tr), exact_mm(check.required_gap, tr)
    told = tr("{first} and {second} pass over each other only {gap} apart{where}. You asked for {required} there.")
    return told.format(first=first, second=second, gap=gap, required=required, where=_where(check, project, tr))


def _clear_sentence(check: Check, project: Project, tr: Translator, tolerances: Tolerances) -> str:
    first, second = check.between
    floor = check.lowest_gap - check.play if check.floor is None else check.floor
    values = {
        "floor": proved_mm(floor - check.tolerance, required=check.required_gap, touch=tolerances.touch, tr=tr),
        "required": exact_mm(check.required_gap, tr),
    }
    told = tr("{first} and {second} never come closer than {floor}{over}. You asked for {required}.")
    return told.format(first=first, second=second, over=_while_moving(check, project, tr), **values)


def _undecided_sentence(check: Check, project: Project, tr: Translator) -> str:
    first, second = check.between
    told = tr("{first} and {second} are not decided.").format(first=first, second=second)
    reasons = [_sampled_sentence(check, tr), _beyond_sentence(check, project, tr), _left_sentence(check, tr), _play_sentence(check, tr)]
    if not any(reasons):
        reasons = [tr("A joint between them is moved by no drive, or its position cannot be told.")]
    return " ".join([told, *(reason for reason in reasons if reason)])


def _sampled_sentence(check: Check, tr: Translator) -> str:
    if check.proof != "sampled":
        return ""
    return sampled_sentence(check.step, tr)


def sampled_sentence(step: float | None, tr: Translator) -> str:
    """What it means that a closed loop was sampled, with the largest step in mm where it is known."""
    if step is None:
        return tr("Looked at in the home pose alone: a closed loop, or a joint that no drive moves, lies between.")
    told = tr("Looked at, not proved: poses up to {step} apart were tried on this closed loop. A thinner meeting could be missed.")
    return told.format(step=mm(step, to="up", tr=tr))


def beyond_reach(check: Check, project: Project) -> tuple[str, ...]:
    """The drives whose whole travel this check did not reach."""
    travel = {drive.name: (drive.start, drive.end) for drive in project.drives}
    return tuple(name for name, low, high in check.reached if name in travel and (low > travel[name][0] or high < travel[name][1]))


def _beyond_sentence(check: Check, project: Project, tr: Translator) -> str:
    short = beyond_reach(check, project)
    parts = [
        tr("{drive} was reached only from {low} to {high}.").format(
            drive=name,
            low=drive_value(low, unit_of(project, name), to="up", tr=tr),
            high=drive_value(high, unit_of(project, name), to="down", tr=tr),
        )
        for name, low, high in check.reached
        if name in short
    ]
    return " ".join(opening(part) for part in parts)


def _left_sentence(check: Check, tr: Translator) -> str:
    if not check.open_share or check.proof == "sampled":
        return ""
    if check.floor is None:
        # Only over a loop that is not enclosed is nothing at all known of a position.
        told = tr("{share} of its positions are left: there it is not proved that the drives alone settle where the loop stands.")
        return told.format(share=_share(check.open_share, tr))
    told = tr("{share} of its positions are left; {bound}.")
    return told.format(share=_share(check.open_share, tr), bound=bound_words(check.floor, tr))


def _play_sentence(check: Check, tr: Translator) -> str:
    if not check.play or judged(check) >= check.required_gap or check.proof == "sampled":
        return ""
    told = tr("Play may take up to {play} of the {gap} there; no position of the pins was found that comes closer than asked.")
    return told.format(play=mm(check.play, to="up", tr=tr), gap=mm(check.lowest_gap, to="down", tr=tr))


def bound_words(floor: float, tr: Translator) -> str:
    """What a floor still allows where nothing is decided: "nothing closer than 0.31 mm is possible there"."""
    if floor < 0:
        return tr("an overlap of up to {depth} is possible there").format(depth=mm(-floor, to="up", tr=tr))
    return tr("nothing closer than {floor} is possible there").format(floor=mm(floor, to="down", tr=tr))


def _share(share: float, tr: Translator) -> str:
    percent = 100 * share
    if percent < 0.01:
        return tr("less than 0.01 %")
    return tr("{percent} %").format(percent=drive_number(percent, to="up"))


def _where(check: Check, project: Project, tr: Translator) -> str:
    """Where the lowest gap is: at "fold 1 = 52 deg", with "fold 3 at 50 deg and twist 3 at 9 deg"; empty where no drive plays a part."""
    if not check.at:
        return ""
    if len(check.at) == 1:
        name, value = check.at[0]
        return tr(" at {drive} = {value}").format(drive=name, value=drive_value(value, unit_of(project, name), tr=tr))
    return tr(" with {at_list}").format(at_list=at_list(check.at, project, tr))


def _while_moving(check: Check, project: Project, tr: Translator) -> str:
    if not check.drives:
        return tr(" in the home pose")
    if check.sweep == "solo" and len(project.drives) > 1:
        return tr(" while {drive} moves and the others are at home").format(drive=check.drives[0])
    if len(check.drives) == 1:
        return tr(" while {drive} moves").format(drive=check.drives[0])
    return tr(", in every position that {drives} can reach together").format(drives=listed(check.drives, tr))


def _over_what(check: Check, project: Project, tr: Translator) -> str:
    if not check.reached:
        return tr("In the home pose alone.")
    spans = [
        tr("{drive} from {low} to {high}").format(drive=name, low=drive_number(low), high=drive_value(high, unit_of(project, name), tr=tr))
        for name, low, high in check.reached
    ]
    if check.sweep == "solo" and len(project.drives) > 1:
        return tr("Over {spans}, with every other drive at home.").format(spans=listed(spans, tr))
    return tr("Over {spans}." if len(spans) == 1 else "Over every combination of {spans}.").format(spans=listed(spans, tr))


def _asked(check: Check, tr: Translator) -> str:
    if check.depth_gap is not None:
        told = tr("They pass over each other, {depth} apart across the section; {required} was asked.")
        return told.format(depth=mm(check.depth_gap, to="down", tr=tr), required=exact_mm(check.required_gap, tr))
    if check.play:
        told = tr("{required} was asked, whatever the play of the joints, which takes {play} at the lowest gap.")
        if check.tolerance:
            told += " " + tr("{tolerance} of outline tolerance is taken off.")
        play = mm(check.play, to="up", tr=tr)
        return told.format(required=exact_mm(check.required_gap, tr), play=play, tolerance=exact_mm(check.tolerance, tr))
    if check.tolerance:
        told = tr("{required} was asked, after {tolerance} of outline tolerance is taken off.")
        return told.format(required=exact_mm(check.required_gap, tr), tolerance=exact_mm(check.tolerance, tr))
    return tr("{required} was asked.").format(required=exact_mm(check.required_gap, tr))


def _floor_line(check: Check, tr: Translator, tolerances: Tolerances) -> str:
    if check.floor is None:
        return tr("No floor is proved.")
    floor = proved_mm(check.floor, required=check.required_gap + check.tolerance, touch=tolerances.touch, tr=tr)
    if check.floor < 0:
        return tr("Proved: the overlap is nowhere deeper than {depth}.").format(depth=mm(-check.floor, to="up", tr=tr))
    return tr("Proved: nowhere closer than {floor}.").format(floor=floor)


def _proof_line(check: Check, tr: Translator) -> str:
    if check.proof == "sampled":
        return sampled_sentence(check.step, tr)
    return tr("Proof: a bound on how far any point can move covers every position in between; nothing rests on samples.")
