"""Speed as ratios in one run: `pytest tests/bench --benchmark-only`. Nothing here fails for being slow; answers are compared.

Each test times the program with pytest-benchmark and the plain way beside it, and stores the ratio in `extra_info`.
"""

import time
from collections.abc import Callable

import numpy as np
import pytest
from msgspec.structs import replace

from core.clearance.batch import CorePair, Kind
from core.clearance.posed import gaps_at, posed_batch, spread_at
from core.model.project import Project
from core.motion.linkage import linkage_of
from core.sweep.at_pose import PoseGaps
from core.sweep.combined import sweep
from core.sweep.frontier import Effort
from core.sweep.kept import Kept
from core.sweep.plan import Plan, plan_of
from core.sweep.result import SweepResult
from core.sweep.run import BOXES, check_project
from core.sweep.solo import sweep_alone
from core.sweep.tables import RowsOf, all_drives, one_drive
from core.tolerances import DEFAULT_TOLERANCES
from tests.bench.ring_bay import SECTION, ring_bay
from tests.bench.scripted import coal_loop, positions, scripted_loop


def _plan(stations: int) -> Plan:
    project = ring_bay(stations)
    return plan_of(project, linkage_of(project), tolerances=DEFAULT_TOLERANCES)


def _need(plan: Plan, rows: RowsOf) -> np.ndarray:
    return np.array([plan.rows[row].need for row in rows.row])


def _timed(function: Callable[[], object]) -> tuple[object, float]:
    start = time.perf_counter()
    answer = function()
    return answer, time.perf_counter() - start


def _note(benchmark, **figures: float) -> None:
    benchmark.extra_info.update({key: round(value, 3) for key, value in figures.items()})


def _seconds(benchmark) -> float:
    """The median of the timed runs; nan where benchmarks are switched off."""
    return benchmark.stats.stats.median if benchmark.stats else float("nan")


def test_solo_table_against_the_scripted_loop(benchmark):
    plan = _plan(4)
    rows = one_drive(plan)
    need = _need(plan, rows)
    profile = benchmark(lambda: sweep_alone(rows.table, need, tolerances=DEFAULT_TOLERANCES, cap=BOXES, effort=Effort()))
    values = positions(plan.project, step=1.0)
    (least, measured), seconds = _timed(lambda: scripted_loop(plan.project, values[::8]))
    # The script sees only what it stands on, and no depth; the sweep may not have missed anything that it saw.
    assert profile.low.gap.min() <= least
    own = _seconds(benchmark)
    _note(benchmark, ratio=seconds * len(values) / len(values[::8]) / own, script_pose_pairs_a_second=measured / seconds)


@pytest.mark.parametrize("stations", [4, 8, 16])
def test_all_combinations_proved(benchmark, stations):
    plan = _plan(stations)
    rows = all_drives(plan)
    need = _need(plan, rows)

    def prove():
        return sweep(rows.table, need, tolerances=DEFAULT_TOLERANCES, cap=BOXES, effort=Effort(), lowest=False)

    bounds = benchmark(prove)
    proved = (bounds.low.gap < need) | (bounds.floor >= need)
    assert proved.all()
    _note(benchmark, pairs=len(rows.row), bodies=2 + 6 * stations, drives=2 * stations)


def test_lowest_gaps_of_all_combinations(benchmark):
    plan = _plan(4)
    rows = all_drives(plan)
    need = _need(plan, rows)
    bounds = benchmark(lambda: sweep(rows.table, need, tolerances=DEFAULT_TOLERANCES, cap=BOXES, effort=Effort()))
    near = bounds.low.gap < DEFAULT_TOLERANCES.far
    assert np.all(bounds.low.gap[near] - bounds.floor[near] <= DEFAULT_TOLERANCES.resolution + DEFAULT_TOLERANCES.arithmetic)


def test_the_whole_answer(benchmark):
    project = ring_bay(4)
    result = benchmark(lambda: check_project(project))
    assert result.verdict == "breach"
    assert not [check for check in result.checks if check.verdict == "undecided"]


def test_one_pose_of_all_pairs(benchmark):
    project = ring_bay(4)
    poses = PoseGaps(project)
    gaps = benchmark(lambda: poses.at({project.drives[0].name: 5.0}))
    assert len(gaps) == 286


def test_gaps_of_rows_at_poses_of_their_own_against_one_by_one(benchmark):
    project = ring_bay(4)
    poses = PoseGaps(project)
    rng = np.random.default_rng(7)
    asked = [(row, {drive.name: rng.uniform(drive.start, drive.end) for drive in project.drives}) for row in poses.plan.rows]

    def fresh() -> tuple[tuple[PoseGaps], dict[str, object]]:
        return (PoseGaps(project, linkage=poses.linkage, plan=poses.plan),), {}

    together = benchmark.pedantic(lambda gaps: gaps.rows_at(asked), setup=fresh, rounds=5)
    alone, seconds = _timed(lambda: [poses.row_at(row, values) for row, values in asked])
    assert together == alone
    _note(benchmark, ratio=seconds / _seconds(benchmark))


def test_one_edited_body_against_all_anew(benchmark):
    """A body's depth band is edited: only its pairs are laid out and proved again."""
    project, kept = ring_bay(4), Kept()
    section = project.sections[0]
    check_project(project, covers="combined", seek="verdict", safe_anywhere=False, safe_box=False, kept=kept)
    depths = iter(np.arange(1, 100) / 20)

    def edited() -> tuple[tuple[Project], dict[str, object]]:
        deep = float(10 - next(depths))
        bodies = tuple(replace(body, depth=(0, deep)) if body.name == "flap 1" else body for body in section.bodies)
        return (replace(project, sections=(replace(section, bodies=bodies),)),), {}

    def prove(edit: Project, kept: Kept) -> SweepResult:
        return check_project(edit, covers="combined", seek="verdict", safe_anywhere=False, safe_box=False, kept=kept)

    again = benchmark.pedantic(lambda edit: prove(edit, kept), setup=edited, rounds=10)
    (last,), _ = edited()
    anew, seconds = _timed(lambda: prove(last, Kept()))
    assert [check.verdict for check in again.checks] == [check.verdict for check in anew.checks]
    _note(benchmark, ratio=seconds / _seconds(benchmark))


def test_batch_of_gaps_of_a_whole_bay_against_coal(benchmark):
    """All pairs of the bay at many poses, exact under 10 mm, as a per-pose loop with coal would need them."""
    project = ring_bay(4)
    poses = PoseGaps(project)
    rng = np.random.default_rng(7)
    low, high = (np.array([getattr(drive, end) for drive in project.drives]) for end in ("start", "end"))
    values = rng.uniform(low, high, size=(300, len(low)))
    gaps = benchmark(lambda: poses.all_over(SECTION, values, cap=10.0))
    boxes = [(20.0, 10.0), (23.0, 12.0), (40.0, 20.0)]
    turns = np.linspace(0.0, np.pi, 500)
    least, seconds = _timed(lambda: coal_loop(boxes, turns))
    assert box_gaps(boxes, turns).min() == pytest.approx(least, abs=1e-6)
    measured, own = gaps.size, _seconds(benchmark)
    a_second = measured / own
    _note(benchmark, pose_pairs_a_second=a_second, ratio=a_second * seconds / (9 * len(turns)))


def box_gaps(boxes: list[tuple[float, float]], turns: np.ndarray) -> np.ndarray:
    """Signed gaps of the same pairs as in `coal_loop`."""
    corners = [np.array([-w - h * 1j, w - h * 1j, w + h * 1j, -w + h * 1j]) / 2 for w, h in boxes]
    batch = posed_batch([CorePair(Kind.CONVEX, b, a, 0.0) for a in corners for b in corners])
    pair = np.tile(np.arange(9), len(turns))
    still = np.zeros(len(pair))
    spread = spread_at(np.repeat(turns, 9), still + 30.0 + 0j, still, still + 0j)
    return gaps_at(batch, pair, spread)
