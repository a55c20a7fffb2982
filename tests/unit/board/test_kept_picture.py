"""The board keeps its picture from frame to frame; wherever a gesture has led, it is what would be painted from nothing."""

from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter, QTransform

from app.board.board import Board
from app.board.items import SlabItem
from app.board.kept_drawing import KeptDrawing
from app.board.kept_picture import KeptPicture
from app.board.overlay import Overlay
from app.board.piece import Piece
from app.theme import DARK, LIGHT
from app.window import make_application
from core.drawing.detail import overlap_items
from core.drawing.gap_mark import GapMark
from core.drawing.path import polyline
from core.model.edit_bodies import set_fixed
from core.model.edit_placing import place_bodies
from core.model.placing import moving
from tests.unit.board.lamp_shots import FIXED, MOVER, PROJECT, SECTION, dragged_and_changed, poses, shot

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
ROUNDING = 2
"""Of 255: colours laid over each other in another order."""


def pixels(image):
    return np.frombuffer(image.constBits(), np.uint8).astype(int)


def from_nothing(board, ratio=1.0):
    """The same, with nothing of any frame before."""
    board._picture.forget()
    return shot(board, ratio)


@pytest.fixture
def board(qtbot):
    make_application()
    board = Board(LIGHT)
    qtbot.addWidget(board)
    board.resize(640, 480)
    board.show()
    board.show_section(PROJECT, SECTION)
    named(board, qtbot)
    return board


def named(board, qtbot):
    """Wait until every name stands where it has room."""
    qtbot.waitUntil(lambda: not board._naming.busy, timeout=20_000)


def drag(board, first=0.0, last=0.6, ratio=1.0):
    """Move bodies as a hand does, a frame at each of some poses."""
    for share in np.linspace(first, last, 7):
        board.set_poses(poses(share))
        shot(board, ratio)


def outline_moved(board, by):
    board.refresh_section(place_bodies(PROJECT, SECTION, (MOVER,), moving(turn=by, shift=(by, -2.0))), SECTION)


CHANGES = {
    "dragged": lambda _: None,
    "selected": lambda board: board.set_selected({MOVER, FIXED}),
    "resized": lambda board: board.resize(520, 430),
    "dark": lambda board: board.set_style(DARK),
    "zoomed": lambda board: board.zoom_by(1.4, about=QPointF(200.0, 150.0)),
    "panned": lambda board: board.pan_by(QPointF(31.0, -17.0)),
    "ghost": lambda board: board.set_ghost(poses(0.1)),
    "ends of travel": lambda board: board.set_travel_ends({MOVER: [poses(0.0)[MOVER], poses(1.0)[MOVER]]}),
    "outline moved": lambda board: outline_moved(board, 5.0),
    "outline dragged": lambda board: [(outline_moved(board, by), shot(board)) for by in (1.0, 3.0, 9.0)],
    "fixed": lambda board: board.refresh_section(set_fixed(PROJECT, SECTION, (MOVER,), fixed=True), SECTION),
    "loosened": lambda board: board.refresh_section(set_fixed(PROJECT, SECTION, (FIXED,), fixed=False), SECTION),
    "another section": lambda board: board.show_section(PROJECT, SECTION),
    "gap": lambda board: board.set_gap(GapMark(((0.0, 0.0), (0.0, 4.0)), 4.0, 1.0, (FIXED, MOVER))),
}


@pytest.mark.parametrize("ratio", [1.0, 1.25, 2.0])
@pytest.mark.parametrize("change", CHANGES)
def test_what_was_dragged_is_shown_as_if_painted_from_nothing(board, change, ratio):
    kept, first = dragged_and_changed(board, drag, CHANGES[change], ratio)
    assert kept == from_nothing(board, ratio)
    assert kept != first


def test_a_board_that_was_dragged_looks_as_one_made_anew(board, qtbot):
    drag(board)
    board.set_selected({MOVER})
    named(board, qtbot)
    shot(board)
    other = Board(LIGHT)
    qtbot.addWidget(other)
    other.resize(640, 480)
    other.show()
    other.show_section(PROJECT, SECTION)
    other.set_poses(poses(0.6))
    other.set_selected({MOVER})
    named(other, qtbot)
    shot(other)
    assert shot(board) == shot(other)


def test_the_first_look_at_a_part_differs_from_the_kept_picture_by_rounding_alone(board):
    board.zoom_by(1.3)
    first, kept = shot(board), shot(board)
    apart = np.abs(pixels(first) - pixels(kept))
    assert (apart > ROUNDING).mean() < 1e-4


def test_bodies_that_stand_apart_from_what_moves_are_not_painted(board, monkeypatch):
    shot(board)
    drag(board)
    drawn = set()
    show_on = Piece.show_on
    monkeypatch.setattr(Piece, "show_on", lambda piece, *rest, **named: (drawn.add(piece), show_on(piece, *rest, **named))[1])
    board.set_poses(poses(0.61))
    shot(board)
    pieces = {piece for piece in board._items.stack.ordered() if piece.shown}
    moving_items = [item for item, _ in board._items._movers.values() if poses(0.61)[item.slab.body] != poses(0.6)[item.slab.body]]
    assert drawn.issuperset(moving_items)
    assert len(drawn) < len(pieces) / 2


def test_a_pose_that_is_the_same_changes_no_piece(board):
    board.set_poses(poses(0.4))
    stamps = [piece.stamp for piece in board._items.stack.ordered()]
    board.set_poses(poses(0.4))
    assert [piece.stamp for piece in board._items.stack.ordered()] == stamps
    board.set_poses(poses(0.5))
    assert [piece.stamp for piece in board._items.stack.ordered()] != stamps


def test_pieces_lie_in_the_order_of_their_heights_and_then_of_their_coming(board):
    stack = board._items.stack
    heights = [piece.height for piece in stack.ordered()]
    assert heights == sorted(heights)
    first, second = Piece(), Piece()
    for piece in (first, second):
        piece.set_height(1.5)
        stack.add(piece)
    places = [stack.ordered().index(piece) for piece in (first, second)]
    assert places[1] == places[0] + 1
    first.set_height(2.5)
    assert stack.ordered().index(first) > stack.ordered().index(second)
    stack.remove(first)
    assert first not in stack.ordered()


def test_a_picture_that_was_forgotten_holds_no_piece(board):
    shot(board)
    shot(board)
    picture = board._picture
    assert picture._drawn
    picture.forget()
    assert not picture._drawn
    assert isinstance(picture, KeptPicture)


def drawn_with(kept, items, style, to_pixels):
    """What a kept drawing paints."""
    image = QImage(80, 60, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFF)
    painter = QPainter(image)
    kept.draw(painter, items, style, to_pixels=to_pixels)
    painter.end()
    return image


def test_a_kept_drawing_is_made_anew_for_another_list_style_or_place():
    first = overlap_items((polyline((5.0, 5.0), (40.0, 8.0), (30.0, 40.0), closed=True),), unit=1.0)
    other = overlap_items((polyline((5.0, 5.0), (40.0, 8.0), (30.0, 45.0), closed=True),), unit=1.0)
    here, there = QTransform(), QTransform.fromTranslate(7.0, 3.0)
    kept = KeptDrawing()
    calls = [(first, LIGHT, here), (first, DARK, here), (first, DARK, there), (other, DARK, there), (first, LIGHT, here)]
    shown = [drawn_with(kept, *call) for call in calls]
    assert shown == [drawn_with(KeptDrawing(), *call) for call in calls]
    assert all(one != two for one, two in pairwise(shown))


OVERLAYS = {
    "moved": lambda board: board.set_poses(poses(0.7)),
    "dark": lambda board: board.set_style(DARK),
    "zoomed": lambda board: board.zoom_by(1.2),
    "detail": lambda board: board.set_detail(True),
    "selected": lambda board: board.set_selected({MOVER}),
    "another gap": lambda board: board.set_gap(GapMark(((1.0, 30.0), (2.0, 32.0)), 2.0, 1.0, (FIXED, MOVER))),
    "overlap": lambda board: board.set_gap(GapMark(((1.0, 30.0), (2.0, 32.0)), -2.0, 1.0, (FIXED, MOVER))),
}


@pytest.mark.parametrize("detail", [False, True])
@pytest.mark.parametrize("change", OVERLAYS)
def test_what_floats_over_the_section_is_drawn_as_it_is_now(board, change, detail):
    board.set_detail(detail)
    board.set_gap(GapMark(((0.0, 30.0), (0.0, 34.0)), 4.0, 1.0, (FIXED, MOVER)))
    drag(board)
    OVERLAYS[change](board)
    shot(board)
    shown = shot(board)
    fresh = Overlay()
    fresh.mark, fresh.detail, fresh.moving = board._overlay.mark, board._overlay.detail, board._overlay.moving
    fresh._names, fresh._place = board._overlay._names, board._overlay._place
    board._overlay = fresh
    assert shot(board) == shown


def test_many_that_move_at_once_are_drawn_in_passing_and_painted_once_more_at_rest(board):
    shot(board)
    shot(board)
    every = [piece for piece in board._items.stack.ordered() if isinstance(piece, SlabItem)]
    for turn in (1.0, 2.0, 3.0):
        board.set_poses({item.slab.body: (turn, 0.0, 0.0) for item in every})
        passing = shot(board)
    apart = np.abs(pixels(passing) - pixels(from_nothing(board)))
    assert (apart > ROUNDING).mean() < 1e-4
    board.set_poses({item.slab.body: (4.0, 0.0, 0.0) for item in every})
    shot(board)
    assert board._picture._passing
    rested = shot(board)
    assert not board._picture._passing
    shot(board)
    from_nothing(board)
    assert rested == shot(board)


def test_one_that_moves_among_many_that_have_stopped_leaves_nothing_behind(board):
    shot(board)
    shot(board)
    every = [piece.slab.body for piece in board._items.stack.ordered() if isinstance(piece, SlabItem)]
    board.set_poses(dict.fromkeys(every, (3.0, 1.0, 0.0)))
    shot(board)
    board.set_poses({every[0]: (9.0, 1.0, 0.0)})
    kept = shot(board)
    from_nothing(board)
    assert kept == shot(board)
