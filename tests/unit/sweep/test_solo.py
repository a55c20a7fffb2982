"""One drive at a time: where breaches begin, touch and end, and what settles the hard cases. Lengths mm, angles degrees."""

import math
from pathlib import Path

import pytest

from core.project_file.read import read_project
from core.sweep.run import check_project
from tests.bays import bar, bay, body, box, check, check_of, disc, drive, gap, only, pivot, polygon, slid, slide, turned

BARRIER_ARM = Path(__file__).parents[2] / "fixtures" / "barrier_arm.bay.json"


def test_blade_thinner_than_a_degree_is_not_missed():
    # Closed form: a blade 0.02 thick at 50 from the pivot against a pin r 0.001: contact over 2 asin(0.011 / 50).
    record = turned(disc(50 * math.cos(0.6), 50 * math.sin(0.6), 0.001), box(25, 0, 60, 0.02), travel=(0, 90))
    found = only(record)
    assert found.verdict == "breach"
    half = math.degrees(math.asin(0.011 / 50))
    middle = math.degrees(0.6)
    assert found.breaches[0].start == pytest.approx(middle - half, abs=1e-3)
    assert found.breaches[0].end == pytest.approx(middle + half, abs=1e-3)
    assert found.breaches[0].end - found.breaches[0].start < 0.03


def test_slabs_that_cross_as_a_plus_are_in_contact_though_no_corner_is_inside():
    # Closed form: slabs 60 x 2 cross at right angles; the shortest way out of a cross is along either, 30 + 1, less the push.
    record = slid(box(0, 0, 60, 2), box(0, 0, 2, 60), travel=(-20, 20))
    found = only(record)
    assert found.verdict == "breach"
    assert found.breaches[0].contacts == ((-20, 20),)
    assert only(record, "combined").verdict == "breach"
    assert gap(record).gap == pytest.approx(-31, abs=1e-9)
    assert gap(record, push=20).gap == pytest.approx(-11, abs=1e-9)


def test_three_contacts_within_one_breach():
    # Closed form: pins r 0.5 at 20 from the pivot, at 70, 80 and 90; a tip r 0.5 on the same circle touches one within
    # 2 asin(0.5 / 20) of it and is short of 2 within 2 asin(1.5 / 20), which joins all three.
    pins = [disc(20 * math.cos(math.radians(a)), 20 * math.sin(math.radians(a)), 0.5) for a in (70, 80, 90)]
    found = only(turned(pins, disc(20, 0, 0.5), travel=(0, 180), required_gap=2))
    (breach,) = found.breaches
    touch = 2 * math.degrees(math.asin(0.5 / 20))
    short = 2 * math.degrees(math.asin(1.5 / 20))
    assert (breach.start, breach.end) == pytest.approx((70 - short, 90 + short), abs=1e-3)
    assert len(breach.contacts) == 3
    for (start, end), middle in zip(breach.contacts, (70, 80, 90), strict=True):
        assert (start, end) == pytest.approx((middle - touch, middle + touch), abs=1e-3)
    assert breach.contact == (breach.contacts[0][0], breach.contacts[-1][1])


def test_each_breach_has_its_own_lowest_gap():
    # Closed form: pins r 1 at 20 and 20.5 from the pivot, a tip r 1 at 20: 2 and 1.5 deep.
    def pin(angle, away):
        return disc(away * math.cos(math.radians(angle)), away * math.sin(math.radians(angle)), 1)

    found = only(turned([pin(40, 20.5), pin(120, 20)], disc(20, 0, 1), travel=(0, 180)))
    assert [breach.lowest_gap for breach in found.breaches] == [pytest.approx(-1.5, abs=1e-4), pytest.approx(-2, abs=1e-4)]
    assert [breach.at for breach in found.breaches] == [pytest.approx(40, abs=0.1), pytest.approx(120, abs=0.1)]
    assert (found.lowest_gap, dict(found.at)["swing"]) == (pytest.approx(-2, abs=1e-4), pytest.approx(120, abs=0.1))


def test_breach_that_grazes_the_required_gap_is_found_and_says_that_its_ends_are_not_sharp():
    # Closed form: a tip r 1 at 20 passes a wall 22 - d off the pivot: gap 1 - d + 20 (1 - sin), lowest 1 - d at 90. With d = 1e-5 and
    # 1 required it is short while 20 (1 - cos t) < 1e-5 - 3e-6 (touch): +-0.047936.
    found = only(turned(box(0, 27 - 1e-5, 200, 10), disc(20, 0, 1), travel=(0, 120), required_gap=1))
    assert found.verdict == "breach"
    (breach,) = found.breaches
    half = math.degrees(math.acos(1 - 7e-6 / 20))
    assert breach.start <= 90 - half + 1e-4
    assert breach.end >= 90 + half - 1e-4
    assert breach.end - breach.start < 2 * half + 0.05
    assert breach.contacts == ()


def test_tip_that_only_touches_its_required_gap_is_clear():
    found = only(turned(box(0, 27, 200, 10), disc(20, 0, 1), travel=(0, 120), required_gap=1))
    assert (found.verdict, found.lowest_gap) == ("clear", pytest.approx(1, abs=1e-6))


@pytest.mark.parametrize("turn", [0, 30, 45, 77.7])
def test_gap_drawn_exactly_as_required_is_met_at_any_turn(turn):
    # Two walls 1 apart slide along each other; corners are rounded to 1e-6 as in the file.
    ahead = complex(math.cos(math.radians(turn)), math.sin(math.radians(turn)))

    def drawn(*corners):
        placed = [complex(*corner) * ahead for corner in corners]
        return polygon(*[(round(point.real, 6), round(point.imag, 6)) for point in placed])

    record = slid(drawn((-50, -5), (50, -5), (50, 0), (-50, 0)), drawn((-5, 1), (5, 1), (5, 6), (-5, 6)), travel=(-30, 30), along=turn)
    result = check({**record, "required_gap": 1})
    assert result.verdict == "clear"
    assert result.checks[0].lowest_gap == pytest.approx(1, abs=3e-6)
    tight = check({**record, "required_gap": 1.00002})
    assert tight.verdict == "breach"


@pytest.mark.parametrize(("tolerance", "verdict"), [(0, "clear"), (0.04, "clear"), (0.06, "breach")])
def test_outline_tolerance_of_both_bodies_is_taken_off(tolerance, verdict):
    # Closed form: 6 apart at home, up to 4.9 pushed in: 1.1 left, 1 required, 2 x tolerance taken off.
    record = slid(box(0, 0, 4, 4), box(10, 0, 4, 4), travel=(-4.9, 0), required_gap=1)
    for drawn in record["sections"][0]["bodies"]:
        drawn["outline_tolerance"] = tolerance
    found = only(record)
    assert (found.verdict, found.tolerance) == (verdict, pytest.approx(2 * tolerance))
    assert found.lowest_gap == pytest.approx(1.1, abs=1e-6)


def test_pin_too_wide_for_its_slot_is_as_deep_as_the_slot_asks():
    # Closed form: slot 6 wide and 15 deep, pin r 3.5: freed by standing on the mouth's corners, see the depth at a pose; the
    # drive carries the pin along the slot, deepest at its inner end.
    slot = polygon((-8, -10), (8, -10), (8, 10), (3, 10), (3, -5), (-3, -5), (-3, 10), (-8, 10))
    found = only(slid(slot, disc(0, 9, 3.5), travel=(-6, 0), along=90))
    assert found.breaches[0].start == -6
    # Closed form: at y = 3 up by 10 + sqrt(3.5^2 - 3^2) - 3 = 8.802776, sideways 8 + 3.5 = 11.5.
    assert found.lowest_gap == pytest.approx(-8.802776, abs=1e-4)
    assert found.way_out == pytest.approx((0, 8.802776), abs=1e-4)
    assert found.floor is None


def test_carried_drive_moves_with_its_carrier():
    # Closed form: a boom 30 long turned by 90 carries a tip arm 10 long turned by -90: the tip lies at (10, 30).
    bodies = [body("bay", disc(10, 30, 1), fixed=True), body("boom", bar((0, 0), (30, 0), 1), depth=(10, 12)),
              body("tip", disc(40, 0, 1))]  # fmt: skip
    joints = [pivot("foot", "bay", "boom", (0, 0)), pivot("elbow", "boom", "tip", (30, 0))]
    record = bay(bodies, joints, [drive("lift", (0, 90), "foot"), drive("bend", (-90, 0), "elbow")])
    result = check(record)
    assert all(found.verdict == "clear" for found in result.of_sweep("solo"))
    together = check_of(result, "bay", "tip", sweep="combined")
    assert together.verdict == "breach"
    assert together.lowest_gap == pytest.approx(-2, abs=0.01)
    assert dict(together.at) == {"lift": pytest.approx(90, abs=0.2), "bend": pytest.approx(-90, abs=0.2)}
    assert [finding.code for finding in result.findings] == ["solo-unseen"]


def test_drive_that_counter_turns_a_carried_body_keeps_it_upright():
    # Closed form: turned by t and back by t, a box keeps its heading; its middle runs on a circle r 30: the corner's height is
    # 30 sin t + 2, contact with a wall at y = 17 at asin(15 / 30) = 30.
    bodies = [body("bay", box(0, 22, 200, 10), fixed=True), body("boom", disc(0, -40, 1), depth=(10, 12)), body("tray", box(30, 0, 8, 4))]
    joints = [pivot("foot", "bay", "boom", (0, 0)), pivot("head", "boom", "tray", (30, 0))]
    record = bay(bodies, joints, [drive("lift", (0, 60), "foot", ("head", -1))])
    found = check_of(check(record), "bay", "tray")
    assert found.breaches[0].start == pytest.approx(30, abs=1e-3)


def test_drive_that_moves_two_joints_by_ratios():
    # Closed form: wheels geared 1 : -2; the arm on the second turns by -2 v, its end r 0.001 meets a wall at x = 47 where
    # 10 sin(2 v) = 5 - 0.001.
    bodies = [body("bay", box(42, 0, 10, 200), fixed=True), body("wheel", disc(0, 0, 5)), body("arm", bar((52, 0), (52, 10), 0.001))]
    joints = [pivot("axle", "bay", "wheel", (0, 0)), pivot("shaft", "bay", "arm", (52, 0))]
    record = bay(bodies, joints, [drive("crank", (-40, 40), "axle", ("shaft", -2))])
    found = check_of(check(record), "bay", "arm")
    assert found.breaches[0].end == pytest.approx(-math.degrees(math.asin(0.4999)) / 2, abs=1e-3)


def test_drive_in_mm_may_turn_a_pivot_by_degrees_a_mm():
    # Closed form: 4 degrees a mm; a bar r 1 meets a pin r 1 at 20 up, 90 - asin(2 / 20) degrees on.
    record = turned(disc(0, 20, 1), bar((0, 0), (30, 0), 1), travel=(0, 25))
    record["drives"][0] |= {"unit": "mm"}
    record["drives"][0]["moves"][0]["ratio"] = 4
    assert only(record).breaches[0].start == pytest.approx((90 - math.degrees(math.asin(2 / 20))) / 4, abs=1e-3)


def test_slide_carried_by_a_pivot_shifts_along_its_turned_direction():
    # Closed form: turned by 90 the rail points up: a disc r 2 at (20, 0) shifted by 15 stands at (0, 35).
    bodies = [body("bay", disc(0, 40, 1), fixed=True), body("arm", disc(0, -60, 1), depth=(10, 12)), body("sled", disc(20, 0, 2))]
    joints = [pivot("foot", "bay", "arm", (0, 0)), slide("rail", "arm", "sled", 0)]
    drives = [drive("swing", (0, 180), "foot", home=90, drawn=0), drive("push", (0, 30), "rail", unit="mm")]
    result = check(bay(bodies, joints, drives))
    # Closed form: rim to rim from 40 - 3 - 20 = 17.
    assert check_of(result, "bay", "sled", drive="push").breaches[0].contact == pytest.approx((17, 23), abs=1e-3)


def test_drawn_value_is_where_the_drawing_stands_and_home_where_the_others_are_parked():
    # Closed form: drawn at 30 with the arm along x; at value v it points to v - 30; a pin up at 90: contact about v = 120.
    record = turned(disc(0, 20, 1), bar((0, 0), (30, 0), 1), travel=(0, 180))
    record["drives"][0] |= {"drawn": 30, "home": 10}
    half = math.degrees(math.asin(2 / 20))
    assert only(record).breaches[0].contact == pytest.approx((120 - half, 120 + half), abs=1e-3)
    # Closed form: at home 10 the arm points to -20.
    assert gap(record).gap == pytest.approx(20 - 2, abs=1e-9)


def test_barrier_arm_has_the_answer_that_its_file_is_told_with():
    # Computed beforehand by dense sampling with shapely: short of 1 mm from 31.808, in contact from 36.401 to about 40.29,
    # about 0.16 deep near 38.
    result = check_project(read_project(BARRIER_ARM))
    found = check_of(result, "motor", "rib")
    assert (result.verdict, found.verdict, found.required_gap) == ("breach", "breach", 1)
    (breach,) = found.breaches
    assert (breach.start, breach.end) == (pytest.approx(31.808, abs=1.5e-3), 45)
    assert breach.contact == (pytest.approx(36.401, abs=1.5e-3), pytest.approx(40.29, abs=0.005))
    assert breach.lowest_gap == pytest.approx(-0.16, abs=0.005)
    assert breach.at == pytest.approx(38, abs=0.5)
