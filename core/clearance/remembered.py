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
        for known in self._turns:
            if key in known:
                value = known[key]
                break
        else:
            value = make()
        self._turns[0][key] = value
        return value
