"""The states of loops at a position, and what stops a drive."""

import math

import msgspec
import numpy as np
import pytest

from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.loop_states import LoopState, Reach, reach_of, states_at
from tests.mechanisms import BAY, drive, four_bar, mechanism, pin_slot, pivot, push_pull, slide


def state_at(project: Project, *values: float) -> LoopState:
    linkage = linkage_of(project)
    (state,) = states_at(linkage.sections[0], linkage, np.array(values, dtype=float))
    return state


def reach(project: Project) -> Reach:
    first = project.drives[0]
    return reach_of(linkage_of(project), 0, start=first.start, end=first.end)


def yoke(*, end: float) -> Project:
    joints = [
        pivot("hub", BAY, "arm", 0j),
        slide("rail", BAY, "sled", along=0),
        pin_slot("yoke", "arm", "sled", 30 + 0j, along=90, reach=(-22, end)),
    ]
    return mechanism(joints, drive("swing", ("hub", 1), travel=(-45, 45)))


def test_a_section_without_loops_has_no_states():
    linkage = linkage_of(mechanism([pivot("hub", BAY, "arm", 0j)], drive("turn", ("hub", 1))))
    assert states_at(linkage.sections[0], linkage, np.array([30.0])) == ()
    assert reach_of(linkage, 0, start=-90, end=90) == Reach(-90, 90, ())


def test_a_closed_loop_is_assembled_and_names_its_joints():
    state = state_at(four_bar((40, 120, 80, 100), drawn=40), 90)
    assert (state.section, state.code, state.misfit, state.value) == ("Side", "assembled", 0.0, None)
    assert state.joints == ("crank pivot", "crank pin", "follower pin", "follower pivot")


def test_equal_rods_are_redundant_without_misfit():
    state = state_at(push_pull(hub=12, turn=20), 30)
    assert (state.code, state.misfit) == ("redundant", pytest.approx(0, abs=1e-9))


def test_unequal_rods_conflict_and_tell_the_play_that_they_need():
    # closed form, one route: horn 12, hub 16, D = 60: at 45 the rods ask for hubs 0.69 degrees apart
    state = state_at(push_pull(), 45)
    assert (state.code, state.misfit) == ("conflict", pytest.approx(0.0855, abs=1e-4))
    assert state.play == pytest.approx(state.misfit)
    assert state_at(push_pull(), 0).code == "redundant"


def test_each_end_of_a_travel_is_told_with_its_drive_and_value():
    # closed form: the limits of 3, 4, 4, 6
    limit = math.degrees(math.acos((9 + 36 - 64) / 36))
    found = reach(four_bar((3, 4, 4, 6), drawn=60, travel=(-170, 170)))
    assert [(end.drive, end.code, end.value) for end in found.ends] == [
        ("crank", "not-assembled", pytest.approx(-limit, abs=1e-3)),
        ("crank", "not-assembled", pytest.approx(limit, abs=1e-3)),
    ]
    assert -limit <= found.low
    assert found.high <= limit


def test_a_slot_that_is_long_enough_stops_nothing():
    # closed form: the pin goes 30 sin 45 = 21.2 along the slot
    assert reach(yoke(end=21.3)) == Reach(-45, 45, ())
    found = reach(yoke(end=21.1))
    assert found.high == pytest.approx(math.degrees(math.asin(21.1 / 30)), abs=1e-3)
    assert [end.code for end in found.ends] == ["slot-end"]


def test_home_that_is_not_reached_leaves_no_travel():
    project = four_bar((3, 4, 4, 6), drawn=60, travel=(0, 180))
    (crank,) = project.drives
    away = msgspec.structs.replace(project, drives=(msgspec.structs.replace(crank, home=150),))
    found = reach(away)
    assert (found.low, found.high) == (150, 150)
    assert {end.code for end in found.ends} == {"not-assembled"}


def test_a_drive_that_moves_no_loop_keeps_its_travel_where_another_is_stopped():
    project = four_bar((3, 4, 4, 6), drawn=60, travel=(0, 180))
    project = msgspec.structs.replace(project, drives=(*project.drives, drive("other", travel=(-5, 5))))
    assert reach_of(linkage_of(project), 1, start=-5, end=5) == Reach(-5, 5, ())
