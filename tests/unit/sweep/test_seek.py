"""What is sought: verdicts alone, or lowest gaps too."""

import pytest

from core.sweep.at_pose import PoseGaps
from core.sweep.run import check_project
from tests.bays import bar, bay, body, disc, drive, only, pivot, polygon, project, turned
from tests.bench.ring_bay import ring_bay
from tests.property.random_bays import random_bay

BAYS = [ring_bay(3), ring_bay(3, clear=True), *(project(random_bay(seed)) for seed in range(12))]


@pytest.fixture(scope="module", params=range(len(BAYS)))
def both(request):
    """A bay's answers: lowest gaps sought, and verdicts alone."""
    quick = {"safe_anywhere": False, "safe_box": False}
    return check_project(BAYS[request.param], **quick), check_project(BAYS[request.param], seek="verdict", **quick)


def test_verdicts_are_the_same(both):
    lowest, verdict = both
    assert verdict.verdict == lowest.verdict
    assert [check.verdict for check in verdict.checks] == [check.verdict for check in lowest.checks]


def test_breaches_begin_and_end_alike(both):
    for whole, quick in zip(both[0].checks, both[1].checks, strict=True):
        assert len(quick.breaches) == len(whole.breaches)
        for one, other in zip(quick.breaches, whole.breaches, strict=True):
            if not (one.grazes or other.grazes):
                assert (one.start, one.end) == pytest.approx((other.start, other.end), abs=0.0021)


def test_floor_of_a_clear_pair_is_at_least_what_is_asked(both):
    for check in both[1].checks:
        if check.verdict == "clear" and check.floor is not None:
            assert check.floor >= check.required_gap + check.tolerance - 1e-5
        if check.verdict == "clear":
            assert check.floor is None or check.far or check.lowest_gap - check.floor <= both[1].resolution + 2e-6


def test_floors_are_true_and_gaps_are_met(both):
    """No floor lies above the lowest gap there is, and none of the gaps told below it."""
    for whole, quick in zip(both[0].checks, both[1].checks, strict=True):
        if whole.lowest_gap >= 0 and whole.floor is not None:
            assert quick.floor is None or quick.floor <= whole.lowest_gap + 2e-6
            assert quick.lowest_gap >= whole.floor - 2e-6


def test_less_is_looked_at(both):
    assert both[1].work.boxes <= both[0].work.boxes
    assert both[1].work.poses == 0


def test_lowest_gap_told_is_that_of_the_pair_at_the_pose_told():
    # Two shapes on the arm: the gap at a pose is that of the nearer one, whichever was looked at there.
    record = turned(disc(0, 40, 2), [bar((0, 0), (30, 0), 1), disc(0, 30, 1), disc(-12, -9, 6)], travel=(-30, 30), required_gap=0.5)
    found = only(record, "combined", seek="verdict", safe_anywhere=False, safe_box=False)
    (gap,) = PoseGaps(project(record)).at(dict(found.at))
    assert found.lowest_gap == pytest.approx(gap.gap, abs=2e-6)


def test_pair_proved_clear_and_not_narrowed_is_told_as_at_least_its_floor():
    record = turned(disc(0, 40, 1), bar((0, 0), (30, 0), 1), travel=(-60, 60), required_gap=0.5)
    found = only(record, "combined", seek="verdict", safe_anywhere=False, safe_box=False)
    narrowed = only(record, "combined", safe_anywhere=False, safe_box=False)
    assert found.verdict == "clear"
    assert found.far
    assert not narrowed.far
    assert 0.5 - 3e-6 <= found.floor <= narrowed.lowest_gap


def test_breach_is_told_by_a_pose_in_it_with_the_exact_depth_there():
    notch = polygon((20, -6), (40, -6), (40, 6), (20, 6), (20, 2), (34, 2), (34, -2), (20, -2))
    bodies = [body("bay", notch, fixed=True), body("arm", polygon((0, -3), (28, -3), (28, 3), (0, 3)))]
    record = bay(bodies, [pivot("pin", "bay", "arm", (0, 0), relief=3)], [drive("swing", (-40, 40), "pin")])
    found = only(record, "combined", seek="verdict", safe_anywhere=False, safe_box=False)
    (gap,) = PoseGaps(project(record)).at(dict(found.at))
    assert found.verdict == "breach"
    assert found.lowest_gap == pytest.approx(gap.gap, abs=2e-6)
    assert found.lowest_gap < 0
    assert found.way_out is not None
    assert found.floor is None
