"""The state of each loop as `baysweep pose` tells it, for JSON and on the page."""

import io

import pytest

from app.mechanism_answers import pose_as_json, print_pose
from core.model.names import DriveName
from core.model.project import Project
from tests.mechanisms import BAY, drive, four_bar, mechanism, pin_slot, pivot, push_pull, slide

CRANK, SERVO, SWING = DriveName("crank"), DriveName("servo"), DriveName("swing")


def yoke() -> Project:
    joints = [
        pivot("hub", BAY, "arm", 0j),
        slide("rail", BAY, "sled", along=0),
        pin_slot("yoke", "arm", "sled", 30 + 0j, along=90, reach=(-22, 15)),
    ]
    return mechanism(joints, drive("swing", ("hub", 1), travel=(-45, 45)))


CASES = {
    # closed forms: limits of 3, 4, 4, 6 are +-121.855; one rod of a parallelogram drawn at 60 is in line at -60; 30 sin 40 > 15
    "assembled": (four_bar((40, 120, 80, 100), drawn=40), {CRANK: 70.0}, ""),
    "not-assembled": (four_bar((3, 4, 4, 6), drawn=60), {CRANK: 170.0}, "cannot be assembled at this pose"),
    "dead-centre": (push_pull(hub=12, rods=(60,), travel=(-90, 10)), {SERVO: -80.0}, "dead centre on the way"),
    "slot-end": (yoke(), {SWING: 40.0}, "beyond the end of its slot"),
    "conflict": (push_pull(), {SERVO: 45.0}, "miss each other by 0.086 mm"),
    "redundant": (push_pull(hub=12, turn=20), {SERVO: 30.0}, ""),
}


@pytest.mark.parametrize("state", CASES)
def test_the_state_of_a_loop_is_told(state):
    project, values, words = CASES[state]
    (loop,) = pose_as_json(project, values)["loops"]
    assert (loop["section"], loop["state"]) == ("Side", state)
    assert set(loop["joints"]) == {joint.name for joint in project.sections[0].joints}
    page = io.StringIO()
    print_pose(project, values, to=page)
    told = " ".join(page.getvalue().split())
    assert words in told
    assert bool(words) == ("Side:" in told)


def test_the_misfit_of_rods_that_conflict_is_told_in_mm():
    # closed form, one route: the two rods conflict by 0.09 at 45
    (loop,) = pose_as_json(push_pull(), {SERVO: 45.0})["loops"]
    assert loop["misfit"] == pytest.approx(0.0855, abs=1e-4)
    (loop,) = pose_as_json(push_pull(hub=12, turn=20), {SERVO: 30.0})["loops"]
    assert loop["misfit"] == pytest.approx(0, abs=1e-6)
