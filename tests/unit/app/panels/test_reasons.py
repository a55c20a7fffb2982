"""The answers to "Why?": of a pair's sweeps, of the whole answer, and in which numbers."""

from dataclasses import replace

import pytest
from msgspec.structs import replace as with_fields

from app.panels.reasons import why_sentences
from core.model.project import AllowedTogether, Body, Drive, DriveSpan, Project, Section
from core.model.shapes import Disc
from core.sweep.result import Check, SweepResult, Work
from core.sweep.timeline import Row

PAIR = ("arm", "post")
BODIES = tuple(Body(name=name, fixed=False, depth=(0, 2), shapes=(Disc(centre=(0, 0), radius=1),)) for name in PAIR)
SWING, LIFT = (Drive(name=name, unit="deg", start=0.0, end=50.0, home=0.0, speed=100.0, moves=()) for name in ("swing", "lift"))
ONE = Project(format=1, name="Gate", required_gap=1.0, sections=(Section(name="Side", bodies=BODIES),), drives=(SWING,))
TWO = with_fields(ONE, drives=(SWING, LIFT))
OWN = Check(
    sweep="solo",
    drives=("swing",),
    section="Side",
    between=PAIR,
    required_gap=1.0,
    tolerance=0.0,
    verdict="breach",
    proof="bounded",
    reached=(("swing", 0.0, 50.0),),
    lowest_gap=-0.164,
    at=(("swing", 38.0),),
    way_out=None,
    floor=-0.1641,
    breaches=(),
)
TOGETHER = replace(OWN, sweep="combined", floor=-0.172)


def result(*checks):
    return SweepResult(
        project="Gate", covers="all", verdict="breach", checks=checks, knuckles=(), unchecked=(), findings=(), work=Work(), resolution=0.01
    )


def row(own=OWN, together=TOGETHER):
    solo = {own.drives[0]: own}
    return Row("Side", PAIR, 1.0, 0.0, "solo", own.verdict, own.lowest_gap, own.at, own.floor, {}, solo, together)


def told(of, project, tr=str):
    return why_sentences(result(OWN, TOGETHER), of, project, tr)


def test_the_lowest_gap_has_the_hundredths_that_all_others_tell():
    first = told(row(), ONE)[0]
    assert "Lowest gap found: −0.16 mm at swing = 38°." in first
    # A bound is rounded to the safe side.
    assert "nowhere deeper than 0.17 mm" in first


def test_the_only_drive_leaves_no_other_at_home_and_is_told_of_once():
    lines = told(row(), ONE)
    assert lines[0].startswith("Arm and post of Side. Over swing from 0 to 50°. 1.00 mm was asked.")
    assert sum("Lowest gap found" in line for line in lines) == 1
    assert "the same" not in lines[0]


def test_that_all_drives_together_find_the_same_is_a_line():
    lines = told(row(), TWO)
    assert "with every other drive at home" in lines[0]
    assert lines[0].endswith("No other drive moves the two, so with all together it is the same.")
    assert sum("Lowest gap found" in line for line in lines) == 1


@pytest.mark.parametrize(
    "changes",
    [
        {"drives": ("swing", "lift"), "reached": (("swing", 0.0, 50.0), ("lift", 0.0, 50.0))},
        {"reached": (("swing", 0.0, 40.0),)},
        {"verdict": "undecided"},
        {"proof": "sampled", "step": 0.05},
    ],
    ids=["another drive", "less reached", "another verdict", "samples"],
)
def test_a_combined_sweep_that_adds_something_is_told_of(changes):
    lines = told(row(together=replace(TOGETHER, **changes)), TWO)
    assert sum("Lowest gap found" in line for line in lines) == 2


def test_under_rules_between_drives_both_sweeps_are_told_of():
    rule = AllowedTogether(when=DriveSpan(drive="swing", start=30, end=50), keep=DriveSpan(drive="lift", start=0, end=10))
    lines = told(row(), with_fields(TWO, allowed_together=(rule,)))
    assert sum("Lowest gap found" in line for line in lines) == 2


def test_with_no_pair_in_hand_the_one_is_told_of_that_decides_the_answer():
    far = replace(OWN, between=("arm", "arm 2"), verdict="clear", lowest_gap=4.0, floor=4.0)
    lines = why_sentences(result(OWN, far), None, ONE, str)
    assert lines[0] == "1 pair breaches, 1 pair is clear."
    assert lines[1].startswith("Arm and post of Side.")
