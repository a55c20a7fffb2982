"""Which bodies a joint would join: all that hold the point, the likeliest pair first, and in words' place why there is none."""

import msgspec
import pytest

from app.drawing.bodies_under import Guess, bodies_under, carriers, held_by_bay, joinable
from core.model.joints import Bolted, Pivot
from core.model.project import Body, Section, View
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon

BASE = Body(name="base", fixed=True, depth=(0, 4), shapes=(Box(centre=(20, 0), size=(90, 24)),))
CRANK = Body(name="crank", fixed=False, depth=(5, 8), shapes=(Bar(start=(0, 0), end=(0, 8), radius=3),))
COUPLER = Body(name="coupler", fixed=False, depth=(9, 12), shapes=(Bar(start=(0, 8), end=(40, 8), radius=3),))
ROCKER = Body(name="rocker", fixed=False, depth=(5, 8), shapes=(Bar(start=(40, 8), end=(40, 0), radius=3),))
FRAME = Body(name="frame", fixed=True, depth=(0, 30), shapes=(Frame(centre=(0, 0), size=(200, 100), wall=2),))
PIN = Pivot(name="pin", between=("base", "crank"), at=(0, 0))
ELBOW = Pivot(name="elbow", between=("crank", "coupler"), at=(0, 8))


def section(*bodies, joints=()):
    return Section(name="Side", bodies=bodies, joints=tuple(joints))


def names(under):
    return tuple(body.name for body in under.bodies)


def test_every_body_whose_material_holds_the_point_is_under_it_low_to_high():
    assert names(bodies_under(section(COUPLER, CRANK, BASE), (0, 8))) == ("base", "crank", "coupler")
    assert names(bodies_under(section(COUPLER, CRANK, BASE), (20, 8))) == ("base", "coupler")
    assert names(bodies_under(section(BASE), (200, 0))) == ()


def test_a_point_on_an_outline_is_held():
    assert names(bodies_under(section(BASE), (65, 0))) == ("base",)
    assert names(bodies_under(section(BASE), (65.001, 0))) == ()


def test_a_hidden_body_is_not_under_anything():
    hidden = msgspec.structs.replace(CRANK, view=View(hidden=True))
    assert names(bodies_under(section(BASE, hidden), (0, 0))) == ("base",)


def test_the_inside_of_a_frame_holds_nothing_and_its_wall_does():
    assert names(bodies_under(section(FRAME, CRANK), (0, 0))) == ("crank",)
    assert names(bodies_under(section(FRAME), (101, 0))) == ("frame",)


@pytest.mark.parametrize(
    "shape",
    [
        Bore(centre=(0, 0), radius=3, wall=2),
        Polygon(points=((-9, -9), (9, -9), (9, 9), (-9, 9)), holes=(((-3, -3), (-3, 3), (3, 3), (3, -3)),)),
    ],
)
def test_a_hole_holds_a_pin_and_is_told_from_material(shape):
    under = bodies_under(section(Body(name="eye", fixed=False, depth=(0, 4), shapes=(shape,)), CRANK), (0, 0))
    assert names(under) == ("eye", "crank")
    assert under.hollow == {"eye"}


def test_the_bay_is_the_reference_and_what_turns_on_it_the_moved():
    assert joinable(section(CRANK, BASE), (0, 0)).pairs == (("base", "crank"),)


def test_a_pair_that_is_joined_already_comes_last():
    found = joinable(section(BASE, CRANK, COUPLER, joints=[PIN]), (0, 8)).pairs
    assert found == (("crank", "coupler"), ("base", "coupler"), ("base", "crank"))


def test_a_free_body_goes_before_one_that_a_joint_holds():
    found = joinable(section(BASE, CRANK, COUPLER, ROCKER, joints=[PIN, ELBOW]), (40, 8)).pairs
    assert found[0] in {("coupler", "rocker"), ("base", "rocker")}
    assert found[-1] == ("base", "coupler")


def test_neighbours_in_depth_go_before_those_with_a_body_between():
    low, middle, high = (
        Body(name=name, fixed=False, depth=(d, d + 2), shapes=(Disc(centre=(0, 0), radius=5),))
        for name, d in (("low", 0), ("middle", 3), ("high", 6))
    )
    found = joinable(section(low, middle, high), (0, 0)).pairs
    assert found == (("middle", "high"), ("low", "middle"), ("low", "high"))


def test_moving_on_fixed_goes_before_two_that_move():
    disc = (Disc(centre=(0, 0), radius=5),)
    arm, horn = (Body(name=name, fixed=False, depth=(d, d + 2), shapes=disc) for name, d in (("arm", 3), ("horn", 6)))
    plate = Body(name="plate", fixed=True, depth=(0, 2), shapes=disc)
    assert joinable(section(plate, arm, horn), (0, 0)).pairs[0] == ("plate", "arm")


def test_material_goes_before_a_hole():
    ring = Body(name="ring", fixed=False, depth=(9, 12), shapes=(Bore(centre=(0, 0), radius=30, wall=2),))
    assert joinable(section(BASE, CRANK, ring), (0, 0)).pairs[0] == ("base", "crank")


def test_what_the_bay_holds_is_the_reference_of_two_that_move():
    turned = Body(name="turned", fixed=False, depth=(1, 2), shapes=CRANK.shapes)
    found = joinable(section(turned, CRANK, BASE, joints=[PIN]), (0, 4)).pairs
    assert ("crank", "turned") in found


def test_one_body_alone_is_put_on_the_one_bay_there_is():
    assert joinable(section(FRAME, CRANK), (0, 4)) == Guess((("frame", "crank"),), grounded=True, alone="crank")


@pytest.mark.parametrize(
    ("bodies", "joints", "at", "lack", "alone"),
    [
        ((BASE, CRANK), (), (300, 0), "no_body", None),
        ((CRANK,), (), (0, 4), "no_bay", "crank"),
        (
            (FRAME, BASE, ROCKER, msgspec.structs.replace(CRANK, shapes=(Disc(centre=(0, 40), radius=5),))),
            (),
            (0, 40),
            "many_bays",
            "crank",
        ),
        ((BASE, CRANK), (), (60, 0), "only_bay", "base"),
        ((BASE, CRANK), (Bolted(name="bolt", between=("base", "crank")),), (0, 0), "as_one", "crank"),
        ((FRAME, CRANK), (Bolted(name="bolt", between=("frame", "crank")),), (0, 0), "as_one", "crank"),
        ((BASE, msgspec.structs.replace(CRANK, fixed=True)), (), (0, 0), "as_one", "crank"),
    ],
)
def test_where_two_bodies_are_not_clear_it_is_told_why(bodies, joints, at, lack, alone):
    found = joinable(section(*bodies, joints=joints), at)
    assert (found.pairs, found.lack, found.alone) == ((), lack, alone)


def test_the_end_of_a_rod_is_pinned_to_the_highest_that_moves():
    assert carriers(section(BASE, CRANK, COUPLER), (0, 8)) == ("coupler", "crank", "base")


def test_the_end_of_a_rod_beside_all_bodies_is_pinned_to_the_one_bay():
    assert carriers(section(FRAME, CRANK), (60, 30)) == ("frame",)
    assert carriers(section(FRAME, BASE), (90, 40)) == ()


def test_held_by_the_bay_is_all_that_joints_lead_to():
    assert held_by_bay(section(BASE, CRANK, COUPLER, ROCKER, joints=[PIN, ELBOW])) == {"base", "crank", "coupler"}
