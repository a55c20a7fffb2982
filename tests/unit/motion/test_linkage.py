"""Groups, trees, chains and poses of open chains."""

import cmath
import math
from pathlib import Path

import msgspec
import numpy as np
import pytest

from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.names import BodyName, JointName, SectionName
from core.model.project import Body, Drive, Move, Project, Section
from core.model.shapes import Disc
from core.motion.groups import BAY, rigid_groups
from core.motion.linkage import Linkage, SectionLinkage, linkage_of
from core.motion.pose import Poses, poses

SIDE = SectionName("Side")
BARRIER_ARM = Path(__file__).parents[2] / "fixtures" / "barrier_arm.bay.json"


def body(name: str, *, fixed: bool = False) -> Body:
    return Body(name=BodyName(name), fixed=fixed, depth=(0, 2), shapes=(Disc(centre=(0, 0), radius=1),))


def between(one: str, other: str) -> tuple[BodyName, BodyName]:
    return BodyName(one), BodyName(other)


def pivot(name: str, one: str, other: str, at: tuple[float, float]) -> Pivot:
    return Pivot(name=JointName(name), between=between(one, other), at=at)


def slide(name: str, one: str, other: str, *, along: float) -> Slide:
    return Slide(name=JointName(name), between=between(one, other), at=(0, 0), along=along)


def bolted(name: str, one: str, other: str) -> Bolted:
    return Bolted(name=JointName(name), between=between(one, other))


def drive(name: str, *moves: tuple[str, float], unit: str = "deg", home: float = 0, drawn: float | None = None) -> Drive:
    moved = tuple(Move(section=SIDE, joint=JointName(joint), ratio=ratio) for joint, ratio in moves)
    return msgspec.convert(
        {"name": name, "unit": unit, "from": -90, "to": 90, "home": home, "drawn": drawn, "speed": 60, "moves": moved}, Drive
    )


def project(joints: tuple[Joint, ...], *drives: Drive, moving: tuple[str, ...] = ("arm", "fork", "tip")) -> Project:
    bodies = (body("bay", fixed=True), *(body(name) for name in moving))
    return Project(format=1, name="", required_gap=1, sections=(Section(name=SIDE, bodies=bodies, joints=joints),), drives=drives)


def posed(made: Project, *values: float) -> tuple[Linkage, SectionLinkage, Poses]:
    linkage = linkage_of(made)
    return linkage, linkage.sections[0], poses(linkage.sections[0], linkage, np.array([values], dtype=float))


def place(section: SectionLinkage, found: Poses, name: str, point: complex) -> complex:
    return complex(found.posed(section.group_of(BodyName(name)), np.array([point]))[0, 0])


def test_fixed_bodies_and_what_is_bolted_to_them_are_the_bay():
    bodies = (body("arm"), body("wall", fixed=True), body("motor"), body("floor", fixed=True), body("horn"))
    joints = (bolted("screws", "motor", "floor"), bolted("horn screw", "horn", "arm"))
    groups = rigid_groups(Section(name=SIDE, bodies=bodies, joints=joints))
    assert groups[BAY] == ("wall", "motor", "floor")
    assert groups[1:] == (("arm", "horn"),)


def test_a_section_without_fixed_bodies_has_an_empty_bay():
    assert rigid_groups(Section(name=SIDE, bodies=(body("arm"),))) == ((), ("arm",))


def test_an_empty_section_has_the_empty_bay_alone():
    assert rigid_groups(Section(name=SIDE, bodies=())) == ((),)


def test_drawn_values_leave_every_body_exactly_as_drawn():
    made = project(
        (pivot("hub", "bay", "arm", (3, 4)), slide("rail", "arm", "fork", along=30), pivot("wrist", "tip", "fork", (7, -2))),
        drive("turn", ("hub", 1), ("wrist", -0.5), home=20, drawn=10),
        drive("push", ("rail", 1), unit="mm"),
    )
    _, section, found = posed(made, 10, 0)
    assert not found.turn.any()
    assert not found.shift.any()
    assert found.reached.all()
    assert len(section.groups) == 4


def test_a_drive_value_turns_the_moved_body_counter_clockwise():
    _, section, found = posed(project((pivot("hub", "bay", "arm", (10, 0)),), drive("turn", ("hub", 1))), 90)
    assert place(section, found, "arm", 13 + 0j) == pytest.approx(10 + 3j)


def test_a_joint_named_from_the_arm_to_the_bay_turns_the_arm_the_other_way():
    _, section, found = posed(project((pivot("hub", "arm", "bay", (10, 0)),), drive("turn", ("hub", 1))), 90)
    assert place(section, found, "arm", 13 + 0j) == pytest.approx(10 - 3j)


def test_a_slide_turns_with_its_reference_body():
    made = project(
        (pivot("hub", "bay", "arm", (0, 0)), slide("rail", "arm", "fork", along=0)),
        drive("turn", ("hub", 1)),
        drive("push", ("rail", 1), unit="mm"),
    )
    _, section, found = posed(made, 90, 5)
    assert place(section, found, "fork", 2 + 0j) == pytest.approx(7j)


def test_two_geared_pivots_keep_the_tip_level():
    made = project(
        (pivot("shoulder", "bay", "arm", (0, 0)), pivot("elbow", "arm", "fork", (40, 0))),
        drive("turn", ("shoulder", 1), ("elbow", -1)),
    )
    _, section, found = posed(made, 30)
    assert found.turn[0, section.group_of(BodyName("fork"))] == pytest.approx(0, abs=1e-15)
    assert place(section, found, "fork", 50 + 0j) == pytest.approx(40 * cmath.exp(1j * math.radians(30)) + 10)


def test_home_may_differ_from_drawn():
    linkage = linkage_of(project((pivot("hub", "bay", "arm", (0, 0)),), drive("turn", ("hub", 2), home=15, drawn=5)))
    found = poses(linkage.sections[0], linkage, linkage.home[None, :])
    assert math.degrees(found.turn[0, 1]) == pytest.approx(20)


def test_a_body_without_a_joint_is_held_by_nothing_and_stays():
    made = project((pivot("hub", "bay", "arm", (0, 0)), pivot("wrist", "fork", "tip", (9, 9))), drive("turn", ("hub", 1)))
    _, section, found = posed(made, 45)
    assert [section.groups[group] for group in section.unheld] == [("fork",), ("tip",)]
    assert place(section, found, "tip", 5 + 5j) == 5 + 5j


def test_an_undriven_joint_is_free_and_stays_as_drawn():
    _, section, found = posed(project((pivot("hub", "bay", "arm", (0, 0)),)), *())
    (step,) = section.chain(1)
    assert step.free
    assert not found.turn.any()


def test_a_chain_tells_its_drives_ratios_with_their_sign_turned():
    made = project((pivot("hub", "arm", "bay", (1, 2)),), drive("other"), drive("turn", ("hub", 3)))
    (step,) = linkage_of(made).sections[0].chain(1)
    assert (step.kind, step.at, step.ratios, step.free) == ("pivot", 1 + 2j, ((1, -3),), False)


def test_a_pin_in_a_slot_has_a_turn_and_a_shift():
    slotted = PinSlot(name=JointName("slot"), between=between("bay", "arm"), at=(10, 0), along=90)
    section = linkage_of(project((slotted,))).sections[0]
    assert [(step.kind, step.along) for step in section.chain(1)] == [("pivot", 0), ("slide", 1j)]
    turned = PinSlot(name=JointName("slot"), between=between("arm", "bay"), at=(10, 0), along=90)
    assert [step.kind for step in linkage_of(project((turned,))).sections[0].chain(1)] == ["slide", "pivot"]


def test_a_joint_inside_one_group_does_nothing():
    made = project((pivot("hub", "bay", "arm", (0, 0)), bolted("clamp", "bay", "arm")), drive("turn", ("hub", 1)))
    _, section, found = posed(made, 45)
    assert section.idle == ("hub",)
    assert not found.turn.any()


def test_a_four_bar_is_one_loop_whose_crank_needs_no_closure():
    made = project(
        (
            pivot("crank pin", "bay", "arm", (0, 0)),
            pivot("rod end", "arm", "fork", (10, 10)),
            pivot("rocker end", "fork", "tip", (40, 30)),
            pivot("rocker pin", "bay", "tip", (50, 0)),
        ),
        drive("turn", ("crank pin", 1)),
    )
    section = linkage_of(made).sections[0]
    (loop,) = section.loops
    assert set(loop.joints) == {"crank pin", "rod end", "rocker end", "rocker pin"}
    assert (loop.root, loop.drives, len(loop.passive), len(loop.closing)) == (0, (0,), 2, 1)
    assert [section.on_loop(section.group_of(BodyName(name))) for name in ("bay", "arm", "fork", "tip")] == [False, False, True, True]


def test_a_loop_carried_by_an_arm_has_the_arm_as_its_root():
    made = project(
        (
            pivot("hub", "bay", "arm", (0, 0)),
            slide("rail", "arm", "fork", along=0),
            pivot("one", "fork", "tip", (5, 5)),
            pivot("two", "arm", "tip", (9, 9)),
        ),
        drive("turn", ("hub", 1)),
        drive("push", ("rail", 1), unit="mm"),
    )
    section = linkage_of(made).sections[0]
    (loop,) = section.loops
    assert section.groups[loop.root] == ("arm",)
    assert loop.drives == (1,)
    assert "hub" not in loop.joints


def test_the_barrier_arms_yoke_closes_a_loop_without_unknowns_left():
    made = msgspec.json.decode(BARRIER_ARM.read_bytes(), type=Project)
    (loop,) = linkage_of(made).sections[0].loops
    assert loop.joints == ("hub pin", "rail", "yoke slot")
    assert [step.joint for step in loop.passive] == ["rail"]


def test_no_positions_give_empty_poses():
    linkage = linkage_of(project((pivot("hub", "bay", "arm", (0, 0)),), drive("turn", ("hub", 1))))
    assert poses(linkage.sections[0], linkage, np.empty((0, 1))).turn.shape == (0, 4)
