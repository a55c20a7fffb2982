"""Edits by example: free names, what goes with what is deleted, points and holes, rings of stations, pasting, rules that meet."""

import pytest
from msgspec.structs import replace

from core.model.belonging import joints_of
from core.model.edit_bodies import add_body, delete_bodies, free_body_name
from core.model.edit_drives import add_drive, delete_drives, move_joint, release_joint
from core.model.edit_joints import put_joint
from core.model.edit_placing import duplicate_bodies, place_bodies, place_shapes
from core.model.edit_project import bay_wall, new_project
from core.model.edit_rules import ask_gap, exempt_pair, put_gap_rule
from core.model.edit_sections import duplicate_section
from core.model.edit_shapes import add_point, as_polygon, cut_hole, delete_point, fill_hole, move_point, replace_shape, round_corners
from core.model.fragment import fragment_of, hanging
from core.model.fresh_names import fresh_name
from core.model.joints import Bolted, Pivot
from core.model.outline import signed_area
from core.model.pasting import pasted
from core.model.placing import Placing, mirroring, moving, placed, scaling
from core.model.project import GapRule, Move
from core.model.repeat import repeat_along, repeat_round
from core.model.shapes import Box, Disc, Polygon
from core.model.validate import validate
from tests.unit.model.drawings import ELL, SQUARE, gate, swing


@pytest.mark.parametrize(
    ("wanted", "taken", "free"),
    [
        ("petal", [], "petal"),
        ("petal", ["petal"], "petal 2"),
        ("petal 1", ["petal 1"], "petal 2"),
        ("petal 2", ["petal 2", "petal 3"], "petal 4"),
        ("petal 9", ["petal 9"], "petal 10"),
        ("petal", ["petal", "petal 2"], "petal 3"),
        ("12", ["12"], "12 2"),
        ("*", [], "body"),
        ("  petal \n", [], "petal"),
        ("", ["body"], "body 2"),
        ("a\tb", [], "a b"),
    ],
)
def test_a_free_name_goes_on_counting(wanted, taken, free):
    assert fresh_name(wanted, taken) == free


def test_a_new_project_is_an_empty_section_and_valid():
    project = new_project()
    assert validate(project) == ()
    assert project.sections[0].bodies == ()
    walled = add_body(project, "Side", bay_wall((80.0, 50.0)))
    assert validate(walled) == ()
    assert free_body_name(walled, "Side", "bay") == "bay 2"


def test_deleting_a_body_takes_its_joints_rules_and_idle_drives_along():
    project = ask_gap(exempt_pair(gate(), "Plan", ("post", "paddle"), reason="apart"), "Plan", ("leaf", "*"), gap=2.0)
    deleted = delete_bodies(project, "Plan", ["leaf"])
    assert (deleted.gone.bodies, deleted.gone.joints, deleted.gone.drives) == (("leaf",), ("heel", "rack"), ("swing",))
    assert [rule.between for rule in deleted.gone.gap_rules] == [("leaf", "*")]
    assert [rule.between for rule in deleted.project.gap_rules] == [("post", "paddle")]
    assert validate(deleted.project) == ()


def test_a_drive_that_has_something_left_to_move_stays():
    project = add_drive(gate(), swing(name="lift", unit="mm", moves=(Move(section="Plan", joint="rack", ratio=1.0),)))
    both = move_joint(project, "swing", "Plan", "rack", ratio=0.5)
    assert [len(drive.moves) for drive in both.drives] == [2, 0]
    deleted = delete_bodies(both, "Plan", ["paddle"])
    assert [drive.name for drive in deleted.project.drives] == ["swing", "lift"]
    assert (deleted.gone.drives, deleted.gone.released) == ((), 1)


def test_a_joint_that_no_drive_can_move_is_taken_off_its_drive():
    put = put_joint(gate(), "Plan", "heel", Bolted(name="heel", between=("post", "leaf")))
    assert put.gone.drives == ("swing",)
    assert validate(put.project) == ()


def test_a_joint_put_under_a_taken_name_gets_the_next():
    heel = gate().sections[0].joints[0]
    put = put_joint(gate(), "Plan", "heel", replace(heel, name="rack", play=0.2))
    assert [joint.name for joint in put.project.sections[0].joints] == ["rack 2", "rack"]
    assert put.project.drives[0].moves[0].joint == "rack 2"


def test_a_drive_can_let_go_of_all_its_joints():
    project = release_joint(gate(), "swing", "Plan", "heel")
    assert [finding.code for finding in validate(project)] == ["drive-moves-nothing"]
    assert delete_drives(project, ["swing"]).project.drives == ()


def test_which_joints_go_where_their_bodies_go():
    (plan,) = gate().sections
    assert [joint.name for joint in joints_of(plan, ["leaf"])] == ["heel"]
    assert [joint.name for joint in joints_of(plan, ["post"])] == []
    assert [joint.name for joint in joints_of(plan, ["leaf", "paddle"])] == ["heel", "rack"]
    turned = replace(plan, joints=(Pivot(name="heel", between=("leaf", "post"), at=(0.0, 0.0)),))
    assert [joint.name for joint in joints_of(turned, ["leaf"])] == ["heel"]
    assert [joint.name for joint in joints_of(turned, ["post"])] == []


def test_a_body_takes_its_pin_along_unless_told_not_to():
    moved = place_bodies(gate(), "Plan", ["leaf"], moving(shift=(5.0, 1.0)))
    assert [joint.at for joint in moved.sections[0].joints] == [(5, 1), (12, 0)]
    stayed = place_bodies(gate(), "Plan", ["leaf"], moving(shift=(5.0, 1.0)), with_joints=False)
    assert [joint.at for joint in stayed.sections[0].joints] == [(0, 0), (12, 0)]


def test_placings_compose():
    one, two = moving(shift=(3.0, 1.0), turn=30.0, about=(2.0, 2.0)), mirroring(about=(1.0, 0.0), along=70.0)
    for point in ((0.0, 0.0), (5.0, -2.0)):
        assert one.then(two).point(point) == pytest.approx(two.point(one.point(point)))
        assert two.then(scaling(2.0, about=(1.0, 1.0))).point(point) == pytest.approx(
            scaling(2.0, about=(1.0, 1.0)).point(two.point(point))
        )
    assert one.then(two).heading(10.0) == pytest.approx(two.heading(one.heading(10.0)))
    assert Placing().point((1.0, 2.0)) == (1.0, 2.0)


@pytest.mark.parametrize("by", [0.0, -1.0, float("inf"), float("nan")])
def test_nothing_is_scaled_to_nothing_or_without_end(by):
    with pytest.raises(ValueError, match="above zero"):
        scaling(by)


def test_a_box_rounded_to_its_half_stays_so_when_it_is_scaled():
    box = Box(centre=(0.0, 0.0), size=(3.0, 3.0), corner_radius=1.5)
    for by in (1 / 3, 1 / 7, 0.777777, 2 / 3):
        scaled = placed(box, scaling(by))
        assert scaled.corner_radius <= min(scaled.size) / 2
        assert scaled.corner_radius == pytest.approx(1.5 * by, abs=2e-6)


def test_shapes_of_a_body_are_placed_alone():
    project = gate(shapes=(Disc(centre=(0.0, 0.0), radius=3.0), Disc(centre=(10.0, 0.0), radius=3.0)))
    after = place_shapes(project, "Plan", "leaf", [1], moving(shift=(0.0, 2.0)))
    assert [shape.centre for shape in after.sections[0].bodies[1].shapes] == [(0, 0), (10, 2)]
    with pytest.raises(IndexError):
        place_shapes(project, "Plan", "leaf", [2], moving(shift=(0.0, 2.0)))


def test_points_are_added_moved_and_taken_out():
    project = gate(shapes=(Polygon(points=SQUARE),))
    added = add_point(project, "Plan", "leaf", 0, (5.0, -2.0), before=1)
    assert added.sections[0].bodies[1].shapes[0].points == (SQUARE[0], (5, -2), *SQUARE[1:])
    moved = move_point(added, "Plan", "leaf", 0, 1, to=(5.0, -3.0))
    assert moved.sections[0].bodies[1].shapes[0].points[1] == (5, -3)
    assert delete_point(moved, "Plan", "leaf", 0, 1) == project
    last = add_point(project, "Plan", "leaf", 0, (-1.0, 5.0), before=4)
    assert last.sections[0].bodies[1].shapes[0].points[-1] == (-1, 5)
    with pytest.raises(IndexError):
        move_point(project, "Plan", "leaf", 0, -1, to=(0.0, 0.0))


def test_a_hole_is_cut_in_a_box_filled_and_goes_with_its_last_three_points():
    hole = ((8.0, -1.0), (12.0, -1.0), (10.0, 1.0))
    cut = cut_hole(gate(), "Plan", "leaf", 0, hole)
    shape = cut.sections[0].bodies[1].shapes[0]
    assert isinstance(shape, Polygon)
    assert shape.holes == (hole,)
    assert validate(cut) == ()
    assert signed_area(shape.points) == 24 * 4
    filled = fill_hole(cut, "Plan", "leaf", 0, 0)
    assert filled == delete_point(cut, "Plan", "leaf", 0, 2, hole=0)
    assert filled.sections[0].bodies[1].shapes[0].holes == ()


def test_corners_are_rounded_where_there_are_any():
    assert round_corners(gate(), "Plan", "leaf", 0, 1.0).sections[0].bodies[1].shapes[0].corner_radius == 1
    with pytest.raises(TypeError, match="no corners"):
        round_corners(gate(), "Plan", "post", 0, 1.0)
    with pytest.raises(TypeError, match="told by points"):
        as_polygon(Disc(centre=(0.0, 0.0), radius=1.0))


def test_a_triangle_that_loses_a_point_goes():
    project = replace_shape(gate(), "Plan", "leaf", 0, Polygon(points=ELL[:3]))
    assert delete_point(project, "Plan", "leaf", 0, 0).sections[0].bodies[1].shapes == ()


def test_a_ring_of_stations_is_made_of_one():
    ring = repeat_round(gate(), "Plan", ["leaf", "paddle"], centre=(0.0, 0.0), count=5)
    (plan,) = ring.project.sections
    assert [body.name for body in plan.bodies] == [
        *("post", "leaf", "paddle", "leaf 2", "paddle 2", "leaf 3", "paddle 3", "leaf 4", "paddle 4", "leaf 5", "paddle 5")
    ]
    assert [drive.name for drive in ring.project.drives] == ["swing", "swing 2", "swing 3", "swing 4", "swing 5"]
    # 72 degrees apart about the pin itself: cos 72 = 0.309017, sin 72 = 0.951057
    assert plan.bodies[3].shapes[0].centre == (3.09017, 9.510565)
    assert plan.bodies[3].shapes[0].turn == 72
    rack = next(joint for joint in plan.joints if joint.name == "rack 2")
    assert (rack.between, rack.along) == (("leaf 2", "paddle 2"), 162)
    assert validate(ring.project) == ()


def test_seats_of_a_big_wheel_keep_their_heading():
    wheel = repeat_round(gate(), "Plan", ["leaf"], centre=(10.0, -10.0), count=4, turned=False)
    leaves = [body.shapes[0] for body in wheel.project.sections[0].bodies if body.name.startswith("leaf")]
    assert [shape.centre for shape in leaves] == [(10, 0), (0, -10), (10, -20), (20, -10)]
    assert {shape.turn for shape in leaves} == {0}


def test_a_row_moved_by_one_drive():
    row = repeat_along(gate(), "Plan", ["leaf"], by=(0.0, 30.0), count=3, drives="shared")
    (drive,) = row.project.drives
    assert [move.joint for move in drive.moves] == ["heel", "heel 2", "heel 3"]
    assert [copy.bodies for copy in row.copies] == [("leaf 2",), ("leaf 3",)]
    assert validate(row.project) == ()


@pytest.mark.parametrize("count", [0, -3])
def test_fewer_than_one_cannot_be_made(count):
    with pytest.raises(ValueError, match="cannot make"):
        repeat_along(gate(), "Plan", ["leaf"], by=(1.0, 0.0), count=count)
    with pytest.raises(ValueError, match="cannot make"):
        repeat_round(gate(), "Plan", ["leaf"], centre=(0.0, 0.0), count=count)


def test_a_fragment_remembers_what_it_hung_on_and_is_put_on_another_body():
    fragment = fragment_of(gate(), "Plan", ["leaf"])
    assert hanging(fragment) == ("post",)
    other = add_body(new_project(), "Side", bay_wall((80.0, 50.0)))
    lost = pasted(other, "Side", fragment)
    assert (lost.left_out, lost.joints, lost.drives) == (("heel",), (), ())
    put = pasted(other, "Side", fragment, onto="bay")
    assert put.project.sections[0].joints[0].between == ("bay", "leaf")
    assert put.project.drives[0].moves == (Move(section="Side", joint="heel", ratio=1.0),)
    assert validate(put.project) == ()


def test_two_starred_rules_that_meet_by_a_copy_are_settled_by_the_stricter():
    project = ask_gap(gate(), "Plan", ("leaf", "*"), gap=2.0)
    copy = duplicate_bodies(project, "Plan", ["leaf"], shift=(0.0, 40.0)).project
    assert validate(copy) == ()
    assert [(rule.between, rule.required_gap) for rule in copy.gap_rules] == [
        (("leaf", "*"), 2),
        (("leaf 2", "*"), 2),
        (("leaf", "leaf 2"), 2),
    ]


def test_an_exemption_does_not_win_over_a_gap_where_they_meet():
    rules = (
        GapRule(section="Plan", between=("leaf", "*"), unchecked="printed in one piece"),
        GapRule(section="Plan", between=("paddle", "*"), required_gap=1.0),
        GapRule(section="Plan", between=("leaf", "paddle"), required_gap=0.25),
    )
    project = gate()
    for rule in rules:
        project = put_gap_rule(project, rule)
    assert validate(project) == ()
    copy = duplicate_bodies(project, "Plan", ["leaf"], shift=(0.0, 40.0)).project
    assert validate(copy) == ()
    found = {rule.between: (rule.unchecked, rule.required_gap) for rule in copy.gap_rules}
    # the pair's own rule is copied with the leaf
    assert found["leaf 2", "paddle"] == (None, 0.25)
    assert found["leaf", "leaf 2"] == ("printed in one piece", None)


def test_a_duplicated_section_has_drives_of_its_own_and_stands_after_it():
    project = duplicate_section(duplicate_section(gate(), "Plan"), "Plan")
    assert [section.name for section in project.sections] == ["Plan", "Plan 3", "Plan 2"]
    assert [(drive.name, drive.moves[0].section) for drive in project.drives] == [
        ("swing", "Plan"),
        ("swing 2", "Plan 2"),
        ("swing 3", "Plan 3"),
    ]
    assert validate(project) == ()


def test_a_pair_is_not_exempted_without_a_reason():
    with pytest.raises(ValueError, match="reason"):
        exempt_pair(gate(), "Plan", ("post", "paddle"), reason="  ")
