"""Random hands at files: projects saved, opened, begun and closed, answers written; all that asks is answered one way or another."""

import random
from pathlib import Path

from PySide6.QtCore import QCoreApplication, Qt

from app.window import Window

ACTIONS = (
    *("save", "save_as", "new", "close", "open", "samples", "recent"),
    *("hand_over_json", "hand_over_text", "write_file"),
)
TOO_LONG = ("Petal lamp", "Owl head")
"""Samples on which a hand would do little else than wait."""

BROKEN = "broken.bay.json"
NAMES = ("one.bay.json", "two.bay.json", "three", "no such folder/four.bay.json", BROKEN)
MOST_ANSWERS = 12


class RandomFiles:
    """Works on `window` in `folder`, where one file is no project. A project is at hand after each action."""

    def __init__(self, window: Window, qtbot, rng: random.Random, folder: Path) -> None:
        self.window, self.qtbot, self.rng, self.folder = window, qtbot, rng, folder
        folder.mkdir(exist_ok=True)
        (folder / BROKEN).write_text("no project", encoding="utf-8")

    def act(self) -> str:
        """One action on files, with all that it asks answered."""
        name = self.rng.choice([name for name in ACTIONS if self.window.actions_by_name[name].isEnabled()])
        told = [name]
        self.window.actions_by_name[name].trigger()
        for _ in range(MOST_ANSWERS):
            QCoreApplication.processEvents()
            answered = self._answer(name)
            if not answered:
                break
            told.append(answered)
        if self.window.desk.project is None:
            self.window.actions_by_name["new"].trigger()
            QCoreApplication.processEvents()
            told.append("another begun")
        return ", ".join(told)

    def _answer(self, name: str) -> str:
        window = self.window
        question, dialog = window.files.keeping.question, window.files.dialog()
        if question is not None:
            key = self.rng.choice(list(question._words))
            self.qtbot.mouseClick(question.word(key), Qt.MouseButton.LeftButton)
            return f"answered {key}"
        if dialog is not None:
            if self.rng.random() < 0.25:
                dialog.reject()
                return "dialog left"
            # The way out that is written over unasked is never the file that is no project: its dialog would have asked.
            file = self.folder / self.rng.choice(NAMES if name == "open" else NAMES[:-1])
            dialog.fileSelected.emit(str(file))
            dialog.reject()
            return f"took {file.name}"
        if window.menu is not None and window.menu.isVisible():
            entries = [entry for entry in window.menu.actions() if entry.text() not in TOO_LONG]
            entry = self.rng.choice(entries)
            window.menu.close()
            entry.trigger()
            return f"chose {entry.text()}"
        if window.slip.isVisible():
            self.qtbot.keyClick(window.slip, Qt.Key.Key_Escape)
            return "slip read"
        return ""
