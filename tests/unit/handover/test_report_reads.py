"""How a report reads: units stay with their numbers, heads with what they head, names are whole, and no bound claims too much."""

import io
from pathlib import Path

import pypdf
import pytest

from core.drawing.display_list import Text
from core.handover.findings import findings_of, swept
from core.handover.fonts import with_units
from core.handover.page import Figure, Points, Report, Table, Words
from core.handover.report import clearance_report
from core.handover.report_pdf import report_pdf
from core.project_file.read import read_project
from tests.bays import project
from tests.unit.handover.reports import ORIGIN, swinging
from tests.unit.handover.sheets import FONTS

SAMPLES = Path(__file__).parents[3] / "sample_projects"


def report(found):
    return clearance_report(findings_of(swept(found), origin=ORIGIN, date="2026-01-31"), fonts=FONTS)


@pytest.fixture(scope="module")
def stage():
    found = read_project(SAMPLES / "clear_bay.bay.json")
    return found, swept(found)


@pytest.fixture(scope="module")
def stage_report(stage):
    return clearance_report(findings_of(stage[1], origin=ORIGIN, date="2026-01-31"), fonts=FONTS)


def timeline_words(made):
    figure = next(block for block in made.blocks if isinstance(block, Figure) and block.caption.startswith("Each drive from one end"))
    return [item for item in figure.sheet.items if isinstance(item, Text)]


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        ("closer than 2.26 mm. You", "closer than 2.26\N{NO-BREAK SPACE}mm. You"),
        ("at -9 deg and 1500 \N{MICRO SIGN}s", "at -9\N{NO-BREAK SPACE}deg and 1500\N{NO-BREAK SPACE}\N{MICRO SIGN}s"),
        ("arm 2 mmx, 3 degrees", "arm 2 mmx, 3 degrees"),
    ],
)
def test_no_line_breaks_between_a_number_and_its_unit(words, kept):
    assert with_units(words) == kept


def test_pairs_that_are_not_checked_are_parted_by_semicolons():
    made = report(project(swinging()))
    told = [sentence for block in made.blocks if isinstance(block, Points) for sentence in block.sentences]
    assert "printed in one piece (1): bay and arm." in told
    stage_like = report(read_project(SAMPLES / "barrier_arm.bay.json"))
    told = [sentence for block in stage_like.blocks if isinstance(block, Points) for sentence in block.sentences]
    assert "passes over (2): motor and sled; sled and rib." in told


def test_a_pair_far_apart_is_told_by_what_is_proved_of_it_not_by_the_gap_first_met(stage, stage_report):
    _, answer = stage
    pairs = next(block for block in stage_report.blocks if isinstance(block, Table) and block.heads[0] == "Pair")
    lowest, floor, where = (
        next(place for place, head in enumerate(pairs.heads) if head.startswith(word)) for word in ("Low", "Proved", "Where")
    )
    far = [row for row in pairs.rows if row[lowest].startswith("over ")]
    assert far
    assert all(row[lowest] == f"over {row[floor]}" and row[where] == "everywhere" for row in far)
    told = [float(row[lowest].removeprefix("over ")) for row in pairs.rows]
    assert told == sorted(told)  # all are asked for the same gap, and "tightest first" stands over the table
    numbers = {" and ".join(check.between): check for check in answer.result.checks if check.far and check.sweep == "combined"}
    assert all(
        float(row[lowest].removeprefix("over ")) <= numbers[row[0]].floor - numbers[row[0]].tolerance + 1e-9
        for row in far
        if row[0] in numbers
    )


def test_the_timeline_tells_of_far_pairs_what_the_table_does(stage_report):
    pairs = next(block for block in stage_report.blocks if isinstance(block, Table) and block.heads[0] == "Pair")
    told = {row[2].replace("over", ">") for row in pairs.rows}
    shown = [item.words for item in timeline_words(stage_report) if item.words.startswith("> ")]
    assert shown
    assert set(shown) <= told


def test_names_of_drives_that_fit_over_their_bands_stand_on_one_line(stage, stage_report):
    drives = {drive.name for drive in stage[0].drives}
    assert len({item.at[1] for item in timeline_words(stage_report) if item.words in drives}) == 1


def test_names_of_drives_too_wide_for_their_bands_stand_in_steps_and_whole():
    found = read_project(SAMPLES / "hard_kinds.bay.json")
    names = {drive.name for drive in found.drives}
    shown = [item for item in timeline_words(report(found)) if item.strong and item.words in names]
    assert {item.words for item in shown} == names
    assert len({item.at[1] for item in shown}) > 1


def test_the_head_of_the_bench_sheet_never_stands_alone_at_the_foot_of_a_page():
    made = report(project(swinging()))
    heads = [place for place, block in enumerate(made.blocks) if getattr(block, "words", "") == "Bench sheet"]
    start = made.blocks[heads[0] :]
    alone = 0
    for lines in range(34, 52):
        blocks = (*(Words("filling") for _ in range(lines)), *start)
        pages = pypdf.PdfReader(io.BytesIO(report_pdf(Report("t", "", (("a", "b"),), blocks), fonts=FONTS))).pages
        (page,) = (page.extract_text() for page in pages if "Bench sheet" in page.extract_text())
        alone += "Setting the horns" not in page
    assert alone == 0


def test_the_places_of_drives_with_numbers_in_their_names_can_be_told_from_their_values(stage_report):
    pairs = next(block for block in stage_report.blocks if isinstance(block, Table) and block.heads[0] == "Pair")
    assert any(row[-1].startswith("ride at ") for row in pairs.rows)
