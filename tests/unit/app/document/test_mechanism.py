"""What a mechanism keeps of the pose asked for last: told again only where nothing that it hangs on has changed."""

import pytest

from app.document.mechanism import Mechanism
from core.sweep.at_pose import PoseGaps
from tests.bays import SIDE, bay, body, box, drive, pivot, project


@pytest.fixture
def project_of_arms():
    """Two arms beside each other, the first carrying a hand."""
    bodies = [
        body("plate", box(0, -90, 10, 10), fixed=True),
        body("arm", box(20, 0, 40, 4)),
        body("hand", box(55, 0, 30, 4), depth=(10, 12)),
        body("other", box(20, 30, 40, 4)),
    ]
    joints = [pivot("shoulder", "plate", "arm"), pivot("wrist", "arm", "hand", at=(40, 0)), pivot("far", "plate", "other", at=(0, 30))]
    drives = [drive("raise", (-30, 30), "shoulder"), drive("bend", (-60, 60), "wrist"), drive("wave", (-30, 30), "far")]
    return project(bay(bodies, joints, drives))


@pytest.fixture
def asked(monkeypatch):
    """The pairs that were measured."""
    told = []
    pair_at = PoseGaps.pair_at
    monkeypatch.setattr(PoseGaps, "pair_at", lambda self, section, pair, at: (told.append(pair), pair_at(self, section, pair, at))[1])
    return told


def test_a_gap_is_measured_again_only_when_one_of_its_bodies_moves(project_of_arms, asked):
    mechanism = Mechanism(project_of_arms)
    assert mechanism.gap_of(SIDE, ("arm", "other"), {}) is None
    mechanism.take_gaps(PoseGaps(project_of_arms))
    pair = ("arm", "other")
    steps = [({}, True), ({"bend": 20.0}, False), ({"bend": -50.0}, False), ({"raise": 5.0}, True), ({"raise": 5.0, "wave": 9.0}, True)]
    for at, anew in steps:
        asked.clear()
        told = mechanism.gap_of(SIDE, pair, at)
        assert bool(asked) == anew
        assert told == PoseGaps(project_of_arms).pair_at(SIDE, pair, at)
    asked.clear()
    assert mechanism.gap_of(SIDE, ("plate", "other"), at).between != told.between
    assert asked == [("plate", "other")]
    asked.clear()
    mechanism.take_gaps(PoseGaps(project_of_arms))
    mechanism.gap_of(SIDE, ("plate", "other"), at)
    assert asked


def test_poses_are_those_of_the_values_asked_for(project_of_arms):
    mechanism = Mechanism(project_of_arms)
    for at in ({}, {"raise": 10.0}, {"raise": 10.0}, {"bend": 5.0}, {}):
        assert mechanism.body_poses(SIDE, at) == Mechanism(project_of_arms).body_poses(SIDE, at)
    assert mechanism.body_poses(SIDE, {"raise": 10.0}) != mechanism.body_poses(SIDE, {})


def test_gaps_that_are_let_go_of_go_a_little_at_a_time(project_of_arms):
    mechanism = Mechanism(project_of_arms)
    gaps = PoseGaps(project_of_arms)
    count = len(gaps.plan.rows)
    mechanism.take_gaps(gaps)
    assert mechanism.tightest(SIDE, {}) is not None
    apart = mechanism.taken_apart()
    next(apart)
    assert mechanism.tightest(SIDE, {}) is None
    assert mechanism.moving_pairs == ()
    assert len(gaps.plan.rows) == count
    for _ in apart:
        pass
    assert gaps.plan.rows == gaps.plan.pairs == ()


def test_a_mechanism_without_gaps_has_nothing_to_let_go_of(project_of_arms):
    assert list(Mechanism(project_of_arms).taken_apart()) == []
