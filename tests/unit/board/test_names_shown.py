"""The names on the board, once it has come to rest."""

import pytest
from PySide6.QtCore import QRectF

from app.board.board import Board
from app.board.items import NameItem
from app.board.overlay import Overlay, detail_radius
from app.theme import LIGHT
from app.window import make_application
from core.drawing.dimension import LETTER_WIDTH
from core.drawing.gap_mark import GapMark
from tests.unit.board.lamp import lamp

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def board(qtbot):
    make_application()
    made = Board(LIGHT)
    qtbot.addWidget(made)
    made.resize(900, 700)
    made.show()
    project = lamp()
    made.show_section(project, project.sections[0].name)
    return made


def test_names_that_have_room_are_shown(board, qtbot):
    wanted = {f"petal {number}" for number in range(1, 6)} | {"mast", "lead clip"}
    qtbot.waitUntil(lambda: wanted <= {name for name, (item, _) in board._items._names.items() if item.shown}, timeout=20_000)


def test_names_keep_off_all_that_is_told_below_detail_a_though_it_runs_beyond_the_circle(board):
    items, overlay = board._items, Overlay()
    overlay.mark, overlay.detail = GapMark(((-30.0, 40.0), (-20.0, 40.0)), 10.0, 1.2, ("petal 2", "petal 1"), None, 0.2), True
    window = QRectF(board.viewport().rect())
    scale, radius = board.pixels_a_mm, detail_radius(window)
    (circle,) = overlay.taken(items, board.viewportTransform(), window)
    widest = max(box[2] - box[0] for box in overlay.names_keep_off(items, board.viewportTransform(), window))
    assert (circle[2] - circle[0]) * scale == pytest.approx(2.0 * radius)
    letters = len("required gap 1.00 mm and 0.20 mm for tolerances")
    assert widest * scale > max(2.0 * radius, 12.0 * LETTER_WIDTH * letters)


def test_a_name_is_as_tall_as_its_letters_wherever_it_stands_in_the_stack():
    make_application()
    item = NameItem("petal 2", LIGHT)
    before = item.boundingRect()
    item.set_height(30_000.0)
    assert item.boundingRect() == before
    assert before.height() < QRectF(before).width()
    assert 5 < item.tall < 20
