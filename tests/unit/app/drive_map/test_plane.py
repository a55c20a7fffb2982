"""Places on the two-drive map: values and pixels, and what a pixel shows of the cells under it."""

import numpy as np
import pytest

from app.drive_map.plane import Plane, worst_under
from core.model.project import Drive
from core.sweep.drive_map import BREACH, CLEAR, UNDECIDED

DRIVES = (
    Drive(name="fold", unit="deg", start=-10.0, end=30.0, home=0.0, speed=60.0, moves=()),
    Drive(name="lift", unit="mm", start=0.0, end=5.0, home=0.0, speed=10.0, moves=()),
)
PLANE = Plane(DRIVES, 50.0, 10.0, 400.0, 200.0)


def test_low_values_stand_at_the_left_and_at_the_foot():
    assert PLANE.point((-10.0, 0.0)) == (50.0, 210.0)
    assert PLANE.point((30.0, 5.0)) == (450.0, 10.0)


def test_values_under_a_pixel_are_those_that_stand_there_and_never_leave_travel():
    assert PLANE.values(*PLANE.point((12.5, 3.25))) == pytest.approx((12.5, 3.25))
    assert PLANE.values(-100.0, 900.0) == (-10.0, 0.0)


def test_numbers_of_an_axis_are_round_and_within_travel():
    assert PLANE.numbers(0) == ([-10.0, -5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0], 5.0)


def test_numbers_above_each_other_stand_closer_than_those_beside_each_other():
    low = Plane((DRIVES[0], DRIVES[0]), 50.0, 10.0, 220.0, 114.0)
    assert low.numbers(0) == ([-10.0, 0.0, 10.0, 20.0, 30.0], 10.0)
    assert low.numbers(1) == ([-10.0, 0.0, 10.0, 20.0, 30.0], 10.0)


def test_a_breach_smaller_than_a_pixel_is_still_shown():
    state = np.full((512, 300), CLEAR, dtype=np.uint8)
    state[511, 299] = BREACH
    state[0, 0] = UNDECIDED
    shown = worst_under(state, width=70, height=90)
    assert shown.shape == (90, 70)
    assert shown[0, -1] == BREACH
    assert shown[-1, 0] == UNDECIDED
    assert np.count_nonzero(shown) == 2


def test_every_single_cell_is_shown_somewhere():
    for cell in range(37):
        state = np.zeros((1, 37), dtype=np.uint8)
        state[0, cell] = BREACH
        assert worst_under(state, width=10, height=3).max() == BREACH


def test_a_cell_larger_than_a_pixel_fills_its_share():
    shown = worst_under(np.array([[CLEAR, BREACH]], dtype=np.uint8), width=10, height=4)
    assert (shown[:, :5] == CLEAR).all()
    assert (shown[:, 5:] == BREACH).all()
