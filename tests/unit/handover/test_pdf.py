"""PDF as another library reads it."""

import io
import re

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream
from reportlab import rl_config

from core.drawing.display_list import Stroke
from core.drawing.path import circle
from core.drawing.sheet import Sheet
from core.handover.fonts import MARK
from core.handover.pdf import POINTS_IN_MM, pdf_file
from tests.unit.handover.sheets import FONTS, HOSTILE, RULE_MM, SIGNS, named, ruled


def read(*sheets, title="a title"):
    return PdfReader(io.BytesIO(pdf_file(sheets, fonts=FONTS, title=title)))


def operations(page):
    """Operands and operator of all that is painted."""
    return ContentStream(page.get_contents(), page.pdf).operations


def test_pages_have_the_size_of_their_sheets():
    pages = read(ruled(), named("x")).pages
    sizes = [(float(page.mediabox.width) / POINTS_IN_MM, float(page.mediabox.height) / POINTS_IN_MM) for page in pages]
    assert sizes == [pytest.approx((140, 90), abs=1e-4), pytest.approx((140, 20), abs=1e-4)]


def test_a_rule_of_100_mm_is_100_mm_long():
    drawn = operations(read(ruled()).pages[0])
    scales = [operands for operands, operator in drawn if operator == b"cm" and float(operands[0]) != 1.0]
    assert [float(value) for value in scales[0]] == pytest.approx([72 / 25.4, 0, 0, 72 / 25.4, 0, 0], abs=1e-5)
    ends = [(float(operands[0]), float(operands[1])) for operands, operator in drawn if operator in (b"m", b"l")]
    assert ends[-2:] == [(20.0, 20.0), (20.0 + RULE_MM, 20.0)]


def test_curves_stay_on_their_circle():
    sheet = Sheet(300, 300, (Stroke((circle((150.0, 150.0), 100.0),), "narrow"),))
    drawn = operations(read(sheet).pages[0])
    at, off = None, 0.0
    for operands, operator in drawn:
        if operator == b"m":
            at = complex(*map(float, operands))
        elif operator == b"c":
            ax, ay, bx, by, x, y = map(float, operands)
            points = [at, complex(ax, ay), complex(bx, by), complex(x, y)]
            for share in (step / 16 for step in range(17)):
                weights = ((1 - share) ** 3, 3 * share * (1 - share) ** 2, 3 * share**2 * (1 - share), share**3)
                off = max(off, abs(abs(sum(w * p for w, p in zip(weights, points, strict=True)) - (150 + 150j)) - 100.0))
            at = points[-1]
    assert 0.0 < off < 5e-4


def test_signs_can_be_read_back():
    assert SIGNS in read(ruled()).pages[0].extract_text()


def test_fonts_are_the_programs_own_and_embedded():
    fonts = read(named("petal 2"), ruled()).pages[0]["/Resources"]["/Font"]
    told = [font.get_object() for font in fonts.values()]
    assert {re.sub("[A-Z]{6}[+]", "", font["/BaseFont"]) for font in told} == {"/Barlow-Regular", "/Barlow-Medium"}
    assert all("/FontFile2" in font["/FontDescriptor"].get_object() for font in told)


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_stay_words_and_missing_letters_show_a_mark(name):
    file = read(named(name), title=name)
    shown = FONTS.strong.shown(name)
    assert shown in file.pages[0].extract_text()
    assert len(file.pages) == 1
    assert "/OpenAction" not in file.trailer["/Root"]
    assert (MARK in shown) == any(not FONTS.strong.has(letter) for letter in name)


def test_same_bytes_twice_and_no_date():
    first, second = (pdf_file([ruled(), named("x")], fonts=FONTS, title="t") for _ in range(2))
    assert first == second
    assert set(PdfReader(io.BytesIO(first)).metadata) == {"/Title", "/Creator"}


def test_a_file_of_no_pages_is_refused():
    with pytest.raises(ValueError, match="no pages"):
        pdf_file([], fonts=FONTS, title="t")


def test_pages_lie_in_the_file_as_they_are_compressed_and_the_library_is_left_as_it_was():
    before = rl_config.useA85
    file = pdf_file([ruled()], fonts=FONTS, title="a title")
    assert b"FlateDecode" in file
    assert b"ASCII85Decode" not in file
    assert rl_config.useA85 == before
