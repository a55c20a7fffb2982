"""Bands, rows and ticks of the interference timeline as pure functions."""

from itertools import pairwise

import pytest

from app.timeline.layout import (
    BAND_GAP,
    DIVIDER_HEIGHT,
    OPEN_ROW_HEIGHT,
    ROW_HEIGHT,
    band_at,
    bands,
    place_at,
    round_ticks,
    scroll_to,
    stacked,
)
from core.model.project import Drive

LEFT, RIGHT = 176, 900


def drives(count):
    return [Drive(name=f"fold {number}", unit="deg", start=-10, end=50, home=0, speed=300, moves=()) for number in range(count)]


@pytest.mark.parametrize("count", [1, 2, 3, 10, 16, 40])
def test_bands_fill_the_room_in_order_and_never_overlap(count):
    made = bands(drives(count), "fold 0", left=LEFT, right=RIGHT)
    assert made[0].left == LEFT
    assert made[-1].right == pytest.approx(RIGHT)
    for one, after in pairwise(made):
        assert after.left == pytest.approx(one.right + BAND_GAP)
        assert one.width > 0


@pytest.mark.parametrize("count", [2, 3, 10, 16])
def test_the_drive_in_hand_has_the_widest_band(count):
    made = bands(drives(count), "fold 1", left=LEFT, right=RIGHT)
    assert max(made, key=lambda band: band.width).drive == "fold 1"
    assert [band.opened for band in made].count(True) == 1


def test_no_drive_in_hand_opens_the_first():
    assert bands(drives(3), None, left=LEFT, right=RIGHT)[0].opened


def test_no_drives_have_no_bands():
    assert bands([], None, left=LEFT, right=RIGHT) == ()


def test_values_and_pixels_are_each_other_s_inverse():
    band = bands(drives(4), "fold 2", left=LEFT, right=RIGHT)[2]
    assert band.x_of(-10) == pytest.approx(band.left)
    assert band.x_of(50) == pytest.approx(band.right)
    assert band.value_at(band.x_of(33.3)) == pytest.approx(33.3)


def test_a_value_beyond_travel_is_held_at_its_end():
    band = bands(drives(1), None, left=LEFT, right=RIGHT)[0]
    assert band.value_at(LEFT - 50) == -10
    assert band.value_at(RIGHT + 50) == 50


def test_between_two_bands_there_is_none():
    made = bands(drives(2), None, left=LEFT, right=RIGHT)
    assert band_at(made, made[0].right + 1) is None
    assert band_at(made, made[1].left) is made[1]


def test_a_group_with_a_heading_gets_one_divider_before_its_rows():
    places = stacked(["alone", "together", "together", "clear"], 1, {"together": "only when drives move together"})
    assert [place.row for place in places] == [0, None, 1, 2, 3]
    assert [place.height for place in places] == [ROW_HEIGHT, DIVIDER_HEIGHT, OPEN_ROW_HEIGHT, ROW_HEIGHT, ROW_HEIGHT]
    assert [place.top for place in places] == [0, 16, 32, 32 + OPEN_ROW_HEIGHT, 48 + OPEN_ROW_HEIGHT]


def test_every_pixel_of_the_stack_lies_in_its_place_and_none_beyond():
    places = stacked(["alone", "clear"], 0, {})
    assert place_at(places, -1) is None
    assert place_at(places, 0).row == 0
    assert place_at(places, OPEN_ROW_HEIGHT).row == 1
    assert place_at(places, OPEN_ROW_HEIGHT + ROW_HEIGHT) is None


def test_scrolling_to_a_place_moves_no_more_than_needed():
    place = stacked(["clear"] * 40, None, {})[20]
    assert scroll_to(place, offset=0, height=160) == place.top + ROW_HEIGHT - 160
    assert scroll_to(place, offset=600, height=160) == place.top
    assert scroll_to(place, offset=300, height=160) == 300


def test_ticks_are_round_and_apart():
    ticks = round_ticks(-12.0, 64.0, pixels=232)
    assert ticks == (0.0, 20.0, 40.0, 60.0)


def test_a_band_too_narrow_for_a_tick_has_none():
    assert round_ticks(0, 10, pixels=20) == ()
    assert round_ticks(5, 5, pixels=500) == ()
