"""Two links closed by where two circles meet, against geometry of the test's own and against Newton's method."""

import cmath
import math

import msgspec
import numpy as np
import pytest

from core.motion import closure
from core.motion.closure import closed
from core.motion.dyad import dyad_of, dyad_turns, unwound
from core.motion.linkage import Loop, linkage_of
from core.motion.loop_equations import equations_of
from core.tolerances import DEFAULT_TOLERANCES
from tests.mechanisms import circles_meet, four_bar, polar, push_pull, slider_crank

LENGTHS = [(40, 120, 80, 100), (30, 70, 60, 80), (80, 90, 85, 40)]


def loop_of(project, *, order: tuple[int, ...] = (0, 1, 2, 3)) -> Loop:
    """The loop with its joints in another order, so that another of them closes it."""
    (section,) = project.sections
    other = msgspec.structs.replace(section, joints=tuple(section.joints[number] for number in order))
    (loop,) = linkage_of(msgspec.structs.replace(project, sections=(other,))).sections[0].loops
    return loop


@pytest.mark.parametrize("lengths", LENGTHS)
@pytest.mark.parametrize("left", [True, False])
@pytest.mark.parametrize(("order", "carried"), [((0, 1, 2, 3), True), ((0, 1, 3, 2), False), ((0, 3, 2, 1), True)])
def test_turns_of_coupler_and_follower_are_those_of_circles_that_meet(lengths, left, order, carried):
    a, b, c, d = lengths
    loop = loop_of(four_bar(lengths, drawn=60, left=left), order=order)
    equations = equations_of(loop)
    dyad = dyad_of(equations)
    assert dyad is not None
    assert dyad.carried == carried
    moved = np.linspace(-50, 50, 21)
    freedoms = np.zeros((3, len(moved)))
    freedoms[list(equations.driven)] = np.radians(moved)
    freedoms[list(dyad.columns)] = dyad_turns(equations, dyad, freedoms).turns

    def headings(angle):
        pin = circles_meet(polar(a, angle), b, complex(d), c, left=left)
        return {"crank": math.radians(angle), "coupler": cmath.phase(pin - polar(a, angle)), "follower": cmath.phase(pin - d)}

    drawn, names = headings(60), {1: "crank", 2: "coupler", 3: "follower"}
    for at, value in enumerate(moved):
        now = headings(60 + value)
        for group, path in equations.paths.items():
            if group in names:
                turn = freedoms[list(path), at].sum() - (now[names[group]] - drawn[names[group]])
                assert math.remainder(turn, 2 * math.pi) == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("lengths", LENGTHS)
def test_both_ways_to_close_a_four_bar_agree_over_two_turns(lengths):
    loop = loop_of(four_bar(lengths, drawn=60))
    reach = 720 if lengths[3] == 40 or lengths[0] == 40 else 60
    moved = np.linspace(-reach, reach, 241)[:, None]
    quick, sure = (how(loop, moved, DEFAULT_TOLERANCES) for how in (closed, closure._by_newton))
    assert closure._by_circles(loop, moved, DEFAULT_TOLERANCES) is not None
    assert sure.reached.all()
    assert quick.reached.all()
    # whole turns too: a double crank's follower has gone round as often as its crank
    assert quick.freedoms == pytest.approx(sure.freedoms, abs=1e-9)


def test_positions_beyond_a_turning_point_are_left_to_the_followed_curve():
    loop = loop_of(four_bar((3, 4, 4, 6), drawn=60))
    assert closure._by_circles(loop, np.array([[110.0], [40.0]]), DEFAULT_TOLERANCES) is None
    assert closed(loop, np.array([[110.0], [40.0]]), DEFAULT_TOLERANCES).reached.tolist() == [False, True]


@pytest.mark.parametrize("project", [push_pull(), slider_crank(20, 60, drawn=30)])
def test_what_else_closes_a_loop_is_no_dyad(project):
    assert dyad_of(equations_of(linkage_of(project).sections[0].loops[0])) is None


def test_turns_are_told_as_often_round_as_they_are_near():
    assert unwound(np.array([[0.1, -3.0]]), np.array([[6.4, 3.2]])) == pytest.approx(np.array([[0.1 + 2 * math.pi, -3.0 + 2 * math.pi]]))
