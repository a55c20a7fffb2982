"""Joints and drives as sentences: each number changes what it says, and kinds of joints become others."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from app.panels.joint_drive_sentences import drivable, movable_by, of_whole_drive, with_pulses, with_stops
from app.panels.joint_sentences import as_kind, kind_of, new_joint, of_joint, relief_of
from core.model.edit import replace_drive
from core.model.edit_drives import add_drive, change_drive
from core.model.edit_joints import add_joint, change_joint
from core.model.edit_shapes import replace_shape
from core.model.joints import Bolted, PinSlot, Pivot, Slide
from core.model.lookup import drive_of, joint_of
from core.model.project import Drive, Move
from core.model.shapes import Bore
from core.project_file.read import read_project


@pytest.fixture
def arm():
    return read_project(Path("sample_projects/barrier_arm.bay.json"))


def changed(found, project, **numbers):
    for key, value in numbers.items():
        _text, edit = found.change(key, value)
        project = edit(project)
    return project


def test_every_number_of_a_slot_changes_what_it_says(arm):
    project = change_joint(arm, "Side", "yoke slot", lambda old: replace(old, relief=2.0, reach=(-22.0, 22.0))).project
    found = of_joint("Side", joint_of(project.sections[0], "yoke slot"), str)
    assert found.text.endswith("It reaches from {low} to {high}. Nothing is checked within {relief} of it.")
    new = changed(found, project, x=29.0, y=1.0, along=85.0, play=0.1, low=-20.0, high=21.0, relief=3.0)
    slot = joint_of(new.sections[0], "yoke slot")
    assert (slot.at, slot.along, slot.play, slot.reach, slot.relief) == ((29.0, 1.0), 85.0, 0.1, (-20.0, 21.0), 3.0)


@pytest.mark.parametrize("kind", ["pivot", "slide", "pin in slot", "bolt"])
@pytest.mark.parametrize("to", ["pivot", "slide", "pin in slot", "bolt"])
def test_a_joint_becomes_another_kind_with_what_both_have(kind, to):
    joint = replace(new_joint(kind, ("bay", "arm"), (3.0, 4.0)), notes="greased")
    if not isinstance(joint, Bolted):
        joint = replace(joint, play=0.2, relief=5.0)
    if isinstance(joint, Slide | PinSlot):
        joint = replace(joint, along=30.0)
    new = as_kind(joint, to, (7.0, 7.0))
    assert (kind_of(new), new.name, new.between, new.notes) == (to, joint.name, ("bay", "arm"), "greased")
    if not isinstance(new, Bolted):
        assert (new.at, new.play, new.relief) == (((7.0, 7.0), 0.0, None) if kind == "bolt" else ((3.0, 4.0), 0.2, 5.0))
    if isinstance(new, Slide | PinSlot):
        assert new.along == (30.0 if isinstance(joint, Slide | PinSlot) else 0.0)


def test_the_usual_relief_is_told_of_a_knuckle_and_of_nothing_else(arm):
    """1.5 times the larger distance from the pin to the own outlines: both discs of radius 6 and 3 hold the hub pin."""
    section = arm.sections[0]
    assert relief_of(section, joint_of(section, "hub pin")) == pytest.approx(1.5 * 6.0)
    assert relief_of(section, replace(joint_of(section, "hub pin"), at=(60.0, 60.0))) is None
    assert relief_of(section, joint_of(section, "horn")) is None


def test_every_number_of_a_drive_changes_what_it_says(arm):
    project = change_drive(arm, "swing", lambda old: with_pulses(with_stops(replace(old, drawn=0.0))))
    found = of_whole_drive(drive_of(project, "swing"), project, str)
    numbers = {"from": -40.0, "to": 41.0, "home": 2.0, "speed": 90.0, "ratio0": 0.5, "drawn": 1.0, "stop_low": -60.0, "stop_high": 61.0}
    pulses = {"at0": -42.0, "pulse0": 1100.0, "at1": 43.0, "pulse1": 1900.0}
    new = drive_of(changed(found, project, **numbers, **pulses), "swing")
    assert (new.start, new.end, new.home, new.speed, new.moves[0].ratio, new.drawn) == (-40.0, 41.0, 2.0, 90.0, 0.5, 1.0)
    assert (new.stops, new.pulse) == ((-60.0, 61.0), ((-42.0, 1100.0), (43.0, 1900.0)))
    units = {number.key: number.unit for number in found.numbers}
    assert (units["pulse0"], units["at0"], units["ratio0"], set(numbers) | set(pulses)) == ("us", "deg", "deg", set(units))


def test_the_ratio_to_a_slide_is_told_in_mm(arm):
    project = replace_drive(
        arm, "swing", replace(drive_of(arm, "swing"), moves=(Move(section="Side", joint="hub pin"), Move(section="Side", joint="rail")))
    )
    found = of_whole_drive(drive_of(project, "swing"), project, str)
    assert {number.key: number.unit for number in found.numbers if number.key.startswith("ratio")} == {"ratio0": "deg", "ratio1": "mm"}


def test_a_drive_of_nothing_says_so(arm):
    assert of_whole_drive(replace(drive_of(arm, "swing"), moves=()), arm, str).text.endswith("It moves nothing yet.")


def test_a_joint_that_another_drive_moves_is_offered_with_whom_it_is_taken_from(arm):
    project = add_joint(arm, "Side", Pivot(name="tip pin", between=("rod", "sled"), at=(30.0, 0.0)))
    other = Drive(name="tip", unit="deg", start=-1, end=1, home=0, speed=1, moves=(Move(section="Side", joint="tip pin"),))
    project = add_drive(project, other)
    ((section, entries),) = movable_by(drive_of(project, "swing"), project, str)
    keys = list(drivable(project))
    assert section == "Side"
    assert [(keys[int(key)], told) for key, told in entries] == [
        (("Side", "rail"), "rail: sled on housing"),
        (("Side", "tip pin"), "tip pin: sled on rod; taken over from tip"),
    ]


@pytest.mark.parametrize("radius", [-30.0, 0.0])
def test_a_joint_of_a_body_with_a_fault_has_no_usual_relief(arm, radius):
    pin = joint_of(arm.sections[0], "hub pin")
    assert relief_of(arm.sections[0], pin) == 9.0
    faulty = replace_shape(arm, "Side", "housing", 1, Bore(centre=(0.0, 0.0), radius=radius, wall=-1.0))
    assert relief_of(faulty.sections[0], pin) is None


def test_a_joint_of_a_body_that_is_not_there_has_no_usual_relief(arm):
    section = arm.sections[0]
    gone = replace(section, bodies=tuple(body for body in section.bodies if body.name != "motor"))
    assert relief_of(gone, joint_of(section, "hub pin")) is None
