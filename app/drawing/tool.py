"""What a tool in hand is: it takes the board's pointer and keys, says in a sentence with numbers what it is at, and ends."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from app.board.taker import Taker
from app.panels.number_sentence import Number


@dataclass(frozen=True, slots=True)
class Said:
    """The sentence of a tool: `text` with a hole in braces for each number, those that were typed, and what can be done next.

    `words` can be clicked, each by its key: see `Tool.choose`.
    """

    text: str
    numbers: Sequence[Number] = ()
    fixed: frozenset[str] = frozenset()
    hint: str = ""
    words: tuple[tuple[str, str], ...] = ()


class Tool(Taker, QObject):
    """One use of a tool. Subclasses draw, take the pointer, and emit `ended` when their work is done or given up."""

    changed = Signal()
    """What it says or draws has changed."""
    ended = Signal()
    typing = Signal(str)
    """A number is begun at the keyboard while the board has it: it goes on in the tool's line."""

    def said(self) -> Said:
        """What the line over the board says now."""
        raise NotImplementedError

    def fix(self, key: str, value: float | None) -> None:
        """A number of the sentence was typed; None: it follows the pointer again."""

    def choose(self, word: str) -> None:
        """A word of the line was clicked, by its key."""

    def accept(self) -> None:
        """Enter: take what is shown, and go on or end."""

    def give_up(self) -> None:
        """The tool is put away: nothing half done may stay."""
