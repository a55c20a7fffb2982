"""Writing: bytes that a diff reads well, and a file that is replaced whole or not at all."""

import errno
import json
import os
import stat
from pathlib import Path
from typing import Any

import msgspec
import pytest
from msgspec.structs import replace

from core.errors import ProjectFileError
from core.model.rounding import rounded
from core.model.shapes import Box, Disc
from core.project_file.read import project_from_bytes, read_project
from core.project_file.write import KEY_ORDER, project_to_bytes, write_project
from tests.unit.model.drawings import BARRIER_ARM, EVERY_KEY, every_key, gate


def lines(project):
    return project_to_bytes(project).decode().splitlines()


def test_the_gate_is_written_a_record_a_line():
    assert lines(gate()) == [
        '{"baysweep": 1, "name": "Lock gate", "required_gap": 0.5,',
        ' "sections": [',
        '  {"name": "Plan",',
        '   "bodies": [',
        '    {"name": "post", "fixed": true, "depth": [0, 10],',
        '     "shapes": [',
        '      {"kind": "disc", "centre": [0, 0], "radius": 3}',
        "     ]},",
        '    {"name": "leaf", "fixed": false, "depth": [2, 8],',
        '     "shapes": [',
        '      {"kind": "box", "centre": [10, 0], "size": [24, 4]}',
        "     ]},",
        '    {"name": "paddle", "fixed": false, "depth": [8.5, 9.5],',
        '     "shapes": [',
        '      {"kind": "box", "centre": [12, 0], "size": [4, 3]}',
        "     ]}",
        "   ],",
        '   "joints": [',
        '    {"kind": "pivot", "name": "heel", "between": ["post", "leaf"], "at": [0, 0]},',
        '    {"kind": "slide", "name": "rack", "between": ["leaf", "paddle"], "at": [12, 0], "along": 90}',
        "   ]}",
        " ],",
        ' "drives": [',
        '  {"name": "swing", "unit": "deg", "from": 0, "to": 70, "home": 0, "speed": 5, "moves": [{"section": "Plan", "joint": "heel"}]}',
        " ]}",
    ]


def test_one_changed_shape_is_one_changed_line():
    before, after = lines(gate()), lines(gate(shapes=(Box(centre=(10.0, 0.0), size=(24.0, 4.5)),)))
    assert [index for index, (old, new) in enumerate(zip(before, after, strict=True)) if old != new] == [10]


def test_the_full_fixture_is_written_as_it_stands():
    assert project_to_bytes(read_project(EVERY_KEY)) == EVERY_KEY.read_bytes()


@pytest.mark.parametrize("file", [BARRIER_ARM, EVERY_KEY], ids=["barrier arm", "every key"])
def test_read_write_read_write_gives_the_same_project_and_bytes(file):
    project = read_project(file)
    data = project_to_bytes(project)
    again = project_from_bytes(data, file=None)
    assert again == project
    assert project_to_bytes(again) == data


def test_the_full_fixture_uses_every_key_there_is():
    written: set[tuple[str, str]] = set()

    def note(value: Any) -> None:
        if isinstance(value, msgspec.Struct):
            for field in msgspec.structs.fields(value):
                inner = getattr(value, field.name)
                if field.required or inner != field.default:
                    written.add((type(value).__name__, field.encode_name))
                note(inner)
        elif isinstance(value, tuple):
            for item in value:
                note(item)

    note(every_key())
    schema = msgspec.json.schema(type(every_key()))["$defs"]
    known = {(name, key) for name, record in schema.items() for key in record["properties"] if key != "kind"}
    # notes are carried by every record that has them in the same way; one of each family is enough
    assert {entry for entry in known - written if entry[1] != "notes"} <= {
        (kind, key) for kind in ("Disc", "Bar", "Box", "Polygon", "Bore", "Frame") for key in ("depth",)
    }


def test_every_key_has_its_place_in_the_order():
    schema = msgspec.json.schema(type(gate()))["$defs"]
    keys = {key for record in schema.values() for key in record["properties"]}
    assert keys == set(KEY_ORDER)
    assert len(KEY_ORDER) == len(set(KEY_ORDER))


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (23.0, "23"),
        (-0.0, "0"),
        (-4e-7, "0"),
        (1.23456789, "1.234568"),
        (0.1 + 0.2, "0.3"),
        (1e-6, "1e-06"),
        (123456789.25, "123456789.25"),
        (1e20, "100000000000000000000"),
    ],
)
def test_numbers_are_written_short_and_read_back_as_they_stand_in_memory(number, text):
    project = rounded(gate(shapes=(Disc(centre=(number, 0.0), radius=3.0),)))
    assert f'"centre": [{text}, 0]' in project_to_bytes(project).decode()
    assert project_from_bytes(project_to_bytes(project), file=None, allow_invalid=True) == project


def test_letters_of_every_script_are_written_as_they_are():
    project = replace(gate(), name="Schleuse Nähe 閘門 ☾", notes='two\nlines, "quoted"\\')
    data = project_to_bytes(project)
    assert "Schleuse Nähe 閘門 ☾".encode() in data
    assert project_from_bytes(data, file=None).notes == project.notes
    assert data.endswith(b"]}\n")


def test_empty_lists_that_a_record_needs_are_written():
    project = replace(gate(shapes=()), drives=())
    assert '"shapes": []}' in project_to_bytes(project).decode()
    assert project_from_bytes(project_to_bytes(project), file=None, allow_invalid=True) == project


@pytest.mark.parametrize("bad", [{"required_gap": float("nan")}, {"required_gap": float("inf")}, {"notes": "\ud83d"}])
def test_what_could_not_be_read_again_is_not_written(bad, tmp_path):
    file = tmp_path / "gate.bay.json"
    write_project(gate(), file)
    with pytest.raises(ProjectFileError, match="was not written"):
        write_project(replace(gate(), **bad), file)
    assert read_project(file) == gate()


def test_a_project_with_faults_can_be_written_and_opened_to_be_mended(tmp_path):
    file = tmp_path / "gate.bay.json"
    write_project(gate(shapes=()), file)
    assert read_project(file, allow_invalid=True) == gate(shapes=())


def test_a_new_file_gets_the_permissions_that_the_mask_leaves(tmp_path):
    old = os.umask(0o027)
    try:
        write_project(gate(), tmp_path / "gate.bay.json")
    finally:
        os.umask(old)
    assert stat.S_IMODE((tmp_path / "gate.bay.json").stat().st_mode) == 0o640


def test_an_existing_file_keeps_its_permissions(tmp_path):
    file = tmp_path / "gate.bay.json"
    file.write_text("{}", encoding="utf-8")
    file.chmod(0o604)
    write_project(gate(), file)
    assert stat.S_IMODE(file.stat().st_mode) == 0o604


def test_a_link_is_followed_to_its_file(tmp_path):
    (tmp_path / "kept").mkdir()
    link = tmp_path / "gate.bay.json"
    link.symlink_to(tmp_path / "kept" / "gate 3.bay.json")
    write_project(gate(), link)
    assert link.is_symlink()
    assert read_project(tmp_path / "kept" / "gate 3.bay.json") == gate()
    assert names_in(tmp_path / "kept") == ["gate 3.bay.json"]


def names_in(folder):
    return [path.name for path in folder.iterdir()]


def failing(*_args, **_options):
    raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize(("owner", "step"), [(os, "fsync"), (Path, "replace"), (Path, "chmod")])
def test_where_a_step_fails_the_old_file_is_unchanged_and_nothing_is_left_over(owner, step, tmp_path, monkeypatch):
    file = tmp_path / "gate.bay.json"
    write_project(gate(), file)
    before = file.read_bytes()
    monkeypatch.setattr(owner, step, failing)
    with pytest.raises(ProjectFileError) as caught:
        write_project(replace(gate(), name="Other"), file)
    monkeypatch.undo()
    assert "gate.bay.json was not written: No space left on device" in str(caught.value)
    assert caught.value.file == file
    assert file.read_bytes() == before
    assert names_in(tmp_path) == ["gate.bay.json"]


def test_where_the_user_interrupts_the_old_file_is_unchanged(tmp_path, monkeypatch):
    file = tmp_path / "gate.bay.json"
    write_project(gate(), file)

    def interrupted(*_args):
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_project(replace(gate(), name="Other"), file)
    monkeypatch.undo()
    assert read_project(file) == gate()
    assert names_in(tmp_path) == ["gate.bay.json"]


def test_the_file_and_then_its_folder_are_synced(tmp_path, monkeypatch):
    synced = []
    real = os.fsync

    def noting(handle):
        synced.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        real(handle)

    monkeypatch.setattr(os, "fsync", noting)
    write_project(gate(), tmp_path / "gate.bay.json")
    assert synced == ["file", "folder"]


def test_a_folder_that_cannot_be_synced_does_not_fail_the_save(tmp_path, monkeypatch):
    real = os.fsync

    def refusing(handle):
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, "Invalid argument")
        real(handle)

    monkeypatch.setattr(os, "fsync", refusing)
    write_project(gate(), tmp_path / "gate.bay.json")
    assert read_project(tmp_path / "gate.bay.json") == gate()


def test_a_folder_that_is_not_there_or_takes_no_files_is_told(tmp_path):
    with pytest.raises(ProjectFileError, match="was not written"):
        write_project(gate(), tmp_path / "gone" / "gate.bay.json")
    with pytest.raises(ProjectFileError, match="was not written"):
        write_project(gate(), Path("/proc/gate.bay.json"))


def test_a_folder_in_the_place_of_the_file_is_told_and_kept(tmp_path):
    (tmp_path / "gate.bay.json").mkdir()
    with pytest.raises(ProjectFileError, match="was not written"):
        write_project(gate(), tmp_path / "gate.bay.json")
    assert names_in(tmp_path) == ["gate.bay.json"]


def test_what_is_written_is_plain_json():
    assert json.loads(project_to_bytes(every_key()))["drives"][0]["moves"][1]["ratio"] == -0.333333
