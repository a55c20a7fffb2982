"""Draws the window's pictures: those of README and the manual, or with a folder every step of every sample in each theme, scale and size.

.venv/bin/python -m tests.pictures             docs/pictures/ again, the manual's bay built anew by mouse and keys
.venv/bin/python -m tests.pictures FOLDER      all of them into FOLDER, to be looked at
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

ROOT = Path(__file__).resolve().parent.parent
README = (("petal_lamp", "Gaps", "light"), ("petal_lamp", "Travel", "dark"))
SIZES = ((1280, 800), (1100, 700))
PROVED = ("breach",)
"""Pictures that wait until all is proved."""
LONGEST_WAIT = 60.0


def shown(sample: str, step: str, theme: str, size: tuple[int, int], file: Path) -> None:
    """Open a sample in the real window, wait until it is proved, and keep the picture of a step."""
    from app.window import Window

    app = _application()
    window = Window(Path(tempfile.mkdtemp()) / "settings.json", _style(theme))
    window.desk.pose.ease_ms = 0
    window.resize(*size)
    window.show()
    window.open_sample(sample) if sample else None
    window.show_step(step)
    until = time.monotonic() + LONGEST_WAIT
    while sample and _at_work(window) and time.monotonic() < until:
        app.processEvents()
    _settle(app)
    window.grab().save(str(file))
    window.close()


def _at_work(window) -> bool:
    """Whether the answer is still to come, or is being shown a part a turn."""
    return window.desk.prover.running or window.desk.settling or window.sheet.timeline.behind


def _application():
    from app.window import make_application

    return make_application()


def _style(theme: str):
    from app.theme import STYLES

    return STYLES[theme]


def _settle(app) -> None:
    """Let names find their places and pending paints happen."""
    until = time.monotonic() + 1.5
    while time.monotonic() < until:
        app.processEvents()


class Bot:
    """The hands of pytest-qt without a test."""

    def __getattr__(self, name: str):
        from PySide6.QtTest import QTest

        return getattr(QTest, name)

    def mouseClick(self, widget, button, keys=None, at=None) -> None:  # noqa: N802 - as Qt names it
        """A click; in the middle of the widget where no place is told."""
        from PySide6.QtCore import QPoint, Qt
        from PySide6.QtTest import QTest

        QTest.mouseClick(widget, button, keys or Qt.KeyboardModifier.NoModifier, at or QPoint())


def build_bay(folder: Path) -> None:
    """Build the manual's bay from an empty window, and keep a picture of each part of the work."""
    from app.window import Window
    from tests.desk import puppet_stage

    app = _application()
    window = Window(Path(tempfile.mkdtemp()) / "settings.json", _style("light"))
    window.desk.pose.ease_ms = 0
    window.resize(*SIZES[0])
    window.show()
    window.files.new()
    window.show_step("Outline")

    def shot(name: str) -> None:
        until = time.monotonic() + LONGEST_WAIT
        while name in PROVED and _at_work(window) and time.monotonic() < until:
            app.processEvents()
        _settle(app)
        card = window.cards.card
        (window.grab() if card is None else _with_card(window, card)).save(str(folder / f"bay_{name}.png"))

    hands = puppet_stage.Hands(Bot(), window, shot)
    puppet_stage.draw_bodies(hands)
    puppet_stage.join(hands)
    while _at_work(window):
        app.processEvents()
    puppet_stage.ask_more(hands)
    shot("breach")
    window.end()


def _with_card(window, card):
    """The window with the card that is open over its middle, as it is seen."""
    from PySide6.QtCore import QPoint
    from PySide6.QtGui import QPainter

    whole, over = window.grab(), card.grab()
    painter = QPainter(whole)
    size = over.deviceIndependentSize().toSize()
    painter.drawPixmap(QPoint((window.width() - size.width()) // 2, (window.height() - size.height()) // 2), over)
    painter.end()
    return whole


def draw_all(folder: Path, scale: str) -> None:
    """Every step of every sample, in both themes and sizes, at the scale that this process runs at."""
    from app.actions import STEPS
    from app.command_line import sample_files

    for theme in ("light", "dark"):
        for size in SIZES:
            for sample in sample_files():
                for step in STEPS:
                    shown(sample, step, theme, size, folder / f"{sample}_{step.lower()}_{theme}_{size[0]}_{scale}x.png")
            shown("", "Gaps", theme, size, folder / f"start_{theme}_{size[0]}_{scale}x.png")


def main(words: list[str]) -> None:
    """Draw what the command line asks for."""
    if not words:
        folder = ROOT / "docs" / "pictures"
        folder.mkdir(parents=True, exist_ok=True)
        for sample, step, theme in README:
            shown(sample, step, theme, SIZES[0], folder / f"{step.lower()}_{theme}.png")
        build_bay(folder)
    elif len(words) == 1:
        folder = Path(words[0])
        folder.mkdir(parents=True, exist_ok=True)
        for scale in ("1", "2"):  # Qt takes its scale at the start of a process
            subprocess.run(
                [sys.executable, "-m", "tests.pictures", str(folder), scale],
                env={**os.environ, "QT_SCALE_FACTOR": scale},
                cwd=ROOT,
                check=True,
            )
    else:
        draw_all(Path(words[0]), words[1])


if __name__ == "__main__":
    main(sys.argv[1:])
