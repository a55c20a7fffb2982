"""A project -> its file: bytes that a diff reads well, put in place as one step or not at all."""

import json
import os
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from stat import S_IMODE

import msgspec

from core.errors import ProjectFileError
from core.model.project import Project
from core.model.rounding import rounded

KEY_ORDER = (
    *("kind", "baysweep", "name", "section", "joint", "drive", "between", "fixed", "unit", "depth"),
    *("at", "along", "reach", "relief", "play"),
    *("from", "to", "home", "drawn", "speed", "ratio", "stops", "pulse", "moves"),
    *("centre", "radius", "size", "wall", "turn", "points", "holes", "corner_radius"),
    *("while", "keep", "reason", "required_gap", "required_depth_gap", "unchecked"),
    *("outline_tolerance", "trust", "colour", "hidden", "held", "view", "notes"),
    *("shapes", "sections", "bodies", "joints", "drives", "gap_rules", "allowed_together"),
)
"""Order in which the keys of any record are written: what it is, where it is, what it is asked, what is inside it."""

ONE_A_LINE = frozenset({"sections", "bodies", "shapes", "joints", "drives", "gap_rules", "allowed_together"})
"""Keys whose list is written with one record a line."""

NEW_FILE_MODE = 0o666
"""Permissions asked for a new file, less what the user's mask takes off."""


def project_to_bytes(project: Project) -> bytes:
    """The file of a project: UTF-8, one shape, joint, drive or rule a line, keys in a fixed order, a final newline.

    Numbers are rounded to 1e-6 and whole numbers written without a point; optional keys at their default are left
    out. The same project gives the same bytes. A NaN, an infinity or half a character pair is a ProjectFileError: the
    file could not be read again.
    """
    try:
        return (_text(_plain(rounded(project)), "") + "\n").encode()
    except ValueError as fault:  # out of range for JSON, or (UnicodeEncodeError) for UTF-8
        raise ProjectFileError(
            f"{project.name!a} was not written: a number or letter in it has no place in a file ({fault}). Correct it and write again."
        ) from fault


def write_project(project: Project, path: Path) -> None:
    """Write the file at `path` by a temporary file beside it, fsync and rename; a link is followed to its file.

    Permissions of an existing file are kept. Where anything fails the old file is as it was, the temporary file is
    taken away and ProjectFileError tells why. Nothing is judged: a project with faults can be written.
    """
    data = project_to_bytes(project)
    try:
        replace_file(path.resolve(), data)
    except OSError as fault:
        reason = fault.strerror or "the system gave no reason"
        raise ProjectFileError(
            f"{path.name} was not written: {reason}. Choose another folder, or make room there; an older file is unchanged.", file=path
        ) from fault


def replace_file(path: Path, data: bytes) -> None:
    """Put `data` in the place of a file as one step: it holds the old bytes or the new. Raises OSError."""
    mode = _mode_for(path)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            part.chmod(mode)
            os.fsync(file.fileno())
        part.replace(path)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    _sync_folder(path.parent)


def _mode_for(path: Path) -> int:
    try:
        return S_IMODE(path.stat().st_mode)
    except FileNotFoundError:
        mask = os.umask(0)
        os.umask(mask)
        return NEW_FILE_MODE & ~mask


def _sync_folder(folder: Path) -> None:
    # The new file is in place by now: a folder that cannot be synced (some network drives, Windows) is no failure.
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _plain(value: object) -> object:
    if isinstance(value, msgspec.Struct):
        return dict(sorted(_entries(value), key=lambda entry: KEY_ORDER.index(entry[0])))
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _entries(record: msgspec.Struct) -> Iterator[tuple[str, object]]:
    config = record.__struct_config__
    if config.tag_field is not None:
        yield config.tag_field, config.tag
    for field in msgspec.structs.fields(record):
        value = getattr(record, field.name)
        if field.required or value != field.default:
            yield field.encode_name, _plain(value)


def _text(value: object, indent: str, key: str = "") -> str:
    if isinstance(value, list) and value and key in ONE_A_LINE:
        inner = indent + " "
        return "[\n" + ",\n".join(inner + _text(item, inner) for item in value) + f"\n{indent}]"
    if not isinstance(value, dict) or not ONE_A_LINE.intersection(value):
        return json.dumps(value, ensure_ascii=False, allow_nan=False)
    inner = indent + " "
    inline = [f"{json.dumps(k)}: {json.dumps(v, ensure_ascii=False, allow_nan=False)}" for k, v in value.items() if k not in ONE_A_LINE]
    spread = [f"{json.dumps(k)}: {_text(v, inner, k)}" for k, v in value.items() if k in ONE_A_LINE]
    return "{" + f",\n{inner}".join([", ".join(inline), *spread]) + "}"
