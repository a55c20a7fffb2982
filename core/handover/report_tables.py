"""The tables of the clearance report."""

from collections.abc import Iterator, Sequence

from core.handover.page import Block, Points, Table, Words
from core.model.project import Project, Unit
from core.motion.linkage import linkage_of
from core.motion.mobility import mobility
from core.sentences import unchecked_reason
from core.sentences.checks import far_over, judged
from core.sentences.numbers import drive_number, drive_value, exact_mm, judged_number, mm, plain, unit_of
from core.sentences.verdict import telling_check
from core.sweep.result import Breach, Check, SafeTravel, SweepResult, Verdict

MOST_PAIRS = 60
"""Pairs in the table; the rest are in the table for spreadsheets."""

_RANK: dict[Verdict, int] = {"breach": 0, "undecided": 1, "clear": 2}
_NAMED = 12
_WHY_NONE = {"home-breaches": "none: a pair is too close at home", "undecided": "none: a pair of this drive is not decided"}


def pairs_table(result: SweepResult, project: Project) -> Block:
    """A row a pair: its worst verdict and the lowest gap of all its sweeps."""
    found = [(telling_check(checks), min(checks, key=_margin), tuple(checks)) for checks in result.by_pair.values()]
    found.sort(key=lambda each: (_RANK[each[0].verdict], _told_margin(each[1], each[2])))
    if not found:
        return Words("No pair was checked.")
    rows = tuple(_pair(telling, lowest, checks, project) for telling, lowest, checks in found[:MOST_PAIRS])
    left = len(found) - MOST_PAIRS
    return Table(
        heads=("Pair", "Verdict", "Lowest gap, mm", "Asked, mm", "Proved at least, mm", "Where"),
        rows=rows,
        align=("left", "left", "right", "right", "right", "left"),
        widths=(0.29, 0.11, 0.11, 0.09, 0.12, 0.28),
        caption=f"{left} more pairs are no worse than these; a report written as .csv has them all." if left > 0 else "",
    )


def _told_margin(lowest: Check, checks: Sequence[Check]) -> float:
    """What the row tells of the pair beyond what is asked: pairs far apart stand in the order of what is proved of them."""
    far = far_over(lowest, checks)
    return _margin(lowest) if far is None else far - lowest.required_gap


def _margin(check: Check) -> float:
    return judged(check) - check.required_gap


def _pair(telling: Check, lowest: Check, checks: Sequence[Check], project: Project) -> tuple[str, ...]:
    section = f"{lowest.section}: " if len(project.sections) > 1 else ""
    at = ", ".join(f"{name} at {drive_value(value, unit_of(project, name), tr=plain)}" for name, value in lowest.at)
    far, floor = far_over(lowest, checks), _floor(checks)
    return (
        f"{section}{lowest.between[0]} and {lowest.between[1]}",
        telling.verdict,
        judged_number(judged(lowest)) if far is None else f"over {judged_number(far)}",
        _number(exact_mm(lowest.required_gap, plain)),
        _number(mm(floor, to="down", tr=plain)) if floor is not None else "none",
        "everywhere" if far is not None else at or "home",
    )


def _floor(checks: Sequence[Check]) -> float | None:
    """What is proved of a pair in all its sweeps, mm as judged; None where one of them has no floor."""
    floors = [None if check.floor is None else check.floor - check.tolerance for check in checks]
    known = [floor for floor in floors if floor is not None]
    return min(known) if len(known) == len(floors) else None


def _number(text: str) -> str:
    """Without the unit, which stands in the head of the column."""
    return text.removesuffix(" mm")


def breaches_table(result: SweepResult, project: Project) -> Iterator[Block]:
    """A row an interval of one drive, the others at home; nothing where no single drive breaches."""
    rows = tuple(
        _breach(check, breach, project, unit_of(project, check.drives[0])) for check in result.of_sweep("solo") for breach in check.breaches
    )
    if rows:
        yield Table(
            heads=("Pair", "Drive", "Too close", "Touching", "At worst, mm"),
            rows=rows,
            align=("left", "left", "left", "left", "right"),
            widths=(0.3, 0.16, 0.2, 0.2, 0.14),
            caption="One drive at a time, the others at home. Each pair is proved clear outside its intervals.",
        )


def _breach(check: Check, breach: Breach, project: Project, unit: Unit) -> tuple[str, ...]:
    section = f"{check.section}: " if len(project.sections) > 1 else ""
    touching = "; ".join(_span(low, high, unit) for low, high in breach.contacts) or "nowhere"
    worst = judged_number(breach.lowest_gap - check.tolerance)
    pair = f"{section}{check.between[0]} and {check.between[1]}"
    return (pair, check.drives[0], _span(breach.start, breach.end, unit), touching, worst)


def _span(low: float, high: float, unit: Unit) -> str:
    return f"{drive_number(low, to='down')} to {drive_value(high, unit, to='up', tr=plain)}"


def travel_table(result: SweepResult, project: Project) -> Iterator[Block]:
    """A row a drive: its travel, what is safe with the others at home, with them anywhere, and all together (the joint box)."""
    if not result.safe_travel:
        yield Words("Safe travel was not looked for.")
        return
    by_drive = {(safe.drive, safe.others): safe for safe in result.safe_travel}
    box = {name: (low, high) for name, low, high in result.safe_box.travels} if result.safe_box is not None else {}
    no_box = "not looked for" if result.safe_box is None else _WHY_NONE.get(result.safe_box.code, "none")
    rows = tuple(
        (
            drive.name,
            _within(drive.start, drive.end, drive.unit),
            _safe(by_drive.get((drive.name, "home")), drive.unit),
            _safe(by_drive.get((drive.name, "any")), drive.unit),
            _within(*box[drive.name], drive.unit) if drive.name in box else no_box,
        )
        for drive in project.drives
    )
    yield Table(
        heads=("Drive", "Travel", "Safe, others at home", "Safe, others anywhere", "Safe, all in theirs"),
        rows=rows,
        align=("left",) * 5,
        widths=(0.16, 0.18, 0.22, 0.22, 0.22),
        caption="The largest travels about home with no breach. What is safe with the others at home is not safe for the drives together. "
        "The last column is one box: nothing comes too close while every drive stays in its own, whatever rules there are between drives.",
    )
    if project.allowed_together:
        yield Words("With the others anywhere means: anywhere that the rules between drives allow.", "quiet")


def _safe(safe: SafeTravel | None, unit: Unit) -> str:
    if safe is None:
        return "not looked for"
    if safe.start is None or safe.end is None:
        return _WHY_NONE.get(safe.code, "none")
    return _within(safe.start, safe.end, unit)


def _within(low: float, high: float, unit: Unit) -> str:
    """An interval rounded inward."""
    return f"{drive_number(low, to='up')} to {drive_value(high, unit, to='down', tr=plain)}"


def mobility_table(project: Project) -> Iterator[Block]:
    """A row a section: freedoms by count and by rank, drives, redundant equations."""
    rows = tuple(
        (each.section, str(each.count), str(each.real), str(each.drives), str(each.redundant), str(len(each.undriven)))
        for each in mobility(project, linkage_of(project))
    )
    yield Table(
        heads=("Section", "Freedoms by count", "By rank", "Drives", "Held more than once", "Undriven"),
        rows=rows,
        align=("left", "right", "right", "right", "right", "right"),
        widths=(0.3, 0.16, 0.12, 0.12, 0.17, 0.13),
    )


def unchecked_tables(result: SweepResult) -> Iterator[Block]:
    """The pairs that were not checked, grouped by their reason."""
    grouped: dict[str, list[str]] = {}
    for pair in result.unchecked:
        reason = "passes over" if pair.code == "passes-over" else unchecked_reason(pair, plain)
        grouped.setdefault(reason or "no reason given", []).append(f"{pair.between[0]} and {pair.between[1]}")
    told = []
    for reason, pairs in grouped.items():
        # "motor and sled and sled and rib" would be a riddle.
        more = f"; and {len(pairs) - _NAMED} more" if len(pairs) > _NAMED else ""
        told.append(f"{reason} ({len(pairs)}): {'; '.join(pairs[:_NAMED])}{more}.")
    if told:
        yield Points(tuple(told))
