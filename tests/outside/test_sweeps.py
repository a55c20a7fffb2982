"""First contacts and lowest gaps of single drives, held to closed forms worked out beside each number. Lengths mm, angles degrees."""

import math

import pytest

from tests.bays import bar, bay, body, bore, box, check, check_of, disc, drive, gap, only, pivot, slid, turned

ENDS = 1e-3
"""Width to which the ends of a breach are narrowed."""


def contacts(found):
    return [span for breach in found.breaches for span in breach.contacts]


def assert_contacts(found, *expected):
    """With required gap 0 a breach is the contact; its ends enclose the true ones and lie within 0.001 of them."""
    assert len(found.breaches) == len(expected)
    for breach, (start, end) in zip(found.breaches, expected, strict=True):
        assert start - ENDS <= breach.start <= start + 2e-5
        assert end - 2e-5 <= breach.end <= end + ENDS
        assert breach.contact == pytest.approx((start, end), abs=ENDS)


def test_box_turning_about_its_centre_meets_a_wall_and_leaves_it():
    # Closed form: asin(e / rho) - atan(h / w) with rho the half diagonal; 15.565364 and 164.434636.
    found = only(turned(box(0, 20, 200, 10), box(0, 0, 40, 20), travel=(0, 180)))
    assert_contacts(found, (15.565364, 164.434636))
    # Closed form: deepest with a corner straight up, rho - 15, at 90 - atan(1 / 2).
    assert found.lowest_gap == pytest.approx(15 - math.hypot(20, 10), abs=1e-4)
    assert dict(found.at)["swing"] in (pytest.approx(63.434949, abs=0.1), pytest.approx(116.565051, abs=0.1))


def test_body_off_its_pivot_meets_a_wall():
    # Closed form: the corner (30, 10) reaches y = 25 at asin(25 / 31.622777) - atan(1 / 3).
    record = turned(box(0, 30, 200, 10), box(10, 0, 40, 20), travel=(0, 60))
    found = only(record)
    assert found.breaches[0].start == pytest.approx(33.803807, abs=ENDS)
    assert found.breaches[0].contact[0] == pytest.approx(33.803807, abs=ENDS)
    # Closed form: 25 - (30 sin 25 + 10 cos 25).
    assert gap(record, swing=25).gap == pytest.approx(3.258374, abs=1e-6)


def test_box_in_an_eccentric_bore_comes_nearest_on_its_diagonal():
    # Closed form: R - 2 - half diagonal = 1.639320, with a diagonal along the offset: +-26.565051.
    found = only(turned(bore(2, 0, 26), box(0, 0, 40, 20), travel=(-90, 90)), "combined")
    assert found.verdict == "clear"
    assert found.lowest_gap == pytest.approx(26 - 2 - math.hypot(20, 10), abs=0.01)
    assert 1.639320 - 0.01 <= found.floor <= 1.639321
    assert abs(dict(found.at)["swing"]) == pytest.approx(math.degrees(math.atan(0.5)), abs=2)
    solo = only(turned(bore(2, 0, 26), box(0, 0, 40, 20), travel=(-90, 90)))
    assert solo.lowest_gap == pytest.approx(1.639320, abs=0.01)


def test_eccentric_disc_meets_a_wall():
    # Closed form: 5 cos t + 15 = 18 at +-53.130102.
    found = only(turned(box(23, 0, 10, 200), disc(5, 0, 15), travel=(-180, 180)))
    assert_contacts(found, (-53.130102, 53.130102))
    assert found.lowest_gap == pytest.approx(-2, abs=1e-4)


def test_slot_arm_meets_a_pin():
    # Closed form: asin((3 + 2) / 20) = 14.477512 from the pin's direction.
    found = only(turned(disc(0, 20, 2), bar((0, 0), (40, 0), 3), travel=(0, 180)))
    assert_contacts(found, (90 - 14.477512, 90 + 14.477512))
    # Closed form: with the centre line through the pin it leaves sideways by both radii.
    assert found.lowest_gap == pytest.approx(-5, abs=1e-4)
    assert dict(found.at)["swing"] == pytest.approx(90, abs=0.01)


def test_mirrored_slot_arms_meet_on_the_centre_line():
    # Closed form: 30 - 35 cos t = 3 at 39.517653 above the centre line.
    bodies = [body("bay", disc(0, 200, 1), fixed=True), body("left", bar((0, 0), (35, 0), 3)), body("right", bar((60, 0), (25, 0), 3))]
    joints = [pivot("left pin", "bay", "left"), pivot("right pin", "bay", "right", (60, 0))]
    record = bay(bodies, joints, [drive("fold", (0, 90), "left pin", ("right pin", -1), home=90, drawn=0)])
    found = check_of(check(record), "left", "right")
    assert_contacts(found, (0, 39.517653))


def test_lid_hinged_at_its_corner_meets_a_wall_behind_it():
    # Closed form: the corner (0, 5) reaches x = -3 at asin(3 / 5) = 36.869898.
    found = only(turned(box(-8, 0, 10, 300), box(30, 2.5, 60, 5), travel=(0, 60)))
    assert found.breaches[0].start == pytest.approx(36.869898, abs=ENDS)


def test_arm_of_half_width_4_meets_a_fixed_point():
    # Closed form: the side of the arm passes the point at 10 from the pivot at asin(4 / 10) = 23.578178 from its direction.
    # The point is a disc of 1e-4, which makes asin(4.0001 / 10): 0.000625 more.
    found = only(turned(disc(0, 10, 1e-4), box(10, 0, 20, 8), travel=(0, 180)))
    apart = math.degrees(math.asin(4.0001 / 10))
    assert apart == pytest.approx(23.578178, abs=1e-3)
    assert_contacts(found, (90 - apart, 90 + apart))


def test_shortened_arm_passes_the_fixed_point():
    # Closed form: the corner (8, 4) comes as near as 10 - hypot(8, 4) = 1.055728.
    found = only(turned(disc(0, 10, 1e-4), box(4, 0, 8, 8), travel=(0, 180)))
    assert found.verdict == "clear"
    assert found.lowest_gap == pytest.approx(1.055728 - 1e-4, abs=1e-2)
    assert 1.055628 - 0.01 <= found.floor <= 1.055629


def test_slide_meets_a_wall_where_its_gap_is_used_up():
    # Closed form: a box to x = 5 and a wall from x = 20, shifted at 60 degrees: 15 / cos 60 = 30.
    found = only(slid(box(25, 0, 10, 300), box(0, 0, 10, 10), travel=(0, 40), along=60))
    assert found.breaches[0].start == pytest.approx(30, abs=ENDS)
    assert found.breaches[0].end == 40
    # Closed form: 40 cos 60 - 15.
    assert found.lowest_gap == pytest.approx(-5, abs=1e-6)
    assert found.way_out == pytest.approx((-5, 0), abs=1e-6)
