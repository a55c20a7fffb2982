"""Faults of names, references and joints."""

from math import inf

import pytest
from msgspec.structs import replace

from core.model.joints import Bolted, PinSlot, Pivot
from core.model.project import Section
from core.model.shapes import Bore, Box, Disc, Frame, Polygon
from core.model.validate import validate
from tests.unit.model.drawings import SQUARE, gate, in_plan, swing, with_joint


def told(project):
    return [(finding.code, finding.place.path) for finding in validate(project)]


@pytest.mark.parametrize("name", ["", " leaf", "leaf\n", "le\u0061\u0301f", "le\taf", "le\u202eaf", "*", "le\ud800af"])
def test_a_name_that_cannot_stand_is_refused(name):
    project = replace(
        gate(), sections=(replace(gate().sections[0], bodies=(replace(gate().sections[0].bodies[0], name=name),), joints=()),)
    )
    found = [finding for finding in validate(replace(project, drives=())) if finding.place.path == "sections[0].bodies[0].name"]
    assert [(finding.code, finding.data["what"], finding.data["name"]) for finding in found] == [("name-unfit", "body", name)]
    assert found[0].data["fault"]


@pytest.mark.parametrize("name", ["Leaf 2", "vantail", "Türblatt", "扉", "a*b"])
def test_names_of_any_script_can_stand(name):
    assert ("name-unfit", "sections[0].name") not in told(replace(gate(), sections=(replace(gate().sections[0], name=name),)))


def test_names_of_project_section_joint_and_drive_are_looked_at_too():
    project = replace(with_joint(name=" heel"), name="", drives=(swing(name="a\x00"),))
    project = replace(project, sections=(replace(project.sections[0], name="*"),))
    assert {"name", "sections[0].name", "sections[0].joints[0].name", "drives[0].name"} <= {
        path for code, path in told(project) if code == "name-unfit"
    }


def test_a_name_given_twice_points_to_the_first():
    plan = gate().sections[0]
    project = in_plan(bodies=(*plan.bodies, plan.bodies[1]), joints=(*plan.joints, plan.joints[0]))
    project = replace(project, sections=(*project.sections, Section(name="Plan", bodies=())), drives=(swing(), swing(moves=())))
    found = [finding for finding in validate(project) if finding.code == "name-repeated"]
    assert [(f.data["what"], f.data["name"], f.place.path, f.data["first"]) for f in found] == [
        ("section", "Plan", "sections[1]", "sections[0]"),
        ("body", "leaf", "sections[0].bodies[3]", "sections[0].bodies[1]"),
        ("joint", "heel", "sections[0].joints[2]", "sections[0].joints[0]"),
        ("drive", "swing", "drives[1]", "drives[0]"),
    ]


def test_two_sections_may_use_the_same_names():
    project = replace(gate(), sections=(*gate().sections, replace(gate().sections[0], name="Side")))
    assert validate(project) == ()


def test_an_unknown_body_is_told_with_the_nearest_name():
    (finding,) = validate(with_joint(between=("post", "laef")))
    assert (finding.code, finding.place.path) == ("name-misspelt", "sections[0].joints[0].between[1]")
    assert (finding.place.joint, finding.data) == ("heel", {"what": "body", "name": "laef", "nearest": "leaf"})


def test_an_unknown_body_like_no_other_is_told_without():
    (finding,) = validate(with_joint(between=("post", "culvert 7")))
    assert (finding.code, finding.data) == ("name-unknown", {"what": "body", "name": "culvert 7"})


def test_a_joint_across_sections_is_refused():
    other = Section(name="Side", bodies=(replace(gate().sections[0].bodies[0], name="gantry"),))
    project = with_joint(between=("post", "gantry"))
    (finding,) = validate(replace(project, sections=(*project.sections, other)))
    assert (finding.code, finding.data) == ("joint-across-sections", {"body": "gantry", "other": "Side"})


def test_a_joint_of_a_body_with_itself_is_refused():
    assert told(with_joint(between=("leaf", "leaf"))) == [("joint-with-itself", "sections[0].joints[0]")]


def test_negative_relief_and_play_are_refused():
    assert told(with_joint(relief=-1.0, play=-0.1)) == [
        ("number-negative", "sections[0].joints[0].relief"),
        ("number-negative", "sections[0].joints[0].play"),
    ]


def test_an_infinite_pin_is_refused():
    assert told(with_joint(at=(0.0, inf))) == [("number-not-finite", "sections[0].joints[0].at[1]")]


@pytest.mark.parametrize(
    ("reach", "code"), [((2, 2), "reach-empty"), ((5, -5), "reach-empty"), ((1, 5), "reach-excludes-pin"), ((-5, -1), "reach-excludes-pin")]
)
def test_a_slot_must_reach_to_the_pin(reach, code):
    slot = PinSlot(name="yoke", between=("leaf", "paddle"), at=(12.0, 0.0), along=0.0, reach=reach)
    (finding,) = validate(in_plan(joints=(gate().sections[0].joints[0], slot)))
    assert (finding.code, finding.place.path) == (code, "sections[0].joints[1].reach")
    assert finding.data == {"low": reach[0], "high": reach[1]}


@pytest.mark.parametrize("reach", [None, (0.0, 5.0), (-5.0, 0.0), (-1.0, 1.0)])
def test_a_slot_with_the_pin_in_it_or_at_its_end_is_valid(reach):
    slot = PinSlot(name="yoke", between=("leaf", "paddle"), at=(12.0, 0.0), along=0.0, reach=reach)
    assert validate(in_plan(joints=(gate().sections[0].joints[0], slot))) == ()


def test_a_pin_outside_both_bodies_is_a_warning_with_its_distance():
    (finding,) = validate(with_joint(at=(0.0, 7.0)))
    assert (finding.level, finding.code, finding.place.path) == ("warning", "pin-off-bodies", "sections[0].joints[0].at")
    assert finding.data == {"first": "post", "second": "leaf", "x": 0.0, "y": 7.0, "distance": pytest.approx(4.0)}


@pytest.mark.parametrize("at", [(0.0, 3.0), (0.0, 3.0 + 9e-7), (22.0, 2.0)], ids=["on the post", "a hair off", "on the leaf's corner"])
def test_a_pin_on_the_outline_of_one_body_is_held(at):
    assert validate(with_joint(at=at)) == ()


@pytest.mark.parametrize(
    "room",
    [
        Bore(centre=(0, 0), radius=3, wall=1),
        Frame(centre=(0, 0), size=(6, 6), wall=1),
        Polygon(points=tuple((x - 5, y - 5) for x, y in SQUARE), holes=(((-1, -1), (1, -1), (1, 1), (-1, 1)),)),
    ],
    ids=["bore", "frame", "hole of a polygon"],
)
def test_a_pin_in_a_room_or_hole_is_held(room):
    plan = gate().sections[0]
    post, leaf, paddle = plan.bodies
    bodies = (replace(post, shapes=(room,)), replace(leaf, shapes=(Box(centre=(30, 0), size=(40, 4)),)), paddle)
    assert validate(in_plan(bodies=bodies)) == ()


def test_a_pin_is_not_looked_for_where_the_section_has_errors():
    project = with_joint(at=(0.0, 99.0))
    bodies = (*project.sections[0].bodies[:2], replace(project.sections[0].bodies[2], shapes=(Disc(centre=(0, 0), radius=0),)))
    assert told(replace(project, sections=(replace(project.sections[0], bodies=bodies),))) == [
        ("radius-not-positive", "sections[0].bodies[2].shapes[0]")
    ]


def test_bolted_bodies_need_no_pin():
    bolted = Bolted(name="screw", between=("leaf", "paddle"))
    heel = Pivot(name="heel", between=("post", "leaf"), at=(0.0, 0.0))
    assert validate(in_plan(joints=(heel, bolted))) == ()
