"""Draws the window's pictures: the two of README, or with a folder every step of every sample in each theme, scale and size.

.venv/bin/python -m tests.pictures             docs/pictures/ again
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
