"""Where a name fits: inside its own outlines, outside of what lies over them."""

import math

import pytest

from core.drawing import region
from core.drawing.path import circle, polyline
from core.drawing.region import widest_place

WITHIN = 0.01
SQUARE = (polyline((0, 0), (10, 0), (10, 10), (0, 10), closed=True),)
LEFT_HALF = (polyline((-5, -5), (5, -5), (5, 15), (-5, 15), closed=True),)
FAR = tuple((circle((100.0 * turn, 50.0), 3.0),) for turn in range(1, 30))


def test_the_widest_place_of_a_square_is_its_middle():
    place = widest_place([SQUARE], within=WITHIN)
    assert place is not None
    assert place == (pytest.approx((5, 5), abs=0.1), pytest.approx(5, abs=WITHIN))


def test_a_hole_leaves_the_room_beside_it():
    ring = (circle((0, 0), 10.0), circle((0, 0), 4.0, hole=True))
    (x, y), radius = widest_place([ring], within=WITHIN)
    assert radius == pytest.approx(3.0, abs=2 * WITHIN)
    assert math.hypot(x, y) == pytest.approx(7.0, abs=0.1)


def test_what_lies_over_it_is_left_out_and_touching_is_not_over():
    (x, _), radius = widest_place([SQUARE], within=WITHIN, without=[LEFT_HALF])
    assert (x, radius) == (pytest.approx(7.5, abs=0.1), pytest.approx(2.5, abs=WITHIN))
    beside = (polyline((10, 0), (20, 0), (20, 10), (10, 10), closed=True),)
    assert widest_place([SQUARE], within=WITHIN, without=[beside]) == widest_place([SQUARE], within=WITHIN)
    assert widest_place([SQUARE], within=WITHIN, without=[SQUARE]) is None


def test_what_is_far_away_changes_nothing_and_is_never_made_into_a_polygon(monkeypatch):
    expected = widest_place([SQUARE], within=WITHIN, without=[LEFT_HALF])
    made = []
    points = region._points
    monkeypatch.setattr(region, "_points", lambda run, chord: (made.append(run), points(run, chord))[1])
    assert widest_place([SQUARE], within=WITHIN, without=[*FAR, LEFT_HALF]) == expected
    assert made == [*SQUARE, *LEFT_HALF]


def test_nothing_has_no_place():
    assert widest_place([], within=WITHIN) is None
    assert widest_place([()], within=WITHIN, without=[SQUARE]) is None
