"""By how much joints miss each other, what play takes up, and how far inside its slot a pin is."""

import math

import numpy as np
import pytest

from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.loop_equations import Equations, equations_of, walked
from core.motion.play import has_reach, inside_slots, parted, play_needed, taken_up
from tests.mechanisms import BAY, drive, four_bar, mechanism, pin_slot, pivot, push_pull, slide


def equations(project: Project) -> Equations:
    return equations_of(linkage_of(project).sections[0].loops[0])


def yoke(*, reach: tuple[float, float] | None) -> Project:
    joints = [
        pivot("hub", BAY, "arm", 0j),
        slide("rail", BAY, "sled", along=0),
        pin_slot("yoke", "arm", "sled", 30 + 0j, along=90, reach=reach),
    ]
    return mechanism(joints, drive("swing", ("hub", 1)))


def test_joints_miss_nothing_as_drawn():
    known = equations(push_pull())
    apart = parted(known, walked(known, np.zeros((len(known.steps), 1))), np.zeros((0, 1)))
    assert apart == pytest.approx(np.zeros((2, 1)), abs=1e-12)


def test_a_follower_turned_alone_leaves_its_pin_by_the_chord():
    known = equations(four_bar((40, 120, 80, 100), drawn=40))
    freedoms = np.zeros((len(known.steps), 1))
    follower = next(index for index, step in enumerate(known.steps) if step.joint == "follower pin")
    freedoms[follower] = math.radians(10)
    apart = parted(known, walked(known, freedoms), np.zeros((0, 1)))
    # closed form: a chord of a circle of 80 over 10 degrees
    assert apart[0, 0] == pytest.approx(160 * math.sin(math.radians(5)))


def test_each_pin_of_its_own_loop_gives_half_its_play():
    known = equations(push_pull())
    played = {joint: 0.2 if "pin" in joint else 0.5 for joint in known.loop.joints}
    found = taken_up(known, np.array([played[joint] for joint in known.loop.joints]))
    # two pins a rod, 0.2 / 2 each; horn pivot and hub pivot lie on both loops and give way to neither
    assert found == pytest.approx([0.2, 0.2])


def test_a_joint_that_closes_with_a_slide_has_no_play():
    rails = [slide("rail 1", BAY, "block", along=20), slide("rail 2", BAY, "block", along=50, at=30j)]
    known = equations(mechanism(rails, drive("push", ("rail 1", 1), unit="mm")))
    assert taken_up(known, np.ones(2)).tolist() == [0.0]
    # closed form: 7 mm along the first rail leave the second by 7 sin 30; no play helps
    assert play_needed(known, np.array([7.0])) == math.inf
    assert play_needed(known, np.array([0.0])) == 0.0


@pytest.mark.parametrize(
    ("turn", "inside"), [(0, 15.0), (20, 15 - 30 * math.sin(math.radians(20))), (40, 15 - 30 * math.sin(math.radians(40)))]
)
def test_how_far_inside_its_slot_the_pin_is(turn, inside):
    # closed form: the pin is at 30 sin(turn) along the slot
    known = equations(yoke(reach=(-22, 15)))
    assert has_reach(known.loop)
    freedoms = np.zeros((len(known.steps), 1))
    for index, step in enumerate(known.steps):
        if step.joint == "hub":
            freedoms[index] = math.radians(turn)
        if step.joint == "rail":
            freedoms[index] = 30 * math.cos(math.radians(turn)) - 30
    assert inside_slots(known, freedoms, walked(known, freedoms), slack=0.0)[0] == pytest.approx(inside)


def test_a_slot_without_ends_is_never_left():
    known = equations(yoke(reach=None))
    freedoms = np.zeros((len(known.steps), 1))
    assert not has_reach(known.loop)
    assert inside_slots(known, freedoms, walked(known, freedoms), slack=0.0).tolist() == [math.inf]
