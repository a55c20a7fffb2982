"""What is wrong with the program's answer on a closed loop, as the checker sees it, which closes loops by least squares of its own."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from tests.bays import Record, check
from tests.checker import load

VALUES = 25
ROUNDING = 1e-6
POSED = 1e-5
"""How far the gap told may be from the one at the pose told, mm."""

END = 1e-3


class Looked(NamedTuple):
    """What is wrong, and how many rows were decided, of how many."""

    faults: list[str]
    decided: int
    rows: int


def looked_at(record: Record) -> Looked:
    result = check(record, covers="solo", safe_anywhere=False, safe_box=False)
    decided = sum(row.verdict != "undecided" and row.proof == "bounded" for row in result.checks)
    found = [f"{record['name']}: {fault}" for fault in _faults(record, result.checks)]
    return Looked(found if result.checks else [f"{record['name']}: nothing checked"], decided, len(result.checks))


def _faults(record: Record, rows) -> Iterator[str]:
    bay = load(record)
    pairs = {frozenset((pair.a, pair.b)): pair for pair in bay.pairs()}
    if set(pairs) != {frozenset(row.between) for row in rows}:
        yield f"checked are {[row.between for row in rows]}, by the checker {list(pairs)}"
        return
    for row in rows:
        pair, (drive, *reached) = pairs[frozenset(row.between)], row.reached[0]
        gap = bay.gap_of(pair, bay.row(dict(row.at)))
        if row.lowest_gap >= 0 and not gap.low - POSED <= row.lowest_gap <= gap.high + POSED:
            yield f"{row.between} lowest gap {row.lowest_gap} told at {row.at}, measured {gap}"
        if (drive, *reached) != (
            record["drives"][0]["name"],
            record["drives"][0]["from"],
            record["drives"][0]["to"],
        ) and row.verdict == "clear":
            yield f"{row.between} told clear, but reached only {reached}"
        at = np.linspace(*reached, VALUES)
        values = np.vstack([bay.row({drive: float(value)}) for value in at])
        if row.floor is not None and row.floor >= 0 and (near := bay.nearer(pair, values, row.floor - ROUNDING)).any():
            yield f"{row.between} floor {row.floor}, but nearer at {at[near][0]}"
        for value in at[bay.nearer(pair, values, pair.sure)]:
            if not any(breach.start - END <= value <= breach.end + END for breach in row.breaches):
                yield f"{row.between} nearer than {pair.sure} at {value}, told {row.verdict} with {row.breaches}"
