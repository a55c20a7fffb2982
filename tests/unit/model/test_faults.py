"""The words for faults: every code that the checks can tell has them, and they fit its data."""

import re
from pathlib import Path
from string import Formatter

import pytest

import core.model.validate as entry
from core.model.faults import FAULTS, fault_of, fault_text, place_text
from core.model.finding import Finding, Place

MODEL = Path(entry.__file__).parent
SOURCES = "".join(path.read_text(encoding="utf-8") for path in sorted(MODEL.glob("*.py")) if path.name != "faults.py")


def test_every_code_told_has_words_and_every_word_is_told():
    told = {
        code
        for line in SOURCES.splitlines()
        if re.search(r"\b(error|warning)\(", line)
        for code in re.findall(r'"([a-z]+(?:-[a-z]+)+)"', line)
    }
    assert told == set(FAULTS)


def test_every_code_stands_in_the_table_of_the_docstring_with_the_keys_its_words_need():
    table = entry.__doc__.replace("\n", " | ")
    for code, fault in FAULTS.items():
        entry_text = next(part for part in re.split(r"\|", table) if re.search(rf"(?<![a-z-]){code}(?![a-z-])", part))
        needed = {field for text in fault for _, field, _, _ in Formatter().parse(text) if field}
        assert needed <= set(entry_text.split()), code


@pytest.mark.parametrize("code", sorted(FAULTS))
def test_words_are_a_clause_and_a_sentence(code):
    fault, remedy = FAULTS[code]
    assert fault[0].islower()
    assert remedy[0].isupper()
    assert not remedy.endswith(".")
    assert not fault.endswith(".")


def test_a_fault_is_told_with_its_place_and_remedy():
    place = Place(section="Lamp", body="petal 2", path="sections[0].bodies[4].shapes[0]")
    finding = Finding("error", place, "outline-crosses-itself", {"x": 12.0, "y": 8.5})
    assert fault_text(finding) == "`sections[0].bodies[4].shapes[0]`, of petal 2, crosses itself near (12.0, 8.5). Uncross those two edges"


@pytest.mark.parametrize(
    ("place", "text"),
    [
        (Place(), ""),
        (Place(path="required_gap"), "`required_gap`"),
        (Place(drive="swing"), "swing"),
        (Place(section="Side", path="sections[0]"), "`sections[0]`, Side,"),
        (Place(section="Side", body="rod", path="sections[0].bodies[2]"), "`sections[0].bodies[2]`, rod,"),
        (Place(drive="swing", path="drives[0].moves[1]"), "`drives[0].moves[1]`, of swing,"),
    ],
)
def test_the_place_names_what_it_is_or_what_it_is_of(place, text):
    assert place_text(place) == text


def test_words_are_translated_before_their_data_is_filled_in():
    finding = Finding("error", Place(), "radius-not-positive", {"radius": -2.0})
    german = {"has radius {radius:g} mm": "hat den Radius {radius:g} mm"}
    assert fault_of(finding, translate=lambda text: german.get(text, text)).fault == "hat den Radius -2 mm"
