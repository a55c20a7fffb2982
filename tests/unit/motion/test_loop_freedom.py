"""Ranks of loops, what they leave free, and which drives they block."""

import math

import msgspec
import numpy as np
import pytest

from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.loop_freedom import LoopFreedom, loop_freedom, null_space, rank_of
from core.motion.loop_local import closure_of
from core.tolerances import DEFAULT_TOLERANCES
from tests.mechanisms import BAY, drive, four_bar, mechanism, push_pull, slide


def freedom(project: Project) -> LoopFreedom:
    return loop_freedom(linkage_of(project).sections[0].loops[0], DEFAULT_TOLERANCES)


def test_a_driven_four_bar_settles_its_two_passive_freedoms():
    found = freedom(four_bar((40, 120, 80, 100), drawn=40))
    assert (found.real, found.lasting, found.redundant, found.settled) == (1, 1, 0, 2)
    assert (found.blocked, found.undriven, found.loose) == ((), (), frozenset())


def test_a_four_bar_without_a_drive_is_loose_in_all_its_moving_bodies():
    project = msgspec.structs.replace(four_bar((40, 120, 80, 100), drawn=40), drives=())
    found = freedom(project)
    (undriven,) = found.undriven
    assert (undriven.freedoms, undriven.lasting, found.loose) == (1, True, frozenset({1, 2, 3}))


def test_a_dead_centre_is_a_freedom_that_does_not_last():
    found = freedom(push_pull(hub=12, rods=(0,)))
    assert (found.real, found.lasting) == (2, 1)
    assert [undriven.lasting for undriven in found.undriven] == [False]


def test_a_drive_at_a_toggle_is_blocked():
    # closed form: a crank of 40 and a coupler of 60 in line reach the follower's pin as far as they can; the follower cannot push on
    first = four_bar((40, 60, 80, 90), drawn=math.degrees(math.acos((100**2 + 90**2 - 80**2) / (2 * 100 * 90))))
    pushed = msgspec.structs.replace(first, drives=(drive("follower", ("follower pivot", 1)),))
    assert freedom(pushed).blocked == (0,)
    assert freedom(first).blocked == ()


def test_crossing_guides_block_their_drive():
    joints = [slide("rail 1", BAY, "block", along=0), slide("rail 2", BAY, "block", along=30, at=30j)]
    assert freedom(mechanism(joints, drive("push", ("rail 1", 1), unit="mm"))).blocked == (0,)


def test_the_rank_and_the_null_space_add_up():
    change = np.array([[1.0, 0.0, 1.0], [2.0, 0.0, 2.0]])
    assert rank_of(change, DEFAULT_TOLERANCES) == 1
    free = null_space(change, DEFAULT_TOLERANCES)
    assert free.shape == (3, 2)
    assert change @ free == pytest.approx(np.zeros((2, 2)), abs=1e-12)


def test_no_equations_leave_all_free():
    nothing = np.zeros((0, 2))
    assert rank_of(nothing, DEFAULT_TOLERANCES) == 0
    assert null_space(nothing, DEFAULT_TOLERANCES).tolist() == [[1, 0], [0, 1]]


@pytest.mark.parametrize(
    ("project", "redundant", "held", "dead"),
    [
        (four_bar((40, 120, 80, 100), drawn=40), False, 0, False),
        (push_pull(), True, 0, False),
        (push_pull(hub=12, rods=(0,)), False, 0, True),
        (msgspec.structs.replace(four_bar((40, 120, 80, 100), drawn=40), drives=()), False, 1, False),
    ],
    ids=["four-bar", "two rods", "dead centre", "undriven"],
)
def test_what_the_closure_knows_of_a_loop(project, redundant, held, dead):
    closure = closure_of(linkage_of(project).sections[0].loops[0], DEFAULT_TOLERANCES)
    assert (closure.redundant, closure.held.shape[1], closure.at_dead_centre) == (redundant, held, dead)
