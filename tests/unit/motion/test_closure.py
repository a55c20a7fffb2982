"""Poses of loops for many positions at once: shapes, ends, what is told where a loop does not close."""

import math

import msgspec
import numpy as np
import pytest

from core.model.names import BodyName
from core.model.project import Project
from core.motion.closure import BATCH, closed
from core.motion.linkage import linkage_of
from core.motion.loop_path import DEAD_CENTRE, GOAL, TURNING_POINT
from core.motion.loop_states import reach_of
from core.motion.pose import poses
from core.tolerances import DEFAULT_TOLERANCES
from tests.mechanisms import BAY, drive, four_bar, mechanism, pivot, polar, push_pull


def closed_at(project: Project, *moved: float):
    loop = linkage_of(project).sections[0].loops[0]
    return closed(loop, np.array(moved, dtype=float)[:, None], DEFAULT_TOLERANCES)


def five_bar(*, apart: float = 50.0) -> Project:
    joints = [
        pivot("left pivot", BAY, "left crank", 0j),
        pivot("left pin", "left crank", "left rod", -10 + 30j),
        pivot("tip", "left rod", "right rod", apart / 2 + 70j),
        pivot("right pin", "right rod", "right crank", apart + 10 + 25j),
        pivot("right pivot", BAY, "right crank", complex(apart)),
    ]
    return mechanism(joints, drive("left", ("left pivot", 1)), drive("right", ("right pivot", 1)))


def test_the_drawn_pose_is_exactly_as_drawn():
    found = closed_at(four_bar((40, 120, 80, 100), drawn=40), 0)
    assert not found.freedoms.any()
    assert (found.reached.tolist(), found.misfit.tolist()) == ([True], [0.0])


@pytest.mark.parametrize("drives", [1, 2])
def test_no_positions_give_empty_arrays(drives):
    project = five_bar() if drives == 2 else four_bar((40, 120, 80, 100), drawn=40)
    linkage = linkage_of(project)
    found = poses(linkage.sections[0], linkage, np.empty((0, drives)))
    assert (found.turn.shape[0], found.reached.shape, found.misfit.shape) == (0, (0,), (0,))


def test_each_row_is_the_same_by_itself_and_among_others():
    linkage = linkage_of(four_bar((40, 120, 80, 100), drawn=40))
    values = np.linspace(-300, 300, 37)[:, None]
    together = poses(linkage.sections[0], linkage, values)
    for row, value in enumerate(values):
        alone = poses(linkage.sections[0], linkage, value)
        assert alone.turn[0] == pytest.approx(together.turn[row], abs=1e-9)


def test_more_positions_than_a_batch_holds():
    project = four_bar((40, 120, 80, 100), drawn=40)
    found = closed_at(project, *np.linspace(0, 30, BATCH + 3))
    last = closed_at(project, 30)
    assert found.freedoms.shape[1] == BATCH + 3
    assert found.freedoms[:, -1] == pytest.approx(last.freedoms[:, 0], abs=1e-12)


def test_positions_on_a_straight_line_of_two_drives_are_those_found_one_by_one():
    linkage = linkage_of(five_bar())
    section = linkage.sections[0]
    line = np.linspace(-1, 1, 21)[:, None] * [[20.0, -12.0]]
    together = poses(section, linkage, line)
    scattered = poses(section, linkage, np.vstack([line, [[7.0, 9.0]]]))
    assert together.reached.all()
    assert together.turn == pytest.approx(scattered.turn[:-1], abs=1e-9)


def test_beyond_a_turning_point_the_loop_stands_at_the_last_place_it_reached():
    # closed form: at the limit of 3, 4, 4, 6 coupler and follower are in line
    project = four_bar((3, 4, 4, 6), drawn=60)
    found = closed_at(project, 110, 40)
    assert (found.end.tolist(), found.reached.tolist()) == ([TURNING_POINT, GOAL], [False, True])
    linkage = linkage_of(project)
    posed = poses(linkage.sections[0], linkage, np.array([[170.0]]))
    coupler = linkage.sections[0].group_of(BodyName("coupler"))
    limit = math.acos((9 + 36 - 64) / 36)
    direction = math.atan2(-3 * math.sin(limit), 6 - 3 * math.cos(limit))
    drawn_pin = polar(3, 60)
    apart = 6 - drawn_pin
    inner = math.acos(abs(apart) / 8)
    drawn_direction = math.atan2(apart.imag, apart.real) + inner
    assert posed.turn[0, coupler] == pytest.approx(direction - drawn_direction, abs=1e-4)
    crank = linkage.sections[0].group_of(BodyName("crank"))
    assert math.degrees(posed.turn[0, crank]) == pytest.approx(math.degrees(limit) - 60, abs=1e-6)
    assert posed.misfit[0] < 1e-6


def test_beyond_a_dead_centre_nothing_is_reached():
    found = closed_at(push_pull(hub=12, rods=(60,)), -59, -61, -200)
    assert found.end.tolist() == [GOAL, DEAD_CENTRE, DEAD_CENTRE]


def test_where_play_takes_up_the_misfit_the_pose_counts_as_reached():
    assert closed_at(push_pull(), 45).reached.tolist() == [False]
    slack = closed_at(push_pull(play=0.1), 45)
    assert slack.reached.tolist() == [True]
    assert slack.misfit[0] == pytest.approx(0.0855, abs=1e-4)


def test_two_drives_that_move_one_loop_against_each_other_conflict():
    project = push_pull(hub=12, rods=(70,))
    project = msgspec.structs.replace(project, drives=(*project.drives, drive("second", ("hub pivot", 1))))
    linkage = linkage_of(project)
    # closed form: a parallelogram's horn and hub turn alike
    found = poses(linkage.sections[0], linkage, np.array([[10.0, 10.0], [10.0, 0.0]]))
    assert found.reached.tolist() == [True, False]
    assert found.misfit[0] == pytest.approx(0, abs=1e-9)
    assert found.misfit[1] > 0.1


def test_a_loop_that_another_drive_moves_leaves_a_drive_its_travel():
    project = four_bar((3, 4, 4, 6), drawn=60, travel=(0, 180))
    project = msgspec.structs.replace(project, drives=(*project.drives, drive("idle", travel=(-5, 5))))
    found = reach_of(linkage_of(project), 1, start=-5, end=5)
    assert (found.low, found.high, found.ends) == (-5, 5, ())


def test_scattered_positions_just_short_of_a_turning_point_are_reached_and_those_just_beyond_are_not():
    # closed form: the rods' far pins may be as far apart as both rods are long
    left, right, tip, apart = -10 + 30j, 10 + 25j, 45 + 70j, 90.0
    rods = abs(tip - left) + abs(tip - apart - right)
    share = np.linspace(0, 1, 20001)[:, None]
    short, beyond = [], []
    for way in np.random.default_rng(2).uniform(-150, 150, size=(200, 2)):
        turned = np.exp(1j * np.radians(share * way))
        room = rods - np.abs(turned[:, 0] * left - apart - turned[:, 1] * right)
        if room.min() < -0.05:
            first = int(np.argmax(room < 0))
            short.append(share[:first][room[:first] > 0.05][-1] * way)
            beyond.append(share[first + int(np.argmax(room[first:] < -0.05))] * way)
    assert len(short) > 10
    linkage = linkage_of(five_bar(apart=apart))
    found = poses(linkage.sections[0], linkage, np.vstack([short, beyond]))
    assert found.reached.tolist() == [True] * len(short) + [False] * len(beyond)
