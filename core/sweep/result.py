"""What a sweep found: frozen records, in the words and units of the project."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType
from typing import Literal

from core.model.finding import Finding
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.shapes import Point

Sweep = Literal["solo", "combined"]
Covers = Literal["solo", "combined", "all"]
Verdict = Literal["clear", "breach", "undecided"]
RANK: Mapping[Verdict, int] = MappingProxyType({"breach": 0, "undecided": 1, "clear": 2})
"""Of a verdict: the worst first."""
Proof = Literal["bounded", "sampled"]
Seek = Literal["verdict", "lowest"]
"""What a sweep is to find: verdicts and breaches alone, or lowest gaps too, narrowed to the resolution up to a cap."""

Pair = tuple[BodyName, BodyName]
Span = tuple[float, float]
Values = tuple[tuple[DriveName, float], ...]
"""Drive values, in the order of the project's drives; degrees or mm."""


@dataclass(frozen=True, slots=True)
class Breach:
    """An interval of one drive's values with gap < required.

    Proved clear outside `start`..`end`. `contacts`: the intervals inside it with gap <= 0, sorted.
    `lowest_gap` mm (negative: overlap depth) is reached at drive value `at`. `grazes`: an end lies where the gap
    crosses the required gap so slowly that it is only known to be inside the interval, not within 0.001.
    """

    start: float
    end: float
    contacts: tuple[Span, ...]
    lowest_gap: float
    at: float
    grazes: bool = False

    @property
    def contact(self) -> Span | None:
        """First and last value in contact, or None where nothing touches."""
        return (self.contacts[0][0], self.contacts[-1][1]) if self.contacts else None


@dataclass(frozen=True, slots=True)
class Check:
    """One pair over one sweep.

    drives: solo, the one drive; combined, those on the pair's path. reached: per drive the values reached.
    lowest_gap: nominal, mm; attained at `at`. floor: proved lower bound of the nominal gap, or None. way_out: the
    shortest translation of the second body that separates the two at `at`, mm, or None where they do not overlap.
    tolerance: t_a + t_b, subtracted before judging. play: mm, what the play of joints takes of the gap at `at`, at least
    that much in a breach, at most that much else; subtracted too. The floor holds for all that play allows. depth_gap: set
    where the pair passes over and is judged by the required depth gap (then required_gap is that one). step: largest
    displacement between samples, mm, where sampled. open_share: share of the swept box left undecided (0 where all is
    decided). far: lowest_gap was not narrowed to the resolution since the pair stays farther apart than the program's
    `far` cap, or than is asked where only the verdict was sought; the floor is at least that, and tells how far at least.
    """

    sweep: Sweep
    drives: tuple[DriveName, ...]
    section: SectionName
    between: Pair
    required_gap: float
    tolerance: float
    verdict: Verdict
    proof: Proof
    reached: tuple[tuple[DriveName, float, float], ...]
    lowest_gap: float
    at: Values
    way_out: Point | None
    floor: float | None
    breaches: tuple[Breach, ...] = ()
    depth_gap: float | None = None
    step: float | None = None
    open_share: float = 0.0
    far: bool = False
    play: float = 0.0


@dataclass(frozen=True, slots=True)
class Knuckle:
    """Two shapes that hold the same pin: clipped by the relief disc (radius `relief` mm) and the rest checked.

    `running`: a disc in a bore about the same pin; `relief` is then the radial play. `left`: something is left to check.
    """

    section: SectionName
    joint: JointName
    between: Pair
    shapes: tuple[int, int]
    relief: float
    running: bool = False
    left: bool = True


@dataclass(frozen=True, slots=True)
class Unchecked:
    """A pair that the answer says nothing about. `code`: "rule" (reason is the user's), "passes-over" (depth_gap mm)."""

    section: SectionName
    between: Pair
    code: str
    reason: str = ""
    depth_gap: float | None = None


@dataclass(frozen=True, slots=True)
class SafeTravel:
    """The largest travel of a drive about home with no breach, the others at home or anywhere in their travel ("any").

    start, end: drive units, proved, to 0.001 and rounded inward; both None where there is none, with the reason in
    `code`: "home-breaches", or "undecided" (a pair of the drive is not decided).
    """

    drive: DriveName
    others: Literal["home", "any"]
    start: float | None
    end: float | None
    code: str = ""


@dataclass(frozen=True, slots=True)
class SafeBox:
    """Travels of all drives about home in which no checked pair breaches in any combination, whatever rules between drives say.

    travels: (drive, from, to) of every drive in the file's order, drive units, proved; rounded inward to 0.001 but where they are
    the ends of travel; a drive may have none but home. Empty where there is no such box, with the reason in `code`:
    "home-breaches", or "undecided" (a pair is not decided). floor: mm, proved: no checked pair comes closer in it after outline
    tolerances and play; None without a box.
    """

    travels: tuple[tuple[DriveName, float, float], ...]
    floor: float | None
    code: str = ""


@dataclass(frozen=True, slots=True)
class Work:
    """How much was done. `seconds` is wall time and the one field that differs from run to run."""

    poses: int = 0
    boxes: int = 0
    gap_queries: int = 0
    seconds: float = 0.0


@dataclass(frozen=True)
class SweepResult:
    """The whole answer. `stopped`: a time budget or the user ended it early.

    Where the project has rules between drives the combined checks cover what they allow; `without_rules` holds the
    combined checks as they would be without them. safe_box: None where it was not looked for.
    """

    project: str
    verdict: Verdict
    covers: Covers
    checks: tuple[Check, ...]
    knuckles: tuple[Knuckle, ...]
    unchecked: tuple[Unchecked, ...]
    findings: tuple[Finding, ...]
    work: Work
    resolution: float
    stopped: bool = False
    safe_travel: tuple[SafeTravel, ...] = ()
    without_rules: tuple[Check, ...] = ()
    safe_box: SafeBox | None = None

    def with_box_of(self, other: "SweepResult") -> "SweepResult":
        """This answer with the joint safe box of another of the same project, and the work of both."""
        one, two = self.work, other.work
        work = Work(
            poses=one.poses + two.poses,
            boxes=one.boxes + two.boxes,
            gap_queries=one.gap_queries + two.gap_queries,
            seconds=one.seconds + two.seconds,
        )
        return replace(self, safe_box=other.safe_box, work=work)

    def of_sweep(self, sweep: Sweep) -> tuple[Check, ...]:
        """The checks of one kind of sweep, in order."""
        return self._of_sweep.get(sweep, ())

    @cached_property
    def by_pair(self) -> Mapping[tuple[SectionName, Pair], tuple[Check, ...]]:
        """The checks of each pair, in order; the pairs in order of first appearance."""
        pairs: dict[tuple[SectionName, Pair], list[Check]] = {}
        for check in self.checks:
            pairs.setdefault((check.section, check.between), []).append(check)
        return {pair: tuple(checks) for pair, checks in pairs.items()}

    @cached_property
    def pair_verdicts(self) -> Mapping[tuple[SectionName, Pair], Verdict]:
        """Each checked pair's worst verdict, in order of first appearance."""
        worst: dict[tuple[SectionName, Pair], Verdict] = {}
        for check in self.checks:
            pair = check.section, check.between
            known = worst.get(pair)
            if known is None or RANK[check.verdict] < RANK[known]:
                worst[pair] = check.verdict
        return worst

    @cached_property
    def solo_of(self) -> Mapping[tuple[SectionName, DriveName], tuple[Check, ...]]:
        """The solo checks of each drive in each section, in order."""
        drives: dict[tuple[SectionName, DriveName], list[Check]] = {}
        for check in self.of_sweep("solo"):
            for drive in check.drives:
                drives.setdefault((check.section, drive), []).append(check)
        return {drive: tuple(checks) for drive, checks in drives.items()}

    @cached_property
    def _of_sweep(self) -> Mapping[Sweep, tuple[Check, ...]]:
        kinds: dict[Sweep, list[Check]] = {}
        for check in self.checks:
            kinds.setdefault(check.sweep, []).append(check)
        return {sweep: tuple(checks) for sweep, checks in kinds.items()}
