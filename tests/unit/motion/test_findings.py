"""What is told of a mechanism before anything is swept."""

from collections.abc import Mapping

import msgspec
import pytest

from core.model.finding import Datum, Finding
from core.model.joints import Bolted
from core.model.names import DriveName, JointName
from core.model.project import AllowedTogether, DriveSpan, Project
from core.motion.findings import motion_findings
from core.motion.linkage import linkage_of
from tests.mechanisms import BAY, between, bolted, drive, four_bar, mechanism, pivot, polar, push_pull, slide


def found_in(project: Project) -> dict[str, Finding]:
    return {finding.code: finding for finding in motion_findings(project, linkage_of(project))}


def data_of(project: Project, code: str) -> Mapping[str, Datum]:
    return found_in(project)[code].data


def test_nothing_is_told_of_a_driven_four_bar():
    assert not found_in(four_bar((40, 120, 80, 100), drawn=40))


def test_a_part_held_by_nothing_is_told_once_with_its_bodies():
    project = mechanism([pivot("hub", BAY, "arm", 0j), pivot("pin", "link", "bar", 5j)], drive("turn", ("hub", 1)))
    finding, own_pin = motion_findings(project, linkage_of(project))
    assert (own_pin.code, own_pin.place.joint) == ("undriven", "pin")
    assert (finding.code, finding.level, finding.place.body) == ("body-unheld", "warning", "link")
    assert finding.data["bodies"] == ("link", "bar")


def test_an_undriven_pivot_is_told():
    assert data_of(mechanism([pivot("hub", BAY, "arm", 0j)]), "undriven") == {"joints": ("hub",), "freedoms": 1}


def test_a_joint_between_two_bodies_that_are_bolted_together_is_told():
    project = mechanism([pivot("hub", BAY, "arm", 0j), bolted("clamp", BAY, "arm")])
    assert data_of(project, "joint-idle") == {"first": BAY, "second": "arm"}


def test_redundant_rods_are_a_note():
    finding = found_in(push_pull(hub=12, turn=20))["redundant"]
    assert finding.level == "note"
    assert finding.data["number"] == 1


def test_a_mechanism_drawn_at_its_dead_centre_is_told():
    assert data_of(push_pull(hub=12, rods=(0,)), "dead-centre-drawn")["freedoms"] == 1


def test_a_drive_that_cannot_move_is_told():
    joints = [slide("rail 1", BAY, "block", along=0), slide("rail 2", BAY, "block", along=30, at=30j)]
    finding = found_in(mechanism(joints, drive("push", ("rail 1", 1), unit="mm")))["drive-blocked"]
    assert finding.place.drive == "push"
    assert finding.data["joints"] == ("rail 1", "rail 2")


def test_two_drives_on_one_freedom_block_each_other():
    project = push_pull(hub=12, rods=(70,))
    project = msgspec.structs.replace(project, drives=(*project.drives, drive("second", ("hub pivot", 1))))
    findings = motion_findings(project, linkage_of(project))
    blocked = [finding.place.drive for finding in findings if finding.code == "drive-blocked"]
    assert blocked == ["servo", "second"]


def test_play_outside_loops_and_rules_between_drives_are_no_findings():
    project = mechanism([pivot("hub", BAY, "arm", polar(1, 2), play=0.2)], drive("turn", ("hub", 1)))
    span = DriveSpan(drive=DriveName("turn"), start=0, end=1)
    project = msgspec.structs.replace(project, allowed_together=(AllowedTogether(when=span, keep=span),))
    assert motion_findings(project, linkage_of(project)) == ()


@pytest.mark.parametrize("number", [0, 1])
def test_an_empty_section_has_no_findings(number):
    joints = [Bolted(name=JointName("screw"), between=between(BAY, "cover"))][:number]
    assert not found_in(mechanism(joints))


def test_a_drive_that_its_loop_stops_is_told_with_the_value():
    # closed form: the limits of 3, 4, 4, 6
    project = four_bar((3, 4, 4, 6), drawn=60, travel=(0, 180))
    finding = found_in(project)["loop-not-assembled"]
    assert (finding.place.drive, finding.data["unit"]) == ("crank", "deg")
    assert finding.data["value"] == pytest.approx(121.855431, abs=1e-3)
    assert (finding.data["from"], finding.data["to"]) == (0, finding.data["value"])


def test_a_dead_centre_in_the_travel_is_told():
    assert data_of(push_pull(hub=12, rods=(60,), travel=(-90, 10)), "loop-dead-centre")["value"] == pytest.approx(-60, abs=1e-3)


def test_rods_that_conflict_both_ways_are_told_once_with_the_play_they_need():
    project = push_pull()
    told = [finding for finding in motion_findings(project, linkage_of(project)) if finding.code == "loop-conflict"]
    assert len(told) == 1
    assert told[0].data["misfit"] == pytest.approx(0.0855, abs=1e-4)
    assert told[0].data["play"] == pytest.approx(0.0855, abs=1e-4)
    assert "loop-conflict" not in found_in(push_pull(play=0.1))


def test_rods_that_fit_by_their_play_are_told_with_the_play_they_need_and_what_it_leaves():
    # the range of the lever: scipy.optimize.minimize (SLSQP) with each rod at most 0.15 off its length, one run, kept here
    fits, left = data_of(push_pull(play=0.15), "play-fits"), data_of(push_pull(play=0.15), "play-left")
    assert (fits["misfit"], fits["play"]) == (pytest.approx(0.0855, abs=1e-4), pytest.approx(0.0855, abs=1e-4))
    assert abs(fits["value"]) == 45
    ends = sorted(abs(left[key]) for key in ("low", "high"))
    assert (left["bodies"], left["measure"], ends) == (("hub",), "deg", pytest.approx([31.752096, 32.335197], abs=1e-5))


def test_too_little_play_is_told_as_a_conflict_with_the_play_from_which_rods_fit():
    told = found_in(push_pull(play=0.05))
    assert told["loop-conflict"].data["play"] == pytest.approx(0.0855, abs=1e-4)
    assert "play-fits" not in told


def test_play_of_an_ordinary_loop_leaves_its_follower_loose_at_home():
    left = data_of(four_bar((40, 120, 80, 100), drawn=40, play=0.1), "play-left")
    assert left["bodies"] == ("follower",)
    assert left["low"] < 0 < left["high"]
