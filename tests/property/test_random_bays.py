"""Random bays: what the program proves of each is held against the independent checker's sampling.

No pose that the checker samples is nearer than the floor, or breaches where clear is told; lowest gaps are attained where they
are told; breaches begin and end where the checker's gap crosses what is asked. BAYSWEEP_RANDOM_BAYS sets how many bays.
"""

import math
import os
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import pytest

from core.sweep.result import Breach, Check, SweepResult
from tests.bays import check
from tests.checker import Bay, Pair, load
from tests.checker.bay import value_is_cheap
from tests.property.random_bays import random_bay

COUNT = int(os.environ.get("BAYSWEEP_RANDOM_BAYS", "3000"))
CHUNK = 250
BOXES = 2000
"""Cap of boxes a row: a row that spends it has a lower floor, never a wrong one."""

SAMPLES = 96
STEPS = 96
ENDS = 0.0015
"""How far the ends of a breach may lie from where the gap crosses, degrees or mm."""

ROUNDING = 2e-6
"""Drive values and gaps are told to 1e-6."""

RING = 0.006
"""By how much a gap may be told too small where a round wall is swept as straight chords (0.005), and by rounding."""


@dataclass(frozen=True)
class Told:
    """What the program tells of one pair: its rows of a sweep (bands or running fits may make several)."""

    rows: tuple[Check, ...]

    @property
    def lowest(self) -> Check:
        return min(self.rows, key=lambda row: row.lowest_gap)

    @property
    def clear(self) -> bool:
        return all(row.verdict == "clear" for row in self.rows)

    @property
    def undecided(self) -> bool:
        return any(row.verdict == "undecided" for row in self.rows)

    @property
    def floor(self) -> float:
        """-inf where no floor is told."""
        return min(-math.inf if row.floor is None else row.floor for row in self.rows)

    @property
    def breaches(self) -> list[Breach]:
        return [breach for row in self.rows for breach in row.breaches]


def told_of(rows: tuple[Check, ...], pair: Pair) -> Told:
    own = [row for row in rows if {row.between[0], row.between[1]} == {pair.a, pair.b} and (row.depth_gap is not None) == pair.passing]
    return Told(tuple(row for row in own if row.required_gap == pair.need))


def judged(result: SweepResult) -> Iterator[tuple[str, str, bool, float]]:
    """The checks as the checker lists them: all that pass over by one need are one there, whatever lies between them."""
    passing = set()
    for row in result.of_sweep("combined"):
        key = (min(row.between), max(row.between), row.depth_gap is not None, row.required_gap)
        if key not in passing:
            yield key
        if row.depth_gap is not None:
            passing.add(key)


def one_sided(pair: Pair) -> bool:
    """Knuckles: the program clips less than the whole relief, so that it may tell less than the checker's gap."""
    return any(part.joint is not None for part in pair.parts)


def slack_of(pair: Pair) -> float:
    ringed = any(part.mode == "solid" and {part.shape_a["kind"], part.shape_b["kind"]} & {"bore", "frame"} for part in pair.parts)
    return RING if ringed else 0.0


CONVEX = ("disc", "bar", "box", "polygon")
"""Depths of concave overlaps take the checker as long as all the rest, so that only every third bay has concave outlines."""


def faults(seed: int) -> Iterator[str]:
    """What the checker finds wrong in the program's answer on one random bay."""
    record = random_bay(seed) if seed % 3 == 0 else random_bay(seed, kinds=CONVEX)
    bay, result = load(record), check(record, boxes=BOXES)
    if not result.checks and not bay.pairs():
        return
    rng = np.random.default_rng(seed)
    pairs = pairs_of(bay)
    judged = {(frozenset(row.between), row.depth_gap is not None, row.required_gap) for row in result.checks}
    if judged != set(pairs):
        yield f"checked are {judged}, by the checker {set(pairs)}"
        return
    for pair in pairs.values():
        together = told_of(result.of_sweep("combined"), pair)
        yield from (f"{pair.key} together: {fault}" for fault in of_samples(bay, pair, together, sampled(bay, together, rng)))
        yield from (f"{pair.key} together, lowest: {fault}" for fault in of_lowest(bay, pair, together))
        for drive in pair.drives:
            rows = tuple(row for row in result.of_sweep("solo") if row.drives == (drive,))
            yield from (f"{pair.key} over {drive}: {fault}" for fault in of_drive(bay, pair, told_of(rows, pair), drive))


def pairs_of(bay: Bay) -> dict[tuple[frozenset[str], bool, float], Pair]:
    """The checker's pairs by who and what is asked: running fits are one with others of which no more is asked."""
    pairs: dict[tuple[frozenset[str], bool, float], Pair] = {}
    for pair in bay.pairs():
        key = (frozenset((pair.a, pair.b)), pair.passing, pair.need)
        pairs[key] = replace(pair, parts=pairs[key].parts + pair.parts) if key in pairs else pair
    return pairs


def sampled(bay: Bay, told: Told, rng: np.random.Generator) -> np.ndarray:
    """Drive values over all travels, half of them near the lowest gap told, and all home."""
    spans = bay.drives.spans()
    low, width = spans[:, 0], spans[:, 1] - spans[:, 0]
    anywhere = low + rng.random((SAMPLES // 2, len(spans))) * width
    near = bay.row(dict(told.lowest.at)) + rng.normal(0, 0.02, (SAMPLES // 2, len(spans))) * width
    values = np.vstack([anywhere, np.clip(near, spans[:, 0], spans[:, 1]), bay.row()])
    return values[bay.allowed(values)]


def of_samples(bay: Bay, pair: Pair, told: Told, values: np.ndarray) -> Iterator[str]:
    """Gaps by outlines inside the true ones: the true gap is no larger than any of these."""
    gaps = bay._rough(pair, values)
    worst = int(np.argmin(gaps))
    least, at = float(gaps[worst]), values[worst].tolist()
    if least < pair.sure and told.clear:
        yield f"told clear, but {least} at {at}"
    if told.floor > least + ROUNDING and (least >= 0 or told.floor >= 0):
        yield f"floor {told.floor}, but {least} at {at}"


def of_lowest(bay: Bay, pair: Pair, told: Told) -> Iterator[str]:
    """The gap told is the gap at the pose told; of concave overlaps, whose depth takes long, only that they overlap."""
    row = told.lowest
    values = bay.row(dict(row.at))
    if not bay.allowed(values)[0]:
        yield f"lowest gap told at {row.at}, which is not reached"
    if row.lowest_gap < 0 and not all(map(value_is_cheap, pair.parts)):
        if not one_sided(pair) and bay._rough(pair, values)[0] > slack_of(pair) + ROUNDING:
            yield f"overlap {row.lowest_gap} told at {row.at}, where there is none"
        return
    gap = bay.gap_of(pair, values)
    if row.lowest_gap > gap.high + ROUNDING:
        yield f"lowest gap {row.lowest_gap} told at {row.at}, measured at most {gap.high}"
    if row.lowest_gap < gap.low - slack_of(pair) - ROUNDING and not one_sided(pair):
        yield f"lowest gap {row.lowest_gap} told at {row.at}, measured at least {gap.low}"


def of_drive(bay: Bay, pair: Pair, told: Told, drive: str) -> Iterator[str]:
    """Dense steps along one drive, and the ends of each breach."""
    yield from of_lowest(bay, pair, told)
    column = bay.drives.column(drive)
    low, high = bay.drives.spans()[column]
    at = np.linspace(low, high, STEPS)
    values = np.repeat(bay.row(), STEPS, axis=0)
    values[:, column] = at
    yield from of_samples(bay, pair, told, values)
    if told.undecided:
        return
    gaps = bay._rough(pair, values)
    outside = np.ones(STEPS, dtype=bool)
    for breach in told.breaches:
        outside &= (at < breach.start) | (at > breach.end)
    missed = np.flatnonzero(outside & (gaps < pair.sure))
    if len(missed):
        yield f"outside every breach, but {gaps[missed[0]]} at {at[missed[0]]}"
    for breach in told.breaches:
        yield from of_ends(bay, pair, told, drive, breach)


def of_ends(bay: Bay, pair: Pair, told: Told, drive: str, breach: Breach) -> Iterator[str]:
    low, high = bay.drives.spans()[bay.drives.column(drive)]
    error = 2 * bay.fine + ROUNDING
    for end, outward in ((breach.start, -1), (breach.end, 1)):
        beyond, within = end + outward * 1e-4, end - outward * ENDS
        others = [other for other in told.breaches if other is not breach and other.start - 1e-4 <= beyond <= other.end + 1e-4]
        if low <= beyond <= high and not others and bay._fine_gap(drive, pair, beyond) < pair.sure - ROUNDING:
            yield f"breach ends at {end}, but {bay._fine_gap(drive, pair, beyond)} at {beyond}"
        settled = breach.grazes or one_sided(pair) or end in (low, high) or breach.end - breach.start < 2 * ENDS
        if not settled and bay._fine_gap(drive, pair, within) > pair.sure + slack_of(pair) + error:
            yield f"breach ends at {end}, but {bay._fine_gap(drive, pair, within)} already at {within}"


@pytest.mark.parametrize("first", range(0, COUNT, CHUNK))
def test_answer_holds_against_the_checker(first):
    found = [f"seed {seed}: {fault}" for seed in range(first, min(first + CHUNK, COUNT)) for fault in faults(seed)]
    assert not found, "\n".join(found)
