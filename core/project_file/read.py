"""A file -> a project, strictly: what does not fit is refused with its place, what is wrong, and what to do."""

import json
from collections.abc import Iterator
from functools import cache
from math import isfinite, isnan
from pathlib import Path

import msgspec
from msgspec import inspect

from core.errors import ProjectFileError
from core.model.project import FORMAT_VERSION, Project
from core.model.validate import validate
from core.project_file.fit import Misfit, Steps, first_misfit, place_at
from core.project_file.migrate import migrate
from core.project_file.refusal import refused, refused_as_invalid

DEEPEST = 24
"""No value of a project lies deeper than this many keys and indices."""

WHOLE_DIGITS = 15
"""A whole number of more digits is taken as a float, which is what all numbers of a project are."""


class JsonObject(dict[str, object]):
    """A decoded object that remembers the first key it was given twice."""

    repeated: str | None = None


def read_project(path: Path, *, allow_invalid: bool = False) -> Project:
    """Read a project. ProjectFileError tells why it cannot be: no file, no JSON, unknown keys, faults in the drawing.

    `allow_invalid` accepts a project that decodes but is not valid, for a window in which it can be mended.
    """
    try:
        data = path.read_bytes()
    except FileNotFoundError as fault:
        raise _unreachable(path, "there is no such file", "Check its name and folder") from fault
    except IsADirectoryError as fault:
        raise _unreachable(path, "it is a folder", "Name a file in it that ends in .bay.json") from fault
    except PermissionError as fault:
        # Windows says this of folders too
        what = "it is a folder, or" if path.is_dir() else "the system says"
        raise _unreachable(path, f"{what} you may not read it", "Ask for permission to read it, or copy it to a folder of yours") from fault
    except (OSError, ValueError) as fault:  # ValueError: a null character in the name
        reason = getattr(fault, "strerror", None) or str(fault)
        raise _unreachable(path, f"it could not be read ({reason})", "Check the disk or the connection, then open it again") from fault
    return project_from_bytes(data, file=path, allow_invalid=allow_invalid)


def project_from_bytes(data: bytes, *, file: Path | None, allow_invalid: bool = False) -> Project:
    """Read a project from the bytes of a file; `file` only names it. A byte order mark at the start is passed over."""
    decoded = _decoded(data, file)
    found = _format_of(decoded, file)
    if misfit := next(_faults_of_json(decoded), None):
        raise _misfit_refused(misfit, decoded, file)
    migrated = migrate(decoded, found=found)
    if misfit := first_misfit(migrated, project_kind()):
        raise _misfit_refused(misfit, migrated, file)
    project = msgspec.convert(migrated, type=Project)
    findings = () if allow_invalid else validate(project)
    if any(finding.level == "error" for finding in findings):
        raise refused_as_invalid(findings, file=file)
    return project


@cache
def project_kind() -> inspect.Type:
    """The description of the record `Project` that decoded files are compared with."""
    return inspect.type_info(Project)


def _unreachable(path: Path, fault: str, remedy: str) -> ProjectFileError:
    return ProjectFileError(f"{path.name or path} was not opened: {fault}. {remedy}.", file=path)


def _decoded(data: bytes, file: Path | None) -> JsonObject:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise refused(f"is not UTF-8 text (byte {fault.start + 1})", "Save it again as UTF-8", file=file) from fault
    if not text.strip():
        raise refused("is empty", "Open another file, or begin a new project", file=file)
    try:
        decoded = json.loads(text, object_pairs_hook=_json_object, parse_int=_whole)
    except json.JSONDecodeError as fault:
        where = f"line {fault.lineno}, column {fault.colno}"
        raise refused(f"is not JSON: {fault.msg[:1].lower()}{fault.msg[1:]} at {where}", "Correct that place", file=file) from fault
    except RecursionError as fault:
        raise refused("is nested deeper than any project", "Open another file", file=file) from fault
    if not isinstance(decoded, JsonObject):
        raise refused("does not hold an object at its top", "Open a file that ends in .bay.json", file=file)
    return decoded


def _json_object(pairs: list[tuple[str, object]]) -> JsonObject:
    made = JsonObject(pairs)
    if len(made) < len(pairs):
        keys = [key for key, _ in pairs]
        made.repeated = next(key for key in keys if keys.count(key) > 1)
    return made


def _whole(digits: str) -> int | float:
    return int(digits) if len(digits) <= WHOLE_DIGITS else float(digits)


def _format_of(decoded: JsonObject, file: Path | None) -> int:
    found = decoded.get("baysweep")
    if "baysweep" not in decoded:
        raise refused("lacks the key `baysweep`, so it is no project", 'Open another file, or add `"baysweep": 1`', file=file)
    if type(found) is not int or found < 1:
        remedy = f'Write `"baysweep": {FORMAT_VERSION}` if it was made by this version of the program'
        raise refused(f"gives {json.dumps(found)} as its format (`baysweep`), which never was one", remedy, file=file)
    if found > FORMAT_VERSION:
        fault = f"is in format {found}, made by a newer Baysweep; this one reads up to format {FORMAT_VERSION}"
        raise refused(fault, "Update Baysweep and open it again", file=file)
    return found


def _faults_of_json(value: object, steps: Steps = ()) -> Iterator[Misfit]:
    """What JSON or its decoder lets pass and a project does not: keys given twice, infinities, half character pairs."""
    if len(steps) > DEEPEST:
        yield Misfit(steps[:DEEPEST], "is nested deeper than any project", "Remove it")
    elif isinstance(value, JsonObject):
        if value.repeated is not None:
            yield Misfit(steps, f"has the key `{value.repeated}` more than once", "Keep one of them")
        if any(map(_half_pair, value)):
            yield Misfit(steps, "has a key that holds half of a character pair", "Correct that key")
        for key, item in value.items():
            yield from _faults_of_json(item, (*steps, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _faults_of_json(item, (*steps, index))
    elif isinstance(value, float) and not isfinite(value):
        yield Misfit(steps, "is not a number" if isnan(value) else "is infinite, or too large a number", "Write a number that is finite")
    elif isinstance(value, str) and _half_pair(value):
        yield Misfit(steps, "holds half of a character pair", "Type that text again")


def _half_pair(text: str) -> bool:
    return any("\ud800" <= letter <= "\udfff" for letter in text)


def _misfit_refused(misfit: Misfit, decoded: object, file: Path | None) -> ProjectFileError:
    return refused(misfit.fault, misfit.remedy, file=file, place=place_at(decoded, misfit.steps))
