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
            flow.addWidget(quiet_word(style, part))
        for key, (text, do) in ways.items():
            word = self.words[key] = Word(style, text, size=theme.DATA, tone="proved")
            word.clicked.connect(lambda _on=False, do=do: do())
            flow.addWidget(word)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)


def quiet_word(style: Style, part: str) -> SentencePart:
    """A word of what a row is about."""
    line = SentencePart(style, size=theme.DATA, tone="quiet")
    line.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    line.say(f"{part}\N{NO-BREAK SPACE}")
    line.setAlignment(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft)
    return line


def focused(words: Mapping[str, Word]) -> str | None:
    """The key of the word that has the keyboard, None where it is elsewhere."""
    return next((key for key, word in words.items() if word.hasFocus()), None)


def give_focus(words: Mapping[str, Word], key: str | None) -> None:
    """Give the keyboard back to a word that was built anew, so that it can be pressed again; where it is gone, to the first."""
    if key is not None and words:
        words.get(key, next(iter(words.values()))).setFocus()
