"""Values remembered by content for as long as they are asked for, and a little longer."""

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")

TURNS = 2
"""Turns that a value is remembered without being asked for: an edit and its undoing."""


class Remembered(Generic[Key, Value]):
    """Each value made once, until `TURNS` turns have passed in which nobody asked for it."""

    def __init__(self) -> None:
        self._turns: list[dict[Key, Value]] = [{}]

    def turn(self) -> None:
        """Begin the next turn."""
        self._turns = [{}, *self._turns[:TURNS]]

    def of(self, key: Key, make: Callable[[], Value]) -> Value:
        """The value of a key, made if it is not remembered."""
        value = self.known(key)
        return self.keep(key, make()) if value is None else value

    def known(self, key: Key) -> Value | None:
        """The value of a key, None where it is not remembered. Keys are hashed as seldom as may be: that is most of the work."""
        now = self._turns[0]
        for known in self._turns:
            value = known.get(key)
            if value is not None:
                if known is not now:
                    now[key] = value
                return value
        return None

    def keep(self, key: Key, value: Value) -> Value:
        """Remember a value, which may not be None."""
        self._turns[0][key] = value
        return value
