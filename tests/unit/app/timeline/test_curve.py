"""The name of the required line hides no curve, and can be read where the cursor passes it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtGui import QImage, QPainter

from app.theme import LIGHT
from app.timeline import curve, frame
from app.timeline.showing import Showing
from app.timeline.view import TimelineView
from app.window import make_application
from core.project_file.read import read_project
from core.sweep.profile import profiles
from core.sweep.run import check_project
from core.sweep.timeline import Timeline, timeline

SAMPLES = Path(__file__).parents[4] / "sample_projects"
NAMES = ("barrier_arm", "hard_kinds", "lock_gate", "owl_head", "petal_lamp")


@pytest.fixture(scope="module", autouse=True)
def application():
    return make_application()


@pytest.fixture(scope="module")
def samples():
    found = {}
    for name in NAMES:
        project = read_project(SAMPLES / f"{name}.bay.json")
        found[name] = project, timeline(project, profiles(project, 60), check_project(project, safe_anywhere=False, safe_box=False))
    return found


def shown(project, rows, place, size):
    drive = next(iter(rows.rows[place].cells))
    return Showing(LIGHT, size, project=project, timeline=Timeline(rows.rows), selected=place, drive=drive)


def ink(showing, row, scale):
    """Where the curve alone is drawn, without the lines of its levels: pixels that are not the ground."""
    picture = QImage(*showing.size, QImage.Format.Format_RGB32)
    picture.fill(LIGHT.field)
    painter = QPainter(picture)
    for band in showing.bands:
        if band.drive in row.cells:
            painter.drawPolyline(curve._line(row, band, scale))
    painter.end()
    pixels = np.array(picture.constBits()).reshape(showing.size[1], showing.size[0], 4)
    return (pixels != pixels[-1, 0]).any(axis=2)


@pytest.mark.parametrize("size", [(1280, 228), (1100, 214)])
@pytest.mark.parametrize("name", NAMES)
def test_the_name_of_the_required_line_lies_over_no_curve_where_there_is_a_free_place(samples, name, size):
    project, rows = samples[name]
    for place, row in enumerate(rows.rows):
        showing = shown(project, rows, place, size)
        scale = curve.scale_of(row, top=40.0, bottom=80.0)
        area = curve.required_area(showing, row, scale)
        assert showing.bands_left - 1 <= area.left()
        assert area.right() <= showing.bands_right
        assert area.top() < scale.y_of(row.required) < area.bottom()
        there = ink(showing, row, scale)
        own = there[round(area.top()) : round(area.bottom()), round(area.left()) : round(area.right())]
        columns = there[round(area.top()) : round(area.bottom()), round(showing.bands_left) : round(showing.bands_right)].any(axis=0)
        widest = max((len(run) for run in "".join("x" if used else "." for used in columns).split("x")), default=0)
        assert not own.any() or widest < area.width() + 2 * (curve.APART + curve.STEP), row.between


def test_a_curve_that_falls_steeply_past_the_line_is_not_hidden(samples):
    """From far above to a breach within one cell: there the breach begins."""
    project, rows = samples["barrier_arm"]
    row = rows.rows[0]
    (drive,) = row.cells
    many = 720
    low, high = (one.start for one in project.drives if one.name == drive), (one.end for one in project.drives if one.name == drive)
    edges, lowest = np.linspace(next(low), next(high), many + 1), np.full(many, 500.0)
    lowest[round(0.03 * many) :] = -5.0
    cells = replace(row.cells[drive], edges=edges, lowest=lowest)
    steep = replace(row, cells={drive: cells})
    showing = shown(project, replace(rows, rows=(steep,)), 0, (1100, 214))
    scale = curve.scale_of(steep, top=40.0, bottom=80.0)
    area, falls = curve.required_area(showing, steep, scale), showing.bands[0].x_of(float(edges[round(0.03 * many)]))
    assert not area.left() - 1 <= falls <= area.right() + 1


def test_the_name_stands_at_the_left_where_no_place_is_free(samples):
    project, rows = samples["barrier_arm"]
    row = rows.rows[0]
    flat = replace(
        row, cells={drive: replace(cells, lowest=np.full_like(cells.lowest, row.required)) for drive, cells in row.cells.items()}
    )
    showing = shown(project, replace(rows, rows=(flat,)), 0, (1100, 214))
    scale = curve.scale_of(flat, top=40.0, bottom=80.0)
    assert curve.required_area(showing, flat, scale).left() == showing.bands_left - 1


def test_the_name_is_seen_where_the_cursor_passes_it(samples, qtbot):
    project, rows = samples["owl_head"]
    place = next(place for place, row in enumerate(rows.rows) if set(row.between) == {"brow", "right lid"})
    row = rows.rows[place]
    (drive,) = row.cells
    view = TimelineView(LIGHT)
    qtbot.addWidget(view)
    view.resize(1100, 214)
    view.show()
    record = next(one for one in project.drives if one.name == drive)
    showing = shown(project, rows, place, (view.width(), view.height()))
    band = next(band for band in showing.bands if band.opened)
    view.show_state(showing)
    qtbot.waitUntil(lambda: not view.behind)
    view.grab()
    _, named, area = view._named
    assert named is row
    values = np.linspace(record.start, record.end, 2000)
    over = [
        value for value in values if area.left() + 4 < frame.cursor_at(replace(showing, values={drive: value}), band) < area.right() - 8
    ]
    assert over
    within = area.toAlignedRect().adjusted(1, 1, -1, -1)
    bare = view.grab(within).toImage()
    at = replace(showing, values={drive: over[len(over) // 2]})
    view.show_state(at)
    assert round(frame.cursor_at(at, band)) in range(round(area.left()), round(area.right()))
    assert view.grab(within).toImage() == bare
