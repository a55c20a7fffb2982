"""At which depth a new rod lies."""

import pytest

from app.drawing.free_depth import free_depth
from core.model.project import Body, Section
from core.model.shapes import Bar, Box, Disc, Frame

ROD = Bar(start=(0, 0), end=(40, 0), radius=2)


def body(name, low, high, *shapes, fixed=False):
    return Body(name=name, fixed=fixed, depth=(low, high), shapes=shapes or (Box(centre=(20, 0), size=(60, 20)),))


def section(*bodies):
    return Section(name="Side", bodies=bodies)


def test_it_lies_over_both_bodies_that_it_joins():
    first, second = body("first", 0, 4), body("second", 2, 7)
    assert free_depth(section(first, second), ROD, thick=2, over=("first", "second")) == pytest.approx((7.3, 9.3))


def test_it_goes_over_what_fills_the_room_there_and_under_what_leaves_room():
    ends = (body("first", 0, 4), body("second", 0, 4))
    assert free_depth(section(*ends, body("plate", 5, 9)), ROD, thick=2, over=("first", "second")) == pytest.approx((9.3, 11.3))
    assert free_depth(section(*ends, body("plate", 7, 9)), ROD, thick=2, over=("first", "second")) == pytest.approx((4.3, 6.3))


def test_what_is_not_in_its_way_and_rooms_around_it_leave_it_free():
    ends = (body("first", 0, 4), body("second", 0, 4))
    aside = body("aside", 4, 9, Disc(centre=(0, 60), radius=5))
    frame = body("frame", 0, 30, Frame(centre=(0, 0), size=(200, 100), wall=2), fixed=True)
    assert free_depth(section(*ends, aside, frame), ROD, thick=2, over=("first", "second")) == pytest.approx((4.3, 6.3))


def test_shapes_with_a_depth_of_their_own_count_by_it():
    first = body("first", 0, 4, Box(centre=(0, 0), size=(20, 20), depth=(4, 8)), Disc(centre=(0, 90), radius=3))
    assert free_depth(section(first, body("second", 0, 4)), ROD, thick=2, over=("first", "second")) == pytest.approx((8.3, 10.3))
