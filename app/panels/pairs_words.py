"""The table of all pairs in words: a line a pair, which of them are shown and in which order. Pure functions."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

from core.model.names import EVERY_BODY, SectionName
from core.sentences import unchecked_reason
from core.sentences.checks import judged
from core.sentences.numbers import exact_mm, mm
from core.sweep.pair_stands import PairStand, Standing
from core.sweep.result import Pair
from core.sweep.timeline import GROUPS, Row

Translator = Callable[[str], str]
Key = tuple[SectionName, Pair]
Kind = Literal["all", "checked", "exempt", "pass over", "move as one"]
Order = Literal["found", "pair", "checked", "gap"]

KINDS: Final[Mapping[Kind, tuple[Standing, ...]]] = {
    "all": ("checked", "exempt", "passes-over", "knuckle", "still", "fixed", "bolted", "unknown"),
    "checked": ("checked", "unknown"),
    "exempt": ("exempt",),
    "pass over": ("passes-over",),
    "move as one": ("still", "fixed", "bolted", "knuckle"),
}
"""What each word above the table shows."""

_ORDER: Final[tuple[Standing, ...]] = ("checked", "unknown", "exempt", "knuckle", "passes-over", "still", "fixed", "bolted")


@dataclass(frozen=True, slots=True)
class PairLine:
    """One line: the pair, whether it is checked, what it is to keep, and how it stands or why it is not checked.

    `place`: by how it stands, worst first. `short`: it is closer than asked.
    """

    stand: PairStand
    pair: str
    checked: str
    gap: str
    told: str
    place: tuple[float, ...]
    short: bool

    @property
    def key(self) -> Key:
        """Section and pair."""
        return self.stand.section, self.stand.between


def pair_lines(stands: Sequence[PairStand], rows: Sequence[Row], tr: Translator, *, outdated: bool = False) -> tuple[PairLine, ...]:
    """A line for each pair. rows: of the interference timeline, for what is found of the pairs that are checked.

    outdated: the rows are of a state before: they order the lines, but nothing is told of them.
    """
    found = {(row.section, row.between): row for row in rows}
    lines = (_line(stand, number, found.get((stand.section, stand.between)), tr) for number, stand in enumerate(stands))
    if not outdated:
        return tuple(lines)
    return tuple(replace(line, told="", short=False) if line.stand.standing == "checked" else line for line in lines)


def shown_lines(lines: Sequence[PairLine], *, kind: Kind, order: Order, words: str, backward: bool = False) -> tuple[PairLine, ...]:
    """Those of a kind that hold every word, in an order; the file's order decides between equals."""
    wanted = words.casefold().split()
    kept = [
        line
        for line in lines
        if line.stand.standing in KINDS[kind] and (not wanted or all(word in f"{line.pair} {line.told}".casefold() for word in wanted))
    ]
    keys: Mapping[Order, Callable[[PairLine], tuple[float | str, ...]]] = {
        "found": lambda line: line.place,
        "checked": lambda line: (line.stand.standing != "checked", line.checked, line.pair.casefold()),
        "pair": lambda line: (line.stand.section.casefold(), line.pair.casefold()),
        "gap": lambda line: (line.stand.asked.unchecked is not None, line.stand.asked.gap),
    }
    return tuple(sorted(kept, key=keys[order], reverse=backward))


def count_of(lines: Sequence[PairLine], kind: Kind) -> int:
    """How many pairs are of a kind."""
    return sum(line.stand.standing in KINDS[kind] for line in lines)


def why_not_checked(stand: PairStand, tr: Translator) -> str:
    """Why a pair is not checked, as every answer tells it where it does; empty for one that is."""
    if stand.unchecked is not None:
        return unchecked_reason(stand.unchecked, tr)
    if stand.standing == "exempt":
        return stand.asked.unchecked or ""
    told: dict[Standing, str] = {
        "knuckle": "nothing is left to check beyond the relief of their pin",
        "still": "they move as one; looked at once as drawn",
        "fixed": "both are fixed; looked at once as drawn",
        "bolted": "bolted together",
    }
    return tr(told[stand.standing]) if stand.standing in told else ""


def _line(stand: PairStand, number: int, row: Row | None, tr: Translator) -> PairLine:
    checked = stand.standing == "checked"
    rank = _ORDER.index(stand.standing)
    short = checked and row is not None and row.verdict == "breach"
    told = (_found(row, tr) if row is not None else "") if checked else why_not_checked(stand, tr)
    across = stand.unchecked.depth_gap if stand.unchecked is not None and stand.unchecked.depth_gap is not None else 0.0
    place = (rank, GROUPS.index(row.group), row.margin) if checked and row is not None else (rank, len(GROUPS), across)
    return PairLine(
        stand,
        pair=tr("{first} and {second}").format(first=stand.between[0], second=stand.between[1]),
        checked=tr("checked") if checked else "\N{EN DASH}" if stand.standing == "unknown" else tr("not checked"),
        gap=_asked(stand, tr),
        told=told,
        place=(*place, number),
        short=short,
    )


def _asked(stand: PairStand, tr: Translator) -> str:
    """The gap that is asked of a pair in the section, and whose rule asks it."""
    if stand.asked.unchecked is not None or stand.standing in KINDS["move as one"]:
        return ""
    over = stand.standing == "passes-over"
    gap = tr("{gap} across").format(gap=exact_mm(stand.asked.depth_gap, tr)) if over else exact_mm(stand.asked.gap, tr)
    asking = [rule for rule in stand.rules if (rule.required_depth_gap if over else rule.required_gap) is not None]
    if not asking:
        return gap
    if EVERY_BODY not in asking[0].between:
        return tr("{gap}, its own").format(gap=gap)
    return tr("{gap}, by a rule for many").format(gap=gap)


def _found(row: Row, tr: Translator) -> str:
    """The verdict on a pair with its number, rounded to the safe side; empty before there is one."""
    lead = row.lead
    if row.verdict is None or lead is None:
        return ""
    gap = judged(lead)
    if row.verdict == "undecided":
        return tr("undecided")
    if row.verdict == "clear":
        if lead.far and row.floor is not None:
            return tr("clear, lowest gap over {gap}").format(gap=mm(row.floor - row.tolerance, to="down", tr=tr))
        return tr("clear, lowest gap {gap}").format(gap=mm(gap, to="down", tr=tr))
    told = "only together" if row.group == "together" else ""
    if gap <= 0:
        depth = tr("breach, {depth} deep").format(depth=mm(-gap, tr=tr))
    else:
        depth = tr("breach, short by {gap}").format(gap=mm(row.required - gap, to="up", tr=tr))
    return tr("{breach}, {when}").format(breach=depth, when=tr(told)) if told else depth
