"""Ready bodies: valid as they come, marked typical, put on the bay or on a body, and their sizes as the trade has them."""

import pytest

from core.model.edit_bodies import add_body, shift_depth
from core.model.edit_drives import delete_drives
from core.model.edit_project import bay_wall, new_project
from core.model.fragment import hanging
from core.model.joints import Bolted, Pivot
from core.model.lookup import body_of, section_of
from core.model.middle import reach_of_bodies
from core.model.pasting import pasted
from core.model.placing import moving
from core.model.shapes import Bar, Box, Disc
from core.model.validate import validate
from core.motion.linkage import linkage_of
from core.motion.mobility import mobility
from core.stores.catalogue import BY_KEY, ENTRIES
from core.stores.motors import MOTORS
from core.stores.push_pull import HornEnd, push_pull, rod_between
from core.stores.small_parts import hub, washer
from core.stores.station import CARRIER, motor_station

SIDE = "Side"


def bay():
    return add_body(new_project(), SIDE, bay_wall((200.0, 120.0), depth=(-5.0, 60.0)))


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.key)
def test_every_ready_thing_is_valid_on_the_bay_typical_and_has_its_drives(entry):
    put = pasted(bay(), SIDE, entry.make(entry.defaults()), placing=moving(shift=(10.0, 5.0)), onto="bay")
    assert validate(put.project) == ()
    assert put.left_out == ()
    bodies = [body_of(section_of(put.project, SIDE), name) for name in put.bodies]
    assert {body.trust for body in bodies} == {"typical"}
    assert all(body.outline_tolerance > 0 for body in bodies)
    assert bool(put.drives) == (entry.trade_class == "Motor stations")


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.key)
def test_every_size_of_a_ready_thing_changes_it(entry):
    before = entry.make(entry.defaults())
    for size in entry.sizes:
        other = entry.make({**entry.defaults(), size.key: size.default * 1.01})
        # a disc horn has no arms, an arm's half width changes nothing there
        same = size.key in ("arm_radius", "hub_radius") and entry.key.endswith("disc")
        assert (other == before) is same, size.key


def test_keys_of_entries_and_their_sizes_are_unique():
    assert len(BY_KEY) == len(ENTRIES)
    assert all(len({size.key for size in entry.sizes}) == len(entry.sizes) for entry in ENTRIES)


def test_a_micro_motor_measures_as_the_trade_has_it():
    # common practice, no source: 23 x 12 x 22.5, 32 over the ears 2.5 thick at 16 up, shaft 6 from the end, boss 4
    shapes = motor_station("micro").sections[0].bodies[0].shapes
    case, boss, shaft, ears, *_ = shapes
    assert (case.size, case.centre, case.depth) == ((23, 12), (5.5, 0), (0, 22.5))
    assert (boss.centre, boss.depth) == ((0, 0), (22.5, 26.5))
    assert shaft.depth[0] == 26.5
    assert (ears.size, ears.depth) == ((32, 12), (16, 18.5))


@pytest.mark.parametrize(("kind", "size"), [("sub-micro", (20, 8, 18)), ("micro", (23, 12, 22.5)), ("mini", (29, 13, 29))])
def test_motor_cases_by_class(kind, size):
    # common practice, no source
    motor = MOTORS[kind]
    assert (motor.length, motor.width, motor.height) == size


def test_a_standard_motor_is_54_to_55_over_its_ears():
    # common practice, no source
    assert 38 <= MOTORS["standard"].height <= 40
    assert 54 <= MOTORS["standard"].over_ears <= 55


def test_a_station_whose_motor_turns_is_one_body_with_a_pivot_and_a_drive():
    station = motor_station("micro")
    (section,) = station.sections
    (motor,) = section.bodies
    (pin,) = section.joints
    (drive,) = station.drives
    assert isinstance(pin, Pivot)
    assert pin.between == (CARRIER, motor.name)
    assert hanging(station) == (CARRIER,)
    assert (drive.start, drive.end, drive.stops, drive.speed) == (-45, 45, (-95, 95), 400)
    # case, boss, shaft, ears, lead, plug; horn, its arm, its screw
    assert [type(shape) for shape in motor.shapes] == [Box, Disc, Disc, Box, Box, Box, Disc, Bar, Disc]
    assert all(shape.depth is not None for shape in motor.shapes)
    assert motor.depth == (0, 30)


def test_a_station_whose_horn_turns_stands_on_the_bay_or_is_bolted_to_what_carries_it():
    on_bay = motor_station("micro", turns="horn")
    assert [body.fixed for body in on_bay.sections[0].bodies] == [True, False]
    assert hanging(on_bay) == ()
    riding = motor_station("micro", turns="horn", on_fixed=False)
    assert [body.fixed for body in riding.sections[0].bodies] == [False, False]
    assert any(isinstance(joint, Bolted) and joint.between == (CARRIER, "motor") for joint in riding.sections[0].joints)
    first = pasted(bay(), SIDE, motor_station("standard", name="base"), onto="bay")
    second = pasted(first.project, SIDE, riding, onto=first.bodies[0], placing=moving(shift=(20.0, 0.0)))
    assert validate(second.project) == ()
    (found,) = mobility(second.project, linkage_of(second.project))
    assert (found.real, found.undriven) == (2, ())


def test_a_station_is_raised_with_all_its_shapes():
    station = motor_station("micro")
    raised = shift_depth(station, station.sections[0].name, ["motor"], 4.0)
    assert raised.sections[0].bodies[0].depth == (4, 34)
    assert raised.sections[0].bodies[0].shapes[0].depth == (4, 26.5)


def test_a_travel_without_zero_has_its_home_in_the_middle():
    (drive,) = motor_station(travel=(10.0, 40.0)).drives
    assert (drive.home, drive.stops) == (25, (-95, 95))
    put = pasted(bay(), SIDE, motor_station(travel=(10.0, 40.0)), onto="bay")
    assert validate(put.project) == ()


def two_horns():
    first = pasted(
        bay(), SIDE, motor_station("standard", turns="horn", form="two arms", name="left"), placing=moving(shift=(-30, 0), turn=90)
    )
    second = pasted(
        first.project, SIDE, motor_station("standard", turns="horn", form="two arms", name="right"), placing=moving(shift=(30, 0), turn=90)
    )
    ends = [
        HornEnd(body=name, shaft=at, arm=12.0, depth=(43.0, 45.0))
        for name, at in (("left horn", (-30.0, 0.0)), ("right horn", (30.0, 0.0)))
    ]
    return second.project, ends


def test_a_push_pull_pair_is_two_rods_on_opposite_arms_each_with_two_pins():
    project, ends = two_horns()
    put = pasted(project, SIDE, push_pull(*ends))
    assert put.left_out == ()
    assert validate(put.project) == ()
    assert put.bodies == ("rod 1", "rod 2")
    joints = [joint for joint in section_of(put.project, SIDE).joints if joint.name in put.joints]
    assert [joint.between for joint in joints] == [
        ("left horn", "rod 1"),
        ("right horn", "rod 1"),
        ("left horn", "rod 2"),
        ("right horn", "rod 2"),
    ]
    assert [joint.at for joint in joints] == [(-30, 12), (30, 12), (-30, -12), (30, -12)]
    # diametral play of wire: common practice, no source
    assert {joint.play for joint in joints} == {0.15}


def test_a_double_push_pull_rod_is_a_parallelogram_with_one_rod_to_spare():
    # tests/outside/test_mobility.py: double push-pull rod, count 0, real 1, one redundant
    project, ends = two_horns()
    project = delete_drives(project, ["right drive"]).project
    put = pasted(project, SIDE, push_pull(*ends)).project
    (found,) = mobility(put, linkage_of(put))
    assert (found.count, found.real, found.redundant, found.undriven) == (0, 1, 1, ())


def test_a_single_rod_lies_over_the_higher_horn_and_its_bends_go_through_both():
    _, ends = two_horns()
    rods = push_pull(*ends, double=False, ends=("bend", "ball"))
    (rod,) = rods.sections[0].bodies
    bar, bend, ball = rod.shapes
    assert rod.depth == (45.3, 46.3)
    assert (bar.start, bar.end, bar.radius) == ((-30, 12), (30, 12), 0.5)
    # bend 3 beyond the horn, ball r 3.5 x 6: common practice, no source
    assert bend.depth == (40, 46.3)
    assert (ball.radius, ball.depth) == (3.5, (45.3, 51.3))


def test_shafts_in_one_place_have_no_rod():
    _, (one, _) = two_horns()
    with pytest.raises(ValueError, match="one place"):
        push_pull(one, one)


@pytest.mark.parametrize("make", [lambda: hub(radius=2, bore=2, thickness=1), lambda: washer(outside=3, inside=3, thickness=1)])
def test_a_ring_without_material_cannot_be(make):
    with pytest.raises(ValueError, match="smaller"):
        make()


def test_a_motor_swings_through_the_circle_of_its_farthest_corner():
    # a motor body that swings needs the circle of its farthest corner about the pivot, not its width: common practice, no source
    left, bottom, right, top = reach_of_bodies(motor_station("micro", lead=False, plug=False).sections[0].bodies)
    assert (left, bottom, top) == (-10.5, -6, 6)
    assert right == 21.5


def test_a_rod_drawn_between_two_bodies_is_pinned_to_both():
    project, _ = two_horns()
    rod = rod_between(("left horn", (-30.0, 8.0)), ("right horn", (30.0, 8.0)), radius=1.5, depth=(46.0, 49.0))
    put = pasted(pasted(project, SIDE, rod).project, SIDE, rod)
    assert put.bodies == ("rod 2",)
    assert put.joints == ("rod at left horn 2", "rod at right horn 2")
    joints = [joint for joint in section_of(put.project, SIDE).joints if joint.name in put.joints]
    assert [(joint.between, joint.at) for joint in joints] == [(("left horn", "rod 2"), (-30, 8)), (("right horn", "rod 2"), (30, 8))]
    assert validate(put.project) == ()
    with pytest.raises(ValueError, match="one place"):
        rod_between(("left horn", (0.0, 0.0)), ("right horn", (0.0, 0.0)), radius=1.5, depth=(46.0, 49.0))
