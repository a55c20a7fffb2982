"""Bodies in depth bands of their own: who passes over, what stacked parts need, what a bay has left to sweep."""

import math

import pytest

from tests.bays import bay, body, box, check, disc, drive, gap, only, pivot, rule, slid


def stacked(*, lower=(0, 5), upper=(5, 9), **keys):
    record = slid(box(0, 0, 4, 4), box(10, 0, 4, 4), travel=(-20, 0), **keys)
    first, second = record["sections"][0]["bodies"]
    first["depth"], second["depth"] = list(lower), list(upper)
    return record


@pytest.mark.parametrize("covers", ["solo", "combined", "all"])
def test_bay_in_which_everything_passes_over_is_clear_with_nothing_checked(covers):
    result = check(stacked(), covers=covers)
    assert (result.verdict, result.checks) == ("clear", ())
    (left,) = result.unchecked
    assert (left.code, left.depth_gap, set(left.between)) == ("passes-over", 0.0, {"bay", "sled"})


def test_gap_of_stacked_parts_at_a_pose_counts_the_depth_between_them():
    # Closed form: 6 apart in the section, 3 across it.
    assert gap(stacked(upper=(8, 12))).gap == pytest.approx(math.hypot(6, 3), abs=1e-9)
    # Closed form: over each other only the depth is left.
    assert gap(stacked(upper=(8, 12)), push=-10).gap == pytest.approx(3, abs=1e-9)


def test_parts_that_pass_over_nearer_than_the_required_depth_gap_are_swept_against_it():
    # Closed form: 1 across, 2 required: in the section less than sqrt(2^2 - 1^2) = 1.732051 is too near, from 6 apart: -4.267949.
    found = only(stacked(upper=(6, 9), required_depth_gap=2))
    assert (found.verdict, found.required_gap, found.depth_gap) == ("breach", 2, 1)
    (breach,) = found.breaches
    assert breach.end == pytest.approx(-6 + math.sqrt(3), abs=2e-3)
    assert breach.start == pytest.approx(-14 - math.sqrt(3), abs=2e-3)
    assert found.lowest_gap == pytest.approx(1, abs=1e-6)
    assert breach.contacts == ()


def test_required_depth_gap_of_a_rule_beats_the_project():
    own = rule("bay", "sled", required_depth_gap=0.5)
    result = check(stacked(upper=(6, 9), required_depth_gap=2, gap_rules=[own]))
    assert (result.verdict, result.checks) == ("clear", ())


def test_stack_of_bands_that_touch_may_touch_and_one_that_overlaps_by_a_hair_may_not():
    assert check(stacked(upper=(5, 9))).verdict == "clear"
    assert check(stacked(upper=(4.999999, 9))).verdict == "breach"


def test_shape_of_its_own_depth_band_is_judged_by_that():
    record = stacked(upper=(5, 9))
    record["sections"][0]["bodies"][1]["shapes"].append(disc(10, 0, 1, depth=[2, 9]))
    found = only(record)
    # Closed form: the disc's rim begins 9 - 2 from the box: contact from -7 to -13, both ends of the box passed.
    assert found.breaches[0].contact == pytest.approx((-13, -7), abs=1e-3)


def test_bodies_with_shapes_beside_and_over_each_other_are_two_checks():
    record = stacked(upper=(6, 9), required_depth_gap=2)
    record["sections"][0]["bodies"][1]["shapes"].append(disc(10, 0, 1, depth=[2, 9]))
    checks = check(record).of_sweep("solo")
    assert [(found.depth_gap, found.required_gap) for found in checks] == [(None, 0), (1, 2)]


def test_pose_lists_the_nearest_of_both_kinds():
    bodies = [body("bay", box(0, 0, 4, 4), disc(20, 0, 2, depth=[7, 9]), fixed=True), body("arm", box(10, 0, 4, 4))]
    record = bay(bodies, [pivot("pin", "bay", "arm", (400, 400))], [drive("swing", (0, 1), "pin")])
    # Closed form: the disc is 6 off in the section and 2 across; the box 6 off in the same band.
    assert gap(record).gap == pytest.approx(6, abs=1e-9)
    bodies[0]["shapes"][0] = box(-2, 0, 4, 4)
    assert gap(bay(bodies, record["sections"][0]["joints"], record["drives"])).gap == pytest.approx(math.hypot(6, 2), abs=1e-9)


def test_outline_tolerance_is_taken_off_the_gap_over_the_depth():
    # Closed form: 1 across, 2 required and 0.2 of tolerance: nearer than sqrt(2.2^2 - 1^2) = 1.959592 in the section is too near.
    record = stacked(upper=(6, 9), required_depth_gap=2)
    record["sections"][0]["bodies"][1]["outline_tolerance"] = 0.2
    found = only(record)
    assert found.tolerance == 0.2
    assert found.breaches[0].end == pytest.approx(-6 + math.sqrt(2.2**2 - 1), abs=2e-3)


@pytest.mark.parametrize(("across", "verdict"), [(1.9999985, "clear"), (1.99, "breach")])
def test_depth_gap_drawn_as_required_but_for_rounding_is_met(across, verdict):
    found = only(stacked(upper=(5 + across, 12), required_depth_gap=2))
    assert (found.verdict, found.lowest_gap) == (verdict, pytest.approx(across, abs=1e-6))
