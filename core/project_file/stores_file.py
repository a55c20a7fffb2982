"""The user's own stores: a file of fragments, each in the form of a project, read as strictly and written as plainly.

`{"baysweep_stores": 1, "entries": [project, ...]}`: the name of an entry is its project's name. An entry may name a body
that it does not hold: what it is to be put on (`core.model.fragment`). All other errors refuse the file, by the entry's name.
"""

import json
from collections.abc import Sequence
from pathlib import Path

from core.errors import ProjectFileError
from core.model.faults import fault_text
from core.model.finding import Finding
from core.model.fragment import Fragment, hanging
from core.model.validate import validate
from core.project_file.read import project_from_bytes
from core.project_file.write import project_to_bytes, replace_file

STORES_VERSION = 1
KEY = "baysweep_stores"


def stores_to_bytes(entries: Sequence[Fragment]) -> bytes:
    """The stores file of these entries, in their order. The same entries give the same bytes."""
    written = [project_to_bytes(entry).decode().rstrip("\n") for entry in entries]
    body = ",\n".join(written)
    return (
        f'{{"{KEY}": {STORES_VERSION}, "entries": [\n{body}\n]}}\n' if written else f'{{"{KEY}": {STORES_VERSION}, "entries": []}}\n'
    ).encode()


def stores_from_bytes(data: bytes, *, file: Path | None = None) -> tuple[Fragment, ...]:
    """Read the entries of a stores file. ProjectFileError tells what is wrong, and that the file is unchanged."""
    try:
        decoded = json.loads(data.decode("utf-8-sig"), object_pairs_hook=_once)
    except (ValueError, RecursionError) as fault:
        raise _refused(f"it cannot be understood ({fault})", file) from fault
    if not isinstance(decoded, dict) or set(decoded) != {KEY, "entries"} or not isinstance(decoded["entries"], list):
        raise _refused(f"it does not hold the keys `{KEY}` and `entries` and no others", file)
    version = decoded[KEY]
    if type(version) is not int or version < 1:
        raise _refused(f"it gives {json.dumps(version)} as its format, which never was one", file)
    if version > STORES_VERSION:
        raise _refused(f"it is in format {version}, made by a newer Baysweep; this one reads up to {STORES_VERSION}", file)
    entries = tuple(_entry(entry, number, file) for number, entry in enumerate(decoded["entries"], start=1))
    names = [entry.name for entry in entries]
    if repeated := next((name for name in names if names.count(name) > 1), None):
        raise _refused(f"two entries are called {repeated}", file)
    return entries


def read_stores(file: Path) -> tuple[Fragment, ...]:
    """The entries of a stores file; none where there is no file yet. ProjectFileError where it cannot be read."""
    try:
        data = file.read_bytes()
    except FileNotFoundError:
        return ()
    except OSError as fault:
        raise _refused(f"it could not be read ({fault.strerror or fault})", file) from fault
    return stores_from_bytes(data, file=file)


def write_stores(entries: Sequence[Fragment], file: Path) -> None:
    """Write the stores file as one step, its folder too. ProjectFileError where it cannot be, and then it is as it was."""
    data = stores_to_bytes(entries)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        replace_file(file.resolve(), data)
    except OSError as fault:
        raise ProjectFileError(f"{file.name} was not written: {fault.strerror or fault}. Your stores are unchanged.", file=file) from fault


def errors_of(fragment: Fragment) -> tuple[Finding, ...]:
    """What is wrong with a fragment, but for naming bodies that it is to be put on."""
    waiting = set(hanging(fragment))
    return tuple(
        finding
        for finding in validate(fragment)
        if finding.level == "error" and not (finding.code in ("name-unknown", "name-misspelt") and finding.data.get("name") in waiting)
    )


def _entry(entry: object, number: int, file: Path | None) -> Fragment:
    try:
        # written out and read again: one reader judges every key of a project, wherever it stands
        fragment = project_from_bytes(json.dumps(entry).encode(), file=None, allow_invalid=True)
    except ProjectFileError as fault:
        raise _refused(f"its entry {number} was refused ({fault})", file) from fault
    if len(fragment.sections) != 1:
        raise _refused(f"its entry {number}, {fragment.name}, has {len(fragment.sections)} sections where one is needed", file)
    if found := errors_of(fragment):
        raise _refused(f"in its entry {number}, {fragment.name}, {fault_text(found[0])}", file)
    return fragment


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    made = dict(pairs)
    if len(made) < len(pairs):
        keys = [key for key, _ in pairs]
        raise ValueError(f"the key `{next(key for key in keys if keys.count(key) > 1)}` stands more than once in one object")
    return made


def _refused(what: str, file: Path | None) -> ProjectFileError:
    name = file.name if file else "The stores file"
    return ProjectFileError(f"{name} was not opened: {what}. Correct it, or move it away; it is unchanged.", file=file)
