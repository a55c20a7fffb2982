"""Which body does a click pick? The topmost; once more at the same place, or with Alt, the next one beneath, round and round."""

from collections.abc import Collection, Sequence

from PySide6.QtCore import QPointF

from core.model.names import BodyName

SAME_PLACE = 4.0
"""Logical pixels between two clicks at the same place."""
NOBODY = BodyName("")


class Clicks:
    """Clicks one after another; what lies under the pointer is told topmost first, nothing where it lies beside all.

    The second press of a double click picks no other body: many hands click twice.
    """

    def __init__(self) -> None:
        self._at: QPointF | None = None
        self._picked = self._beneath = NOBODY
        self._press = QPointF()
        self._under: tuple[BodyName, ...] = ()
        self._alone = NOBODY
        self._double = False

    def press(self, at: QPointF, under: Sequence[BodyName], selected: Collection[BodyName], *, double: bool) -> BodyName:
        """The body that a drag from here takes: the topmost, or one beneath that a click picked and that is selected still."""
        self._press, self._under, self._double = at, tuple(under), double
        self._alone = next(iter(selected)) if len(selected) == 1 and set(selected) <= set(under) else NOBODY
        return self._beneath if self._alone and self._alone == self._beneath else self._top()

    def click(self, *, beneath: bool) -> BodyName:
        """The press was a click: the body it picks. `beneath`: the next one is asked for, as by Alt."""
        again = not self._double and self._alone == self._picked and self._at is not None and _near(self._at, self._press)
        if not self._under or len(self._under) == 1:
            picked = self._top()
        elif beneath or (again and self._alone):
            place = self._under.index(self._alone or self._top()) + 1
            picked = self._under[place % len(self._under)]
        else:
            picked = self._alone if self._double and self._alone else self._top()
        self._at, self._picked = self._press, picked
        self._beneath = picked if picked != self._top() else NOBODY
        return picked

    def _top(self) -> BodyName:
        return self._under[0] if self._under else NOBODY


def _near(one: QPointF, other: QPointF) -> bool:
    return (one - other).manhattanLength() <= SAME_PLACE
