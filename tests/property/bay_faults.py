"""What is wrong with the program's answer on one random bay, as the independent checker sees it.

No pose that the checker samples is nearer than the floor, or breaches where clear is told; lowest gaps are attained where they are
told, and lie within the resolution of their floor; breaches begin and end where the checker's gap crosses what is asked; safe
travel is safe.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from core.sweep.result import Breach, Check, SafeTravel
from tests.bays import check
from tests.checker import Bay, Pair, load
from tests.checker.bay import value_is_cheap
from tests.property.random_bays import Record, random_bay

BOXES, ALL_BOXES = 4000, 50_000
"""Caps of boxes a row: one that spends the first has a lower floor, never a wrong one; only that floor is asked for again."""

SAMPLES = 128
STEPS = 160
ENDS = 0.0015
"""How far the ends of a breach may lie from where the gap crosses, degrees or mm."""

ROUNDING = 2e-6
"""Drive values and gaps are told to 1e-6."""

RING = 0.006
"""By how much a gap may be told too small for each round wall that is swept as straight chords (0.005), and by rounding."""

WIDTH = 0.01 + 2 * ROUNDING
"""How far the floor may lie below the lowest gap told where it was narrowed: the resolution."""

ROOMS, TRAVEL = 4, 5
"""Every so manyth bay has rooms, whose walls take as long as all the rest when drawn across something; safe travel is asked of
every so manyth, for that takes as long as the sweep."""


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


def one_sided(pair: Pair) -> bool:
    """Knuckles: the program clips less than the whole relief, so that it may tell less than the checker's gap."""
    return any(part.joint is not None for part in pair.parts)


def slack_of(pair: Pair) -> float:
    """Each of two walls drawn across one another has chords of its own."""
    across = [part for part in pair.parts if part.mode == "solid"]
    walls = [sum(shape["kind"] in ("bore", "frame") for shape in (part.shape_a, part.shape_b)) for part in across]
    return RING * max(walls, default=0)


def faults(seed: int) -> list[str]:
    """What the checker finds wrong in the program's answer on one random bay."""
    record = random_bay(seed, rooms=seed % ROOMS == 0)
    return [f"seed {seed}: {fault}" for fault in faults_of(record, seed, travel=seed % TRAVEL == 0)]


def faults_of(record: Record, seed: int, *, travel: bool, boxes: int = BOXES) -> Iterator[str]:
    """The same of any bay. travel: whether safe travel with the others anywhere is asked too."""
    bay, result = load(record), check(record, boxes=boxes, safe_anywhere=travel, safe_box=False)
    rng = np.random.default_rng(seed)
    pairs = pairs_of(bay)
    checked = {(frozenset(row.between), row.depth_gap is not None, row.required_gap) for row in result.checks}
    if checked != set(pairs):
        yield f"checked are {checked}, by the checker {set(pairs)}"
        return
    for row in filter(too_wide, result.of_sweep("combined")):
        again = check(only_pair(record, row.between), boxes=ALL_BOXES, covers="combined", safe_anywhere=False, safe_box=False)
        # Where a disc lies on the axis of a bar, or round ends turn about their middles, the gap is the same over a whole surface of
        # drive values, and any cap is spent on narrowing it; verdict and floor hold all the same.
        if any(map(too_wide, again.checks)) and again.work.boxes < ALL_BOXES:
            yield f"{row.between} together: floor {row.floor}, lowest gap {row.lowest_gap}"
    for pair in pairs.values():
        together = told_of(result.of_sweep("combined"), pair)
        yield from (f"{pair.key} together: {fault}" for fault in of_samples(bay, pair, together, sampled(bay, together, rng)))
        yield from (f"{pair.key} together, lowest: {fault}" for fault in of_lowest(bay, pair, together))
        for drive in pair.drives:
            rows = tuple(row for row in result.of_sweep("solo") if row.drives == (drive,))
            yield from (f"{pair.key} over {drive}: {fault}" for fault in of_drive(bay, pair, told_of(rows, pair), drive))
    for safe in result.safe_travel:
        yield from (f"safe travel: {fault}" for fault in of_travel(bay, list(pairs.values()), safe, rng))


def too_wide(row: Check) -> bool:
    """Whether the floor lies farther below the lowest gap than the resolution, with nothing that says so."""
    return row.floor is not None and not row.far and row.verdict != "undecided" and row.lowest_gap - row.floor > WIDTH


def only_pair(record: Record, between: tuple[str, str]) -> Record:
    """The bay with every other pair exempt, so that what is spent is spent on this one."""
    (section,) = record["sections"]
    others = [pair for pair in combinations([body["name"] for body in section["bodies"]], 2) if {*pair} != {*between}]
    own = [rule for rule in record.get("gap_rules", ()) if "*" in rule["between"] or {*rule["between"]} == {*between}]
    exempt = [{"section": section["name"], "between": list(pair), "unchecked": "not the one in question"} for pair in others]
    return {**record, "gap_rules": [*own, *exempt]}


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
    """Whether any pose is nearer than was proved. Floors of concave overlaps are none; those of convex ones are depths."""
    proved = max(told.floor - ROUNDING, pair.sure if told.clear else -math.inf)
    if proved == -math.inf or (proved < -ROUNDING and not all(map(value_is_cheap, pair.parts))):
        return
    near = bay.nearer(pair, values, proved)
    if near.any():
        row = values[near][:1]
        yield f"floor {told.floor}, {'told clear' if told.clear else 'not clear'}, but {bay.gap_of(pair, row).high} at {row.tolist()}"


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
    if row.lowest_gap < gap.low - slack_of(pair) - ROUNDING:
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
    outside = np.ones(STEPS, dtype=bool)
    for breach in told.breaches:
        outside &= (at < breach.start) | (at > breach.end)
    missed = np.flatnonzero(bay.nearer(pair, values[outside], pair.sure))
    if len(missed):
        yield f"outside every breach, but nearer than {pair.sure} at {at[outside][missed[0]]}"
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


def of_travel(bay: Bay, pairs: list[Pair], safe: SafeTravel, rng: np.random.Generator) -> Iterator[str]:
    """Random poses inside safe travel, half of them at its ends, the other drives at home or anywhere that rules allow."""
    if safe.start is None or safe.end is None:
        return
    spans, column = bay.drives.spans(), bay.drives.column(safe.drive)
    values = np.repeat(bay.row(), SAMPLES, axis=0)
    if safe.others == "any":
        values = spans[:, 0] + rng.random((SAMPLES, len(spans))) * (spans[:, 1] - spans[:, 0])
    values[:, column] = np.where(
        rng.random(SAMPLES) < 0.5, rng.choice([safe.start, safe.end], SAMPLES), rng.uniform(safe.start, safe.end, SAMPLES)
    )
    values = values[bay.allowed(values)] if safe.others == "any" else values
    for pair in pairs:
        if safe.drive in pair.drives and (near := bay.nearer(pair, values, pair.sure)).any():
            yield f"{safe}, but {pair.key} is nearer than {pair.sure} at {values[near][0].tolist()}"
