"""Where names have room among bodies and joint symbols."""

import pytest

from app.board.name_rooms import NameRooms, symbol_boxes
from core.drawing.path import Pose
from core.drawing.section import placed_symbols
from core.drawing.slabs import section_slabs
from core.model.joints import Pivot, Slide
from core.model.names import BodyName, JointName, SectionName
from core.model.project import Body, Section
from core.model.shapes import Bar, Box, Disc, Polygon


def body(name, *shapes, depth=(0.0, 1.0), fixed=False):
    return Body(name=BodyName(name), depth=depth, shapes=shapes, fixed=fixed)


def among(*bodies, joints=(), poses=None, pixels=1.0):
    rooms = NameRooms()
    for _ in rooms.keep_off((placed_symbols(joint, poses or {}, unit=1.0 / pixels, grounded=False) for joint in joints), 1.0 / pixels):
        pass
    return rooms.among(section_slabs(Section(name=SectionName("Plan"), bodies=bodies)), poses or {}, pixels=pixels)


ROD = body("rod", Bar(start=(0.0, 0.0), end=(100.0, 0.0), radius=9.0), depth=(2.0, 3.0))
PLATE = body("plate", Box(centre=(0.0, 0.0), size=(600.0, 600.0), turn=0.0, corner_radius=0.0), fixed=True)


def test_a_name_finds_room_along_a_bar_whose_widest_circle_is_too_small_for_it():
    at = among(ROD).room("rod", (80.0, 13.0), ())
    assert at is not None
    assert abs(at[1]) < 2.5
    assert -9 + 40 < at[0] < 109 - 40


def test_room_is_off_symbols_words_and_what_lies_over_the_body():
    pin = Pivot(name=JointName("pin"), between=(BodyName("rod"), BodyName("cap")), at=(50.0, 0.0))
    assert among(ROD).room("rod", (80.0, 13.0), ()) is not None
    assert among(ROD, joints=[pin]).room("rod", (80.0, 13.0), ()) is None
    assert among(ROD).room("rod", (80.0, 13.0), [(45.0, -1.0, 55.0, 1.0)]) is None
    cap = body("cap", Disc(centre=(50.0, 0.0), radius=9.0), depth=(5.0, 6.0))
    assert among(ROD, cap).room("rod", (80.0, 13.0), ()) is None
    x, _ = among(ROD, cap).room("rod", (30.0, 13.0), ())
    assert abs(x - 50.0) > 9.0 + 15.0


def test_room_follows_the_pose():
    at = among(ROD, poses={BodyName("rod"): Pose(turn=90.0, x=200.0, y=0.0)}).room("rod", (10.0, 40.0), ())
    assert at is not None
    assert abs(at[0] - 200.0) < 5.0
    assert 20.0 < at[1] < 80.0


def test_a_name_far_from_its_body_misleads_where_another_is_much_nearer():
    post = body("post", Disc(centre=(50.0, 60.0), radius=5.0))
    around = among(ROD, post)
    at_the_post, near_the_rod = (30.0, 42.0, 70.0, 54.0), (30.0, 15.0, 70.0, 27.0)
    assert around.misleads("rod", at_the_post)
    assert not around.misleads("post", at_the_post)
    assert not around.misleads("rod", near_the_rod)
    assert around.doubtful("rod", (30.0, 29.0, 70.0, 41.0))
    assert not around.doubtful("rod", near_the_rod)


def test_a_name_stands_on_a_large_fixed_body_behind_its_own_and_on_no_other():
    over_the_plate = (30.0, 15.0, 70.0, 27.0)
    assert among(PLATE, ROD).backs("rod", over_the_plate)
    assert not among(PLATE, ROD).backs("rod", (280.0, 15.0, 320.0, 27.0))
    assert not among(PLATE, ROD).backs("rod", (30.0, 5.0, 70.0, 17.0))
    assert not among(ROD).backs("rod", over_the_plate)
    card = body("card", Box(centre=(50.0, 21.0), size=(60.0, 30.0), turn=0.0, corner_radius=0.0), fixed=True)
    assert not among(card, ROD).backs("rod", over_the_plate)
    post = body("post", Disc(centre=(50.0, 30.0), radius=2.0), depth=(4.0, 5.0))
    assert not among(PLATE, ROD, post).backs("rod", over_the_plate)


def test_a_name_is_unsure_where_a_body_with_no_name_is_less_than_twice_as_far_as_its_own():
    crank = body("crank", Disc(centre=(50.0, 60.0), radius=5.0))
    around = among(ROD, crank)
    # The rod ends at y = 9, the crank begins at 55.
    near, far = (30.0, 25.0, 70.0, 37.0), (30.0, 15.0, 70.0, 27.0)
    assert around.unsure("rod", near, ())
    assert not around.unsure("rod", near, {"crank"})
    assert not around.unsure("rod", far, ())


def test_a_name_is_parted_from_its_body_by_another_between_them():
    around = among(ROD, body("wall", Box(centre=(50.0, 20.0), size=(100.0, 4.0), turn=0.0, corner_radius=0.0)))
    # The rod ends at y = 9, the wall lies from 18 to 22.
    assert around.parted("rod", (30.0, 25.0, 70.0, 37.0))
    assert not around.parted("wall", (30.0, 25.0, 70.0, 37.0))
    # Nearer to the wall than to the rod, but the wall is not between them.
    assert not around.parted("rod", (30.0, 15.0, 70.0, 17.0))
    # A name beyond the edge of the plate that its body lies on, at that very edge.
    sill = body("sill", Box(centre=(50.0, -91.0), size=(400.0, 202.0), turn=0.0, corner_radius=0.0), fixed=True)
    assert not among(sill, ROD).parted("rod", (30.0, 15.0, 70.0, 27.0))
    assert not among(ROD).parted("nobody", (30.0, 25.0, 70.0, 37.0))


def test_a_body_holds_a_box_that_lies_as_a_whole_on_what_is_seen_of_it():
    around = among(ROD, PLATE)
    on_the_rod, over_its_edge = (10.0, -4.0, 30.0, 4.0), (10.0, 4.0, 30.0, 14.0)
    assert [around.holds("rod", box) for box in (on_the_rod, over_its_edge)] == [True, False]
    beside_it = (10.0, 10.0, 30.0, 18.0)
    assert [around.holds("plate", box) for box in (on_the_rod, over_its_edge, beside_it)] == [False, False, True]
    assert not around.holds("nobody", on_the_rod)


def test_a_box_crosses_an_outline_where_it_lies_neither_wholly_inside_nor_wholly_outside():
    inside, across, outside = (10.0, -4.0, 30.0, 4.0), (10.0, 4.0, 30.0, 14.0), (10.0, 10.0, 30.0, 14.0)
    around = among(ROD)
    assert [around.crosses(box) for box in (inside, across, outside)] == [False, True, False]
    # Turned upright about the origin and moved on: the rod lies at x = 191 to 209 then.
    poses = {BodyName("rod"): Pose(turn=90.0, x=200.0, y=0.0)}
    slabs = section_slabs(Section(name=SectionName("Plan"), bodies=(ROD,)))
    boxes = [(194.0, 40.0, 206.0, 60.0), (204.0, 40.0, 214.0, 60.0), (210.0, 40.0, 214.0, 60.0)]
    assert [NameRooms().crosses(slabs, poses, box) for box in boxes] == [False, True, False]
    assert [among(ROD, poses=poses).crosses(box) for box in boxes] == [False, True, False]


def test_a_name_interrupts_the_outline_of_a_body_at_an_end_of_its_travel_and_not_its_inside():
    rooms, slabs = NameRooms(), section_slabs(Section(name=SectionName("Plan"), bodies=(ROD,)))
    # Turned upright about the origin and moved on: the rod lies at x = 191 to 209 then.
    around = rooms.among(slabs, {}, pixels=1.0, ends={BodyName("rod"): [Pose(turn=90.0, x=200.0, y=0.0)]})
    boxes = [(194.0, 40.0, 206.0, 60.0), (204.0, 40.0, 214.0, 60.0), (210.0, 40.0, 214.0, 60.0), (10.0, 4.0, 30.0, 14.0)]
    assert [around.interrupts(box) for box in boxes] == [False, True, False, False]


def test_a_symbol_takes_the_board_as_large_as_it_is_drawn():
    pin = Pivot(name=JointName("pin"), between=(BodyName("a"), BodyName("b")), at=(10.0, 20.0))
    (placed,) = placed_symbols(pin, {}, unit=0.5, grounded=False)
    (box,) = symbol_boxes(placed, 0.5)
    # A circle of 4.5 units, and a unit for its line: 2.75 mm at half a mm to a unit.
    assert box == pytest.approx((10.0 - 2.75, 20.0 - 2.75, 10.0 + 2.75, 20.0 + 2.75))


def test_a_guide_that_stands_upright_takes_more_room_upward_than_across():
    guide = Slide(name=JointName("guide"), between=(BodyName("a"), BodyName("b")), at=(0.0, 0.0), along=90.0)
    (placed,) = placed_symbols(guide, {}, unit=1.0, grounded=False)
    (box,) = symbol_boxes(placed, 1.0)
    assert box == pytest.approx((-6.0, -18.0, 6.0, 18.0))


def test_a_spot_on_a_body_lies_on_what_is_seen_of_it_and_off_words():
    cap = body("cap", Box(centre=(60.0, 0.0), size=(100.0, 40.0)), depth=(5.0, 6.0))
    x, y = among(ROD, cap).spot("rod", ())
    assert -9.0 < x < 10.0
    assert abs(y) < 9.0
    x, _ = among(ROD).spot("rod", [(-20.0, -20.0, 70.0, 20.0)])
    assert x > 70.0
    assert among(ROD).spot("rod", [(-20.0, -20.0, 200.0, 20.0)]) is None
    assert among(ROD).spot("nobody", ()) is None


def test_a_small_body_has_a_spot_although_no_name_may_hide_it():
    rooms = NameRooms()
    around = rooms.among(section_slabs(Section(name=SectionName("Plan"), bodies=(ROD,))), {}, pixels=1.0, small=[(-9.0, -9.0, 109.0, 9.0)])
    assert around.spot("rod", ()) is not None
    assert around.room("rod", (30.0, 10.0), ()) is None


def test_an_outline_that_a_higher_body_covers_is_not_seen():
    low = body("low", Box(centre=(0.0, 0.0), size=(40.0, 40.0)))
    high = body("high", Box(centre=(20.0, 0.0), size=(30.0, 60.0)), depth=(5.0, 6.0))
    at_the_edge = (15.0, -5.0, 25.0, 5.0)
    assert among(low).shows_line(at_the_edge)
    assert not among(low, high).shows_line(at_the_edge)
    assert among(low, high).crosses(at_the_edge)
    assert among(low, high).shows_line((0.0, -5.0, 10.0, 5.0))  # the edge of the higher one
    assert not among(low).shows_line((-5.0, -5.0, 5.0, 5.0))


def test_what_a_leader_runs_over_is_counted_by_bodies_and_by_ends_of_travel():
    post = body("post", Disc(centre=(50.0, 60.0), radius=5.0))
    rooms = NameRooms()
    slabs = section_slabs(Section(name=SectionName("Plan"), bodies=(ROD, post)))
    around = rooms.among(slabs, {}, pixels=1.0, ends={BodyName("post"): (Pose(x=0.0, y=-30.0), Pose(x=300.0))})
    straight_up = ((50.0, 0.0), (50.0, 90.0))
    assert around.run_over("rod", *straight_up) == (1, 1)
    assert around.run_over("post", *straight_up) == (1, 1)
    assert around.run_over("rod", (0.0, 0.0), (0.0, 90.0)) == (0, 0)
    assert around.runs_through(*straight_up, (40.0, 20.0, 60.0, 22.0))
    assert not around.runs_through(*straight_up, (60.0, 20.0, 70.0, 22.0))


def test_outlines_at_ends_of_travel_are_told_without_a_look_for_names():
    rooms, slabs = NameRooms(), section_slabs(Section(name=SectionName("Plan"), bodies=(ROD,)))
    ends = {BodyName("rod"): (Pose(x=0.0, y=100.0),)}
    assert rooms.crosses_ends(slabs, ends, (20.0, 105.0, 30.0, 115.0))
    assert not rooms.crosses_ends(slabs, ends, (20.0, 95.0, 30.0, 105.0))
    assert not rooms.crosses_ends(slabs, {}, (20.0, 105.0, 30.0, 115.0))


def test_a_body_without_area_is_run_over_by_no_leader():
    # As drawn while its rounding is too large for it.
    faulty = body("faulty", Polygon(points=((0, 0), (10, 0), (10, 10), (0, 10)), corner_radius=8))
    ends = {BodyName("faulty"): (Pose(x=5.0),)}
    around = NameRooms().among(section_slabs(Section(name=SectionName("Plan"), bodies=(ROD, faulty))), {}, pixels=1.0, ends=ends)
    assert around.run_over("rod", (-5.0, 5.0), (15.0, 5.0)) == (0, 0)
    assert not around.shows_line((2.0, 20.0, 8.0, 28.0))
    assert around.spot("faulty", ()) is None
