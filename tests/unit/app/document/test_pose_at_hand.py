"""The pose at hand: the user's own, visits, and the ghost."""

import msgspec
import pytest

from app.document.pose_at_hand import PoseAtHand
from tests.bays import bay, body, box, drive, pivot, project


@pytest.fixture
def two_arms():
    bodies = [body("plate", box(0, -60, 10, 10), fixed=True), body("left arm", box(10, 0, 20, 4)), body("right arm", box(60, 0, 20, 4))]
    joints = [pivot("left pin", "plate", "left arm"), pivot("right pin", "plate", "right arm", at=(50, 0))]
    return project(bay(bodies, joints, [drive("left", (-30, 30), "left pin"), drive("right", (0, 90), "right pin", home=10)]))


@pytest.fixture
def pose(qapp, two_arms):
    assert qapp is not None  # timers need the application
    made = PoseAtHand()
    made.ease_ms = 0
    made.take(two_arms)
    return made


def test_a_new_project_stands_at_home(pose):
    assert pose.values == pose.shown == {"left": 0, "right": 10}


def test_values_are_held_within_travel(pose):
    pose.put({"left": 99, "right": -5})
    assert pose.values == {"left": 30, "right": 0}


def test_drives_that_are_not_named_stay(pose):
    pose.put({"left": 7})
    pose.put({"right": 40})
    assert pose.values == {"left": 7, "right": 40}


def test_a_visit_keeps_the_users_own_pose_and_gives_it_back(pose):
    pose.put({"left": 7})
    pose.visit({"left": -20})
    pose.visit({"left": -25, "right": 80})
    assert pose.own == {"left": 7, "right": 10}
    assert pose.give_back()
    assert pose.values == {"left": 7, "right": 10}
    assert pose.own is None


def test_where_nothing_is_visited_nothing_is_given_back(pose):
    assert not pose.give_back()


def test_the_users_hand_ends_a_visit_where_it_is(pose):
    pose.visit({"left": -20})
    pose.put({"right": 50})
    assert pose.own is None
    assert pose.values == {"left": -20, "right": 50}


def test_posing_eases_and_passes_through_values_in_between(pose, qtbot):
    pose.ease_ms = 60
    seen = []
    pose.moved.connect(lambda: seen.append(pose.shown["right"]))
    with qtbot.waitSignal(pose.settled, timeout=5000):
        pose.go({"right": 90})
    assert pose.shown["right"] == 90
    assert seen == sorted(seen)
    assert pose.values["right"] == 90


def test_a_ghost_is_told_once_and_does_not_move_the_pose(pose, qtbot):
    with qtbot.waitSignal(pose.ghosted):
        pose.set_ghost({"left": 12})
    with qtbot.assertNotEmitted(pose.ghosted):
        pose.set_ghost({"left": 12})
    assert pose.ghost == {"left": 12, "right": 10}
    assert pose.values == {"left": 0, "right": 10}


def test_an_edited_project_keeps_the_pose_within_its_travel(pose, two_arms):
    pose.put({"left": 25, "right": 60})
    shorter = msgspec.structs.replace(two_arms, drives=(msgspec.structs.replace(two_arms.drives[0], end=15.0),))
    pose.take(shorter)
    assert pose.values == {"left": 15}


def test_drives_put_where_they_stand_are_not_told(pose):
    pose.put({"left": 7})
    told = []
    pose.moved.connect(lambda: told.append("moved"))
    pose.settled.connect(lambda: told.append("settled"))
    pose.put({"left": 7})
    assert told == []
    pose.put({"left": 8})
    assert told == ["moved", "settled"]


def test_a_hand_that_puts_a_drive_where_it_is_easing_by_ends_the_easing_there(pose, qtbot):
    pose.ease_ms = 10_000
    pose.go({"left": 30})
    assert pose.shown["left"] < 30
    told = []
    pose.settled.connect(lambda: told.append(dict(pose.shown)))
    pose.put(dict(pose.shown))
    assert told == [pose.shown]
    assert pose.shown["left"] == pose.values["left"] < 30
    qtbot.wait(30)
    assert told == [pose.shown]
