"""What the interference timeline shows: a row a pair, tightest first, with the lowest gap along every drive.

Knows no colour and no pixel: `heat_steps` gives numbers from 1 (roomy) to 7 (deep), the window and reports choose how they look.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from core.model.names import DriveName, SectionName
from core.model.project import Project
from core.sweep.profile import Profile
from core.sweep.result import Check, Pair, SweepResult, Values, Verdict
from core.tolerances import DEFAULT_TOLERANCES

Group = Literal["alone", "together", "undecided", "clear"]
"""alone: a single drive breaches the pair; together: only drives that move together do."""

GROUPS: tuple[Group, ...] = ("alone", "together", "undecided", "clear")
DEEP = -0.5
"""mm, judged gap below which an overlap counts as deep (heat step 7)."""

_NOTICED = 0.01
"""mm by which a combined check must be tighter than a solo one to be told instead."""

_NO_NEED_SCALE = 0.25
"""mm, stands in for a required gap of 0, where its multiples would all be 0."""


@dataclass(frozen=True, slots=True)
class Cells:
    """The gap of one pair along one drive: `lowest[i]` mm is the least for values `edges[i]`..`edges[i + 1]`, (n,) and (n + 1,).

    NaN where a loop does not reach them.
    """

    drive: DriveName
    edges: NDArray[np.float64]
    lowest: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Row:
    """One pair. `cells`: the drives that move it, sampled. `solo`, `together`: what is proved of it so far.

    lowest_gap mm at drive values `at`; `floor` its proved lower bound, None where there is none. `required` mm is what the
    rules ask and `tolerance` mm what both outlines may be out, taken off a gap before it is judged. `verdict` is None while
    nothing is proved; the group then follows what is sampled.
    """

    section: SectionName
    between: Pair
    required: float
    tolerance: float
    group: Group
    verdict: Verdict | None
    lowest_gap: float
    at: Values
    floor: float | None
    cells: Mapping[DriveName, Cells]
    solo: Mapping[DriveName, Check]
    together: Check | None

    @property
    def taken(self) -> float:
        """Mm that are taken off a gap before it is judged: what the outlines may be out and what play takes."""
        return self.tolerance + (self.lead.play if self.lead else 0.0)

    @property
    def judged(self) -> float:
        """Mm; the lowest gap as it is judged."""
        return self.lowest_gap - self.taken

    @property
    def margin(self) -> float:
        """Mm by which the lowest gap exceeds what is required; negative where it is short."""
        lead = self.lead
        return self.lowest_gap - self.tolerance - (lead.play if lead else 0.0) - self.required

    @property
    def lead(self) -> Check | None:
        """The check that the row's numbers come from; see `_lead`."""
        return _lead(self.group, self.solo, self.together)


@dataclass(frozen=True)
class Timeline:
    """All rows, by group and then tightest first."""

    rows: tuple[Row, ...] = ()

    def row_of(self, section: str, between: Pair) -> int | None:
        """The place of a pair among the rows, or None where it is not checked."""
        return self._places.get((section, between))

    @cached_property
    def breaches(self) -> tuple[Row, ...]:
        """The rows with a proved breach, by depth; those of single drives first."""
        return tuple(row for row in self.rows if row.verdict == "breach")

    @cached_property
    def counts(self) -> Mapping[Group, int]:
        """How many rows each group has; 0 of one that has none."""
        return Counter(row.group for row in self.rows)

    @cached_property
    def clear_from(self) -> int:
        """The row from which on all are proved clear; the number of rows where the last is not."""
        first = len(self.rows)
        while first and self.rows[first - 1].verdict == "clear":
            first -= 1
        return first

    @cached_property
    def _places(self) -> Mapping[tuple[str, Pair], int]:
        return {(row.section, row.between): place for place, row in enumerate(self.rows)}


def timeline(project: Project, profiles: Iterable[Profile], result: SweepResult | None) -> Timeline:
    """Join what is sampled and what is proved to rows; either may be empty. Rows of pairs in neither do not exist."""
    sampled: dict[tuple[SectionName, Pair], list[Profile]] = {}
    for profile in profiles:
        sampled.setdefault((profile.section, profile.between), []).append(profile)
    checks: Mapping[tuple[SectionName, Pair], Sequence[Check]] = result.by_pair if result else {}
    homes = {drive.name: drive.home for drive in project.drives}
    rows = [_row(key, sampled.get(key, ()), checks.get(key, ()), homes) for key in dict.fromkeys([*checks, *sampled])]
    return Timeline(tuple(sorted(rows, key=lambda row: (GROUPS.index(row.group), row.margin))))


def with_cells(rows: Sequence[Row], profiles: Iterable[Profile]) -> tuple[Row, ...]:
    """Rows that are made of checks, in the same order, with what is sampled of their pairs: the same as made of both at once."""
    sampled: dict[tuple[SectionName, Pair], list[Profile]] = {}
    for profile in profiles:
        sampled.setdefault((profile.section, profile.between), []).append(profile)
    return tuple(replace(row, cells=_cells(own)) if (own := sampled.get((row.section, row.between))) else row for row in rows)


def _cells(sampled: Sequence[Profile]) -> Mapping[DriveName, Cells]:
    return MappingProxyType({profile.drive: Cells(profile.drive, profile.edges, profile.lowest) for profile in sampled})


def _row(key: tuple[SectionName, Pair], sampled: Sequence[Profile], checks: Sequence[Check], homes: Mapping[DriveName, float]) -> Row:
    # A project without drives has checks of its drawn pose, which belong to no column.
    solo = {check.drives[0]: check for check in checks if check.sweep == "solo" and check.drives}
    together = next((check for check in checks if check.sweep == "combined"), None)
    cells = _cells(sampled)
    required = checks[0].required_gap if checks else sampled[0].required
    tolerance = checks[0].tolerance if checks else 0.0
    group = _group(solo, together, cells, required)
    verdict = _worst([check.verdict for check in checks])
    lead = _lead(group, solo, together)
    lowest, at, floor = (lead.lowest_gap, lead.at, _floor(lead, checks)) if lead else _lowest_sampled(cells, homes)
    return Row(
        section=key[0], between=key[1], required=required, tolerance=tolerance, group=group, verdict=verdict, lowest_gap=lowest,
        at=at, floor=floor, cells=cells, solo=MappingProxyType(solo), together=together,
    )  # fmt: skip


def _margin(check: Check) -> float:
    return check.lowest_gap - check.tolerance - check.play - check.required_gap


def _lead(group: Group, solo: Mapping[DriveName, Check], together: Check | None) -> Check | None:
    """The tightest solo check of a pair that one drive breaches, the combined one of a pair only met together.

    Of other pairs the tightest of all; a combined check must be tighter by more than `_NOTICED`, since solo ones name one drive.
    """
    if group == "together" or not solo:
        return together
    tightest = min(solo.values(), key=_margin)
    if group != "alone" and together is not None and _margin(together) < _margin(tightest) - _NOTICED:
        return together
    return tightest


def _floor(lead: Check, checks: Sequence[Check]) -> float | None:
    """What is proved of the sweep that a breach is told of; of a pair that does not breach, what is proved in all its sweeps."""
    floors = [check.floor for check in (checks if lead.verdict != "breach" else (lead,))]
    known = [floor for floor in floors if floor is not None]
    return min(known) if len(known) == len(floors) else None


def _worst(verdicts: Sequence[Verdict]) -> Verdict | None:
    order: tuple[Verdict, ...] = ("breach", "undecided", "clear")
    return next((verdict for verdict in order if verdict in verdicts), None)


def _group(solo: Mapping[DriveName, Check], together: Check | None, cells: Mapping[DriveName, Cells], required: float) -> Group:
    verdicts = [check.verdict for check in solo.values()]
    if "breach" in verdicts:
        return "alone"
    if together and together.verdict == "breach":
        return "together"
    if "undecided" in verdicts or (together and together.verdict == "undecided"):
        return "undecided"
    if not solo and not together and any(bool((cell.lowest < required).any()) for cell in cells.values()):
        return "alone"
    return "clear"


def _lowest_sampled(cells: Mapping[DriveName, Cells], homes: Mapping[DriveName, float]) -> tuple[float, Values, None]:
    """The lowest gap of all cells, where, and no floor; infinite and at home where a loop lets no drive reach any of them."""
    deepest = {cell.drive: float(np.fmin.reduce(cell.lowest)) for cell in cells.values()}
    tightest = min(cells.values(), key=lambda cell: np.inf if np.isnan(deepest[cell.drive]) else deepest[cell.drive])
    lowest = deepest[tightest.drive]
    if np.isnan(lowest) or lowest == np.inf:
        return np.inf, tuple(homes.items()), None
    place = int(np.nanargmin(tightest.lowest))
    middle = float(tightest.edges[place : place + 2].mean())
    return lowest, tuple((drive, middle if drive == tightest.drive else home) for drive, home in homes.items()), None


def pooled(cells: Cells, edges: NDArray[np.float64]) -> NDArray[np.float64]:
    """The lowest gap over each interval of `edges`, (m + 1,) ascending drive values: (m,) mm, of all cells it touches.

    An interval beyond the cells takes the nearest one, so a column never looks roomier than what lies in it. Cells that are not
    reached (NaN) count only where nothing else lies in the interval.
    """
    last = len(cells.lowest) - 1
    first = np.clip(np.searchsorted(cells.edges, edges[:-1], side="right") - 1, 0, last)
    after = np.clip(np.searchsorted(cells.edges, edges[1:], side="left"), first + 1, last + 1)
    ended = np.append(cells.lowest, np.inf)
    spans = np.column_stack([first, after]).ravel()
    return np.asarray(np.fmin.reduceat(ended, spans)[::2], dtype=np.float64)


def judged(row: Row, drive: DriveName, edges: NDArray[np.float64]) -> NDArray[np.float64]:
    """Per interval of `edges` the lowest gap less tolerance, mm, (m,), held to what is proved: clear, or of the breaches.

    NaN where the drive does not move the pair. A breach thinner than the samples still shows in the interval that it lies in.
    """
    if drive not in row.cells:
        return np.full(len(edges) - 1, np.nan)
    lowest = pooled(row.cells[drive], edges) - row.tolerance
    check = row.solo.get(drive)
    for breach in check.breaches if check else ():
        _cap(lowest, edges, (breach.start, breach.end), row.required - 2.0 * DEFAULT_TOLERANCES.touch)
        for contact in breach.contacts:
            _cap(lowest, edges, contact, 0.0)
        _cap(lowest, edges, (breach.at, breach.at), breach.lowest_gap - row.tolerance)
    if check is not None and check.verdict == "clear":
        # What is sampled may fall short of what is proved: a pair that keeps exactly what is asked is met, not short.
        lowest = np.fmax(lowest, row.required)
    return lowest


def _cap(lowest: NDArray[np.float64], edges: NDArray[np.float64], span: tuple[float, float], gap: float) -> None:
    touched = (edges[1:] > span[0]) & (edges[:-1] < span[1])
    if span[0] == span[1]:
        touched = (edges[1:] >= span[0]) & (edges[:-1] <= span[1])
    lowest[touched] = np.minimum(lowest[touched], gap)


def heat_steps(judged_gaps: NDArray[np.float64], required: float) -> NDArray[np.int64]:
    """Steps 1 to 7 of gaps against the required gap, (m,): 4 x, 2 x, 1 x, half of it, 0 and -0.5 mm part them; 0 for NaN."""
    scale = required if required > 0 else _NO_NEED_SCALE
    bounds = np.array([4 * scale, 2 * scale, required, scale / 2 if required > 0 else 0.0, 0.0, DEEP])
    # A gap drawn exactly as required, or as twice that, is often a rounding short of it, here a little more and there a little less.
    bounds[:3] -= DEFAULT_TOLERANCES.touch
    with np.errstate(invalid="ignore"):
        steps = 1 + (judged_gaps[:, None] < bounds).sum(axis=1)
    # A gap of exactly 0 is contact, unless nothing more than touching is asked.
    steps[(judged_gaps == 0) & (required > 0)] = 6
    return np.where(np.isnan(judged_gaps), 0, steps)


def heat_step(judged_gap: float, required: float) -> int:
    """The step of one gap."""
    return int(heat_steps(np.array([judged_gap]), required)[0])


def band_edges(project: Project, row: Row, drive: DriveName) -> tuple[float, ...]:
    """The values worth stopping at along a drive, ascending: its ends, home, and where breaches and contacts begin, end and are deepest."""
    found = next(record for record in project.drives if record.name == drive)
    values = {found.start, found.home, found.end}
    check = row.solo.get(drive)
    for breach in check.breaches if check else ():
        values.update((breach.start, breach.at, breach.end))
        values.update(value for contact in breach.contacts for value in contact)
    return tuple(sorted(values))
