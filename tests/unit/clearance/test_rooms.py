"""Bores and frames as rooms: bodies drawn inside, outside and across the wall. Lengths mm, angles degrees."""

import math

import pytest

from tests.bays import bore, box, disc, frame, gap, only, slid, turned


def test_body_outside_a_bore_is_judged_against_its_outer_outline():
    # Closed form: 20 - (10 + 2) - 3.
    assert gap(slid(bore(0, 0, 10, wall=2), disc(20, 0, 3))).gap == pytest.approx(5, abs=1e-6)


def test_body_outside_a_frame_is_judged_against_its_outer_corner():
    # Closed form: corner at (12, 7), centre at (15, 11): 5 less 2.
    assert gap(slid(frame(0, 0, 20, 10, wall=2), disc(15, 11, 2))).gap == pytest.approx(3, abs=1e-9)


def test_box_that_turns_in_a_frame_meets_its_walls():
    # Closed form: half height of a 30 x 10 box turned by t is 15 sin t + 5 cos t; it reaches 12 at
    # asin(12 / hypot(15, 5)) - atan(5 / 15) = 30.937....
    found = only(turned(frame(0, 0, 60, 24), box(0, 0, 30, 10), travel=(0, 80)))
    start = math.degrees(math.asin(12 / math.hypot(15, 5)) - math.atan(5 / 15))
    assert found.breaches[0].start == pytest.approx(start, abs=1e-3)
    # Closed form: deepest with the diagonal upright, 12 - hypot(15, 5), at atan(15 / 5); in overlap too the least excess is told.
    assert found.lowest_gap == pytest.approx(12 - math.hypot(15, 5), abs=1e-5)
    assert dict(found.at)["swing"] == pytest.approx(math.degrees(math.atan(3)), abs=0.1)
    assert found.way_out is None


def test_turned_frame_keeps_its_own_axes():
    # Closed form: as above, the frame turned by 20 with the box drawn along it.
    found = only(turned(frame(0, 0, 60, 24, turn=20), box(0, 0, 30, 10, 20), travel=(0, 80)))
    start = math.degrees(math.asin(12 / math.hypot(15, 5)) - math.atan(5 / 15))
    assert found.breaches[0].start == pytest.approx(start, abs=1e-3)


def test_room_that_moves_about_a_fixed_body_is_the_same():
    # Closed form: a bore R 10 shifted by up to 7 about a disc r 4: 10 - 7 - 4.
    found = only(slid(disc(0, 0, 4), bore(0, 0, 10), travel=(0, 7)))
    assert found.lowest_gap == pytest.approx(-1, abs=1e-6)
    assert found.breaches[0].start == pytest.approx(6, abs=1e-3)


def test_body_across_the_wall_of_a_bore_is_an_ordinary_pair_of_shapes():
    # Closed form: the wall runs from 10 to 12; a disc r 1 in it at 11.5 overlaps, and comes free outward once 2.5 farther off:
    # its centre at 13, a push of 1.5.
    record = slid(bore(0, 0, 10), disc(11.5, 0, 1), travel=(-11.5, 6))
    assert gap(record).gap == pytest.approx(-1.5, abs=0.006)
    found = only(record)
    # Closed form: in contact from 9 to 13 from the centre on either side it is inside or outside freely.
    assert found.breaches[0].contact == pytest.approx((-2.5, 1.5), abs=0.006)
    assert gap(record, push=-11.5).gap == pytest.approx(9, abs=0.006)
    # The round wall is swept as chords inside the bore: what is told is never more than the true gap.
    assert gap(record, push=-11.5).gap <= 9


def test_disc_leaving_its_bore_is_judged_as_inside_all_along():
    # Drawn inside, gap R - |c| - r in overlap too: no way out is sought.
    found = gap(slid(bore(0, 0, 10), disc(0, 0, 4), travel=(0, 30)), push=30)
    assert (found.gap, found.way_out) == (pytest.approx(10 - 30 - 4, abs=1e-9), None)


def test_body_touching_a_room_from_inside_is_inside():
    assert gap(slid(frame(0, 0, 20, 10), box(5, 0, 10, 10))).gap == pytest.approx(0, abs=1e-9)
