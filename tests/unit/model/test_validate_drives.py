"""Faults of drives and what they move."""

from math import nan

import pytest
from msgspec.structs import replace

from core.model.joints import Bolted, PinSlot
from core.model.project import Move
from core.model.validate import validate
from tests.unit.model.drawings import gate, in_plan, swing


def found(*drives, project=None):
    return validate(replace(project or gate(), drives=drives))


@pytest.mark.parametrize(
    ("changes", "path", "code", "data"),
    [
        ({"end": 0.0}, "from", "travel-empty", {"start": 0.0, "end": 0.0, "unit": "deg"}),
        ({"home": 71.0}, "home", "home-outside-travel", {"home": 71.0, "start": 0.0, "end": 70.0, "unit": "deg"}),
        ({"drawn": -1.0}, "drawn", "drawn-outside-travel", {"drawn": -1.0, "start": 0.0, "end": 70.0, "unit": "deg"}),
        ({"stops": (0.0, 69.0)}, "stops", "stops-inside-travel", {"low": 0.0, "high": 69.0, "start": 0.0, "end": 70.0, "unit": "deg"}),
        ({"stops": (90.0, -9.0)}, "stops", "stops-inside-travel", {"low": 90.0, "high": -9.0, "start": 0.0, "end": 70.0, "unit": "deg"}),
        ({"speed": 0.0}, "speed", "speed-not-positive", {"speed": 0.0, "unit": "deg"}),
        ({"pulse": ((10.0, 1000.0), (10.0, 2000.0))}, "pulse", "pulse-flat", {"of": "value", "number": 10.0}),
        ({"pulse": ((10.0, 1500.0), (20.0, 1500.0))}, "pulse", "pulse-flat", {"of": "width", "number": 1500.0}),
        ({"pulse": ((10.0, -1.0), (20.0, 1500.0))}, "pulse[0][1]", "number-negative", {"key": "pulse", "value": -1.0}),
        ({"home": nan}, "home", "number-not-finite", {"key": "home", "value": "not a number"}),
    ],
)
def test_a_fault_of_a_drive_is_told_with_its_place_and_numbers(changes, path, code, data):
    (finding,) = found(swing(**changes))
    assert (finding.level, finding.code, finding.place.path, finding.data) == ("error", code, f"drives[0].{path}", data)
    assert finding.place.drive == "swing"


@pytest.mark.parametrize(
    "changes",
    [{"home": 70.0, "drawn": 0.0}, {"stops": (0.0, 70.0)}, {"pulse": ((0.0, 2000.0), (70.0, 1000.0))}],
    ids=["ends", "stops", "pulse"],
)
def test_a_drive_at_its_limits_is_valid(changes):
    assert found(swing(**changes)) == ()


def test_a_drive_that_moves_nothing_is_a_warning():
    (finding,) = found(swing(moves=()))
    assert (finding.level, finding.code, finding.place.path) == ("warning", "drive-moves-nothing", "drives[0]")


def test_a_ratio_of_zero_is_refused():
    (finding,) = found(swing(moves=(Move(section="Plan", joint="heel", ratio=0.0),)))
    assert (finding.code, finding.place.path, finding.data) == ("ratio-zero", "drives[0].moves[0].ratio", {"joint": "heel"})


def test_an_unknown_section_or_joint_is_told():
    moves = (Move(section="Plam", joint="heel"), Move(section="Plan", joint="heal"))
    assert [(f.code, f.place.path, f.data["nearest"]) for f in found(swing(moves=moves))] == [
        ("name-misspelt", "drives[0].moves[0].section", "Plan"),
        ("name-misspelt", "drives[0].moves[1].joint", "heel"),
    ]


@pytest.mark.parametrize(
    "joint",
    [Bolted(name="rack", between=("leaf", "paddle")), PinSlot(name="rack", between=("leaf", "paddle"), at=(12.0, 0.0), along=0.0)],
    ids=["bolted", "pin_slot"],
)
def test_a_drive_acts_on_pivots_and_slides_only(joint):
    project = in_plan(joints=(gate().sections[0].joints[0], joint))
    (finding,) = found(swing(moves=(Move(section="Plan", joint="rack", ratio=2.0),)), project=project)
    kind = joint.__struct_config__.tag
    assert (finding.code, finding.place.path, finding.data) == (
        "drive-on-still-joint",
        "drives[0].moves[0]",
        {"joint": "rack", "kind": kind},
    )


def test_a_joint_named_twice_by_one_drive_is_refused():
    move = Move(section="Plan", joint="heel")
    (finding,) = found(swing(moves=(move, replace(move, ratio=-2.0))))
    assert (finding.code, finding.place.path) == ("joint-moved-twice", "drives[0].moves[1]")


def test_two_drives_of_one_joint_are_refused():
    (finding,) = found(swing(), swing(name="push"))
    assert (finding.code, finding.place.path) == ("joint-of-two-drives", "drives[1].moves[0]")
    assert finding.data == {"section": "Plan", "joint": "heel", "other": "swing"}


def test_joints_of_one_name_in_two_sections_are_two_joints():
    project = replace(gate(), sections=(*gate().sections, replace(gate().sections[0], name="Side")))
    moves = (Move(section="Plan", joint="heel"), Move(section="Side", joint="heel"))
    assert found(swing(moves=moves), project=project) == ()


@pytest.mark.parametrize(("ratio", "codes"), [(1.0, ["unit-unlike-joint"]), (-1.0, ["unit-unlike-joint"]), (0.25, [])])
def test_a_turn_that_shifts_a_slide_is_doubtful_only_at_ratio_one(ratio, codes):
    findings = found(swing(moves=(Move(section="Plan", joint="rack", ratio=ratio),)))
    assert [(f.level, f.code) for f in findings] == [("warning", code) for code in codes]
    assert all(f.data == {"unit": "deg", "joint_unit": "mm", "joint": "rack", "kind": "slide"} for f in findings)


def test_one_drive_may_turn_a_pivot_and_shift_a_slide():
    moves = (Move(section="Plan", joint="heel"), Move(section="Plan", joint="rack", ratio=0.1))
    assert found(swing(moves=moves)) == ()
