"""Round steps for grids and rulers."""

import math

import pytest

from app.board.scale import FINE_LEAST, NUMBER_LEAST, round_step, steps, ticks, written


@pytest.mark.parametrize(
    ("least", "step"), [(1, 1), (1.01, 2), (2.1, 5), (5, 5), (7, 10), (0.03, 0.05), (130, 200), (0.1, 0.1), (1000, 1000)]
)
def test_round_step_is_the_next_of_1_2_5(least, step):
    assert round_step(least) == pytest.approx(step)


@pytest.mark.parametrize("pixels", [0.02, 0.3, 1.0, 2.2, 3.7, 8.0, 40.0, 399.0])
def test_steps_are_never_crowded_and_fall_on_each_other(pixels):
    found = steps(pixels)
    assert found.fine * pixels >= FINE_LEAST * (1 - 1e-9)
    assert found.number * pixels >= NUMBER_LEAST
    for outer in (found.coarse, found.number):
        assert outer / found.fine == pytest.approx(round(outer / found.fine))


def test_short_numbers_may_stand_closer():
    assert steps(3.2, number_least=26).number == pytest.approx(10)


def test_ticks_count_both_ends_and_rounding_does_not_lose_one():
    assert ticks(-10, 10, 5) == [-10, -5, 0, 5, 10]
    assert ticks(0.3, 0.3, 0.1) == pytest.approx([0.3])
    assert ticks(1, 0, 1) == []
    assert len(ticks(0, 1, 0.1)) == 11


@pytest.mark.parametrize(
    ("value", "step", "words"),
    [(-50, 50, "−50"), (0, 10, "0"), (-1e-12, 0.1, "0"), (2.5, 0.5, "2.5"), (0.05, 0.05, "0.05")],
)
def test_numbers_have_the_decimals_their_step_needs(value, step, words):
    assert written(value, step) == words


def test_grid_at_the_opening_scale_is_a_centimetre_with_stronger_lines_at_five():
    found = steps(2.2)
    assert (found.fine, found.coarse, found.number) == (10, 50, 50)
    assert math.isclose(steps(22).fine, 1)
