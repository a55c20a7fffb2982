"""Rows that bounds do not sweep: an undriven freedom or a closed loop lies on the path of the pair."""

from collections.abc import Collection, Iterator

from core.sweep.at_pose import PoseGaps
from core.sweep.checks import told_at
from core.sweep.plan import Plan, Row
from core.sweep.result import Check, Covers, Sweep

SWEEPS: tuple[Sweep, ...] = ("solo", "combined")


def barred_checks(plan: Plan, poses: PoseGaps, covers: Covers, loops: Collection[int]) -> list[tuple[int, Check]]:
    """Undecided, with the gap at home; the floor is not known. Each with its row. loops: the rows whose loops cannot be enclosed."""
    barred = [number for number, row in enumerate(plan.rows) if row.bars == "free" or number in loops]
    return [(number, check) for number in barred for check in _undecided(plan, poses, plan.rows[number], covers)]


def _undecided(plan: Plan, poses: PoseGaps, row: Row, covers: Covers) -> Iterator[Check]:
    drives = tuple(plan.project.drives[index] for index in row.drives)
    home = tuple((drive.name, drive.home) for drive in drives)
    told = told_at(poses, row, home)
    for sweep in SWEEPS:
        if covers in (sweep, "all"):
            yield Check(
                sweep=sweep,
                drives=tuple(drive.name for drive in drives),
                section=row.pair.section,
                between=row.pair.between,
                required_gap=row.required,
                tolerance=row.pair.tolerance,
                verdict="undecided",
                proof="sampled",
                reached=tuple((drive.name, drive.start, drive.end) for drive in drives),
                lowest_gap=told.gap,
                at=home,
                way_out=told.way_out,
                floor=None,
                depth_gap=row.across,
                open_share=1.0,
            )
