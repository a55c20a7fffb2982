"""Outlines of 120 to 500 corners are decided within the cap that a sweep has by default, and hold against the checker's sampling.

What is asked of each bay is set from the lowest gap that the checker finds: clear by a little, or breaching by it. Lengths mm.
"""

import math
from functools import cache

import numpy as np
import pytest

from core.sweep.run import BOXES
from tests.bays import bar, bay, body, check, check_of, disc, drive, pivot, polygon, slide
from tests.checker import load
from tests.property.bay_faults import ROUNDING, faults_of

SAMPLES = 1500
REACH = 25.0
"""How far each outline reaches from its middle."""


def oval(corners):
    """Convex, with corners all round; complex points, counter-clockwise."""
    turns = math.tau * np.arange(corners) / corners
    return REACH * (np.cos(turns) + 0.8j * np.sin(turns))


def gear(corners):
    """Teeth of four corners each, 2 deep: two corners at the tip, two at the root."""
    turns = math.tau * (np.arange(corners) + 0.5) / corners
    return np.where(np.arange(corners) % 4 < 2, REACH, REACH - 2) * np.exp(1j * turns)


def kidney(corners):
    """Round, with a smooth bay 12 deep on its right."""
    turns = math.tau * np.arange(corners) / corners - math.pi
    return (REACH - 12 * np.exp(-(turns**2) / 0.3)) * np.exp(1j * turns)


FORMS = {"oval": (oval, 0.0, (-40, 50)), "gear": (gear, 0.0, (-40, 50)), "kidney": (kidney, 9.0, (-8, 9))}
"""Outline, how much nearer than 6 the disc is brought to a circle of its reach (into the kidney's bay), and the pivot's travel, degrees."""

BAYS = [(form, corners, moving, drives) for form in FORMS for corners in (120, 500) for moving in (False, True) for drives in (1, 2)]


def big_bay(form, corners, moving, drives, *, nearer=0.0, required_gap=0.0):
    """A big outline and a lever with a disc at its end: one of them turns, and with two drives the other slides across.

    The base only carries the joints: its disc is far away.
    """
    make, deep, travel = FORMS[form]
    at = 60 - deep - nearer
    outline = make(corners) + (0 if moving else -at)
    big = [polygon(*((round(float(point.real), 6), round(float(point.imag), 6)) for point in outline))]
    tip, end = (at - 25, at) if moving else (-25, 0)
    lever = [bar((end, 0), (tip, 0), 2), disc(tip, 0, 4)]
    turned, other = (big, lever) if moving else (lever, big)
    bodies = [body("base", disc(500, 500, 1), fixed=True), body("post", *other, fixed=drives == 1), body("rotor", *turned)]
    joints, moves = [pivot("pin", "base", "rotor")], [drive("swing", travel, "pin")]
    if drives == 2:
        joints.append(slide("rail", "base", "post", along=90.0))
        moves.append(drive("lift", (-1.5, 1), "rail", unit="mm"))
    return bay(bodies, joints, moves, required_gap=required_gap)


def seen_in(record):
    """What the checker finds of outline and lever, anywhere in their travels."""
    held = load(record)
    (pair,) = held.find("Side", "post", "rotor")
    return held.try_random(SAMPLES, seed=1)[pair]


@cache
def lowest_of(form, corners, moving, drives):
    """The lowest gap that the checker finds, rounded to what a file keeps."""
    return round(seen_in(big_bay(form, corners, moving, drives)).gap.value, 6)


def decided(record):
    return check_of(check(record, safe_anywhere=False, safe_box=False), "post", "rotor", sweep="combined")


@pytest.mark.parametrize("over", [1, 0.1, 0.01, -0.01, -1], ids=lambda over: f"{'clear' if over > 0 else 'breaching'} by {abs(over)}")
@pytest.mark.parametrize(("form", "corners", "moving", "drives"), BAYS)
def test_big_outlines_are_decided_and_no_sample_is_nearer_than_told(form, corners, moving, drives, over):
    lowest = lowest_of(form, corners, moving, drives)
    record = big_bay(form, corners, moving, drives, required_gap=round(lowest - over, 6))
    row = decided(record)
    assert (row.verdict, row.open_share) == ("clear" if over > 0 else "breach", 0)
    assert row.floor - ROUNDING <= lowest
    assert row.lowest_gap <= lowest + 0.01 + ROUNDING
    assert not list(faults_of(record, corners, travel=False, boxes=BOXES))


@pytest.mark.parametrize(("form", "corners", "moving", "drives"), BAYS)
def test_big_outlines_that_overlap_have_the_depth_that_is_told(form, corners, moving, drives):
    record = big_bay(form, corners, moving, drives, nearer=8.0)
    row = decided(record)
    assert row.verdict == "breach"
    told, seen = row.lowest_gap, load(record).gap("Side", "post", "rotor", dict(row.at))
    assert seen.low - ROUNDING <= told <= seen.high + ROUNDING < 0
    assert not list(faults_of(record, corners, travel=False, boxes=BOXES))
