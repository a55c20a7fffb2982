"""Four-bar linkages against published answers and closed forms. Lengths mm, angles degrees."""

import math

import numpy as np
import pytest

from core.motion.linkage import linkage_of
from core.motion.loop_states import states_at
from tests.loop_poses import drawn_angles, posed, reach, turn_of
from tests.mechanisms import (
    Lengths,
    four_bar,
    polar,
)


def angles_at(lengths: Lengths, theta2: float, *, left: bool, drawn: float) -> tuple[float, float]:
    """theta3 and theta4 at theta2, reached from another pose."""
    project = four_bar(lengths, drawn=drawn, left=left)
    found = posed(project, theta2)
    assert found.reached.all()
    theta3, theta4 = drawn_angles(lengths, drawn=drawn, left=left)
    return theta3 + turn_of(project, found, "coupler")[0], theta4 + turn_of(project, found, "follower")[0]


FOUR_BARS = {
    # id: lengths, theta2, left branch (theta3, theta4), right branch, tolerance
    # published answer, open notebook on Newton-Raphson four-bar analysis
    "F2": ((20, 40, 30, 40), 0, (46.5674634422102, 75.5224878140701), (-46.5674634422102, -75.5224878140701), 1e-8),
    # from memory, not confirmed: Norton, Design of Machinery, chapter 4
    "F3": ((40, 120, 80, 100), 40, (20.297883, 57.324880), (-60.977967, -98.004964), 1e-6),
    # problem data published (Michigan ME 350, homework 4), answer computed
    "F5": ((2, 7, 6, 10), 0, (46.567463, 122.089951), (-46.567463, -122.089951), 1e-6),
    # problem data published, answer computed (s + l = p + q)
    "F9": ((1, 2, 3, 4), 40, (52.322348, 132.106151), (-74.805777, -154.589580), 1e-6),
    # closed form: a parallelogram and its antiparallelogram
    "F10": ((40, 100, 40, 100), 60, (0, 60), (-46.826449, -106.826449), 1e-6),
}


@pytest.mark.parametrize("name", FOUR_BARS)
@pytest.mark.parametrize("left", [True, False])
def test_four_bar_positions(name, left):
    lengths, theta2, *branches, tolerance = FOUR_BARS[name]
    start = theta2 + 25
    found = angles_at(lengths, theta2, left=left, drawn=start)
    assert found == pytest.approx(branches[0 if left else 1], abs=tolerance)


def test_four_bar_f1_on_a_ground_line_turned_by_sixty_degrees():
    # published answer: Purdue ME 352, spring 2012, homework 2; theta2 = 90 from +x, so 30 from the ground line
    left = angles_at((2, 6, 3.5, 6), 30, left=True, drawn=50)
    right = angles_at((2, 6, 3.5, 6), 30, left=False, drawn=50)
    assert sorted([left[0] + 60, right[0] + 60]) == pytest.approx([11.578, 82.048], abs=5e-4)
    assert sorted([(left[1] + 60) % 360, (right[1] + 60) % 360]) == pytest.approx([128.315, 325.312], abs=5e-4)


def test_four_bar_f8_cannot_be_assembled_beyond_its_limits():
    # closed form: cos(limit) = (a^2 + d^2 - (b + c)^2) / 2ad for 3, 4, 4, 6
    project = four_bar((3, 4, 4, 6), drawn=60, travel=(-180, 180))
    found = reach(project)
    assert (found.low, found.high) == pytest.approx((-121.855431, 121.855431), abs=1e-5)
    assert [end.code for end in found.ends] == ["not-assembled", "not-assembled"]
    assert not posed(project, 170).reached[0]
    assert states_at(linkage_of(project).sections[0], linkage_of(project), np.array([170.0]))[0].code == "not-assembled"


def test_triple_rocker_input_limits():
    # closed form, for 70/50/60/90
    found = reach(four_bar((70, 50, 60, 90), drawn=60, travel=(-180, 180)))
    assert (found.low, found.high) == pytest.approx((-85.903956, 85.903956), abs=1e-5)


def test_crank_rocker_extremes_and_transmission_angle():
    # closed form, for 40/120/80/100
    lengths = (40, 120, 80, 100)
    project = four_bar(lengths, drawn=40)
    theta2 = np.linspace(0, 360, 3601)
    found = posed(project, *theta2, 24.146848, 231.317813)
    assert found.reached.all()
    theta3, theta4 = drawn_angles(lengths, drawn=40, left=True)
    follower = theta4 + turn_of(project, found, "follower")
    assert follower[-2:] == pytest.approx([54.900368, 128.682187], abs=1e-6)
    assert follower.min() == pytest.approx(54.900368, abs=1e-3)
    assert follower.max() == pytest.approx(128.682187, abs=1e-3)
    transmission = np.abs(follower - theta3 - turn_of(project, found, "coupler"))[:3601]
    folded = np.minimum(transmission, 180 - transmission)
    assert transmission[[0, 1800]] == pytest.approx([26.384330, 86.416678], abs=1e-6)
    assert folded.min() == pytest.approx(26.384330, abs=1e-6)


GRASHOF = {
    # Grashof's theorem; closed form: s, l the shortest and longest. Input turns fully, output turns fully
    "crank-rocker": ((2, 4.5, 7, 9), True, False),
    "double-rocker": ((4.5, 2, 7, 9), False, False),
    "double-crank": ((4.5, 9, 7, 2), True, True),
    "triple-rocker": ((3.5, 7, 9, 2), False, False),
}


@pytest.mark.parametrize("name", GRASHOF)
def test_grashof_types(name):
    lengths, input_turns, output_turns = GRASHOF[name]
    if name == "triple-rocker":
        lengths = (2, 3.5, 7, 9)
    a, b, c, d = lengths
    longest = b + c
    drawn = next(angle for angle in range(5, 180) if abs(b - c) < abs(polar(a, angle) - d) < longest)
    project = four_bar(lengths, drawn=drawn, travel=(drawn - 360, drawn + 360))
    found = reach(project)
    assert (not found.ends) == input_turns
    follower = turn_of(project, posed(project, *np.linspace(found.low, found.high, 721)), "follower")
    assert (np.ptp(follower) > 360) == output_turns


def test_change_point_linkage_comes_to_a_dead_centre_when_flat():
    # Grashof's theorem, s + l = p + q: 2, 4, 6, 8 lies flat at 180 degrees, where its branches cross
    found = reach(four_bar((2, 4, 6, 8), drawn=100))
    (end,) = (end for end in found.ends if end.value > 100)
    assert (end.code, end.value) == ("dead-centre", pytest.approx(180, abs=1e-4))


def test_a_linkage_close_to_its_change_point_is_followed_round_it():
    # closed form: 2, 4.01, 6, 8 turns fully, since 2 + 8 < 4.01 + 6; on one branch only
    lengths = (2, 4.01, 6, 8)
    project = four_bar(lengths, drawn=100)
    found = posed(project, 100.0, 250.0)
    assert found.reached.all()
    theta4 = drawn_angles(lengths, drawn=250, left=True)[1]
    assert math.remainder(drawn_angles(lengths, drawn=100, left=True)[1] + turn_of(project, found, "follower")[1] - theta4, 360) == (
        pytest.approx(0, abs=1e-6)
    )
