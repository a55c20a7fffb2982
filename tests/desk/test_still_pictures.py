"""What stands still on the board is shown from pictures: the same to look at, and drawn no more often than it changes."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF
from PySide6.QtGui import QImage, QPainter

from app import theme
from app.board import paint
from app.board.items import SlabItem, StillLayer
from app.board.paint import draw_text
from core.drawing.display_list import Text
from core.drawing.extent import joined_extent
from core.drawing.slabs import Slab
from tests.unit.board.lamp import about, lamp, turned

FOLDED = about(turned((0, 42), 72), 62)
ROUNDING = 2
"""Of 255: colours laid over each other in another order."""


@pytest.fixture
def drawn(monkeypatch):
    """The bodies whose slabs are drawn line by line."""
    told = []
    draw = SlabItem._draw
    monkeypatch.setattr(SlabItem, "_draw", lambda item, painter: (told.append(item.slab.body), draw(item, painter))[1])
    return told


def picture(widget):
    return widget.viewport().grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def pixels(image):
    return np.frombuffer(image.constBits(), np.uint8).astype(int)


def settled(board):
    """Painted until nothing is drawn line by line any more."""
    for _ in range(3):
        picture(board)


def test_a_board_that_stands_still_is_not_drawn_again_and_looks_the_same(board, drawn):
    first = picture(board)
    assert set(drawn) >= {"petal 1", "petal 2"}
    settled(board)
    drawn.clear()
    again = picture(board)
    assert drawn == []
    assert np.abs(pixels(first) - pixels(again)).max() <= ROUNDING


@pytest.mark.parametrize("ratio", [1.25, 2.0])
def test_pictures_look_the_same_at_other_densities(board, ratio):
    def shot():
        image = QImage(board.viewport().size() * ratio, QImage.Format.Format_RGB32)
        image.setDevicePixelRatio(ratio)
        board.viewport().render(image, QPoint(0, 0))
        return image

    first, _, again = shot(), shot(), shot()
    assert np.abs(pixels(first) - pixels(again)).max() <= ROUNDING


def test_only_bodies_that_move_are_drawn_again(board, drawn):
    settled(board)
    drawn.clear()
    board.set_poses({"petal 2": FOLDED})
    moved = picture(board)
    assert set(drawn) == {"petal 2"}
    board.set_style(theme.DARK)
    board.set_style(theme.LIGHT)
    drawn.clear()
    assert np.abs(pixels(picture(board)) - pixels(moved)).max() <= ROUNDING
    assert "petal 1" in drawn


def test_a_picked_body_and_another_scale_are_drawn_anew(board, drawn):
    settled(board)
    drawn.clear()
    board.set_selected({"petal 2"})
    picture(board)
    assert set(drawn) == {"petal 2"}
    settled(board)
    drawn.clear()
    board.zoom_by(1.3)
    picture(board)
    assert set(drawn) >= {"petal 1", "petal 2"}


def test_still_layers_stay_while_moving_bodies_are_picked(board, monkeypatch):
    painted = []
    paint_it = StillLayer._painted
    monkeypatch.setattr(StillLayer, "_painted", lambda layer, *rest: (painted.append(layer), paint_it(layer, *rest))[1])
    settled(board)
    painted.clear()
    board.set_selected({"petal 2"})
    picture(board)
    assert painted == []
    fixed = next(body.name for body in lamp().sections[0].bodies if body.fixed)
    before = picture(board)
    board.set_selected({fixed})
    after = picture(board)
    assert painted
    assert all(fixed in layer.bodies for layer in painted)
    assert before != after


def test_only_bodies_that_move_are_measured_again(board, monkeypatch):
    items = board._items
    before = items.extent()
    asked = []
    extent = Slab.extent
    monkeypatch.setattr(Slab, "extent", lambda slab, *pose: (asked.append(slab.body), extent(slab, *pose))[1])
    assert items.extent() == before
    assert asked == []
    board.set_poses({"petal 2": FOLDED})
    shown = items.extent()
    assert set(asked) == {"petal 2"}
    assert shown == joined_extent(extent(slab, items.pose_of(slab.body)) for slab in items.slabs)


@pytest.mark.usefixtures("qapp")
def test_words_in_a_halo_are_written_once_and_look_the_same_everywhere():
    theme.load_fonts()
    paint._in_halo.cache_clear()

    def written(style, x):
        image = QImage(160, 40, QImage.Format.Format_RGB32)
        image.fill(style.board)
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        draw_text(painter, Text((0.0, 0.0), "petal 2", 13.0, strong=True, halo=True), style, at=QPointF(x, 20.0))
        painter.end()
        return image

    light, right = written(theme.LIGHT, 60.0), written(theme.LIGHT, 80.0)
    assert paint._in_halo.cache_info().misses == 1
    assert light.copy(0, 0, 130, 40) == right.copy(20, 0, 130, 40)
    assert light != right
    assert written(theme.DARK, 60.0) != light
    assert paint._in_halo.cache_info().misses == 2
