"""Another order of a list of records: one of them at another place."""

from collections.abc import Sequence
from typing import TypeVar

ITEM = TypeVar("ITEM")


def reordered(items: Sequence[ITEM], item: ITEM, to: int) -> tuple[ITEM, ...]:
    """The items with `item` at the place `to`, from 0; a place outside is the nearest end."""
    others = [other for other in items if other is not item]
    others.insert(min(max(to, 0), len(others)), item)
    return tuple(others)
