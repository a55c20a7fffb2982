"""What nobody asks of any more goes little by little: an answer about thousands of pairs at once takes longer than a frame."""

from collections import deque
from collections.abc import Iterator

from PySide6.QtCore import QObject

from app.ahead import Ahead
from app.document.answer import Answer

TURN_SECONDS = 0.001
"""Of a turn of the window: nobody waits for it to be done."""

AT_ONCE = 64
"""Records that go in one step: some tenths of a millisecond."""


class LetGo(QObject):
    """Holds what is to go until its turn has come."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._going: deque[Iterator[object]] = deque()
        self._ahead = Ahead(self, seconds=TURN_SECONDS)

    @property
    def busy(self) -> bool:
        """Whether something is still to go."""
        return self._ahead.busy

    def take(self, steps: Iterator[object]) -> None:
        """Have something go by these steps, which alone hold it, after what was to go before."""
        self._going.append(steps)
        if not self._ahead.busy:
            self._ahead.begin(self._each())

    def _each(self) -> Iterator[object]:
        while self._going:
            yield from self._going.popleft()


def answer_gone(answer: Answer) -> Iterator[None]:
    """The steps in which an answer goes; whatever of it others hold stays as it is."""
    result = answer.result
    left: list[object] = [*answer.timeline.rows, *answer.profiles]
    if result is not None:
        left += [*result.checks, *result.without_rules, *result.unchecked]
    del answer, result
    while left:
        yield
        del left[-AT_ONCE:]
