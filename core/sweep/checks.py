"""From the numbers of a sweep to the records of its answer; numbers that claim safety are rounded to the safe side."""

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from core.model.names import DriveName
from core.model.shapes import Point
from core.sweep.asked_together import Asking
from core.sweep.at_pose import PoseGap, PoseGaps
from core.sweep.combined import Bounds
from core.sweep.deepest import Allows, Deep, deepest, rounded_gap
from core.sweep.looped import LoopSight
from core.sweep.plan import Plan, Row
from core.sweep.play_found import attained
from core.sweep.result import Breach, Check, Span, Values, Verdict
from core.sweep.solo import Interval, Profile
from core.sweep.tables import RowsOf
from core.tolerances import Tolerances

DIGITS = 6
"""Decimals of lengths and drive values in an answer, as in the file."""

END_DIGITS = 4
"""Decimals of the ends of a breach: finer than they are known, so that rounding adds nothing."""

_UNITS = 10.0**DIGITS
_END_UNITS = 10.0**END_DIGITS


def solo_check(plan: Plan, poses: PoseGaps, rows: RowsOf, profile: Profile, number: int, *, reached: Span, lowest: bool) -> Asking[Check]:
    """The answer for one row of a solo sweep. reached: how far its loops can be followed. lowest: see `core.sweep.all_rows.Run`."""
    row, drive = plan.rows[rows.row[number]], plan.project.drives[rows.drive[number]]
    play = _PlayOf(poses, rows, row, number)
    intervals = tuple(_attained(play, row, drive.name, interval) for interval in profile.intervals[number])
    proved = tuple(interval for interval in intervals if interval.proved)
    short = reached[0] > drive.start or reached[1] < drive.end
    verdict: Verdict = "breach" if proved else "undecided" if intervals or short else "clear"
    open_width = sum(interval.end - interval.start for interval in intervals if not interval.proved)
    lows = []
    for part in proved:
        low = yield from _low_of(poses, row, _alone(drive.name, part.at), ((part.start, part.end),), part.lowest, play=play, search=lowest)
        lows.append(low)
    # One body that passes over another with room between them never touches it.
    met = [part if not row.across else replace(part, contacts=()) for part in proved]
    breaches = tuple(_breach(part, low, (drive.start, drive.end)) for part, low in zip(met, lows, strict=True))
    if not lows:
        at = _alone(drive.name, float(profile.low.at[number, 0]))
        lows = [(yield from _low_of(poses, row, at, (reached,), float(profile.low.gap[number]), play=play, search=lowest))]
    told = min(lows, key=lambda low: low.gap - low.play)
    floor = floor_of(row, float(profile.floor[number]), told.gap, poses.tolerances)
    return Check(
        sweep="solo",
        drives=(drive.name,),
        section=row.pair.section,
        between=row.pair.between,
        required_gap=row.required,
        tolerance=row.pair.tolerance,
        verdict=verdict,
        proof="bounded",
        reached=((drive.name, *reached),),
        lowest_gap=told.gap,
        at=told.at,
        way_out=told.way_out,
        floor=floor,
        breaches=breaches,
        depth_gap=row.across,
        open_share=open_width / (drive.end - drive.start),
        far=_far(told.gap, floor, verdict, poses.tolerances, lowest=lowest),
        play=told.play,
    )


def combined_check(
    plan: Plan,
    poses: PoseGaps,
    rows: RowsOf,
    bounds: Bounds,
    number: int,
    *,
    reached: tuple[Span, ...],
    known: Values | None,
    lowest: bool,
) -> Asking[Check]:
    """The answer for one row of a combined sweep.

    reached: of each drive on its path, the others at home. known: the deepest pose that the solo sweeps found.
    lowest: see `core.sweep.all_rows.Run`.
    """
    row = plan.rows[rows.row[number]]
    drives = [plan.project.drives[index] for index in row.drives]
    places = bounds.low.at[number, : len(drives)].tolist()
    at: Values = tuple((drive.name, round(value, DIGITS)) for drive, value in zip(drives, places, strict=True))
    least, share = float(bounds.low.gap[number]), float(bounds.open_share[number])
    play = _PlayOf(poses, rows, row, number)
    told = yield from _low_of(
        poses, row, at, reached, least, play=play, known=known, allows=lambda values: rows.allows(number, values), search=lowest
    )
    breach = least < row.need and (not row.loose or play.least(at) < row.need)
    verdict: Verdict = "breach" if breach else "undecided" if share > 0 or least < row.need else "clear"
    floor = floor_of(row, float(bounds.floor[number]), told.gap, poses.tolerances)
    return Check(
        sweep="combined",
        drives=tuple(drive.name for drive in drives),
        section=row.pair.section,
        between=row.pair.between,
        required_gap=row.required,
        tolerance=row.pair.tolerance,
        verdict=verdict,
        proof="bounded",
        reached=tuple((drive.name, *span) for drive, span in zip(drives, reached, strict=True)),
        lowest_gap=told.gap,
        at=told.at,
        way_out=told.way_out,
        floor=floor,
        depth_gap=row.across,
        open_share=share if verdict != "breach" else 0.0,
        far=_far(told.gap, floor, verdict, poses.tolerances, lowest=lowest),
        play=told.play,
    )


def told_at(poses: PoseGaps, row: Row, at: Values) -> PoseGap:
    """The gap at a pose, rounded."""
    return rounded_gap(poses.row_at(row, dict(at)), digits=DIGITS)


class _Told(NamedTuple):
    """A lowest gap as it is told: rounded, where, the way out of an overlap, and what play takes of it."""

    gap: float
    at: Values
    way_out: Point | None
    play: float


def _low_of(
    poses: PoseGaps,
    row: Row,
    at: Values,
    spans: tuple[Span, ...],
    in_section: float,
    *,
    search: bool,
    play: "_PlayOf",
    known: Values | None = None,
    allows: Allows | None = None,
) -> Asking[_Told]:
    """What a sweep found lowest; of an overlap the deepest pose nearby, measured anew.

    search: look for a deeper pose at all. known: a deep pose found before. allows: what rules between drives say of a pose.
    """
    if not math.isfinite(in_section):
        home = tuple((drive.name, drive.home) for drive in poses.project.drives if drive.name in dict(at))
        (there,) = yield [(row, dict(home))]
        return _Told(rounded_gap(there, digits=DIGITS).gap, home, None, row.play)
    if row.loose:
        return _low_with_play(poses, row, at, in_section, play)
    if in_section >= 0:
        return _Told(round(row.gap_of(in_section), DIGITS) + 0.0, at, None, row.play)
    if not search or (known is not None and len(at) == 1):
        known = at if known is None or not search else known
        found = Deep(known, *(yield [(row, dict(known))]))
    else:
        found = yield from deepest(row, [at] if known is None else [at, known], spans, digits=DIGITS, allows=allows)
    told = rounded_gap(found.told, digits=DIGITS)
    return _Told(told.gap, found.at, told.way_out, row.play)


def _low_with_play(poses: PoseGaps, row: Row, at: Values, in_section: float, play: "_PlayOf") -> _Told:
    """The gap where redundant rods stand as their squares ask, and what play takes of it: in a breach what it is known to take."""
    told = rounded_gap(poses.row_at(row, dict(at)), digits=DIGITS)
    known = play.least(at)
    least = known if known < row.need else in_section
    return _Told(told.gap, at, told.way_out, max(round(told.gap - row.gap_of(least), DIGITS), 0.0) + row.play)


@dataclass(frozen=True, slots=True)
class _PlayOf:
    """What the play of the joints of a loop is known to do to the gap of one row of a table."""

    poses: PoseGaps
    rows: RowsOf
    row: Row
    number: int

    def least(self, at: Values) -> float:
        """The least gap in the section, mm, that is attained at drive values with shifts of the joints that their play allows."""
        values = dict(at)
        place = np.array([[values.get(drive.name, drive.home) for drive in self.poses.project.drives]])
        gap = float(self.poses.row_over(self.row, place)[0][0])
        sight = self.rows.table.sight
        if gap < self.row.need or not isinstance(sight, LoopSight):
            return gap
        pairs = self.rows.table.pairs.spread(np.array([self.number]))[1]
        return min(gap, attained(sight, pairs, place[0, list(self.row.drives)]))


def _attained(play: _PlayOf, row: Row, drive: DriveName, interval: Interval) -> Interval:
    """The same; where it rests on a bound of what play takes, it is proved only if play is known to take enough."""
    if not row.loose or not interval.proved:
        return interval
    return replace(interval, proved=play.least(_alone(drive, interval.at)) < row.need)


def _alone(drive: DriveName, value: float) -> Values:
    return ((drive, round(value, DIGITS)),)


def _breach(interval: Interval, low: _Told, travel: tuple[float, float]) -> Breach:
    """Ends are rounded outward, inside the travel; contacts to the nearest."""
    return Breach(
        start=max(travel[0], _outward(interval.start, down=True)),
        end=min(travel[1], _outward(interval.end, down=False)),
        contacts=tuple((round(start, END_DIGITS), round(end, END_DIGITS)) for start, end in interval.contacts),
        lowest_gap=low.gap,
        at=low.at[0][1],
        grazes=interval.grazes,
    )


def floor_of(row: Row, floor: float, lowest: float, tolerances: Tolerances) -> float | None:
    """The proved floor of the nominal gap, rounded down; None where concave shapes overlap, whose depth may jump."""
    if not math.isfinite(floor) or (lowest < 0 and not row.exact):
        return None
    return math.floor(row.gap_of(floor - row.play) * _UNITS - tolerances.arithmetic) / _UNITS + 0.0


def _far(gap: float, floor: float | None, verdict: Verdict, tolerances: Tolerances, *, lowest: bool) -> bool:
    """Whether a lowest gap was left as it was first met, since more of it does not matter."""
    if floor is None:
        return False
    return gap >= tolerances.far or (not lowest and verdict == "clear" and gap - floor > tolerances.resolution)


def _outward(value: float, *, down: bool) -> float:
    return (math.floor(value * _END_UNITS) if down else math.ceil(value * _END_UNITS)) / _END_UNITS + 0.0
