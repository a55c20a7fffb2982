"""A row of words that do something, behind a few that say what it is about; it breaks where the panel ends."""

from collections.abc import Callable, Mapping

from PySide6.QtWidgets import QSizePolicy

from app import theme
from app.panels.flow import Flow, Flowing
from app.panels.words import Word
from app.theme import Style

Ways = Mapping[str, tuple[str, Callable[[], object]]]
"""By a key of its own: the word that is shown, and what it does."""


class WordRow(Flowing):
    """`words` holds the words by their keys."""

    def __init__(self, style: Style, head: str, ways: Ways) -> None:
        super().__init__(style)
        self.words: dict[str, Word] = {}
        self.setAccessibleName(head)
        for part in head.split():
            add_quiet_word(self.flow, part)
        for key, (text, do) in ways.items():
            word = self.words[key] = Word(style, text, size=theme.DATA, tone="proved")
            word.clicked.connect(lambda _on=False, do=do: do())
            self.flow.addWidget(word)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)


def add_quiet_word(flow: Flow, part: str) -> None:
    """Add a word of what a row is about."""
    flow.add_word(f"{part}\N{NO-BREAK SPACE}", size=theme.DATA, tone="quiet")


def focused(words: Mapping[str, Word]) -> str | None:
    """The key of the word that has the keyboard, None where it is elsewhere."""
    return next((key for key, word in words.items() if word.hasFocus()), None)


def give_focus(words: Mapping[str, Word], key: str | None) -> None:
    """Give the keyboard back to a word that was built anew, so that it can be pressed again; where it is gone, to the first."""
    if key is not None and words:
        words.get(key, next(iter(words.values()))).setFocus()
