"""One position alone is posed number by number, many are posed as arrays, and loops hand over what their closure met: all must agree."""

from dataclasses import replace

import numpy as np
import pytest

from core.model.joints import Pivot
from core.motion import pose
from core.motion.closure import BATCH, closed
from core.motion.linkage import linkage_of
from core.motion.pose import poses
from core.tolerances import DEFAULT_TOLERANCES
from tests.mechanisms import BAY, circles_meet, drive, four_bar, mechanism, pin_slot, pivot, polar, push_pull, slide, slider_crank


def carried_four_bar(order: tuple[int, ...] = (0, 1, 2, 3, 4)):
    """A four-bar whose ground is an arm that a drive turns, its crank on a sled of that arm; a wheel rides on the follower."""
    crank_pin, ground = 10 + polar(40, 60), 110 + 0j
    follower_pin = circles_meet(crank_pin, 120, ground, 80, left=True)
    joints = [
        pivot("shoulder", BAY, "arm", 0j),
        pivot("crank pivot", "arm", "crank", 10 + 0j),
        pivot("crank pin", "crank", "coupler", crank_pin),
        pivot("follower pin", "coupler", "follower", follower_pin),
        pivot("follower pivot", "arm", "follower", ground),
    ]
    wheel = pivot("wheel pivot", "follower", "wheel", follower_pin + 5)
    drives = drive("arm", ("shoulder", 1)), drive("crank", ("crank pivot", 1)), drive("wheel", ("wheel pivot", 1))
    return mechanism([*(joints[number] for number in order), wheel], *drives)


def chain():
    """A sled on a turned rail, an arm on it, a geared wrist and a slotted blade that nothing drives."""
    joints = [
        pivot("base", BAY, "rail", 5j),
        slide("rail way", "rail", "sled", along=30, at=10j),
        pivot("elbow", "arm", "sled", 20 + 10j),
        pivot("wrist", "arm", "hand", 40 + 10j),
        pin_slot("blade slot", "hand", "blade", 50 + 10j, along=10),
    ]
    return mechanism(
        joints, drive("turn", ("base", 1), ("wrist", -0.5)), drive("run", ("rail way", 2)), drive("bend", ("elbow", 1), ("wrist", 1))
    )


PROJECTS = {
    "chain": chain(),
    "four-bar": four_bar((40, 120, 80, 100), drawn=40),
    "carried": carried_four_bar(),
    "carried, closed at the crank": carried_four_bar((0, 4, 3, 2, 1)),
    "carried, closed at the coupler": carried_four_bar((0, 1, 2, 4, 3)),
    "slider crank": slider_crank(20, 60, drawn=30),
    "redundant rods": push_pull(hub=12.0),
}


def some_values(linkage, count: int):
    """Drive values up to 20 from the drawn ones, all on one line, so that loops are followed along it."""
    return linkage.drawn + np.linspace(-20, 20, count)[:, None] * np.linspace(1, 0.5, len(linkage.drawn))


@pytest.mark.parametrize("project", PROJECTS.values(), ids=list(PROJECTS))
def test_a_position_alone_is_posed_as_among_many(project):
    linkage = linkage_of(project)
    values = some_values(linkage, 9)
    many = poses(linkage.sections[0], linkage, values)
    assert np.abs(many.turn).max() > 0.1
    for place, own in enumerate(values):
        alone = poses(linkage.sections[0], linkage, own)
        assert alone.turn[0] == pytest.approx(many.turn[place], abs=1e-12)
        assert alone.shift[0] == pytest.approx(many.shift[place], abs=1e-10)
        assert alone.reached.tolist() == [many.reached[place]]


@pytest.mark.parametrize("project", PROJECTS.values(), ids=list(PROJECTS))
def test_joints_stay_together_in_every_pose(project):
    linkage = linkage_of(project)
    (section,) = linkage.sections
    found = poses(section, linkage, some_values(linkage, 9))
    assert found.reached.all()
    (drawn,) = project.sections
    groups = {name: number for number, group in enumerate(section.groups) for name in group}
    pins = [joint for joint in drawn.joints if isinstance(joint, Pivot)]
    assert len(pins) >= 3
    for joint in pins:
        one, other = (found.posed(groups[name], np.array([complex(*joint.at)])) for name in joint.between)
        assert np.abs(one - other).max() < 1e-9


@pytest.mark.parametrize("order", [(0, 1, 2, 3, 4), (0, 4, 3, 2, 1), (0, 1, 2, 4, 3)])
def test_rotors_that_a_dyad_hands_over_are_those_of_its_turns(order):
    linkage = linkage_of(carried_four_bar(order))
    (loop,) = linkage.sections[0].loops
    moved = some_values(linkage, 21) - linkage.drawn
    found = closed(loop, moved, DEFAULT_TOLERANCES)
    assert len(found.rotors) == 3
    turn = {loop.root: np.zeros(len(moved))}
    for number, (group, parent) in enumerate(zip(loop.groups, loop.parents, strict=True)):
        turn[group] = turn[parent] + found.freedoms[number]
        assert found.rotors[number] == pytest.approx(np.exp(1j * turn[group]), abs=1e-13)


def test_poses_with_and_without_rotors_agree(monkeypatch):
    linkage = linkage_of(carried_four_bar())
    (section,) = linkage.sections
    values = some_values(linkage, BATCH + 7)
    quick = poses(section, linkage, values)
    monkeypatch.setattr(pose, "closed", lambda *asked: replace(closed(*asked), rotors=()))
    plain = poses(section, linkage, values)
    assert np.array_equal(quick.turn, plain.turn)
    assert np.abs(quick.shift - plain.shift).max() < 1e-10


@pytest.mark.parametrize("project", [carried_four_bar(), four_bar((40, 120, 80, 100), drawn=40), push_pull(hub=12, rods=(60,))])
def test_a_group_asked_for_alone_is_where_it_is_among_all(project):
    linkage = linkage_of(project)
    (section,) = linkage.sections
    travels = [np.linspace(0.8 * drive.start, 0.7 * drive.end, 9) for drive in project.drives]
    for values in (np.stack(travels, axis=1), np.array([[travel[3] for travel in travels]])):
        whole = poses(section, linkage, values)
        for group in range(len(section.groups)):
            alone = poses(section.only(group), linkage, values)
            assert np.array_equal(alone.turn[:, group], whole.turn[:, group])
            assert np.array_equal(alone.shift[:, group], whole.shift[:, group])
            assert np.array_equal(alone.reached, whole.reached)
