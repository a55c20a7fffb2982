"""Safe travel with the other drives anywhere, against closed forms: what is told is proved, its ends too."""

import math

import pytest

from core.sweep.result import SafeTravel
from tests.bays import bar, bay, body, check, disc, drive, pivot, slid, slide

ENDS = 0.001
"""Degrees or mm, to which ends are told."""


def anywhere(record) -> dict[str, SafeTravel]:
    return {safe.drive: safe for safe in check(record).safe_travel if safe.others == "any"}


@pytest.mark.parametrize("asked", [0.0, 0.37, 0.5, 1.0, 1.123456])
def test_the_end_of_safe_travel_lies_before_the_breach(asked):
    # Discs of 2 mm 10 mm apart: the gap is 6 - x.
    safe = anywhere(slid(disc(10, 0, 2), disc(0, 0, 2), travel=(-3, 6.5), required_gap=asked))["push"]
    assert safe.start == -3
    assert 6 - asked - ENDS <= safe.end <= 6 - asked + 3e-6


@pytest.mark.parametrize("home", [0.0, 5.0])
def test_safe_travel_up_to_its_end_where_the_end_just_keeps_the_gap(home):
    record = slid(disc(10, 0, 2), disc(0, 0, 2), travel=(-3, 5), required_gap=1.0)
    record["drives"][0]["home"], record["drives"][0]["drawn"] = home, 0
    safe = anywhere(record)["push"]
    assert (safe.start, safe.end) == (-3, 5)


def lifted_arm(home: float):
    """An arm that a slide lifts under a bar: at turns beyond 30 degrees its tip is 10 mm high or more, and the bar is at 12."""
    bodies = [
        body("bay", bar((-40, 12), (40, 12), 0.5), fixed=True),
        body("carriage", disc(0, -30, 1)),
        body("arm", bar((0, 0), (20, 0), 0.5)),
    ]
    joints = [slide("rail", "bay", "carriage", along=90), pivot("pin", "carriage", "arm", (0, 0))]
    drives = [drive("lift", (0, 1), "rail", unit="mm"), drive("swing", (0, 60), "pin", home=home, drawn=0)]
    return bay(bodies, joints, drives, required_gap=0)


def test_others_anywhere_bring_a_breach_home():
    # At 30 degrees the tip is at 10: 1 mm below the bar, and exactly there when lifted by 1 mm. A little more and it breaches.
    turn = math.degrees(math.asin(0.5))
    safe = anywhere(lifted_arm(turn + 0.01))["swing"]
    assert (safe.start, safe.end, safe.code) == (None, None, "home-breaches")
    assert anywhere(lifted_arm(60.0))["swing"].code == "home-breaches"


def test_travel_that_is_safe_with_the_others_anywhere_ends_where_they_meet_together():
    safe = anywhere(lifted_arm(10.0))["swing"]
    assert safe.start == 0
    assert 30 - ENDS <= safe.end <= 30 + 1e-5


def test_a_span_of_rounding_errors_about_home_is_no_safe_travel():
    """A bay where some combination of the others breaches at drive 4's home, and a breach is met half of the least width from it."""
    from tests.property.random_bays import random_bay

    safe = {
        each.drive: each for each in check(random_bay(2725, rooms=False), boxes=4000, safe_box=False).safe_travel if each.others == "any"
    }
    assert (safe["drive 4"].start, safe["drive 4"].end) == (None, None)
    assert safe["drive 4"].code in ("home-breaches", "undecided")
