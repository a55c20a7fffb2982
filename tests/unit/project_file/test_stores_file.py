"""The user's own stores: read back as written, byte by byte; what is broken is refused with a sentence and left alone."""

import pytest
from msgspec.structs import replace

from core.errors import ProjectFileError
from core.model.edit_project import set_name
from core.model.fragment import fragment_of
from core.project_file.stores_file import read_stores, stores_from_bytes, stores_to_bytes, write_stores
from core.stores.catalogue import ENTRIES
from core.stores.station import motor_station
from tests.unit.model.drawings import every_key, gate

STATION = set_name(motor_station("micro"), "my station")


def test_no_file_yet_is_empty_stores(tmp_path):
    assert read_stores(tmp_path / "stores.json") == ()


def test_what_is_put_in_is_taken_out_and_the_bytes_are_the_same_again(tmp_path):
    file = tmp_path / "new folder" / "stores.json"
    entries = (*(set_name(entry.make(entry.defaults()), entry.text) for entry in ENTRIES), STATION)
    write_stores(entries, file)
    assert read_stores(file) == entries
    assert stores_to_bytes(read_stores(file)) == file.read_bytes()


def test_empty_stores_are_a_file_too():
    assert stores_from_bytes(stores_to_bytes(())) == ()


def test_a_fragment_with_every_key_is_kept():
    project = every_key()
    for section in project.sections:
        entry = fragment_of(project, section.name, [body.name for body in section.bodies])
        assert stores_from_bytes(stores_to_bytes([entry])) == (entry,)


BROKEN = {
    "no JSON": (b"{", "cannot be understood"),
    "no text": (b"\xff\xfe", "cannot be understood"),
    "a list": (b"[]", "keys"),
    "another key": (b'{"baysweep_stores": 1, "entries": [], "more": 1}', "no others"),
    "a key twice": (b'{"baysweep_stores": 1, "entries": [], "entries": []}', "stands more than once"),
    "newer": (b'{"baysweep_stores": 2, "entries": []}', "newer Baysweep"),
    "never": (b'{"baysweep_stores": true, "entries": []}', "never was one"),
    "no project": (b'{"baysweep_stores": 1, "entries": [{}]}', "entry 1 was refused"),
    "two sections": (
        stores_to_bytes([replace(gate(), sections=(gate().sections[0], replace(gate().sections[0], name="Side")))]),
        "2 sections",
    ),
    "the same name twice": (stores_to_bytes([STATION, STATION]), "two entries are called my station"),
    "an outline without size": (
        stores_to_bytes([STATION]).replace(b'"radius": 6,', b'"radius": 0,').replace(b'"radius": 6}', b'"radius": 0}'),
        "has radius 0 mm",
    ),
    "a joint to nothing": (stores_to_bytes([STATION]).replace(b'"joint": "motor shaft"', b'"joint": "shaft"'), "which there is not"),
}


@pytest.mark.parametrize("case", BROKEN)
def test_broken_stores_are_refused_with_a_sentence_and_not_overwritten(case, tmp_path):
    data, told = BROKEN[case]
    file = tmp_path / "stores.json"
    file.write_bytes(data)
    with pytest.raises(ProjectFileError, match=told) as refusal:
        read_stores(file)
    assert str(refusal.value).startswith("stores.json was not opened: ")
    assert str(refusal.value).endswith("it is unchanged.")
    assert file.read_bytes() == data


def test_a_folder_in_its_place_is_told(tmp_path):
    with pytest.raises(ProjectFileError, match="could not be read"):
        read_stores(tmp_path)


def test_stores_that_cannot_be_written_are_told(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(ProjectFileError, match="was not written"):
        write_stores([STATION], tmp_path / "file" / "stores.json")
