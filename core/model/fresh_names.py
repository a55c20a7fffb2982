"""Which name is free? "petal" or "petal 1" taken gives "petal 2", and so on."""

import re
from collections.abc import Iterable
from typing import TypeVar, cast

from core.model.names import EVERY_BODY, name_fault, tidy

NAME = TypeVar("NAME", bound=str)
COUNTED = re.compile(r"(?P<stem>.*\S)\s+(?P<count>\d{1,9})", re.DOTALL)
LEFT_OUT = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")


def fresh_name(wanted: str, taken: Iterable[str], *, otherwise: str = "body") -> str:
    """`wanted` where it can stand and is free; else its stem with the lowest number above its own, from 2, that is free.

    A name that cannot stand (see `name_fault`) is tidied first, and where nothing is left `otherwise` is taken.
    """
    used = frozenset(taken)
    name = wanted if name_fault(wanted) is None else _mended(wanted, otherwise)
    if name not in used:
        return name
    counted = COUNTED.fullmatch(name)
    stem, count = (counted["stem"], int(counted["count"])) if counted else (name, 1)
    while (numbered := f"{stem} {count + 1}") in used:
        count += 1
    return numbered


def _mended(wanted: str, otherwise: str) -> str:
    name = tidy(LEFT_OUT.sub(" ", wanted))
    return otherwise if name == EVERY_BODY or name_fault(name) is not None else name


def fresh_names(wanted: Iterable[NAME], taken: Iterable[str], *, otherwise: str = "body") -> dict[NAME, NAME]:
    """Each wanted name with a free one for it, all different; see `fresh_name`."""
    used = set(taken)
    found: dict[NAME, NAME] = {}
    for name in wanted:
        found[name] = cast("NAME", fresh_name(name, used, otherwise=otherwise))
        used.add(found[name])
    return found
