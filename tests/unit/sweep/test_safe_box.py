"""The joint safe box against closed forms: its ends, its proof, and what there is where there is none."""

from pathlib import Path

import msgspec
import numpy as np
import pytest

from core.model.project import AllowedTogether, DriveSpan, Project
from core.project_file.read import read_project
from core.sweep.box_growth import grown
from core.sweep.result import SafeBox
from core.sweep.run import check_project
from tests.arms import mirrored_arms
from tests.bays import bar, bay, body, check, disc, drive, pivot, slid, slide
from tests.bench.ring_bay import ring_bay

SAMPLES = Path(__file__).parents[3] / "sample_projects"
ENDS = 0.002
"""Degrees or mm: no side could be longer by as much."""

MEETING = 39.517653
"""Degrees above the centre line at which two mirrored slot arms L 35 r 3, pivots 60 apart, first touch: closed form."""


def box_of(project: Project) -> SafeBox:
    box = check_project(project, safe_anywhere=False).safe_box
    assert box is not None
    return box


def span(name, low, high):
    return DriveSpan(drive=name, start=low, end=high)


def within(project: Project, box: SafeBox) -> Project:
    """The same project with the box for its travels, and no rules between its drives."""
    ends = {name: (low, high) for name, low, high in box.travels}
    drives = tuple(
        msgspec.structs.replace(drive, start=ends[drive.name][0], end=ends[drive.name][1], stops=None, drawn=drive.drawn_value)
        for drive in project.drives
    )
    return msgspec.structs.replace(project, drives=drives, allowed_together=())


@pytest.mark.parametrize("asked", [0.0, 0.37, 1.0, 1.123456])
def test_one_drive_ends_before_its_breach(asked):
    # Discs of 2 mm 10 mm apart: the gap is 6 - x.
    box = check(slid(disc(10, 0, 2), disc(0, 0, 2), travel=(-3, 6.5), required_gap=asked)).safe_box
    ((name, low, high),) = box.travels
    assert (name, low) == ("push", -3)
    assert 6 - asked - ENDS <= high <= 6 - asked + 3e-6
    assert asked - 3e-6 <= box.floor <= asked + ENDS


def test_a_bay_that_is_clear_has_all_its_travels_and_the_floor_of_its_sweep():
    result = check(slid(disc(10, 0, 2), disc(0, 0, 2), travel=(-3, 4), required_gap=1.0))
    assert result.safe_box.travels == (("push", -3, 4),)
    assert result.safe_box.floor == min(row.floor for row in result.of_sweep("combined"))


def test_arms_that_meet_alike_are_stopped_where_the_closed_form_says():
    # As neither arm goes on alone once both have come so far, both end there.
    project = msgspec.structs.replace(mirrored_arms(), required_gap=0.0)
    box = box_of(project)
    for _, low, high in box.travels:
        assert low == 0
        assert 90 - MEETING - ENDS <= high <= 90 - MEETING + 1e-4


def test_rules_between_drives_are_not_relied_on():
    project = mirrored_arms()
    left, right = (drive.name for drive in project.drives)
    rule = AllowedTogether(when=span(left, 20, 70), keep=span(right, 0, 5), reason="one at a time")
    ruled = msgspec.structs.replace(project, allowed_together=(rule,))
    assert check_project(ruled, safe_anywhere=False).verdict == "clear"
    assert box_of(ruled) == box_of(project)
    assert box_of(project).travels[0][2] < 70


@pytest.mark.parametrize("name", ["petal_lamp", "owl_head", "lock_gate", "barrier_arm"])
def test_the_box_of_a_sample_is_clear_when_it_is_all_the_travel_there_is(name):
    project = read_project(SAMPLES / f"{name}.bay.json")
    box = box_of(project)
    assert any(low > drive.start or high < drive.end for (_, low, high), drive in zip(box.travels, project.drives, strict=True))
    again = check_project(within(project, box), covers="combined", seek="verdict", safe_anywhere=False)
    assert again.verdict == "clear"
    assert again.safe_box.travels == box.travels


def test_no_side_of_a_ring_of_stations_could_be_longer():
    project = ring_bay(5)
    box = box_of(project)
    grown_sides = 0
    for number, (name, low, high) in enumerate(box.travels):
        asked = project.drives[number]
        for longer in ((low - ENDS, high), (low, high + ENDS)):
            if asked.start <= longer[0] and longer[1] <= asked.end:
                travels = [*box.travels]
                travels[number] = (name, *longer)
                wider = within(project, SafeBox(tuple(travels), None))
                assert check_project(wider, covers="combined", seek="verdict", safe_anywhere=False, safe_box=False).verdict == "breach"
                grown_sides += 1
    assert grown_sides >= 5


def test_there_is_none_where_home_breaches_or_a_pair_is_not_decided():
    assert check(slid(disc(10, 0, 2), disc(6.5, 0, 2), travel=(-3, 3))).safe_box == SafeBox((), None, "home-breaches")
    loose = bay(
        [body("bay", bar((-40, 12), (40, 12), 0.5), fixed=True), body("arm", bar((0, 0), (20, 0), 0.5)), body("sled", disc(0, 40, 2))],
        [pivot("pin", "bay", "arm", (0, 0)), slide("rail", "bay", "sled")],
        [drive("push", (-5, 5), "rail", unit="mm")],
    )
    assert check(loose).safe_box == SafeBox((), None, "undecided")


def test_a_drive_that_cannot_move_at_all_stays_at_home():
    # The discs just keep the gap at home; the drive "push" may go one way only, "lift" is beside the matter.
    box = check(slid(disc(10, 0, 2), disc(5, 0, 2), travel=(0, 3), required_gap=1.0)).safe_box
    assert box.travels == (("push", 0, 0),)


def test_it_is_left_out_on_demand_and_from_solo_sweeps_and_is_the_same_twice():
    record = slid(disc(10, 0, 2), disc(0, 0, 2), travel=(-3, 6.5))
    assert check(record, safe_box=False).safe_box is None
    assert check(record, covers="solo").safe_box is None
    assert box_of(ring_bay(4)) == box_of(ring_bay(4))


HOME, ROOM = np.zeros(2), np.array([[10.0, 10.0], [10.0, 20.0]])


def test_a_pose_stops_the_side_that_goes_farthest_for_it_and_the_other_goes_on():
    # At the pose the first drive is at half its way, the second at a quarter.
    reach = grown([np.array([5.0, 5.0])], ROOM, HOME, close=0.001)
    assert reach.tolist() == [[10, 10], [4.999, 20]]


def test_a_side_that_a_pose_stopped_goes_on_alone_when_the_pose_has_come_out_of_reach():
    poses = [np.array([4.0, 8.0]), np.array([np.nan, 7.0]), np.array([4.5, np.nan])]
    reach = grown(poses, ROOM, HOME, close=0.001)
    assert reach.tolist() == [[10, 10], [4.499, 6.999]]
    assert not any(np.all((-reach[0] <= np.nan_to_num(pose)) & (np.nan_to_num(pose) <= reach[1])) for pose in poses)


def test_nothing_in_the_way_leaves_all_the_room():
    assert grown([], ROOM, HOME, close=0.001).tolist() == ROOM.tolist()
