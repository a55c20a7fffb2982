"""SVG as any parser of XML reads it."""

import re
from xml.etree import ElementTree as ET

import pytest

from core.drawing.display_list import Stroke
from core.drawing.path import Arc, Run, polyline
from core.drawing.sheet import Sheet
from core.handover.fonts import MARK
from core.handover.svg import number, svg_element, svg_file
from tests.unit.handover.sheets import FONTS, HOSTILE, RULE_MM, SIGNS, named, ruled

PATH = (polyline((1, 1), (2, 5), (9, 2), closed=True),)
SPACE = "{http://www.w3.org/2000/svg}"


def parsed(sheet, title="a title"):
    # Our own output, held in memory: no entities to fear.
    return ET.fromstring(svg_file(sheet, fonts=FONTS, title=title).encode())  # noqa: S314


def words(root):
    return [text.text for text in root.iter(f"{SPACE}text") if "stroke" not in text.attrib]


def test_a_user_unit_is_a_millimetre():
    root = parsed(ruled())
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("140mm", "90mm", "0 0 140 90")


def test_a_rule_of_100_mm_is_100_mm_long_and_found_by_its_name():
    (line,) = parsed(ruled()).find(f"{SPACE}g[@id='rule']").iter(f"{SPACE}path")
    (ax, ay), (bx, by) = ((float(x), float(y)) for x, y in re.findall(r"[ML](\S+) ([^ML]+)", line.get("d")))
    assert (bx - ax, by - ay) == (RULE_MM, 0.0)
    assert ay == 90.0 - 20.0  # y runs down


def test_arcs_bend_the_same_way_as_drawn():
    # A quarter turn counter-clockwise from the right to the top, seen with y down: sweep flag 0.
    sheet = Sheet(30, 30, (Stroke((Run((Arc((10.0, 10.0), 5.0, 0.0, 1.5707963267948966),), closed=False),), "wide"),))
    (path,) = parsed(sheet).iter(f"{SPACE}path")
    assert path.get("d") == "M15 20A5 5 0 0 0 10 15"


def test_signs_are_text():
    assert SIGNS in words(parsed(ruled()))


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_stay_words(name):
    root = parsed(named(name), title=name)
    assert {element.tag.removeprefix(SPACE) for element in root.iter()} == {"svg", "title", "rect", "text"}
    (told,) = words(root)
    expected = "".join(MARK if letter in "\u202e\u0007\u0000\ufffe\ud800" else letter for letter in name)
    assert told == expected
    assert root.find(f"{SPACE}title").text == expected


def test_words_keep_their_room_in_any_face_unless_ours_lacks_a_letter():
    (known,) = [text for text in parsed(named("petal 2")).iter(f"{SPACE}text") if "stroke" not in text.attrib]
    assert float(known.get("textLength")) == pytest.approx(FONTS.width("petal 2", size=13 * 0.25, strong=True), abs=1e-3)
    assert all(text.get("textLength") is None for text in parsed(named("שלום")).iter(f"{SPACE}text"))


def test_dashes_are_multiples_of_the_width():
    sheet = Sheet(30, 30, (Stroke((polyline((1, 1), (20, 1)),), "dashed"),))
    (path,) = parsed(sheet).iter(f"{SPACE}path")
    assert (path.get("stroke-width"), path.get("stroke-dasharray")) == ("0.1875", "1.125 0.5625")


def test_same_bytes_twice():
    assert svg_file(ruled(), fonts=FONTS, title="t") == svg_file(ruled(), fonts=FONTS, title="t")


def test_two_drawings_on_one_page_keep_their_clips_apart():
    first, second = (svg_element(ruled(), fonts=FONTS, title="t", prefix=prefix) for prefix in ("a-", "b-"))
    assert set(re.findall(r'id="([^"]+)"', first)).isdisjoint(re.findall(r'id="([^"]+)"', second))
    assert 'clip-path="url(#a-clip-1)"' in first


def test_numbers_are_short_and_never_minus_nought():
    assert [number(value) for value in (100.0, -0.00001, 1 / 3, 0.1)] == ["100", "0", "0.3333", "0.1"]
    with pytest.raises(ValueError, match="not a length"):
        number(float("nan"))


def test_a_path_that_stands_on_several_sheets_is_written_once_and_as_on_each_alone():
    shared = polyline((0, 0), (3, 4))
    sheets = [Sheet(width, height, (Stroke((shared,), "wide"), Stroke(PATH, "wide"))) for width, height in ((30, 30), (20, 30), (30, 10))]
    written = {}
    together = [svg_element(sheet, fonts=FONTS, title="", written=written) for sheet in sheets]
    assert together == [svg_element(sheet, fonts=FONTS, title="") for sheet in sheets]
    # The path of the two sheets of one height is one text, that of the lower sheet another.
    assert len([key for key in written if key[0] == id(PATH)]) == 2
