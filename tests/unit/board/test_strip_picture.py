"""The depth strip keeps its picture from frame to frame; wherever a gesture has led, it is what would be painted from nothing."""

import numpy as np
import pytest
from PySide6.QtCore import QPointF

from app.board.board import Board
from app.board.depth_strip import DepthStrip
from app.theme import DARK, LIGHT
from app.window import make_application
from core.drawing.gap_mark import GapMark
from core.model.edit_bodies import reorder_body, set_depth, set_fixed
from tests.unit.board.lamp_shots import FIXED, MOVER, PROJECT, SECTION, dragged_and_changed, poses, shot

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


def from_nothing(strip, ratio=1.0):
    """The same, with nothing of any frame before."""
    strip._picture.forget()
    strip._bands = {}
    return shot(strip, ratio)


@pytest.fixture
def strip(qtbot):
    """A strip beside its board."""
    make_application()
    board, strip = Board(LIGHT), DepthStrip(LIGHT)
    strip.board = board
    for widget in (board, strip):
        qtbot.addWidget(widget)
        widget.resize(640, 480)
        widget.show()
        widget.show_section(PROJECT, SECTION)
    strip.follow(board)
    return strip


def drag(strip, first=0.0, last=0.6, ratio=1.0):
    """Move bodies as a hand does, a frame at each of some poses."""
    for share in np.linspace(first, last, 7):
        strip.board.set_poses(poses(share))
        strip.set_poses(poses(share))
        shot(strip, ratio)


def show_gap(strip):
    strip.board.set_gap(GapMark(((0.0, 0.0), (0.0, -4.0)), -4.0, 1.0, (FIXED, MOVER)))


CHANGES = {
    "dragged": lambda _: None,
    "selected": lambda strip: strip.set_selected({MOVER, FIXED}),
    "resized": lambda strip: strip.resize(strip.width(), 300),
    "dark": lambda strip: strip.set_style(DARK),
    "zoomed": lambda strip: strip.board.zoom_by(1.4, about=QPointF(200.0, 150.0)),
    "panned": lambda strip: strip.board.pan_by(QPointF(31.0, -17.0)),
    "deeper": lambda strip: strip.show_section(set_depth(PROJECT, SECTION, (MOVER,), (3.0, 61.0)), SECTION),
    "as deep": lambda strip: strip.show_section(set_depth(PROJECT, SECTION, (MOVER,), (3.0, 8.0)), SECTION),
    "fixed": lambda strip: strip.show_section(set_fixed(PROJECT, SECTION, (MOVER,), fixed=True), SECTION),
    "last": lambda strip: strip.show_section(reorder_body(PROJECT, SECTION, FIXED, to=12), SECTION),
    "gap": show_gap,
}


@pytest.mark.parametrize("ratio", [1.0, 1.25, 2.0])
@pytest.mark.parametrize("change", CHANGES)
def test_what_was_dragged_is_shown_as_if_painted_from_nothing(strip, change, ratio):
    kept, first = dragged_and_changed(strip, drag, CHANGES[change], ratio)
    assert kept == from_nothing(strip, ratio)
    assert kept != first


def test_bands_of_what_stands_still_are_the_same_objects(strip):
    strip.set_poses(poses(0.2))
    shot(strip)
    before = dict(strip._bands)
    strip.set_poses(poses(0.3))
    shot(strip)
    stays = [name for name, pose in poses(0.3).items() if pose == poses(0.2)[name]]
    assert stays
    for band in strip._bands.values():
        assert (before[id(band.slab)] is band) == (band.slab.body in stays or before[id(band.slab)].view == band.view)
    assert list(strip._bands.values()) != list(before.values())


def test_a_strip_that_was_dragged_looks_as_one_made_anew(strip, qtbot):
    drag(strip)
    strip.set_selected({MOVER})
    shot(strip)
    other = DepthStrip(LIGHT)
    qtbot.addWidget(other)
    other.resize(640, 480)
    other.show()
    other.show_section(PROJECT, SECTION)
    other.follow(strip.board)
    other.set_poses(poses(0.6))
    other.set_selected({MOVER})
    shot(other)
    assert shot(strip) == shot(other)


def test_once_the_view_rests_there_is_a_picture_of_every_band_before_a_hand_moves_one(strip, qtbot):
    strip._rested.stop()
    strip._picture.forget()
    strip._picture._seen = ()
    strip.viewport().repaint()
    assert not strip._picture.is_there
    assert strip._rested.isActive()
    qtbot.waitUntil(lambda: strip._picture.is_there, timeout=5000)
    assert not strip._rested.isActive()
