"""The real window, drawn in memory, with its own settings and no easing; every test waits for signals and leaves no thread."""

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QPalette

from app import theme
from app.board.board import Board
from app.command_line import sample_files
from app.theme import LIGHT
from app.window import Window, make_application
from tests.unit.board.lamp import lamp

PROOF_MS = 60_000


class Painted(QObject):
    """Notes which widgets are painted."""

    def __init__(self):
        super().__init__()
        self.widgets = []

    def eventFilter(self, watched, event):  # noqa: N802 - Qt's name
        if event.type() == QEvent.Type.Paint:
            self.widgets.append(watched)
        return False


@pytest.fixture
def painted(qapp):
    """The widgets that are painted, one after another."""
    noted = Painted()
    qapp.installEventFilter(noted)
    yield noted.widgets
    qapp.removeEventFilter(noted)


@pytest.fixture
def window(qtbot, tmp_path):
    """An empty window at 1280 x 800."""
    make_application()
    made = Window(tmp_path / "settings.json", LIGHT)
    made.desk.pose.ease_ms = 0
    made.resize(1280, 800)
    made.show()
    qtbot.waitExposed(made)
    yield made
    made.end()
    made.deleteLater()


@pytest.fixture
def opened(window, qtbot):
    """A function that opens a sample, or a file, and waits until it is proved and shown."""

    def open_it(which: str | Path) -> Window:
        file = sample_files()[which] if isinstance(which, str) else which
        told = []
        window.desk.prover.proved.connect(lambda *_: told.append("proved"))
        window.desk.prover.failed.connect(told.append)
        window.files.open_sample(file)
        qtbot.waitUntil(lambda: told != [], timeout=PROOF_MS)
        assert told == ["proved"]
        qtbot.waitUntil(lambda: not (window.desk.settling or window.sheet.timeline.behind), timeout=PROOF_MS)
        return window

    return open_it


@pytest.fixture
def system_palette(qapp):
    """A function that gives the system another palette, taken back at the end."""
    before = QPalette(qapp.palette())
    yield qapp.setPalette
    qapp.setPalette(before)


@pytest.fixture
def board(qtbot):
    """A board by itself with the small lamp on it."""
    theme.load_fonts()
    made = Board(theme.LIGHT)
    qtbot.addWidget(made)
    made.resize(848, 460)
    made.show()
    made.show_section(lamp(), "Plan")
    return made
