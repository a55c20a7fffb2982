"""A project as the checker sees it: who is checked, gaps at a pose, and what dense and random sampling finds.

Decided here where the meaning of a project is silent:

- the gap of two bodies is the least over their pairs of shapes, each pair judged on its own (no translation of a whole body);
- two bodies with shapes side by side, others that pass over and others that run on each other are checks of their own;
- the default relief is that of each two shapes that hold the pin; shapes that pass over each other on it are not relieved;
- a rule decides only the keys it gives; `unchecked` and `required_gap` are one key;
- a joint moved by several drives adds them up.

Chord errors: `coarse` for searching, `fine` for the numbers told. Values of drives are degrees or mm, gaps mm.
"""

import itertools
import json
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from tests.checker.loop import LoopPoser
from tests.checker.outline import Floats
from tests.checker.parts import TOUCH, Kept, Part, Rules, parts_of
from tests.checker.pose import Drives, Pose, after, chains, columns_on_path, inverse, tree_poses

Record = dict[str, Any]
NDBools = np.ndarray
Key = tuple[str, str, str]
COARSE, FINE = 2e-3, 2e-5


@dataclass(frozen=True)
class Gap:
    """A signed gap: `value` from outlines inside the true ones, the true one within [low, high]."""

    value: float
    low: float
    high: float

    @property
    def error(self) -> float:
        """How far the true gap may be from `value`."""
        return max(self.value - self.low, self.high - self.value)


@dataclass(frozen=True)
class Pair:
    """Two bodies and what is asked of them; `passing`: by their shapes that pass over each other."""

    section: str
    a: str
    b: str
    need: float
    tolerance: float
    passing: bool
    drives: tuple[str, ...]
    parts: tuple[Part, ...]

    @property
    def key(self) -> Key:
        """Section and the two names in order."""
        return self.section, min(self.a, self.b), max(self.a, self.b)

    @property
    def sure(self) -> float:
        """The nominal gap below which this pair is in breach."""
        return self.need + self.tolerance - TOUCH


@dataclass(frozen=True)
class Unchecked:
    """Two bodies that are not judged, with the reason: a rule's words, "passes over", "still", "undriven", "nothing left"."""

    section: str
    a: str
    b: str
    reason: str
    apart: float = math.nan


@dataclass(frozen=True)
class Seen:
    """The lowest gap met while sampling, where, and whether it breaches what is asked of the pair."""

    pair: Pair
    gap: Gap
    at: dict[str, float]

    @property
    def breach(self) -> bool:
        """Certainly too close: even the largest gap that the chords allow."""
        return self.gap.high < self.pair.sure

    @property
    def clear(self) -> bool:
        """Certainly far enough at this place."""
        return self.gap.low >= self.pair.sure


@dataclass(frozen=True)
class Interval:
    """A stretch of drive values in breach, with the stretches in contact and the lowest gap inside."""

    start: float
    end: float
    contacts: tuple[tuple[float, float], ...]
    lowest: Gap
    at: float


def load(source: str | Path | Record) -> "Bay":
    """A bay from a file, or from the file's content."""
    if isinstance(source, dict):
        return Bay(source)
    return Bay(json.loads(Path(source).read_text(encoding="utf-8")))


class Bay:
    """One project. `coarse` and `fine` are chord errors in mm."""

    def __init__(self, project: Record, *, coarse: float = COARSE, fine: float = FINE) -> None:
        self.project, self.coarse, self.fine = project, coarse, fine
        self.sections = {section["name"]: section for section in project["sections"]}
        self.bodies = {(s["name"], b["name"]): b for s in project["sections"] for b in s["bodies"]}
        self.drives = Drives({drive["name"]: drive for drive in project.get("drives", [])})
        self.rules, self._kept = Rules(project), Kept()
        self._loops = {name: LoopPoser(s, self.drives) for name, s in self.sections.items() if chains(s)[1]}

    # who is checked

    def pairs(self) -> list[Pair]:
        """Every checked pair."""
        return list(self._judged[0])

    def unchecked(self) -> list[Unchecked]:
        """Every pair that is not checked, with its reason."""
        return list(self._judged[1])

    @cached_property
    def _judged(self) -> tuple[list[Pair], list[Unchecked]]:
        pairs: list[Pair] = []
        unchecked: list[Unchecked] = []
        for section in self.project["sections"]:
            for a, b in itertools.combinations(section["bodies"], 2):
                made, left_out = self._judge(section, a, b)
                pairs += made
                unchecked += left_out
        return pairs, unchecked

    def _judge(self, section: Record, a: Record, b: Record) -> tuple[list[Pair], list[Unchecked]]:
        note = (section["name"], a["name"], b["name"])
        columns, loose = self._movers(section, a["name"], b["name"])
        exempt = self.rules.exempt(*note)
        reason = "still" if not columns and not loose else exempt if exempt is not None else "undriven" if loose else None
        if reason is not None:
            return [], [Unchecked(*note, reason)]
        tolerance = float(a.get("outline_tolerance", 0.0) + b.get("outline_tolerance", 0.0))
        every = parts_of(section, self.rules, a, b, error=self.fine, kept=self._kept)
        near = [part for part in every if part.dz < 0.0 or part.dz < part.need]
        judged = [part for part in near if not part.gone(self.coarse)]
        if not judged:
            return [], [Unchecked(*note, "nothing left" if near else "passes over", min(part.dz for part in every))]
        drives = tuple(self.drives.names[k] for k in sorted(columns))
        pairs = []
        for asked in sorted({part.asked for part in judged}):
            passing, _, need = asked
            pairs.append(Pair(*note, need, tolerance, passing, drives, tuple(part for part in judged if part.asked == asked)))
        return pairs, []

    def _movers(self, section: Record, a: str, b: str) -> tuple[set[int], bool]:
        if section["name"] not in self._loops:
            return columns_on_path(section, self.drives, a, b)
        return self._loops[section["name"]].columns_between(a, b)

    # poses and gaps

    def row(self, values: Mapping[str, float] | None = None) -> Floats:
        """Drive values as a row (1, drives); drives not named are at home."""
        row = self.drives.home()
        for name, value in (values or {}).items():
            row[self.drives.column(name)] = value
        return row[None, :]

    def poses_at(self, section: str, values: Floats) -> dict[str, Pose]:
        """Poses of all bodies of a section for values (n, drives); nan where a loop cannot be assembled."""
        if section in self._loops:
            return self._loops[section].poses(values)
        return tree_poses(self.sections[section], self.drives, values)

    def poses(self, values: Mapping[str, float] | None = None) -> dict[tuple[str, str], tuple[float, tuple[float, float]]]:
        """(section, body) -> (turn in degrees, shift in mm) for one set of drive values."""
        row = self.row(values)
        return {
            (section, body): (math.degrees(pose[0][0]), (float(pose[1][0, 0]), float(pose[1][0, 1])))
            for section in self.sections
            for body, pose in self.poses_at(section, row).items()
        }

    def relative(self, pair: Pair, values: Floats) -> Pose:
        """Poses of the pair's first body in the drawn frame of its second, for values (n, drives)."""
        poses = self.poses_at(pair.section, values)
        return after(inverse(poses[pair.b]), poses[pair.a])

    def find(self, section: str, a: str, b: str) -> list[Pair]:
        """The checks of two bodies, in either order."""
        return [pair for pair in self._judged[0] if pair.key == (section, *sorted((a, b)))]

    def gap(self, section: str, a: str, b: str, values: Mapping[str, float] | None = None) -> Gap:
        """Least gap of two bodies at a pose over every pair of their shapes, also where they pass over or are not checked."""
        bodies = self.bodies[section, a], self.bodies[section, b]
        parts = [
            p for p in parts_of(self.sections[section], self.rules, *bodies, error=self.fine, kept=self._kept) if not p.gone(self.fine)
        ]
        whole = Pair(section, a, b, 0.0, 0.0, False, (), tuple(parts))
        return self.gap_of(whole, self.row(values))

    def gap_of(self, pair: Pair, row: Floats) -> Gap:
        """The gap of a pair at one row of values, by fine chords, with what the chords leave open."""
        turns, shifts = self.relative(pair, row)
        found = [self._bracket(part, turns, shifts) for part in pair.parts]
        return Gap(*(min(column) for column in zip(*found, strict=True))) if found else Gap(math.inf, math.inf, math.inf)

    def _bracket(self, part: Part, turns: Floats, shifts: Floats) -> tuple[float, float, float]:
        value = float(part.exact(turns, shifts, self.fine)[0])
        if part.joint is not None:
            # How far clipping less brings the remains nearer depends on how their cores cross the relief's edge: both are measured.
            left = float(part.exact(turns, shifts, self.fine, outer=True)[0])
            return value, min(value, left) - part.error(self.fine), value
        convex = all(side.convex for side in part.outlines(self.fine))
        if value > 0.0 or convex or "room" in part.mode:
            return value, value - part.error(self.fine), value
        return value, float(part.exact(turns, shifts, self.fine, outer=True)[0]), value

    # sampling

    def allowed(self, values: Floats) -> NDBools:
        """Which rows the rules of what is allowed together let be reached; (n,)."""
        fine = np.ones(len(values), bool)
        for rule in self.project.get("allowed_together", []):
            when, keep = rule["while"], rule["keep"]
            first, second = (values[:, self.drives.column(span["drive"])] for span in (when, keep))
            low, high = self.drives.spans()[self.drives.column(when["drive"])]
            above = first >= when["from"] if when["from"] <= low else first > when["from"]
            below = first <= when["to"] if when["to"] >= high else first < when["to"]
            fine &= ~(above & below) | ((second >= keep["from"]) & (second <= keep["to"]))
        return fine

    def try_random(self, n: int, seed: int, *, polish: bool = True) -> dict[Pair, Seen]:
        """The lowest gap of every checked pair over n random combinations, all corners of travel and home.

        `polish` then walks downhill from the lowest ones.
        """
        rng = np.random.default_rng(seed)
        spans = self.drives.spans()
        values = rng.uniform(spans[:, 0], spans[:, 1], (n, len(spans)))
        if 0 < len(spans) <= 10:
            values = np.vstack([values, list(itertools.product(*spans))])
        values = np.vstack([values, self.drives.home()])
        values = values[self.allowed(values)]
        return {pair: self._lowest(pair, values, free=pair.drives if polish else ()) for pair in self._judged[0]}

    def try_dense(self, drive: str, step: float, *, polish: bool = True) -> dict[Pair, Seen]:
        """The lowest gap of every checked pair that a drive moves, over its travel in steps, the others at home."""
        moved = [pair for pair in self._judged[0] if drive in pair.drives]
        values = self._along(drive, step)[1]
        return {pair: self._lowest(pair, values, free=(drive,) if polish else (), reach=step) for pair in moved}

    def _along(self, drive: str, step: float) -> tuple[Floats, Floats]:
        k = self.drives.column(drive)
        low, high = self.drives.spans()[k]
        at = np.linspace(low, high, max(2, math.ceil((high - low) / step) + 1))
        values = np.repeat(self.drives.home()[None, :], len(at), axis=0)
        values[:, k] = at
        return at, values

    def _rough(self, pair: Pair, values: Floats) -> Floats:
        """Rough gaps; only rows that may be the lowest are looked at closely, the others stay at a lower bound's place, +inf."""
        turns, shifts = self.relative(pair, values)
        rough = np.full(len(values), math.inf)
        sound = np.isfinite(turns)
        for part in pair.parts:
            low = np.where(sound, part.far(turns, shifts, self.coarse), math.inf)
            order = np.argsort(low)
            for chunk in np.array_split(order, max(1, len(order) // 64)):
                chosen = chunk[low[chunk] < min(math.inf, float(np.min(rough)) + 0.5)]
                if len(chosen):
                    rough[chosen] = np.minimum(rough[chosen], part.rough(turns[chosen], shifts[chosen], self.coarse))
        return rough

    def nearer(self, pair: Pair, values: Floats, than: float) -> NDBools:
        """Which rows of drive values (n, drives) bring a pair nearer than `than` mm, by outlines inside the true ones; (n,).

        So the true gap is less too. Rows where a loop cannot be assembled are not.
        """
        turns, shifts = self.relative(pair, values)
        found = np.zeros(len(values), bool)
        sound = np.isfinite(turns)
        for part in pair.parts:
            found[sound] |= part.nearer(turns[sound], shifts[sound], than, self.coarse)
        return found

    def _coarse(self, pair: Pair, rows: Floats) -> Floats:
        turns, shifts = self.relative(pair, rows)
        sound = np.isfinite(turns)
        gaps = np.full(len(rows), math.inf)
        if np.any(sound):
            gaps[sound] = np.min([part.exact(turns[sound], shifts[sound], self.coarse) for part in pair.parts], axis=0)
        return gaps

    def _lowest(self, pair: Pair, values: Floats, *, free: tuple[str, ...], reach: float = math.inf) -> Seen:
        rough = self._rough(pair, values)
        firsts = [values[i] for i in np.argsort(rough)[:4] if np.isfinite(rough[i])]
        scored = sorted((float(self._coarse(pair, row[None, :])[0]), tuple(row)) for row in firsts)
        if not scored:
            return Seen(pair, Gap(math.inf, math.inf, math.inf), {})
        ends = [self._downhill(pair, score, np.array(row), free, reach) for score, row in scored[:2]]
        row = min(ends, key=lambda end: end[0])[1]
        return Seen(pair, self.gap_of(pair, row[None, :]), {name: float(row[self.drives.column(name)]) for name in pair.drives})

    def _downhill(self, pair: Pair, score: float, row: Floats, free: tuple[str, ...], reach: float) -> tuple[float, Floats]:
        """A pattern search over the free drives inside their travels, steps halved until they are 1e-5 of the travel
        (5e-3 where the depth of concave shapes makes each look dear)."""
        spans = self.drives.spans()
        columns = [self.drives.column(name) for name in free]
        size, finest = 0.1, 1e-5 if score > 0.0 or all(map(value_is_cheap, pair.parts)) else 5e-3
        while columns and size > finest:
            trials = np.array([t for t in self._steps(row, columns, size, reach, spans) if self.allowed(t[None, :])[0]])
            if len(trials):
                scores = self._coarse(pair, trials)
                k = int(np.argmin(scores))
                if scores[k] < score - 1e-9:
                    score, row = float(scores[k]), trials[k]
                    continue
            size /= 2.0
        return score, row

    @staticmethod
    def _steps(row: Floats, columns: list[int], size: float, reach: float, spans: Floats) -> Iterator[Floats]:
        """Trials either way along each drive, and along the diagonals of each two, where a ridge of the gap would stop the first."""
        ways = [{k: way} for k in columns for way in (-1.0, 1.0)]
        ways += [{k: 1.0, m: way} for k, m in itertools.permutations(columns, 2) for way in (-1.0, 1.0)]
        for way in ways:
            trial = row.copy()
            for k, sign in way.items():
                trial[k] = np.clip(row[k] + sign * min(size * (spans[k, 1] - spans[k, 0]), reach), *spans[k])
            yield trial

    # breach intervals of one drive

    def solo_intervals(self, drive: str, pair: Pair, step: float) -> list[Interval]:
        """Every stretch of a drive's travel in which a pair is in breach, the others at home, found by steps and refined.

        Dips between two steps are looked for where the gap has a local low.
        """
        at = self._with_lows(drive, pair, step)
        found = []
        for start, end in self._stretches(drive, pair, at, pair.sure):
            contacts = self._stretches(drive, pair, at[(at >= start) & (at <= end)], 0.0, ends=(start, end))
            inside = np.unique(np.concatenate([[start, end], at[(at > start) & (at < end)]]))
            rows = np.repeat(self.row(), len(inside), axis=0)
            rows[:, self.drives.column(drive)] = inside
            k = int(np.argmin(self._coarse(pair, rows)))
            low, high = inside[max(k - 1, 0)], inside[min(k + 1, len(inside) - 1)]
            where = self._golden(lambda v: self._fine_gap(drive, pair, v, full=True), low, high, inside[k])
            found.append(Interval(start, end, tuple(contacts), self.gap_of(pair, self.row({drive: where})), float(where)))
        return found

    def _with_lows(self, drive: str, pair: Pair, step: float) -> Floats:
        at, values = self._along(drive, step)
        turns, shifts = self.relative(pair, values)
        gaps = np.min([part.rough(turns, shifts, self.coarse) for part in pair.parts], axis=0)
        lows = [i for i in range(1, len(at) - 1) if gaps[i] <= gaps[i - 1] and gaps[i] <= gaps[i + 1] and 0.0 <= gaps[i] < pair.sure + 1.0]
        extra = [self._golden(lambda v: self._fine_gap(drive, pair, v), at[i - 1], at[i + 1], at[i]) for i in lows]
        return np.unique(np.concatenate([at, extra]))

    def _fine_gap(self, drive: str, pair: Pair, value: float, *, full: bool = False) -> float:
        """Gap at one value of a drive by fine chords; without `full` overlaps are 0 (less a little that grows with them)."""
        turns, shifts = self.relative(pair, self.row({drive: value}))
        if not np.isfinite(turns[0]):
            return math.inf
        if full:
            return min(float(part.exact(turns, shifts, self.fine if value_is_cheap(part) else self.coarse)[0]) for part in pair.parts)
        return min(float(part.rough(turns, shifts, self.fine)[0]) for part in pair.parts)

    def _stretches(
        self, drive: str, pair: Pair, at: Floats, below: float, ends: tuple[float, float] | None = None
    ) -> list[tuple[float, float]]:
        """Stretches of the values `at` in which the gap is under `below` (0: contact), their ends narrowed to 1e-7."""
        at = np.unique(np.concatenate([at, ends])) if ends else at
        inside = np.array([self._under(drive, pair, value, below) for value in at])
        stretches = []
        start = float(at[0]) if inside[0] else math.nan
        for i in range(1, len(at)):
            if inside[i] == inside[i - 1]:
                continue
            edge = self._edge(drive, pair, (float(at[i - 1]), float(at[i])), below)
            if inside[i]:
                start = edge
            else:
                stretches.append((start, edge))
        if inside[-1]:
            stretches.append((start, float(at[-1])))
        return stretches

    def _under(self, drive: str, pair: Pair, value: float, below: float) -> bool:
        gap = self._fine_gap(drive, pair, value)
        return gap <= below if below <= 0.0 else gap < below

    def _edge(self, drive: str, pair: Pair, span: tuple[float, float], below: float) -> float:
        low, high = span
        first = self._under(drive, pair, low, below)
        while high - low > 1e-7:
            middle = (low + high) / 2.0
            if self._under(drive, pair, middle, below) == first:
                low = middle
            else:
                high = middle
        return (low + high) / 2.0

    @staticmethod
    def _golden(gap: Callable[[float], float], low: float, high: float, start: float) -> float:
        """Where a gap is lowest between two values, by golden section; `start` where nothing lower is found."""
        best = (gap(start), start)
        ratio = (math.sqrt(5.0) - 1.0) / 2.0
        left, right = high - ratio * (high - low), low + ratio * (high - low)
        at_left, at_right = gap(left), gap(right)
        while high - low > 1e-6:
            if at_left < at_right:
                high, right, at_right = right, left, at_left
                left = high - ratio * (high - low)
                at_left = gap(left)
            else:
                low, left, at_left = left, right, at_right
                right = low + ratio * (high - low)
                at_right = gap(right)
            best = min(best, (at_left, left), (at_right, right))
        return best[1]


def value_is_cheap(part: Part) -> bool:
    """Whether exact overlap depths by fine chords take little: convex shapes and rooms."""
    return "room" in part.mode or all(side.convex for side in part.outlines(COARSE))
