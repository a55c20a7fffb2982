"""Where detail A stands on the board."""

import math

import pytest
from PySide6.QtCore import QPointF, QRectF

from app.board.overlay import DETAIL_RADIUS, FOOT, HEAD, detail_place, detail_radius

BOARD = QRectF(0, 0, 848, 460)


def test_detail_has_its_full_size_on_a_large_board_and_none_on_a_small_one():
    assert detail_radius(QRectF(0, 0, 1600, 900)) == DETAIL_RADIUS
    assert detail_radius(QRectF(0, 0, 300, 900)) is None
    assert detail_radius(QRectF(0, 0, 900, 200)) is None


@pytest.mark.parametrize("size", [(848, 460), (700, 420), (1500, 380)])
def test_heading_and_numbers_stay_on_the_board(size):
    window = QRectF(0, 0, *size)
    radius = detail_radius(window)
    place = detail_place(window, radius, bodies=[], spot=QPointF(-500, 0))
    box = QRectF(place.x() - radius, place.y() - radius - HEAD, 2 * radius, 2 * radius + HEAD + FOOT)
    assert window.contains(box)


def test_detail_stands_where_it_covers_least():
    left_half, right_half = QRectF(0, 0, 424, 460), QRectF(424, 0, 424, 460)
    assert detail_place(BOARD, 100, bodies=[left_half], spot=QPointF(100, 200)).x() > 424
    assert detail_place(BOARD, 100, bodies=[right_half], spot=QPointF(700, 200)).x() < 424


def test_detail_never_covers_what_it_enlarges():
    everywhere = QRectF(0, 0, 848, 460)
    for x in range(0, 849, 53):
        spot = QPointF(x, 230)
        place = detail_place(BOARD, 100, bodies=[everywhere], spot=spot)
        assert math.dist((place.x(), place.y()), (x, 230)) > 100
