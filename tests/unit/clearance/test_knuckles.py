"""Shapes that hold one pin overlap by design; what lies outside the relief is checked. Lengths mm, angles degrees."""

import math

import pytest

from tests.bays import bar, bay, body, bolted, bore, box, check, check_of, disc, drive, gaps, only, pivot, polygon, rule, turned


def hinged(shapes_a, shapes_b, *, travel, home=0, joint=None, **keys):
    """Two arms on one pin of the bay in one band; the drive turns the second against the first."""
    bodies = [body("bay", disc(0, 400, 1), fixed=True), body("first", *shapes_a), body("second", *shapes_b)]
    joints = [bolted("foot", "bay", "first"), pivot("pin", "first", "second", (0, 0), **(joint or {}))]
    return bay(bodies, joints, [drive("fold", travel, "pin", home=home, drawn=0)], **keys)


def test_arms_that_fold_like_scissors_on_one_pin_find_their_clash():
    # Closed form: outside the relief 1.5 x 2 = 3 about the pin two bars r 2 meet where the ends of what is left, 3 from the pin,
    # come within 2 + 2 of each other: 2 x 3 sin(angle / 2) = 4, at 83.620630. The relief is clipped as an inscribed polygon of
    # 16 corners, one of which lies on each bar.
    record = hinged([bar((0, 0), (40, 0), 2)], [bar((0, 0), (0, 40), 2)], travel=(-85, 85))
    result = check(record)
    (knuckle,) = result.knuckles
    assert (knuckle.joint, knuckle.shapes, knuckle.running, knuckle.left) == ("pin", (0, 0), False, True)
    assert knuckle.relief == pytest.approx(3, abs=1e-9)
    found = check_of(result, "first", "second")
    assert found.verdict == "breach"
    assert found.breaches[0].start == -85
    assert found.breaches[0].end == pytest.approx(2 * math.degrees(math.asin(2 / 3)) - 90, abs=2e-3)


def test_hinge_drawn_as_one_polygon_a_body_finds_its_clash():
    # Closed form: leaves 30 long and 6 high above and below the pin's line, drawn open at 180; they fold flat on each other.
    upper = polygon((-3, -3), (30, -3), (30, 3), (-3, 3))
    other = polygon((3, -3), (-30, -3), (-30, 3), (3, 3))
    result = check(hinged([upper], [other], travel=(-170, 170)))
    found = check_of(result, "first", "second")
    assert found.verdict == "breach"
    assert len(result.knuckles) == 1
    # Closed form: what is left outside the relief 4.5 has its corners at (sqrt(4.5^2 - 3^2), 3), 41.810315 from the middle line;
    # both leaves' corners meet when they have turned 180 - 2 x 41.810315. The polygon of the relief may leave a little more.
    assert 180 - 2 * 41.810315 - 6 < found.breaches[-1].start < 180 - 2 * 41.810315 + 0.01
    assert found.breaches[0].end == pytest.approx(-found.breaches[-1].start, abs=2e-3)


@pytest.mark.parametrize(("relief", "expected"), [(2.5, 2 * math.asin(2 / 2.5)), (4, 2 * math.asin(2 / 4)), (8, 2 * math.asin(2 / 8))])
def test_relief_of_a_joint_is_its_key(relief, expected):
    # Closed form: bars r 2 whose remains begin `relief` from the pin come within 4 at 2 asin(2 / relief).
    record = hinged([bar((0, 0), (40, 0), 2)], [bar((0, 0), (0, 40), 2)], travel=(-89, 85), joint={"relief": relief})
    result = check(record)
    assert result.knuckles[0].relief == relief
    found = check_of(result, "first", "second")
    turn = math.degrees(expected) - 90
    if turn < 0:
        assert found.breaches[0].end == pytest.approx(turn, abs=2e-3)
    else:
        assert found.breaches[0].end >= turn - 1e-3


def test_relief_that_takes_everything_is_told_as_a_warning():
    result = check(hinged([disc(0, 0, 3)], [disc(0, 0, 2)], travel=(-10, 10)))
    assert [finding.code for finding in result.findings if finding.level == "warning"] == ["knuckle-nothing-left"]
    assert result.knuckles[0].left is False
    assert not [found for found in result.checks if set(found.between) == {"first", "second"}]


def test_shapes_that_do_not_hold_the_pin_are_checked_whole():
    result = check(hinged([bar((5, 0), (40, 0), 2)], [bar((0, 5), (0, 40), 2)], travel=(-60, 60)))
    assert result.knuckles == ()
    # Closed form: ends 5 from the pin come within 4 at 2 asin(2 / 5) = 47.156357.
    assert check_of(result, "first", "second").breaches[0].end == pytest.approx(47.156357 - 90, abs=2e-3)


def test_other_bodies_on_the_pin_have_no_relief():
    # Only the two bodies that the joint names are relieved of their overlap.
    record = hinged([bar((0, 0), (40, 0), 2)], [bar((0, 0), (0, 40), 2)], travel=(-30, 30))
    record["sections"][0]["bodies"].append(body("rider", disc(0, 0, 1)))
    record["sections"][0]["joints"].append(bolted("screw", "second", "rider"))
    assert check_of(check(record), "first", "rider").verdict == "breach"


def test_disc_that_turns_in_a_bore_about_its_pin_is_a_running_fit():
    record = turned([bore(0, 0, 5.1), disc(0, 30, 2)], [disc(0, 0, 5)], travel=(-90, 90), required_gap=1)
    result = check(record)
    (knuckle,) = result.knuckles
    assert (knuckle.running, knuckle.shapes) == (True, (0, 0))
    # Closed form: radial play 5.1 - 5.
    assert knuckle.relief == pytest.approx(0.1, abs=1e-9)
    assert result.verdict == "clear"
    assert min(found.gap for found in gaps(record)) == pytest.approx(0.1, abs=1e-9)


@pytest.mark.parametrize("radius", [5, 5.2])
def test_disc_too_wide_for_its_bore_cannot_run(radius):
    assert check(turned(bore(0, 0, 5), disc(0, 0, radius), travel=(-90, 90))).verdict == "breach"


def test_box_in_a_bore_about_its_pin_is_judged_like_any_other_body():
    # Closed form: half diagonal of 6 x 8 is 5, bore 5.5.
    found = only(turned(bore(0, 0, 5.5), box(0, 0, 6, 8), travel=(-90, 90), required_gap=1))
    assert found.lowest_gap == pytest.approx(0.5, abs=1e-6)
    assert found.verdict == "breach"


def test_exempt_pair_tells_no_knuckle():
    record = hinged([bar((0, 0), (40, 0), 2)], [bar((0, 0), (0, 40), 2)], travel=(-85, 85))
    result = check({**record, "gap_rules": [rule("first", "second", unchecked="printed in one piece")]})
    assert result.knuckles == ()
    assert [(left.code, left.reason) for left in result.unchecked] == [("rule", "printed in one piece")]
