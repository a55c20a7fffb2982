"""Templates: true to size, every place of the section on a page, neighbours that share a strip, pins named once."""

import io
from itertools import pairwise

import pytest
from pypdf import PdfReader

from app.command_line import sample_files
from core.drawing.display_list import Group, Stroke, Text
from core.drawing.extent import extent
from core.drawing.path import Arc
from core.handover.pdf import pdf_file
from core.handover.pins import pin_marks, pins_of
from core.handover.template import A4, OVERLAP, RULE, column_letter, template_sheets, tiling_of
from core.model.joints import Bolted, Pivot
from core.model.project import Body, Project, Section
from core.model.shapes import Box, Disc
from core.project_file.read import read_project
from tests.unit.handover.sheets import FONTS, HOSTILE

SAMPLES = [(name, section.name) for name, path in sample_files().items() for section in read_project(path).sections]


def large(name="board"):
    """A section of 500 x 400 mm with one pin, at (0, 0)."""
    bodies = (
        Body(name=name, fixed=True, depth=(0, 2), shapes=(Box(centre=(100, 80), size=(500, 400)),)),
        Body(name="arm", fixed=False, depth=(3, 4), shapes=(Disc(centre=(0, 0), radius=7), Disc(centre=(20, 0), radius=3))),
    )
    joints = (Pivot(name="pin", between=(name, "arm"), at=(0, 0)),)
    return Project(format=1, name="p", required_gap=1, sections=(Section(name="s", bodies=bodies, joints=joints),))


def texts(sheet):
    return [item.words for item in sheet.everything if isinstance(item, Text)]


def test_windows_cover_the_section_and_share_a_strip():
    reach = (-158.0, -128.0, 358.0, 288.0)
    tiling = tiling_of(reach)
    (left, low), (right, high) = tiling.place(0, 0), tiling.place(tiling.columns - 1, tiling.rows - 1)
    assert left <= reach[0]
    assert low <= reach[1]
    assert right + tiling.window[0] >= reach[2]
    assert high + tiling.window[1] >= reach[3]
    assert tiling.place(0, 0)[0] + tiling.window[0] - tiling.place(1, 0)[0] == pytest.approx(OVERLAP)
    assert tiling.place(0, 0)[1] + tiling.window[1] - tiling.place(0, 1)[1] == pytest.approx(OVERLAP)


def test_a_section_that_fits_has_one_sheet_and_its_list_of_pins():
    project = read_project(sample_files()["barrier_arm"])
    sheets = template_sheets(project, project.sections[0], fonts=FONTS)
    assert len(sheets) == 2
    assert "Sheet 1 of 2." in texts(sheets[0])
    assert "Sheet 2 of 2." in texts(sheets[1])


def test_sheets_come_in_the_order_in_which_they_are_laid_and_say_where():
    project = large()
    sheets = template_sheets(project, project.sections[0], fonts=FONTS)
    tiling = tiling_of((-158.0, -128.0, 358.0, 288.0))
    told = [words for sheet in sheets for words in texts(sheet) if words.startswith("Sheet")]
    assert told[0] == f"Sheet 1 of {len(sheets)}, column A, row 1."
    assert told[tiling.columns] == f"Sheet {tiling.columns + 1} of {len(sheets)}, column A, row 2."
    assert len(sheets) == tiling.columns * tiling.rows + 1


def test_the_same_place_of_the_section_stands_on_neighbours_a_step_apart():
    project = large()
    sheets = template_sheets(project, project.sections[0], fonts=FONTS)
    tiling = tiling_of((-158.0, -128.0, 358.0, 288.0))
    drawn = [next(item for item in sheet.items if isinstance(item, Group)) for sheet in sheets[: tiling.columns]]
    walls = [
        max((extent(item.path) for item in group.items if isinstance(item, Stroke)), key=lambda reach: reach[2] - reach[0])
        for group in drawn
    ]
    assert walls[0][2] - walls[0][0] == pytest.approx(500.0)  # true to size, whatever shows
    for one, other in pairwise(walls):
        assert one[0] - other[0] == pytest.approx(tiling.window[0] - OVERLAP)


@pytest.mark.parametrize(("name", "section"), SAMPLES)
def test_every_sheet_has_a_rule_of_100_mm_and_stays_on_its_page(name, section):
    project = read_project(sample_files()[name])
    drawn = next(each for each in project.sections if each.name == section)
    sheets = template_sheets(project, drawn, fonts=FONTS)
    rules = [items for sheet in sheets for key, items in sheet.named if key == "rule"]
    assert len(rules) >= len(sheets) - 1
    for items in rules:
        reach = extent(next(item.path for item in items if isinstance(item, Stroke)))
        assert reach[2] - reach[0] == pytest.approx(RULE, abs=1e-9)
    for sheet in sheets:
        assert sorted((sheet.width, sheet.height)) == list(A4)
        for item in sheet.everything:
            if isinstance(item, Text):
                width = FONTS.width(item.words, size=item.size * 0.25, strong=item.strong)
                left = item.at[0] - {"left": 0.0, "middle": width / 2, "right": width}[item.anchor]
                assert 0 < left < left + width < sheet.width


def test_pins_tell_what_is_round_about_them():
    (pin,) = pins_of(large().sections[0])
    assert (pin.joint, pin.what, pin.at, pin.round) == ("pin", "pivot", (0, 0), (("arm", 14.0),))


def test_bolted_bodies_have_no_pin():
    section = large().sections[0]
    joints = (Bolted(name="glue", between=("board", "arm")),)
    assert pins_of(Section(name="s", bodies=section.bodies, joints=joints)) == ()


def test_a_pin_has_a_cross_and_a_circle_at_its_centre_and_its_number_near():
    items = pin_marks(pins_of(large().sections[0]))
    cross, ring, *_ = [item for item in items if isinstance(item, Stroke)]
    assert [run.edges[0].point(0.5) for run in cross.path] == [(0, 0), (0, 0)]
    assert [edge.centre for run in ring.path for edge in run.edges if isinstance(edge, Arc)] == [(0, 0)]
    (number,) = [item for item in items if isinstance(item, Text)]
    assert number.words == "1"
    assert 4 <= abs(complex(*number.at)) <= 17


def test_columns_are_lettered_as_long_as_there_are_any():
    assert [column_letter(number) for number in (0, 25, 26, 51, 52, 701, 702)] == ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]


@pytest.mark.parametrize("name", HOSTILE[:4])
def test_hostile_names_stay_words(name):
    project = large(name)
    sheets = template_sheets(project, project.sections[0], fonts=FONTS)
    pages = PdfReader(io.BytesIO(pdf_file(sheets, fonts=FONTS, title="t"))).pages
    assert len(pages) == len(sheets)
    assert FONTS.regular.shown(name)[:8] in "".join(page.extract_text() for page in pages)


def test_same_bytes_twice():
    project = large()
    first, second = (pdf_file(template_sheets(project, project.sections[0], fonts=FONTS), fonts=FONTS, title="t") for _ in range(2))
    assert first == second
