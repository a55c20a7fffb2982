"""What all checks of a project share: making findings, and stepping from a place to one inside it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from math import isfinite, isnan

import msgspec

from core.model.finding import Datum, Finding, Place
from core.model.leaves import leaves
from core.model.names import name_fault

KEPT_RECORDS = 8192
"""Records of which it is kept that their numbers are finite: an edit changes a few of many."""


def error(place: Place, code: str, **data: Datum) -> Finding:
    """A finding that makes the project invalid."""
    return Finding("error", place, code, data)


def warning(place: Place, code: str, **data: Datum) -> Finding:
    """A finding that the user should look at; the project is valid all the same."""
    return Finding("warning", place, code, data)


def inside(place: Place, path: str) -> Place:
    """The place at `path` inside `place`: a key, or an index in brackets."""
    return replace(place, path=f"{place.path}.{path}".strip(".").replace(".[", "["))


def not_finite(record: msgspec.Struct, place: Place) -> Iterator[Finding]:
    """A finding for every NaN and infinity in a record; nothing else of that record can be judged then."""
    if is_finite(record):
        return
    for path, leaf in leaves(record):
        if isinstance(leaf, float) and not isfinite(leaf):
            yield error(inside(place, path), "number-not-finite", key=path, value="not a number" if isnan(leaf) else "infinite")


@lru_cache(maxsize=KEPT_RECORDS)
def is_finite(record: msgspec.Struct) -> bool:
    """Whether a record holds no NaN and no infinity."""
    return all(isfinite(leaf) for _path, leaf in leaves(record) if isinstance(leaf, float))


def negative(place: Place, **numbers: float | None) -> Iterator[Finding]:
    """A finding for every number, by its key, that is below zero."""
    for key, value in numbers.items():
        if value is not None and value < 0:
            yield error(inside(place, key), "number-negative", key=key, value=value)


def unfit_name(place: Place, what: str, name: str) -> Iterator[Finding]:
    """A finding where `name` cannot stand as the name of a `what`."""
    if fault := name_fault(name):
        yield error(inside(place, "name"), "name-unfit", what=what, name=name, fault=fault)


def repeated_names(names: Sequence[str], what: str, place_of: Callable[[int], Place]) -> Iterator[Finding]:
    """A finding for every name that an earlier one is already; `place_of` gives the place of the nth."""
    if len(set(names)) == len(names):
        return
    first: dict[str, Place] = {}
    for number, name in enumerate(names):
        place = place_of(number)
        if name in first:
            yield error(place, "name-repeated", what=what, name=name, first=first[name].path)
        first.setdefault(name, place)
