"""The answer as a table for spreadsheets: one row a pair and sweep, and one a pair that was not checked."""

from collections.abc import Iterator

from core.handover.spreadsheet import Cell, csv_of
from core.sentences.cover import unchecked_reason
from core.sentences.numbers import plain
from core.sweep.json_form import number
from core.sweep.result import Check, Span, SweepResult, Values

HEAD = (
    "section",
    "first body",
    "second body",
    "sweep",
    "drives",
    "verdict",
    "proof",
    "required gap mm",
    "outline tolerance mm",
    "play mm",
    "lowest gap mm",
    "proved at least mm",
    "at",
    "breaches from..to",
    "contacts from..to",
    "way out x mm",
    "way out y mm",
    "reason",
)


def checks_csv(result: SweepResult) -> str:
    """Gaps are nominal; the outline tolerance and the play are to be taken off before they are held against the required gap.

    `proved at least` is empty where nothing is proved; a gap beyond the program's cap is told in `reason`.
    """
    return csv_of(HEAD, (*map(_check, result.checks), *_unchecked(result)))


def _check(check: Check) -> tuple[Cell, ...]:
    way_out = check.way_out or (None, None)
    return (
        check.section,
        *check.between,
        check.sweep,
        "; ".join(check.drives),
        check.verdict,
        check.proof,
        check.required_gap,
        check.tolerance,
        check.play,
        check.lowest_gap,
        check.floor,
        _values(check.at),
        _spans((breach.start, breach.end) for breach in check.breaches),
        _spans(span for breach in check.breaches for span in breach.contacts),
        *way_out,
        "not narrowed: farther apart than matters" if check.far else "",
    )


def _unchecked(result: SweepResult) -> Iterator[tuple[Cell, ...]]:
    for pair in result.unchecked:
        told: dict[str, Cell] = {"section": pair.section, "first body": pair.between[0], "second body": pair.between[1]}
        told |= {"verdict": "not checked", "reason": unchecked_reason(pair, plain)}
        yield tuple(told.get(name, "") for name in HEAD)


def _values(values: Values) -> str:
    return "; ".join(f"{name} = {number(value):g}" for name, value in values)


def _spans(spans: Iterator[Span]) -> str:
    return "; ".join(f"{number(low):g}..{number(high):g}" for low, high in spans)
