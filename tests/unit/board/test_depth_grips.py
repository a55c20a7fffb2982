"""What of a depth band is taken hold of, and where a drag takes it."""

import pytest

from app.board.depth_strip import Grip, dragged_band, grip_at
from core.drawing.silhouette import View
from core.drawing.slabs import Slab


def slab(name, low, high):
    return Slab(name, False, (low, high), (), (), (), ())


CASE, BOSS, SHEET = slab("case", 10, 20), slab("boss", 15, 23), slab("sheet", 23, 25)
SEEN = [
    (CASE, View(-10, 10, ((-10, 10),), open=False)),
    (BOSS, View(0, 6, ((0, 6),), open=False)),
    (SHEET, View(-5, 5, ((-5, 5),), open=False)),
]


@pytest.mark.parametrize(
    ("depth", "y", "held"),
    [
        (15, -8, ("case", True, True)),
        (10.5, -8, ("case", True, False)),
        (9.2, -8, ("case", True, False)),
        (20.4, -8, ("case", False, True)),
        (18, 3, ("boss", True, True)),
        (18, 8, ("case", True, True)),
    ],
)
def test_ends_and_whole_bands_are_taken_hold_of(depth, y, held):
    grip = grip_at(SEEN, depth=depth, y=y, near=1.0)
    assert (grip.slab.body, grip.low, grip.high) == held


def test_of_a_band_thinner_than_two_grips_the_nearer_end_is_held():
    grips = [grip_at(SEEN, depth=depth, y=-4, near=1.2) for depth in (23.4, 24.8)]
    assert [(grip.slab.body, grip.low, grip.high) for grip in grips] == [("sheet", True, False), ("sheet", False, True)]


def test_beside_all_bands_nothing_is_held():
    assert grip_at(SEEN, depth=5, y=0, near=1.0) is None
    assert grip_at(SEEN, depth=15, y=30, near=1.0) is None
    assert grip_at([], depth=0, y=0, near=1.0) is None


@pytest.mark.parametrize(
    ("low", "high", "by", "band"),
    [
        (True, True, 2.5, (12.5, 22.5)),
        (True, False, 2.5, (12.5, 20)),
        (False, True, -2.5, (10, 17.5)),
        (True, False, 99, (20, 20)),
        (False, True, -99, (10, 10)),
        (True, True, 0.123456, (10.12, 20.12)),
    ],
)
def test_a_drag_moves_what_is_held_and_ends_never_pass_each_other(low, high, by, band):
    assert dragged_band(Grip(CASE, low, high), by) == pytest.approx(band)
