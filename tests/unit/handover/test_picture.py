"""Pictures and scale bars as sheets."""

import pytest

from app.command_line import sample_files
from app.theme import LIGHT
from core.drawing.display_list import Fill, Group, Stroke, Text
from core.drawing.extent import extent
from core.handover.paper import PAPER
from core.handover.picture import picture_sheet, pose_words
from core.handover.scale import bar_length, scale_bar, scale_that_fits, scale_words
from core.handover.svg import svg_file
from core.model.project import Project, Section
from core.project_file.read import read_project
from tests.unit.handover.sheets import FONTS

SAMPLES = [(name, section.name) for name, path in sample_files().items() for section in read_project(path).sections]


def sample(name, section):
    project = read_project(sample_files()[name])
    return project, next(each for each in project.sections if each.name == section)


def reaches(items):
    """The boxes of all that is drawn, words included."""
    for item in items:
        match item:
            case Fill():
                yield from (extent(path) for path in item.outlines)
            case Stroke():
                yield extent(item.path)
            case Group():
                yield extent(item.clip)
            case Text():
                width = FONTS.width(item.words, size=item.size * 0.25, strong=item.strong)
                left = item.at[0] - {"left": 0.0, "middle": width / 2, "right": width}[item.anchor]
                yield (left, item.at[1] - item.size * 0.125, left + width, item.at[1] + item.size * 0.125)


def ends(project):
    return {drive.name: drive.end if number % 2 else drive.start for number, drive in enumerate(project.drives)}


@pytest.mark.parametrize(("name", "section"), SAMPLES)
def test_nothing_is_cut_off_at_home_or_at_ends_of_travel(name, section):
    project, drawn = sample(name, section)
    for values in ({}, ends(project)):
        sheet = picture_sheet(project, drawn, values, fonts=FONTS)
        for low_x, low_y, high_x, high_y in filter(None, reaches(sheet.items)):
            assert 0 <= low_x <= high_x <= sheet.width
            assert 0 <= low_y <= high_y <= sheet.height


@pytest.mark.parametrize(("name", "section"), SAMPLES)
def test_words_do_not_lie_on_each_other(name, section):
    project, drawn = sample(name, section)
    for values in ({}, ends(project)):
        texts = [item for item in picture_sheet(project, drawn, values, fonts=FONTS).items if isinstance(item, Text)]
        boxes = list(reaches(texts))
        meeting = [
            (one.words, other.words)
            for number, (one, a) in enumerate(zip(texts, boxes, strict=True))
            for other, b in list(zip(texts, boxes, strict=True))[:number]
            if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
        ]
        assert meeting == []


def test_bodies_are_drawn_at_the_scale_told():
    project, section = sample("barrier_arm", "Side")
    sheet = picture_sheet(project, section, {}, fonts=FONTS)
    # The housing is a frame of 80 x 50 with walls of 2, drawn 2 : 1.
    sizes = {(round(r[2] - r[0], 6), round(r[3] - r[1], 6)) for r in filter(None, reaches(sheet.items))}
    assert (2 * 84.0, 2 * 54.0) in sizes
    assert "Scale 2 : 1" in {item.words for item in sheet.items if isinstance(item, Text)}


def test_a_section_without_shapes_says_so():
    project = Project(format=1, name="p", required_gap=1, sections=(Section(name="s", bodies=()),))
    words = [item.words for item in picture_sheet(project, project.sections[0], {}, fonts=FONTS).items if isinstance(item, Text)]
    assert any(line.startswith("Nothing to show") for line in words)


def test_pose_is_told_by_the_drives_away_from_home():
    project, _ = sample("barrier_arm", "Side")
    home = {drive.name: drive.home for drive in project.drives}
    assert pose_words(project, home) == "All drives at home."
    assert pose_words(project, {"swing": 38.0}) == "Swing at 38 deg."
    owl, top = sample("owl_head", "Top")
    assert pose_words(owl, {"left lid": -5.0}, section=top) == "All drives at home."
    assert pose_words(owl, {"left lid": -5.0}).startswith("Left lid at -5 deg")
    assert pose_words(Project(format=1, name="p", required_gap=1, sections=()), {}) == "As drawn; this project has no drives."


def test_same_bytes_twice():
    project, section = sample("petal_lamp", "Plan")
    first, second = (svg_file(picture_sheet(project, section, {}, fonts=FONTS), fonts=FONTS, title="t") for _ in range(2))
    assert first == second


@pytest.mark.parametrize(
    ("size", "scale", "words"), [(84, 2, "2 : 1"), (130, 2, "2 : 1"), (131, 1, "1 : 1"), (900, 0.2, "1 : 5"), (1.2, 50, "50 : 1")]
)
def test_scales_are_those_of_iso_5455(size, scale, words):
    # ISO 5455: 50, 20, 10, 5, 2 to 1 and 1 to 2, 5, 10 and so on (from memory).
    found = scale_that_fits((0, 0, size, size / 2), width=260, height=170)
    assert found == pytest.approx(scale)
    assert scale_words(found) == words


@pytest.mark.parametrize("scale", [50, 5, 2, 1, 0.5, 0.2, 0.1, 0.01])
def test_a_scale_bar_is_as_long_as_it_says(scale):
    length = bar_length(scale)
    assert 24 <= length * scale <= 60
    items = scale_bar((100.0, 10.0), scale=scale)
    reach = extent(next(item.path for item in items if isinstance(item, Stroke)))
    assert reach[2] - reach[0] == pytest.approx(length * scale)
    assert f"{length:g} mm" in {item.words for item in items if isinstance(item, Text)}


def test_tints_on_paper_have_the_names_and_the_order_of_the_window():
    assert list(PAPER.tints) == list(LIGHT.bodies)
