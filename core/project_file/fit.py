"""Does decoded JSON fit the records? If not: the first place that does not, what is wrong there, and what to do."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from msgspec import inspect

from core.model.finding import Place

Steps = tuple[str | int, ...]
"""Keys and indices from the top of the file to a value."""

NAMED_LISTS: Mapping[str, str] = {"sections": "section", "bodies": "body", "joints": "joint", "drives": "drive"}
WORDS: Mapping[type, str] = {
    dict: "an object",
    list: "a list",
    str: "a text",
    bool: "true or false",
    int: "a number",
    float: "a number",
    type(None): "null",
}
SCALARS: Mapping[type[inspect.Type], tuple[tuple[type, ...], str]] = {
    inspect.IntType: ((int,), "a whole number"),
    inspect.FloatType: ((int, float), "a number"),
    inspect.BoolType: ((bool,), WORDS[bool]),
    inspect.StrType: ((str,), WORDS[str]),
}


@dataclass(frozen=True, slots=True)
class Misfit:
    """`fault` continues a sentence whose subject is the place; `remedy` is a clause of its own, without a full stop."""

    steps: Steps
    fault: str
    remedy: str


def first_misfit(data: object, kind: inspect.Type, steps: Steps = ()) -> Misfit | None:
    """Compare decoded JSON with the description of a record type; None where msgspec will convert it."""
    return next(_misfits(data, kind, steps), None)


def place_at(data: object, steps: Steps) -> Place:
    """The place by names and by path, read from the decoded file itself, so that it works before that is valid."""
    names: dict[str, str] = {}
    path = ""
    for before, step in zip(("", *steps), steps, strict=False):
        path += f"[{step}]" if isinstance(step, int) else f".{step}"
        data = data[step] if isinstance(data, list) and isinstance(step, int) else data.get(step) if isinstance(data, dict) else None
        noun = NAMED_LISTS.get(before) if isinstance(before, str) else None
        if noun and isinstance(data, dict) and isinstance(data.get("name"), str):
            names[noun] = data["name"]
    return Place(**names, path=path.lstrip("."))


def _misfits(data: object, kind: inspect.Type, steps: Steps) -> Iterator[Misfit]:
    match kind:
        case inspect.UnionType():
            yield from _misfits_of_union(data, kind, steps)
        case inspect.StructType():
            yield from _misfits_of_record(data, kind, steps)
        case inspect.VarTupleType() | inspect.TupleType():
            yield from _misfits_of_list(data, kind, steps)
        case inspect.LiteralType():
            if data not in kind.values:
                yield _not_one_of(data, map(str, kind.values), steps)
        case _:
            accepted, wanted = SCALARS[type(kind)]
            if type(data) not in accepted:
                yield _wrong_type(data, wanted, steps)


def _misfits_of_union(data: object, kind: inspect.UnionType, steps: Steps) -> Iterator[Misfit]:
    left = [choice for choice in kind.types if not isinstance(choice, inspect.NoneType)]
    if data is None and len(left) < len(kind.types):
        return
    if len(left) == 1:
        yield from _misfits(data, left[0], steps)
        return
    tagged = {str(choice.tag): choice for choice in left if isinstance(choice, inspect.StructType)}
    if not isinstance(data, dict):
        yield _wrong_type(data, WORDS[dict], steps)
    elif "kind" not in data:
        yield Misfit(steps, "lacks the key `kind`", f"Add it: one of {', '.join(tagged)}")
    elif data["kind"] not in tuple(tagged):  # a tuple, since a list may stand there, which no dict can be asked for
        yield _not_one_of(data["kind"], tagged, (*steps, "kind"))
    else:
        yield from _misfits_of_record(data, tagged[data["kind"]], steps)


def _misfits_of_record(data: object, kind: inspect.StructType, steps: Steps) -> Iterator[Misfit]:
    if not isinstance(data, dict):
        yield _wrong_type(data, WORDS[dict], steps)
        return
    known = {field.encode_name: field for field in kind.fields}
    allowed = [*known, *([kind.tag_field] if kind.tag_field else [])]
    for key in data:
        if key not in allowed:
            yield Misfit(steps, f"has the unknown key `{key}`", _nearest(key, [name for name in allowed if name not in data]))
    for key, field in known.items():
        if key in data:
            yield from _misfits(data[key], field.type, (*steps, key))
        elif field.required:
            yield Misfit(steps, f"lacks the key `{key}`", "Add it")


def _misfits_of_list(data: object, kind: inspect.VarTupleType | inspect.TupleType, steps: Steps) -> Iterator[Misfit]:
    if not isinstance(data, list):
        yield _wrong_type(data, WORDS[list], steps)
        return
    of = kind.item_types if isinstance(kind, inspect.TupleType) else (kind.item_type,) * len(data)
    if len(of) != len(data):
        yield Misfit(steps, f"holds {len(data)} values where {len(of)} are needed", f"Write {len(of)} values there")
        return
    for index, (item, item_kind) in enumerate(zip(data, of, strict=True)):
        yield from _misfits(item, item_kind, (*steps, index))


def _wrong_type(data: object, wanted: str, steps: Steps) -> Misfit:
    found = WORDS[dict if isinstance(data, dict) else type(data)]
    if wanted == "a whole number" and isinstance(data, float):
        found = "a number with decimals"
    return Misfit(steps, f"is {found} where {wanted} is needed", f"Write {wanted} there")


def _not_one_of(data: object, choices: Iterator[str] | Mapping[str, object], steps: Steps) -> Misfit:
    names = sorted(choices)
    return Misfit(steps, f"is {data!r}, which is not one of {', '.join(names)}", _nearest(str(data), names))


def _nearest(word: str, choices: list[str]) -> str:
    near = get_close_matches(word, choices, n=1)
    return f"Did you mean `{near[0]}`? Correct it" if near else f"Remove it, or use one of {', '.join(choices)}" if choices else "Remove it"
