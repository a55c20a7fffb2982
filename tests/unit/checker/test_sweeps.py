"""First contacts, knuckles, chains and loops that the checker finds, against closed forms computed here beside each number."""

import math

import pytest

from tests.checker import load
from tests.unit.checker.bays import bar, body, box, disc, pivoted, polygon


def contact(project, drive="turn", step=0.5):
    bay = load(project)
    (pair,) = bay.pairs()
    return bay.solo_intervals(drive, pair, step)


def test_box_about_its_centre_meets_a_wall_and_leaves_it():
    # R1: asin(e / rho) - atan(h / w), e = 15, half diagonal of 40 x 20.
    first = math.degrees(math.asin(15 / math.hypot(20, 10)) - math.atan(10 / 20))
    (found,) = contact(pivoted(box(0, 20, 200, 10), box(0, 0, 40, 20), travel=(0, 180), required_gap=0))
    assert (found.start, found.end) == pytest.approx((first, 180 - first), abs=1e-4)
    assert first == pytest.approx(15.565364, abs=1e-6)
    assert found.contacts[0] == pytest.approx((first, 180 - first), abs=1e-4)


def test_body_off_its_pivot_meets_a_wall():
    # R2: a corner at (30, 10) reaches y = 25.
    expected = math.degrees(math.asin(25 / math.hypot(30, 10)) - math.atan2(10, 30))
    (found,) = contact(pivoted(box(0, 30, 200, 10), box(10, 0, 40, 20), travel=(0, 60), required_gap=0))
    assert found.start == pytest.approx(expected, abs=1e-4)
    assert expected == pytest.approx(33.803807, abs=1e-6)
    bay = load(pivoted(box(0, 30, 200, 10), box(10, 0, 40, 20), travel=(0, 60), required_gap=0))
    corner = 30 * math.sin(math.radians(25)) + 10 * math.cos(math.radians(25))
    assert bay.gap("S", "bay", "arm", {"turn": 25}).value == pytest.approx(25 - corner, abs=1e-9)


def test_box_in_an_eccentric_bore_has_its_lowest_gap_on_the_diagonal():
    # R6: R - 2 - half diagonal, where a diagonal points along the offset.
    project = pivoted({"kind": "bore", "centre": [2, 0], "radius": 26, "wall": 3}, box(0, 0, 40, 20), travel=(-90, 90))
    bay = load(project)
    (seen,) = bay.try_dense("turn", 2).values()
    # The corner lies opposite to the bore's offset: 2 + half diagonal from its centre.
    assert seen.gap.value == pytest.approx(26 - 2 - math.hypot(20, 10), abs=1e-6)
    assert abs(seen.at["turn"]) == pytest.approx(math.degrees(math.atan(0.5)), abs=0.02)


def test_eccentric_disc_meets_a_wall():
    # R10: 5 cos(t) = 3 at the wall x = 18.
    project = pivoted(box(23, 0, 10, 200), disc(-5, 0, 15), travel=(0, 360), required_gap=0)
    (found,) = contact(project)
    apart = math.degrees(math.acos(3 / 5))
    assert apart == pytest.approx(53.130102, abs=1e-6)
    assert (found.start, found.end) == pytest.approx((180 - apart, 180 + apart), abs=2e-3)


def test_slot_arm_meets_a_pin():
    # R11: asin((3 + 2) / 20) from the pin's direction.
    away = math.degrees(math.asin(5 / 20))
    (found,) = contact(pivoted(disc(0, 20, 2), bar([0, 0], [40, 0], 3), travel=(0, 180), required_gap=0))
    assert (found.start, found.end) == pytest.approx((90 - away, 90 + away), abs=1e-4)
    assert away == pytest.approx(14.477512, abs=1e-6)


def test_mirrored_arms_meet_on_the_centre_line():
    # R12: tip at 30 - 35 cos(t) from the middle, less its radius 3.
    project = pivoted(bar([60, 0], [60, 0], 1), bar([0, 0], [35, 0], 3), travel=(0, 90), required_gap=0)
    section, (drive,) = project["sections"][0], project["drives"]
    section["bodies"][0]["shapes"] = [box(0, -50, 5, 5)]
    section["bodies"].append(body("other", bar([60, 0], [25, 0], 3)))
    section["joints"].append({"kind": "pivot", "name": "other pin", "between": ["bay", "other"], "at": [60, 0]})
    drive["moves"].append({"section": "S", "joint": "other pin", "ratio": -1})
    bay = load(project)
    (pair,) = bay.find("S", "arm", "other")
    (found,) = bay.solo_intervals("turn", pair, 0.5)
    expected = math.degrees(math.acos((30 - 3) / 35))
    assert expected == pytest.approx(39.517653, abs=1e-6)
    assert (found.start, found.end) == pytest.approx((0, expected), abs=1e-4)


def test_hinged_lid_meets_a_wall_behind_it():
    # R14: corner (0, 5) reaches x = -3.
    (found,) = contact(pivoted(box(-8, 0, 10, 200), box(30, 2.5, 60, 5), travel=(0, 80), required_gap=0))
    assert found.start == pytest.approx(math.degrees(math.asin(3 / 5)), abs=1e-4)
    assert found.start == pytest.approx(36.869898, abs=1e-4)


def test_arm_meets_a_point_or_ends_before_it():
    # R15: asin(4 / 10) either side; shortened to 8 the corner passes 10 - hypot(8, 4) away.
    point = disc(0, 10, 1e-3)
    (found,) = contact(pivoted(point, box(10, 0, 20, 8), travel=(0, 180), required_gap=0))
    assert 90 - found.start == pytest.approx(math.degrees(math.asin(0.4001)), abs=1e-3)
    bay = load(pivoted(point, box(4, 0, 8, 8), travel=(0, 180), required_gap=0))
    (seen,) = bay.try_dense("turn", 1).values()
    assert seen.gap.value == pytest.approx(10 - 1e-3 - math.hypot(8, 4), abs=2e-5)
    assert 10 - math.hypot(8, 4) == pytest.approx(1.055728, abs=1e-6)


def test_thin_blade_between_two_samples_is_found():
    # A blade 0.02 wide meets a tip 0.02 wide for about 0.1 degree; steps are 2 degrees.
    project = pivoted(disc(0, 30.005, 0.01), bar([0, 0], [30, 0], 0.01), travel=(0, 180), required_gap=0)
    (found,) = contact(project, step=2)
    assert 0 < found.end - found.start < 0.2


def test_knuckle_of_two_arms_is_relieved_and_the_rest_is_checked():
    # Two bars r 2 on one pin, relief 10: cores from 10 outward meet when their ends are 4 apart: 2 * 10 * sin(t / 2) = 4.
    project = pivoted(bar([0, 0], [0, 40], 2), bar([0, 0], [40, 0], 2), travel=(0, 88), required_gap=0)
    project["sections"][0]["joints"][0]["relief"] = 10
    bay = load(project)
    (pair,) = bay.pairs()
    (found,) = bay.solo_intervals("turn", pair, 0.5)
    assert found.start == pytest.approx(90 - math.degrees(2 * math.asin(0.2)), abs=0.01)


def test_knuckle_may_be_as_near_as_with_the_disc_inside_a_relief_of_24_sides():
    # Two bars r 2 on one pin, relief 10, 60 apart: cores from 10 outward are 2 * 10 * sin(30) = 10 apart, so that the gap is 6; the
    # disc inside an inscribed polygon of 24 sides has radius 10 * cos(7.5), and leaves 10 * cos(7.5) - 4.
    project = pivoted(bar([0, 0], [0, 40], 2), bar([0, 0], [40, 0], 2), travel=(0, 88), required_gap=0)
    project["sections"][0]["joints"][0]["relief"] = 10
    gap = load(project).gap("S", "bay", "arm", {"turn": 30})
    assert gap.value == gap.high == pytest.approx(6, abs=0.005)
    least = 10 * math.cos(math.radians(7.5)) - 4
    assert least - 0.01 < gap.low <= least


def test_default_relief_is_one_and_a_half_times_the_larger_distance_to_the_own_outlines():
    project = pivoted(bar([0, 0], [0, 40], 2), bar([0, 0], [40, 0], 3), travel=(0, 88))
    (pair,) = load(project).pairs()
    assert pair.parts[0].relief == pytest.approx(4.5, abs=1e-4)


def test_discs_on_one_pin_leave_nothing_to_check():
    project = pivoted(disc(0, 0, 4), disc(0, 0, 3), travel=(0, 88))
    assert load(project).pairs() == []
    assert [u.reason for u in load(project).unchecked()] == ["nothing left"]


def test_disc_turning_in_a_bore_on_their_pin_needs_nothing():
    bore = {"kind": "bore", "centre": [0, 0], "radius": 5.15, "wall": 2}
    (pair,) = load(pivoted(bore, disc(0, 0, 5), travel=(0, 88))).pairs()
    assert pair.need == 0
    assert pair.parts[0].running_fit


def test_carried_drive_rides_on_the_drive_below_it():
    project = pivoted(box(0, -50, 5, 5), bar([0, 0], [30, 0], 1), travel=(-90, 90))
    section = project["sections"][0]
    section["bodies"].append(body("tip", disc(40, 0, 1)))
    section["joints"].append({"kind": "pivot", "name": "tip pin", "between": ["arm", "tip"], "at": [30, 0]})
    fold = {"name": "fold", "unit": "deg", "from": -90, "to": 90, "home": 0, "drawn": 10, "speed": 1}
    project["drives"].append({**fold, "moves": [{"section": "S", "joint": "tip pin", "ratio": 2}]})
    turn, shift = load(project).poses({"turn": 90, "fold": 55})["S", "tip"]
    assert turn == pytest.approx(90 + 2 * 45)
    # The disc at (40, 0) folds to (30, 10) of the arm, which stands upright: (-10, 30).
    x, y = (math.cos(math.radians(turn)) * 40 + shift[0], math.sin(math.radians(turn)) * 40 + shift[1])
    assert (x, y) == pytest.approx((-10, 30), abs=1e-9)


def test_joint_written_from_the_moving_side_turns_the_other_way():
    project = pivoted(box(0, -50, 5, 5), bar([0, 0], [30, 0], 1), travel=(-90, 90))
    project["sections"][0]["joints"][0]["between"] = ["arm", "bay"]
    assert load(project).poses({"turn": 30})["S", "arm"][0] == pytest.approx(-30)


def test_combinations_left_out_are_not_tried():
    project = pivoted(disc(0, 20, 2), bar([0, 0], [40, 0], 3), travel=(0, 180), required_gap=0)
    other = {"name": "gate", "unit": "mm", "from": 0, "to": 1, "home": 0, "speed": 1, "moves": []}
    project["drives"].append(other)
    span = {"drive": "gate", "from": 0, "to": 1}
    project["allowed_together"] = [{"while": span, "keep": {"drive": "turn", "from": 0, "to": 40}, "reason": "held"}]
    (seen,) = load(project).try_random(200, 1).values()
    assert seen.gap.value == pytest.approx(20 * math.cos(math.radians(40)) - 5, abs=1e-3)
    assert load({**project, "allowed_together": []}).try_random(200, 1).popitem()[1].breach


def four_bar(a, b, d, theta2, theta3):
    """Ground (0, 0) to (d, 0), input a drawn at theta2, coupler b at theta3; the follower's length follows."""
    r2, r3 = math.radians(theta2), math.radians(theta3)
    p = [a * math.cos(r2), a * math.sin(r2)]
    q = [p[0] + b * math.cos(r3), p[1] + b * math.sin(r3)]
    project = pivoted(disc(0, -300, 1), bar([0, 0], p, 1), travel=(0, 170))
    section = project["sections"][0]
    project["drives"][0]["home"] = theta2
    section["bodies"] += [body("coupler", bar(p, q, 1), depth=(2, 3)), body("follower", bar([d, 0], q, 1), depth=(4, 5))]
    section["joints"] += [
        {"kind": "pivot", "name": "first", "between": ["arm", "coupler"], "at": p},
        {"kind": "pivot", "name": "second", "between": ["coupler", "follower"], "at": q},
        {"kind": "pivot", "name": "third", "between": ["bay", "follower"], "at": [d, 0]},
    ]
    return project


def test_four_bar_follows_the_known_angles():
    # F2, an open notebook on Newton-Raphson four-bar analysis: 20, 40, 30, 40 at 0; the dyad's law of cosines at 60 beside it.
    bay = load(four_bar(20, 40, 40, 0, 46.5674634422102))
    turn = bay.poses({"turn": 60})["S", "follower"][0]
    px, py = 20 * math.cos(math.radians(60)), 20 * math.sin(math.radians(60))
    away = math.hypot(40 - px, -py)
    inside = math.acos((away**2 + 30**2 - 40**2) / (2 * away * 30))
    expected = math.degrees(math.atan2(py, px - 40) - inside)
    assert 75.5224878140701 + turn == pytest.approx(expected, abs=1e-6)


def test_four_bar_that_cannot_be_assembled_has_no_pose():
    # F8: 3, 4, 4, 6 is assembled to +-121.855431 only (law of cosines at the stretched dyad).
    drawn = 60
    px, py = 3 * math.cos(math.radians(drawn)), 3 * math.sin(math.radians(drawn))
    away, bend = math.hypot(6 - px, py), math.atan2(-py, 6 - px)
    theta3 = math.degrees(bend + math.acos(away / 8))
    bay = load(four_bar(3, 4, 6, drawn, theta3))
    assert not math.isnan(bay.poses({"turn": 121.8})["S", "follower"][0])
    assert math.isnan(bay.poses({"turn": 122})["S", "follower"][0])


def test_slider_driven_through_a_pin_in_a_slot():
    # A Scotch yoke: the sled's shift is r (cos t - 1).
    project = pivoted(box(0, -50, 5, 5), bar([0, 0], [30, 0], 1), travel=(-80, 80))
    section = project["sections"][0]
    section["bodies"].append(body("sled", polygon([[27, -40], [33, -40], [33, 40], [27, 40]]), depth=(6, 7)))
    section["joints"] += [
        {"kind": "slide", "name": "rail", "between": ["bay", "sled"], "at": [30, 0], "along": 0},
        {"kind": "pin_slot", "name": "slot", "between": ["arm", "sled"], "at": [30, 0], "along": 90},
    ]
    turn, shift = load(project).poses({"turn": 50})["S", "sled"]
    assert (turn, *shift) == pytest.approx((0, 30 * (math.cos(math.radians(50)) - 1), 0), abs=1e-8)
