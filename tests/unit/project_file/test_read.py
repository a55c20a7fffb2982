"""Files that are refused: each with its place by path and by names, what is wrong, and what to do."""

import json
from pathlib import Path

import pytest

from core.errors import ProjectFileError
from core.model.validate import is_valid, validate
from core.project_file.read import project_from_bytes, read_project
from core.project_file.refusal import InvalidProjectError
from tests.unit.model.drawings import BARRIER_ARM, EVERY_KEY

LAMP = Path("lamp.bay.json")
SHAPES = '"shapes": [{"kind": "disc", "centre": [0, 0], "radius": 3}]'
BODY = f'{{"name": "petal 2", "fixed": false, "depth": [0, 5], {SHAPES}}}'


def lamp(body=BODY, top='"required_gap": 1, ', tail=""):
    return f'{{"baysweep": 1, "name": "Lamp", {top}"sections": [{{"name": "Top", "bodies": [{body}]}}]{tail}}}'


def refusal(text, **options):
    data = text if isinstance(text, bytes) else text.encode()
    with pytest.raises(ProjectFileError) as caught:
        project_from_bytes(data, file=LAMP, **options)
    assert caught.value.file == LAMP
    return caught.value


def test_the_lamp_itself_is_read():
    project = project_from_bytes(lamp().encode(), file=None)
    assert (project.name, project.sections[0].bodies[0].shapes[0].radius) == ("Lamp", 3.0)


@pytest.mark.parametrize("file", [BARRIER_ARM, EVERY_KEY], ids=["barrier arm", "every key"])
def test_the_fixtures_are_valid(file):
    assert validate(read_project(file)) == ()


def test_the_barrier_arm_is_read_as_it_stands():
    project = read_project(BARRIER_ARM)
    assert project.required_gap == 0.5
    assert [body.name for body in project.sections[0].bodies] == ["housing", "motor", "rod", "sled", "rib"]
    assert project.sections[0].joints[3].reach == (-22.0, 22.0)
    assert (project.drives[0].start, project.drives[0].end, project.drives[0].moves[0].joint) == (-45.0, 45.0, "hub pin")
    assert project.gap_rules[1].unchecked == "printed in one piece"


def test_every_number_of_a_project_is_a_float_though_the_file_says_whole():
    assert type(project_from_bytes(lamp().encode(), file=None).sections[0].bodies[0].shapes[0].radius) is float


def test_a_byte_order_mark_is_passed_over():
    assert project_from_bytes(b"\xef\xbb\xbf" + lamp().encode(), file=LAMP).name == "Lamp"


PETAL = "sections[0].bodies[0]"
KINDS = "bar, bore, box, disc, frame, polygon"
MADE_HERE = 'Write `"baysweep": 1` if it was made by this version of the program'


@pytest.mark.parametrize(
    ("text", "place", "sentence"),
    [
        (b"", "", "it is empty. Open another file, or begin a new project"),
        (b" \n\t ", "", "it is empty. Open another file, or begin a new project"),
        (lamp().encode("utf-16"), "", "it is not UTF-8 text (byte 1). Save it again as UTF-8"),
        ('{"baysweep": 1, "name": "Lämp"}'.encode("latin-1"), "", "it is not UTF-8 text (byte 27). Save it again as UTF-8"),
        ('{"baysweep": 1,\n "name" "Lamp"}', "", "it is not JSON: expecting ':' delimiter at line 2, column 9. Correct that place"),
        (lamp() + "}", "", f"it is not JSON: extra data at line 1, column {len(lamp()) + 1}. Correct that place"),
        ("[" * 100_000, "", "it is nested deeper than any project. Open another file"),
        ("[1, 2]", "", "it does not hold an object at its top. Open a file that ends in .bay.json"),
        ("7", "", "it does not hold an object at its top. Open a file that ends in .bay.json"),
        ("{}", "", 'it lacks the key `baysweep`, so it is no project. Open another file, or add `"baysweep": 1`'),
        (
            '{"baysweep": "1"}',
            "",
            f'it gives "1" as its format (`baysweep`), which never was one. {MADE_HERE}',
        ),
        (
            '{"baysweep": 3, "hinges": []}',
            "",
            "it is in format 3, made by a newer Baysweep; this one reads up to format 1. Update Baysweep and open it again",
        ),
        (lamp(top=""), "", "it lacks the key `required_gap`. Add it"),
        (lamp(top='"requird_gap": 1, '), "", "it has the unknown key `requird_gap`. Did you mean `required_gap`? Correct it"),
        (lamp(tail=', "name": "Owl"'), "", "it has the key `name` more than once. Keep one of them"),
        (
            lamp(BODY.replace('"radius": 3', '"radius": 3, "radius": 4')),
            f"{PETAL}.shapes[0]",
            f"`{PETAL}.shapes[0]`, of petal 2, has the key `radius` more than once. Keep one of them",
        ),
        (
            lamp(BODY.replace("radius", "raduis")),
            f"{PETAL}.shapes[0]",
            f"`{PETAL}.shapes[0]`, of petal 2, has the unknown key `raduis`. Did you mean `radius`? Correct it",
        ),
        (
            lamp(BODY.replace('"fixed": false', '"fixed": 0')),
            f"{PETAL}.fixed",
            f"`{PETAL}.fixed`, of petal 2, is a number where true or false is needed. Write true or false there",
        ),
        (
            lamp(BODY.replace('"radius": 3', '"radius": "3"')),
            f"{PETAL}.shapes[0].radius",
            f"`{PETAL}.shapes[0].radius`, of petal 2, is a text where a number is needed. Write a number there",
        ),
        (
            lamp(BODY.replace('"radius": 3', '"radius": true')),
            f"{PETAL}.shapes[0].radius",
            f"`{PETAL}.shapes[0].radius`, of petal 2, is true or false where a number is needed. Write a number there",
        ),
        (
            lamp(BODY.replace('"radius": 3', '"radius": null')),
            f"{PETAL}.shapes[0].radius",
            f"`{PETAL}.shapes[0].radius`, of petal 2, is null where a number is needed. Write a number there",
        ),
        (
            lamp(BODY.replace("[0, 5]", "[0, 5, 9]")),
            f"{PETAL}.depth",
            f"`{PETAL}.depth`, of petal 2, holds 3 values where 2 are needed. Write 2 values there",
        ),
        (
            lamp(BODY.replace("[0, 5]", "5")),
            f"{PETAL}.depth",
            f"`{PETAL}.depth`, of petal 2, is a number where a list is needed. Write a list there",
        ),
        (
            lamp(BODY.replace('"disc"', '"disk"')),
            f"{PETAL}.shapes[0].kind",
            f"`{PETAL}.shapes[0].kind`, of petal 2, is 'disk', which is not one of {KINDS}. Did you mean `disc`? Correct it",
        ),
        (
            lamp(BODY.replace('"kind": "disc", ', "")),
            f"{PETAL}.shapes[0]",
            f"`{PETAL}.shapes[0]`, of petal 2, lacks the key `kind`. Add it: one of disc, bar, box, polygon, bore, frame",
        ),
        (
            lamp(BODY.replace('"kind": "disc"', '"kind": ["disc"]')),
            f"{PETAL}.shapes[0].kind",
            f"`{PETAL}.shapes[0].kind`, of petal 2, is ['disc'], which is not one of {KINDS}. Did you mean `disc`? Correct it",
        ),
        (
            lamp(BODY.replace(SHAPES, '"shapes": [4]')),
            f"{PETAL}.shapes[0]",
            f"`{PETAL}.shapes[0]`, of petal 2, is a number where an object is needed. Write an object there",
        ),
        (
            lamp(BODY.replace("{", '{"trust": "sure", ', 1)),
            f"{PETAL}.trust",
            f"`{PETAL}.trust`, of petal 2, is 'sure', which is not one of guessed, measured, typical. Did you mean `measured`? Correct it",
        ),
        (
            lamp("4"),
            "sections[0].bodies[0]",
            "`sections[0].bodies[0]`, of Top, is a number where an object is needed. Write an object there",
        ),
    ],
)
def test_a_file_is_refused_with_place_fault_and_remedy(text, place, sentence):
    refused = refusal(text)
    assert str(refused) == f"lamp.bay.json was not opened: {sentence}; your file is unchanged."
    assert refused.place == place


@pytest.mark.parametrize(
    ("number", "fault"),
    [
        ("NaN", "is not a number"),
        ("Infinity", "is infinite, or too large a number"),
        ("-Infinity", "is infinite, or too large a number"),
        ("1e999", "is infinite, or too large a number"),
        ("9" * 6000, "is infinite, or too large a number"),
    ],
    ids=["NaN", "Infinity", "-Infinity", "1e999", "6000 digits"],
)
def test_a_number_that_is_not_finite_is_refused(number, fault):
    refused = refusal(lamp(BODY.replace('"radius": 3', f'"radius": {number}')))
    assert f"`{PETAL}.shapes[0].radius`, of petal 2, {fault}. Write a number that is finite; your file is unchanged." in str(refused)


@pytest.mark.parametrize("found", ["0", "-1", "true", "1.0", "null", "1e400"])
def test_a_format_that_never_was_is_refused(found):
    assert "never was one" in str(refusal(f'{{"baysweep": {found}}}'))


def test_half_a_character_pair_is_refused_in_values_and_keys():
    assert "half of a character pair" in str(refusal(lamp(tail=', "notes": "\\ud83d"')))
    assert "half of a character pair" in str(refusal(lamp(tail=', "\\ud83d": 1')))


def test_a_value_nested_too_deep_for_a_project_is_refused():
    assert "nested deeper than any project" in str(refusal(lamp(tail=f', "notes": {"[" * 30}{"]" * 30}')))


def test_a_project_that_is_not_valid_is_refused_with_its_first_fault():
    crossing = '{"kind": "polygon", "points": [[0, 0], [10, 10], [10, 0], [0, 9]]}'
    refused = refusal(lamp(BODY.replace(SHAPES, f'"shapes": [{crossing}]')))
    assert isinstance(refused, InvalidProjectError)
    assert str(refused) == (
        f"lamp.bay.json was not opened: `{PETAL}.shapes[0]`, of petal 2, crosses itself near (4.7, 4.7). "
        "Uncross those two edges; your file is unchanged."
    )
    assert [finding.code for finding in refused.findings] == ["outline-crosses-itself"]


@pytest.mark.parametrize(("more", "ending"), [(1, "One more fault was found"), (2, "2 more faults were found")])
def test_further_faults_are_counted(more, ending):
    bad = BODY.replace('"radius": 3', '"radius": 0')
    bodies = ", ".join([bad, *(bad.replace("petal 2", f"petal {number}") for number in range(3, 3 + more))])
    assert str(refusal(lamp(bodies))).endswith(f"Write a radius above zero. {ending}; your file is unchanged.")


def test_warnings_do_not_refuse_a_file():
    drive = ', "drives": [{"name": "twist", "unit": "deg", "from": 0, "to": 9, "home": 0, "speed": 60, "moves": []}]'
    project = project_from_bytes(lamp(tail=drive).encode(), file=LAMP)
    assert [finding.level for finding in validate(project)] == ["warning"]


def test_an_invalid_project_is_read_where_that_is_allowed():
    project = project_from_bytes(lamp(BODY.replace('"radius": 3', '"radius": 0')).encode(), file=LAMP, allow_invalid=True)
    assert not is_valid(validate(project))


def test_what_does_not_decode_is_refused_even_where_invalid_is_allowed():
    assert "unknown key" in str(refusal(lamp(tail=', "hinges": []'), allow_invalid=True))


def test_bytes_without_a_file_are_called_the_project():
    with pytest.raises(ProjectFileError, match=r"^The project was not opened: it is empty"):
        project_from_bytes(b"", file=None)


def test_a_missing_file_is_told(tmp_path):
    with pytest.raises(ProjectFileError) as caught:
        read_project(tmp_path / "lamp.bay.json")
    assert str(caught.value) == "lamp.bay.json was not opened: there is no such file. Check its name and folder."
    assert caught.value.file == tmp_path / "lamp.bay.json"


def test_a_folder_is_told(tmp_path):
    with pytest.raises(ProjectFileError, match=r"it is a folder\. Name a file in it"):
        read_project(tmp_path)


def test_a_file_that_may_not_be_read_is_told(tmp_path, monkeypatch):
    def refuse(_path):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)  # whoever runs the tests may be allowed everything
    with pytest.raises(ProjectFileError, match=r"you may not read it\. Ask for permission"):
        read_project(tmp_path / "lamp.bay.json")


def test_a_name_that_no_disk_can_hold_is_told(tmp_path):
    with pytest.raises(ProjectFileError, match="could not be read"):
        read_project(tmp_path / "lamp\0.bay.json")
    with pytest.raises(ProjectFileError, match="could not be read"):
        read_project(tmp_path / ("x" * 5000))


def test_a_file_that_is_cut_short_anywhere_is_refused():
    data = BARRIER_ARM.read_bytes().rstrip()
    for length in range(0, len(data) - 1, 37):
        with pytest.raises(ProjectFileError):
            project_from_bytes(data[:length], file=LAMP)


def test_every_key_of_the_full_file_is_missed_or_is_optional():
    """Taking any one key out of the full file either reads, or names that key or what needs it; nothing else happens."""
    whole = json.loads(EVERY_KEY.read_bytes())

    def objects(value):
        if isinstance(value, dict):
            yield value
            for item in list(value.values()):
                yield from objects(item)
        elif isinstance(value, list):
            for item in value:
                yield from objects(item)

    missed = []
    for record in list(objects(whole)):
        for key in list(record):
            kept = dict(record)
            del record[key]
            try:
                project_from_bytes(json.dumps(whole).encode(), file=LAMP)
            except InvalidProjectError:
                pass
            except ProjectFileError as fault:
                missed.append((key, str(fault)))
            record.clear()
            record.update(kept)
    assert len(missed) > 100
    assert [key for key, sentence in missed if f"lacks the key `{key}`" not in sentence] == []
