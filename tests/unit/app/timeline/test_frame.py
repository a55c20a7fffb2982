"""The words and figures about the cells of the interference timeline: none is cut where it would read as another."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter

from app import theme
from app.theme import LIGHT
from app.timeline import frame, layout
from app.timeline.curve import floor_shown
from app.timeline.showing import Showing
from app.window import make_application
from core.project_file.read import read_project
from core.sweep.profile import profiles
from core.sweep.run import check_project
from core.sweep.timeline import Timeline, heat_steps, judged, timeline

SAMPLES = Path(__file__).parents[4] / "sample_projects"


@pytest.fixture(scope="module", autouse=True)
def application():
    return make_application()


def width(text):
    return QFontMetricsF(theme.font(theme.DATA)).horizontalAdvance(text)


def sample(name):
    return read_project(SAMPLES / f"{name}.bay.json")


def rows_of(project):
    return timeline(project, profiles(project, 60), check_project(project, safe_anywhere=False, safe_box=False)).rows


def shown(project, rows=(), size=(1100, 228)):
    return Showing(LIGHT, size, project=project, timeline=Timeline(tuple(rows)))


@pytest.fixture(scope="module")
def hard():
    project = sample("hard_kinds")
    return project, rows_of(project)


def row_of(rows, *names):
    return next(row for row in rows if set(row.between) == set(names))


def test_a_list_of_places_is_cut_between_its_parts_and_never_inside_a_number():
    told = "ride at 32 mm, bow at \N{MINUS SIGN}14\N{DEGREE SIGN}, nod at 3\N{DEGREE SIGN}"
    cut = frame.whole_parts(told, width("ride at 32 mm, bow at \N{MINUS SIGN}1") + 2)
    assert cut == "ride at 32 mm, \N{HORIZONTAL ELLIPSIS}"
    assert frame.whole_parts(told, width(told)) == told


def test_a_place_that_is_alone_is_not_cut_here():
    assert frame.whole_parts("swing at 44.96\N{DEGREE SIGN}", 10.0) == "swing at 44.96\N{DEGREE SIGN}"


def test_a_drive_whose_name_ends_in_a_number_is_told_apart_from_its_value(hard):
    project, rows = hard
    assert frame.where_text(shown(project, rows), row_of(rows, "jib", "stop")).startswith("boom at 30\N{DEGREE SIGN}, jib at")


def test_the_ends_of_a_breach_are_told_outward_and_the_unit_once(hard):
    project, rows = hard
    thin = row_of(rows, "wire pin", "blade")
    told = frame.breach_text(shown(project, rows), thin)
    (breach,) = thin.solo["blade"].breaches
    low, high = (float(part) for part in told.removeprefix("breach ").split(" \N{MIDDLE DOT} ")[0].split(" to "))
    assert low <= breach.start
    assert high >= breach.end
    assert told.count("mm") == 1
    room = layout.PANEL_WIDTH - 2 * layout.MARGIN
    assert width(told) <= room


def test_figures_of_a_pair_with_outline_tolerances_are_those_of_its_verdict():
    project = sample("clear_bay")
    rows = rows_of(project)
    row = row_of(rows, "head", "moon")
    assert row.taken == pytest.approx(0.2)
    assert row.judged == pytest.approx(row.lowest_gap - 0.2)
    assert float(frame.floor_text(row)) == pytest.approx(row.floor - 0.2, abs=1e-3)


def test_a_pair_proved_clear_at_exactly_what_is_asked_has_no_cell_that_looks_short(hard):
    _, rows = hard
    for names in (("gauge post", "lever"), ("rest post", "pallet")):
        row = row_of(rows, *names)
        (drive,) = row.solo
        edges = row.cells[drive].edges[::20]
        assert row.solo[drive].verdict == "clear"
        assert heat_steps(judged(row, drive, edges), row.required).max() == 3  # as required


@pytest.mark.parametrize("name", ["lock_gate", "owl_head"])
def test_the_names_of_long_pairs_of_several_sections_fit_into_their_column(name, hard):
    project = sample(name)
    some = hard[1][0]
    section = max((section.name for section in project.sections), key=len)
    bodies = sorted((body.name for part in project.sections for body in part.bodies), key=len)
    row = type(some)(
        **{field: getattr(some, field) for field in some.__dataclass_fields__} | {"section": section, "between": tuple(bodies[-2:])}
    )
    showing = shown(project, [row])
    metrics = QFontMetricsF(theme.font(theme.DATA, weight=theme.SEMIBOLD))
    assert metrics.horizontalAdvance(showing.name_of(row)) <= showing.names_width
    assert showing.bands_left == layout.MARGIN + showing.names_width


def test_short_names_leave_the_columns_where_they_were(hard):
    project, rows = hard
    assert shown(project, rows).names_width >= layout.LEAST_NAMES
    assert shown(project).names_width == layout.LEAST_NAMES


def test_the_line_of_what_is_proved_is_told_where_it_is_drawn_and_lies_where_the_figure_says(hard):
    _, rows = hard
    thin, far = row_of(rows, "wire pin", "blade"), row_of(rows, "stop", "left wrist")
    assert floor_shown(thin)
    assert not floor_shown(far)  # more than 60 mm, beyond the upper edge of the curve
    assert not floor_shown(replace(thin, floor=None))


def test_the_legend_tells_multiples_of_what_is_asked_in_words(hard):
    assert frame.legend_words().count(frame.TIMES) == 1
    showing = shown(*hard)
    assert not frame.legend_area(showing).intersects(frame.rest_area(showing))
    assert frame.legend_area(showing).right() < showing.bands_left


def test_the_legend_of_heat_keeps_off_the_last_rows_name(hard):
    showing = shown(*hard)
    image = QImage(*showing.size, QImage.Format.Format_RGB32)
    image.fill(QColor(LIGHT.field))
    painter = QPainter(image)
    frame.paint_foot(painter, showing)
    painter.end()
    top, left, right = showing.rows_bottom, layout.MARGIN, int(frame.legend_area(showing).right())
    bare = [all(image.pixelColor(x, y) == QColor(LIGHT.field) for x in range(left, right)) for y in range(top, image.height())]
    assert all(bare[:4])  # letters reach to the end of their row
    assert not bare[5]
    assert all(bare[-2:])  # its numbers are not cut
