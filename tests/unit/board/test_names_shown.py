"""The names on the board, once it has come to rest."""

import pytest
from PySide6.QtCore import QRectF

from app.board.board import Board
from app.board.items import NameItem
from app.theme import LIGHT
from app.window import make_application
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


def test_a_name_is_as_tall_as_its_letters_wherever_it_stands_in_the_stack():
    make_application()
    item = NameItem("petal 2", LIGHT)
    before = item.boundingRect()
    item.set_height(30_000.0)
    assert item.boundingRect() == before
    assert before.height() < QRectF(before).width()
    assert 5 < item.tall < 20
