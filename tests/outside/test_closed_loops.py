"""Poses of closed loops against published answers, closed forms and two general libraries. Lengths mm, angles degrees."""

import cmath
import math

import msgspec
import numpy as np
import pinocchio as pin
import pytest
from scipy.optimize import minimize_scalar, root

from core.model.joints import Pivot
from core.model.names import BodyName
from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.loop_states import states_at
from core.motion.pose import Poses, poses
from tests.loop_poses import drawn_angles, point_of, posed, reach, turn_of
from tests.mechanisms import (
    BAY,
    circles_meet,
    drive,
    four_bar,
    mechanism,
    pin_slot,
    pivot,
    polar,
    push_pull,
    slide,
    slider_crank,
)


def test_slider_crank_s1():
    # closed form: r = 50, l = 200, crank 60
    project = slider_crank(50, 200, drawn=10)
    found = posed(project, 60)
    block = math.sqrt(200**2 - (50 * math.sin(math.radians(10))) ** 2) + 50 * math.cos(math.radians(10))
    place = point_of(project, found, "block", complex(block))[0]
    rod = math.degrees(math.asin(50 * math.sin(math.radians(10)) / 200))
    assert 250 - place.real == pytest.approx(29.743758, abs=1e-6)
    assert place.imag == pytest.approx(0, abs=1e-9)
    assert -rod + turn_of(project, found, "rod")[0] == pytest.approx(-12.503917, abs=1e-6)


def test_slider_crank_with_offset_s2():
    # from memory, not confirmed: Norton, Design of Machinery: a = 40, b = 120, offset -20; theta3 from the block's pin to the crank's
    project = slider_crank(40, 120, drawn=20, offset=-20)
    found = posed(project, 60)
    crank_pin, block_pin = polar(40, 20), None
    block_pin = complex(crank_pin.real + math.sqrt(120**2 - (-20 - crank_pin.imag) ** 2), -20)
    theta3 = math.degrees(cmath.phase(crank_pin - block_pin)) + turn_of(project, found, "rod")[0]
    assert point_of(project, found, "block", block_pin)[0].real == pytest.approx(126.838005, abs=1e-6)
    assert theta3 == pytest.approx(152.913072, abs=1e-6)


def test_slider_crank_s3():
    # published: a university answer sheet, a = 10, b = 20, theta2 = 45, three decimals
    project = slider_crank(10, 20, drawn=100)
    found = posed(project, 45)
    theta3 = 180 - math.degrees(math.asin(math.sin(math.radians(100)) / 2)) + turn_of(project, found, "rod")[0]
    assert theta3 == pytest.approx(159.295, abs=5e-4)


def test_rod_centre_line_of_slider_crank_r18_to_a_point():
    # closed form: r 20, l 60, point (45, 12): lowest 4.938272 at crank 54.7120
    project = slider_crank(20, 60, drawn=0)
    crank = np.linspace(40, 70, 30001)
    found = posed(project, *crank)
    ends = [point_of(project, found, "rod", point) for point in (20 + 0j, 80 + 0j)]
    along = (ends[1] - ends[0]) / 60
    gap = np.abs(((45 + 12j - ends[0]) * along.conj()).imag)
    assert gap.min() == pytest.approx(4.938272, abs=1e-6)
    assert crank[gap.argmin()] == pytest.approx(54.7120, abs=1e-3)


def slotted_lever() -> Project:
    joints = [
        pivot("crank pivot", BAY, "crank", 240j),
        pivot("lever pivot", BAY, "lever", 0j),
        pin_slot("slot", "crank", "lever", 360j, along=90),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1), travel=(0, 360)))


def test_slotted_lever_s6_swings_thirty_degrees_each_way():
    # published exercise: centres 240, crank 120: sin(30) = 120 / 240, at crank -60 and 60 past the line of centres, seen from below
    project = slotted_lever()
    found = posed(project, *np.linspace(0, 360, 721), 120, 240)
    assert found.reached.all()
    lever = turn_of(project, found, "lever")
    assert (lever.min(), lever.max()) == pytest.approx((-30, 30), abs=1e-9)
    assert lever[-2:] == pytest.approx([30, -30], abs=1e-9)
    # the lever points at the crank's pin
    crank = np.radians(np.linspace(0, 360, 721))
    assert lever[:-2] == pytest.approx(np.degrees(np.arctan2(120 * np.sin(crank), 240 + 120 * np.cos(crank))), abs=1e-9)


def straight_line_cell(*, phi: float) -> Project:
    """Arms 50 from the origin, rhombus 20, a crank of 20 about (20, 0) that carries the rhombus's near corner."""
    near = 20 + polar(20, 2 * phi)
    left = circles_meet(0j, 50, near, 20, left=True)
    right = circles_meet(0j, 50, near, 20, left=False)
    far = left + right - near
    joints = [
        pivot("crank pivot", BAY, "crank", 20 + 0j),
        pivot("near corner 1", "crank", "near left", near),
        pivot("near corner 2", "crank", "near right", near),
        pivot("arm pivot 1", BAY, "left arm", 0j),
        pivot("arm pivot 2", BAY, "right arm", 0j),
        pivot("left corner 1", "near left", "left arm", left),
        pivot("left corner 2", "left arm", "far left", left),
        pivot("right corner 1", "near right", "right arm", right),
        pivot("right corner 2", "right arm", "far right", right),
        pivot("far corner", "far left", "far right", far),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1), home=2 * phi, drawn=2 * phi))


def test_straight_line_cell_s10_keeps_its_far_corner_on_a_line():
    # principle published (inversion of a circle through the centre), numbers closed form: P = (52.5, 19.108437) at phi = 20
    project = straight_line_cell(phi=15)
    near = 20 + polar(20, 30)
    far = circles_meet(0j, 50, near, 20, left=True) + circles_meet(0j, 50, near, 20, left=False) - near
    crank = np.linspace(-60, 60, 41)
    found = posed(project, 40.0, *crank)
    assert found.reached.all()
    place = point_of(project, found, "far left", far)
    assert place[0] == pytest.approx(52.5 + 19.108437j, abs=1e-6)
    assert place.real == pytest.approx(np.full(42, 52.5), abs=1e-9)


def test_single_push_pull_rods():
    # closed form, one route: D = 60, horn 12, hub 16, rod at its neutral length
    for angle, low, high in ((90, -31.663996, 32.356133), (-90, -32.356133, 31.663996)):
        project = push_pull(rods=(angle,))
        found = posed(project, -45, 45)
        assert found.reached.all()
        assert turn_of(project, found, "hub") == pytest.approx([low, high], abs=1e-6)


def test_two_push_pull_rods_conflict_by_nine_hundredths():
    # closed form, one route: at 45 the rods ask 32.356 and 31.664, so that they conflict by 0.09
    project = push_pull()
    found = posed(project, 45, 0)
    assert found.misfit == pytest.approx([0.09, 0], abs=0.005)
    assert found.reached.tolist() == [False, True]
    assert 31.663996 < turn_of(project, found, "hub")[0] < 32.356133
    (low, high) = reach(project).ends
    assert {low.code, high.code} == {"conflict"}
    assert -low.value == pytest.approx(high.value, abs=1e-3)


def test_conflicting_rods_stand_where_the_squares_of_their_errors_are_least():
    # closed form for the error of each rod's length; the least sum of squares by scipy.optimize.minimize_scalar
    def wrong_by(hub: float) -> list[float]:
        pins = [(polar(12, 45 + angle), 60 + polar(16, hub + angle)) for angle in (90, -90)]
        return [abs(hub_pin - horn_pin) - abs(60 + 16j - 12j) for horn_pin, hub_pin in pins]

    project = push_pull()
    found = posed(project, 45)
    least = minimize_scalar(
        lambda hub: sum(error**2 for error in wrong_by(hub)), bounds=(31, 33), method="bounded", options={"xatol": 1e-10}
    )
    assert turn_of(project, found, "hub")[0] == pytest.approx(least.x, abs=1e-6)
    assert max(map(abs, wrong_by(least.x))) == pytest.approx(found.misfit[0], abs=1e-8)


def test_play_in_the_rods_ends_takes_up_what_they_are_wrong_by():
    needed = reach(push_pull()).ends[0].play
    assert needed == pytest.approx(posed(push_pull(), 45).misfit[0], rel=1e-9)
    assert reach(push_pull(play=1.001 * needed)).ends == ()
    assert reach(push_pull(play=0.999 * needed)).ends != ()


def test_equal_push_pull_rods_turn_their_hub_with_the_horn_up_to_the_dead_centre():
    # closed form: two rods of a parallelogram, all pins in line at servo -60
    project = push_pull(hub=12, turn=-30, travel=(-100, 100))
    found = posed(project, -59.9, 30)
    assert found.reached.all()
    assert found.misfit == pytest.approx([0, 0], abs=1e-9)
    assert turn_of(project, found, "hub") == pytest.approx([-59.9, 30], abs=1e-6)
    ends = reach(project)
    assert (ends.low, ends.ends[0].code) == (pytest.approx(-60, abs=1e-3), "dead-centre")


def test_rods_ninety_degrees_apart_carry_the_hub_round():
    # closed form: one rod settles the hub while the other is on its dead centre
    project = push_pull(hub=12, rods=(0, 90), turn=20, travel=(-360, 360))
    assert reach(project).ends == ()
    servo = np.linspace(-360, 360, 145)
    assert turn_of(project, posed(project, *servo), "hub") == pytest.approx(servo, abs=1e-6)


def test_a_slider_driven_slider_crank_stops_at_its_dead_centre():
    # closed form: the block's pin can go no farther than 250 from the crank pivot; drawn at crank 60 it is 29.743758 short
    project = slider_crank(50, 200, drawn=60)
    project = msgspec.structs.replace(project, drives=(drive("push", ("rail", 1), unit="mm", travel=(-20, 60)),))
    found = reach(project)
    assert found.high == pytest.approx(29.743758, abs=1e-5)
    assert [end.code for end in found.ends] == ["not-assembled"]


def test_a_pin_that_comes_to_the_end_of_its_slot_stops_the_drive():
    # closed form: a yoke on a rail along x, pin at 30: along the slot it is at 30 sin(v), 15 at 30 degrees
    joints = [
        pivot("hub", BAY, "arm", 0j),
        slide("rail", BAY, "sled", along=0),
        pin_slot("yoke", "arm", "sled", 30 + 0j, along=90, reach=(-22, 15)),
    ]
    project = mechanism(joints, drive("swing", ("hub", 1), travel=(-45, 45)))
    found = reach(project)
    assert found.high == pytest.approx(30, abs=1e-3)
    assert (found.low, [end.code for end in found.ends]) == (pytest.approx(-45), ["slot-end"])
    turned = mechanism([*joints[:2], slide_from_slot()], drive("swing", ("hub", 1)))
    assert posed(turned, 40).reached[0]


def slide_from_slot():
    """The same yoke with the slot on the arm: pin on the sled, slot along y."""
    return pin_slot("yoke", "sled", "arm", 30 + 0j, along=90)


def test_pin_and_slot_read_from_either_body():
    # closed form: the sled's pin slides in the arm's slot, x = 30 cos(v) + 30 sin(v) tan(v) = 30 / cos(v)
    joints = [pivot("hub", BAY, "arm", 0j), slide("rail", BAY, "sled", along=0), slide_from_slot()]
    project = mechanism(joints, drive("swing", ("hub", 1)))
    found = posed(project, 40)
    assert point_of(project, found, "sled", 30 + 0j)[0] == pytest.approx(30 / math.cos(math.radians(40)) + 0j)


def six_bar() -> Project:
    """A four-bar whose follower drives a second dyad to a block on a rail."""
    joints = [
        *four_bar((40, 120, 80, 100), drawn=40).sections[0].joints,
        pivot("rod end", "follower", "rod", 100 + polar(60, 100)),
        pivot("block pin", "rod", "block", 220 + 20j),
        slide("rail", BAY, "block", along=0, at=220 + 20j),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1), travel=(0, 360), home=40, drawn=40))


def coupled_six_bar() -> Project:
    """Two loops that share the coupler and the follower: the second dyad hangs on both."""
    joints = [
        *four_bar((40, 120, 80, 100), drawn=40).sections[0].joints,
        pivot("upper pin", "coupler", "link", 90 + 90j),
        pivot("upper end", "link", "rocker", 150 + 110j),
        pivot("rocker pivot", BAY, "rocker", 190 + 20j),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1), travel=(0, 360), home=40, drawn=40))


def all_pins_apart(project: Project, found: Poses) -> np.ndarray:
    """(joints, n) mm: how far each pivot's two bodies hold its pin apart; a check that knows nothing of trees."""
    section = linkage_of(project).sections[0]
    apart = []
    for joint in project.sections[0].joints:
        if isinstance(joint, Pivot):
            one, other = (found.posed(section.group_of(body), np.array([complex(*joint.at)]))[:, 0] for body in joint.between)
            apart.append(np.abs(one - other))
    return np.array(apart)


@pytest.mark.parametrize("project", [six_bar(), coupled_six_bar(), straight_line_cell(phi=20)], ids=["six-bar", "coupled", "cell"])
def test_every_pin_stays_together_in_loops_that_share_joints(project):
    values = np.linspace(-20, 80, 201)
    found = posed(project, *values)
    assert found.reached.sum() > 100
    assert all_pins_apart(project, found)[:, found.reached].max() < 1e-9


def test_a_loop_carried_by_a_moving_hub():
    # closed form: everything on the hub turns with it, and the loop closes as it does on a hub that stands still
    def carried(base: str) -> list:
        return [
            pivot("crank pivot", base, "crank", 0j),
            pivot("crank pin", "crank", "coupler", polar(40, 40)),
            pivot("follower pin", "coupler", "follower", circles_meet(polar(40, 40), 120, 100 + 0j, 80, left=True)),
            pivot("follower pivot", base, "follower", 100 + 0j),
        ]

    still = mechanism(carried(BAY), drive("crank", ("crank pivot", 1)))
    moving = mechanism([pivot("hub", BAY, "hub", 30 - 20j), *carried("hub")], drive("crank", ("crank pivot", 1)), drive("turn", ("hub", 1)))
    linkage = linkage_of(moving)
    section = linkage.sections[0]
    found = poses(section, linkage, np.array([[35.0, 50.0]]))
    ground = posed(still, 35.0)
    coupler = section.group_of(BodyName("coupler"))
    alone = linkage_of(still).sections[0].group_of(BodyName("coupler"))
    assert math.degrees(found.turn[0, coupler] - ground.turn[0, alone]) == pytest.approx(50)
    hub = 30 - 20j
    spin = cmath.exp(1j * math.radians(50))
    expected = hub + spin * (ground.posed(alone, np.array([50 + 50j]))[0, 0] - hub)
    assert found.posed(coupler, np.array([50 + 50j]))[0, 0] == pytest.approx(expected)


def five_bar() -> Project:
    left, right, tip = -10 + 30j, 60 + 25j, 25 + 70j
    joints = [
        pivot("left pivot", BAY, "left crank", 0j),
        pivot("left pin", "left crank", "left rod", left),
        pivot("tip", "left rod", "right rod", tip),
        pivot("right pin", "right rod", "right crank", right),
        pivot("right pivot", BAY, "right crank", 50 + 0j),
    ]
    return mechanism(joints, drive("left", ("left pivot", 1)), drive("right", ("right pivot", 1)))


def test_two_drives_on_one_loop_against_two_circles():
    # closed form: the tip is where two circles about the cranks' pins meet
    project = five_bar()
    linkage = linkage_of(project)
    values = np.random.default_rng(3).uniform(-25, 25, size=(200, 2))
    section = linkage.sections[0]
    found = poses(section, linkage, values)
    assert found.reached.all()
    tips = found.posed(section.group_of(BodyName("left rod")), np.array([25 + 70j]))[:, 0]
    left, right = -10 + 30j, 60 + 25j
    for (one, two), tip in zip(np.radians(values), tips, strict=True):
        centres = cmath.exp(1j * one) * left, 50 + cmath.exp(1j * two) * (right - 50)
        expected = circles_meet(centres[0], abs(25 + 70j - left), centres[1], abs(25 + 70j - right), left=True)
        assert tip == pytest.approx(expected, abs=1e-9)


def test_four_bar_closure_against_pinocchio():
    # pinocchio 4: forward kinematics and frame Jacobians of the open chain, closed by its own Newton iteration
    lengths = (40, 120, 80, 100)
    project = four_bar(lengths, drawn=40)
    a, b, c, d = lengths
    model = pin.Model()
    for parent, length in ((0, 0.0), (1, a), (2, b)):
        joint = model.addJoint(parent, pin.JointModelRZ(), pin.SE3(np.eye(3), np.array([length, 0.0, 0.0])), f"joint {parent}")
        model.appendBodyToJoint(joint, pin.Inertia.Random(), pin.SE3.Identity())
    end = model.addFrame(pin.Frame("end", 3, 0, pin.SE3(np.eye(3), np.array([float(c), 0.0, 0.0])), pin.FrameType.OP_FRAME))
    data = model.createData()
    theta3, theta4 = drawn_angles(lengths, drawn=40, left=True)
    q = np.radians([40, theta3 - 40, theta4 + 180 - theta3])
    crank = np.arange(40, 401, 5)
    for value, follower in zip(crank, turn_of(project, posed(project, *crank), "follower"), strict=True):
        q[0] = math.radians(value)
        for _ in range(20):
            pin.forwardKinematics(model, data, q)
            pin.updateFramePlacements(model, data)
            missing = data.oMf[end].translation[:2] - [d, 0]
            jacobian = pin.computeFrameJacobian(model, data, q, end, pin.ReferenceFrame.LOCAL_WORLD_ALIGNED)[:2, 1:]
            q[1:] -= np.linalg.solve(jacobian, missing)
        assert np.abs(missing).max() < 1e-12
        assert math.remainder(math.degrees(q.sum()) - 180 - theta4 - follower, 360) == pytest.approx(0, abs=1e-9)


def test_coupled_loops_against_scipy_root():
    # scipy.optimize.root on the x, y and turn of every body, with all pins as equations
    project = coupled_six_bar()
    section = linkage_of(project).sections[0]
    bodies = list(range(1, len(section.groups)))
    joints = project.sections[0].joints

    def missing(state, crank):
        turn, shift = (
            np.append(0, state[: len(bodies)] / 50),
            np.append(0, state[len(bodies) :: 2][: len(bodies)] + 1j * state[len(bodies) + 1 :: 2]),
        )
        rows = []
        for joint in joints:
            one, other = (section.group_of(body) for body in joint.between)
            at = complex(*joint.at)
            gap = np.exp(1j * turn[one]) * at + shift[one] - np.exp(1j * turn[other]) * at - shift[other]
            rows += [gap.real, gap.imag]
        return [*rows, 50 * (turn[section.group_of(BodyName("crank"))] - math.radians(crank))]

    state = np.zeros(3 * len(bodies))
    for value in range(40, 101, 3):
        solved = root(missing, state, args=(value - 40,), tol=1e-13)
        assert solved.success
        state = solved.x
        found = posed(project, value)
        assert found.turn[0, bodies] == pytest.approx(state[: len(bodies)] / 50, abs=1e-9)


def test_a_mechanism_drawn_at_its_dead_centre_stays_there():
    # closed form: with all pins in line the parallelogram may fold either way
    project = push_pull(hub=12, rods=(0,))
    found = posed(project, 0, 5)
    assert found.reached.tolist() == [True, False]
    assert not found.turn[0].any()
    ends = reach(project)
    assert (ends.low, ends.high, {end.code for end in ends.ends}) == (0, 0, {"dead-centre"})


def test_an_undriven_loop_holds_what_nothing_settles_and_says_so():
    project = five_bar()
    project = msgspec.structs.replace(project, drives=project.drives[:1])
    linkage = linkage_of(project)
    found = posed(project, 20)
    assert found.reached[0]
    assert all_pins_apart(project, found).max() < 1e-9
    assert states_at(linkage.sections[0], linkage, np.array([20.0]))[0].code == "undriven"


def test_a_block_in_two_parallel_guides_is_redundant_and_one_in_crossing_guides_is_blocked():
    def guided(other: float) -> Project:
        rails = [slide("rail 1", BAY, "block", along=20), slide("rail 2", BAY, "block", along=other, at=30j)]
        return mechanism(rails, drive("push", ("rail 1", 1), unit="mm", travel=(-10, 10)))

    linkage = linkage_of(guided(20))
    assert posed(guided(20), 7).reached[0]
    assert states_at(linkage.sections[0], linkage, np.array([7.0]))[0].code == "redundant"
    crossing = posed(guided(50), 7)
    # closed form: the block leaves the second rail by 7 sin 30
    assert (crossing.reached[0], crossing.misfit[0]) == (False, pytest.approx(3.5))


def test_a_driven_ram_between_two_pivots():
    joints = [
        pivot("one", BAY, "arm", 0j),
        slide("ram", "arm", "rod", along=0),
        pivot("two", "rod", "lever", 40 + 0j),
        pivot("three", BAY, "lever", 40 - 30j),
    ]
    project = mechanism(joints, drive("ram", ("ram", 1), unit="mm", travel=(-5, 5)))
    found = posed(project, 5)
    # law of cosines: sides 50 (from the origin to the lever's pivot), 30 and 45
    angle = math.acos((50**2 + 45**2 - 30**2) / (2 * 50 * 45))
    start = math.acos((50**2 + 40**2 - 30**2) / (2 * 50 * 40))
    assert turn_of(project, found, "arm")[0] == pytest.approx(math.degrees(angle - start), abs=1e-9)


@pytest.mark.parametrize(("ratio", "misfit"), [(1, 0), (1.5, 2.5)])
def test_a_drive_on_the_joint_that_closes_a_loop(ratio, misfit):
    # closed form: two parallel rails pushed by one drive ask the block to be at 5 and at 5 times the ratio
    rails = [slide("rail 1", BAY, "block", along=20), slide("rail 2", BAY, "block", along=20, at=30j)]
    project = mechanism(rails, drive("push", ("rail 1", 1), ("rail 2", ratio), unit="mm", travel=(-10, 10)))
    found = posed(project, 5)
    assert (found.reached[0], found.misfit[0]) == (ratio == 1, pytest.approx(misfit))
