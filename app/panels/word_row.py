"""A row of words that do something, behind a few that say what it is about; it breaks where the panel ends."""

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSizePolicy, QWidget

from app import theme
from app.panels.number_sentence import Flow, SentencePart
from app.panels.words import Word
from app.theme import Style

Ways = Mapping[str, tuple[str, Callable[[], object]]]
"""By a key of its own: the word that is shown, and what it does."""


class WordRow(QWidget):
    """`words` holds the words by their keys."""

    def __init__(self, style: Style, head: str, ways: Ways) -> None:
        super().__init__()
        self.words: dict[str, Word] = {}
        flow = Flow(self)
        for part in head.split():
            line = SentencePart(style, size=theme.DATA, tone="quiet")
            line.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            line.say(f"{part}\N{NO-BREAK SPACE}")
            line.setAlignment(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
            flow.addWidget(line)
        for key, (text, do) in ways.items():
            word = self.words[key] = Word(style, text, size=theme.DATA, tone="proved")
            word.clicked.connect(lambda _on=False, do=do: do())
            flow.addWidget(word)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
