"""Walk a project down to its numbers and names, guided by the annotations of the records.

One walk serves rounding, renaming and the search for infinities, so that a key added to a record cannot be forgotten.
"""

from collections.abc import Callable, Iterator
from functools import cache
from operator import is_
from types import NoneType, UnionType
from typing import TypeVar, Union, cast, get_args, get_origin, get_type_hints

import msgspec

from core.model.names import SectionName

R = TypeVar("R", bound=msgspec.Struct)
LeafChange = Callable[[object, object, str], object]
"""(leaf, its annotation, name of the section it stands in or "") -> the leaf to put in its place."""


def change_leaves(record: R, change: LeafChange, *, section: str = "") -> R:
    """Put `change(leaf)` in place of every leaf (None is none). Records in which nothing changes are handed on as they are."""
    return cast("R", _changed(record, type(record), change, section))


def leaves(value: object, *, path: str = "") -> Iterator[tuple[str, object]]:
    """Every leaf of a record or tuple with its path in the file (`shapes[0].centre[1]`), in order of the fields."""
    if isinstance(value, msgspec.Struct):
        for name, key in field_keys(type(value)):
            yield from leaves(getattr(value, name), path=f"{path}.{key}".lstrip("."))
    elif isinstance(value, tuple):
        for index, item in enumerate(value):
            yield from leaves(item, path=f"{path}[{index}]")
    elif value is not None:
        yield path, value


@cache
def field_keys(record: type[msgspec.Struct]) -> tuple[tuple[str, str], ...]:
    """Name and key in the file of every field of a record type."""
    return tuple((field.name, field.encode_name) for field in msgspec.structs.fields(record))


@cache
def field_kinds(record: type[msgspec.Struct]) -> dict[str, object]:
    """Annotation of every field of a record type, `| None` taken off."""
    return {name: _without_none(kind) for name, kind in get_type_hints(record).items() if name in record.__struct_fields__}


def _changed(value: object, kind: object, change: LeafChange, section: str) -> object:
    if isinstance(value, msgspec.Struct):
        return _changed_record(value, change, section)
    if isinstance(value, tuple):
        items = tuple([_changed(item, of, change, section) for item, of in zip(value, _item_kinds(kind, len(value)), strict=True)])
        return value if _same(items, value) else items
    return None if value is None else change(value, kind, section)


def _changed_record(record: msgspec.Struct, change: LeafChange, section: str) -> msgspec.Struct:
    kinds = field_kinds(type(record))
    named = _section_field(type(record))
    if named is not None:
        section = getattr(record, named)
    before = tuple([getattr(record, name) for name in kinds])
    after = tuple([_changed(value, kind, change, section) for value, kind in zip(before, kinds.values(), strict=True)])
    return record if _same(after, before) else msgspec.structs.replace(record, **dict(zip(kinds, after, strict=True)))


@cache
def _section_field(record: type[msgspec.Struct]) -> str | None:
    """The first field of a record type that names a section."""
    return next((name for name, kind in field_kinds(record).items() if kind is SectionName), None)


def _same(after: tuple[object, ...], before: tuple[object, ...]) -> bool:
    return all(map(is_, after, before))


@cache
def _item_kinds(kind: object, count: int) -> tuple[object, ...]:
    args = get_args(kind)
    return args[:1] * count if args[1:] == (Ellipsis,) else args


def _without_none(kind: object) -> object:
    if get_origin(kind) not in (Union, UnionType):
        return kind
    left = tuple(arg for arg in get_args(kind) if arg is not NoneType)
    return left[0] if len(left) == 1 else kind
