"""What a timeline has worked out is taken over by the next state of it, unless something that it hangs on differs."""

from dataclasses import replace
from pathlib import Path

import msgspec
import pytest
from PySide6.QtGui import QRegion

from app.theme import DARK, LIGHT
from app.timeline import frame
from app.timeline.showing import Showing
from app.timeline.view import TimelineView
from app.window import make_application
from core.project_file.read import read_project
from core.sweep.profile import profiles
from core.sweep.run import check_project
from core.sweep.timeline import Timeline, timeline

SAMPLE = Path(__file__).parents[4] / "sample_projects" / "hard_kinds.bay.json"
WORKED_OUT = ("bands", "places", "names_width")


@pytest.fixture(scope="module")
def state():
    make_application()
    project = read_project(SAMPLE)
    rows = timeline(project, profiles(project, 60), check_project(project, safe_anywhere=False, safe_box=False))
    return Showing(LIGHT, (1100, 228), project=project, timeline=rows, selected=0, drive=project.drives[0].name)


CHANGES = {
    "nothing": (lambda _: {}, set()),
    "values": (lambda state: {"values": {state.drives[0].name: state.drives[0].end}, "here": 1.0}, set()),
    "theme": (lambda _: {"style": DARK}, set()),
    "scrolled": (lambda _: {"offset": 7}, set()),
    "another row": (lambda _: {"selected": 1}, {"places"}),
    "another drive": (lambda state: {"drive": state.drives[-1].name}, {"bands"}),
    "size": (lambda _: {"size": (900, 228)}, {"bands"}),
    "headings": (lambda _: {"headings": {"clear": "clear"}}, {"places"}),
    "bare": (lambda _: {"bare": True}, set()),
    "rows": (lambda state: {"timeline": Timeline(state.timeline.rows[:3])}, {"bands", "places", "names_width"}),
    "project": (lambda _: {"project": None}, {"bands"}),
}


@pytest.mark.parametrize("change", CHANGES)
def test_what_hangs_on_what_differs_is_worked_out_anew(state, change):
    fields, anew = CHANGES[change]
    before = replace(state)
    assert all(getattr(before, name) for name in WORKED_OUT)
    after = replace(state, **fields(state)).taking_over(before)
    assert {name for name in WORKED_OUT if name not in after.__dict__} == anew
    fresh = replace(state, **fields(state))
    assert [getattr(after, name) for name in WORKED_OUT] == [getattr(fresh, name) for name in WORKED_OUT]


def test_what_was_never_asked_for_is_not_worked_out_for_the_next(state):
    after = replace(state).taking_over(replace(state))
    assert not any(name in after.__dict__ for name in WORKED_OUT)


@pytest.mark.parametrize("change", CHANGES)
def test_what_is_painted_otherwise_does_not_look_the_same(state, change, qtbot):
    after = replace(state, **CHANGES[change][0](state))
    assert after.looks_as(state) == (change == "nothing")
    if after.looks_as(state):
        assert picture(after, qtbot) == picture(state, qtbot)


def test_what_stands_around_rows_that_are_to_come_is_painted_in_a_turn_of_its_own(state, qtbot):
    view = TimelineView(LIGHT)
    qtbot.addWidget(view)
    view.resize(*state.size)
    view.show_state(replace(state, timeline=Timeline(), selected=None))
    first = view.grab().toImage()
    assert {first.pixelColor(x, y).name() for x in range(0, first.width(), 3) for y in range(0, first.height(), 3)} == {LIGHT.field}
    assert view.behind
    qtbot.waitUntil(lambda: not view.behind, timeout=10_000)
    assert view.grab().toImage() != first


@pytest.mark.parametrize("offset", range(0, 64, 3))
def test_rows_of_which_only_a_sliver_would_show_are_among_those_told_as_hidden(state, offset):
    closed = replace(state, selected=None, offset=offset)
    shown = [(place, top) for place, top in closed.visible() if place.row is not None]
    assert max(place.row for place, _ in shown) == closed.hidden_from() - 1
    assert all(closed.rows_bottom - top > 4 for _, top in shown)


def test_a_value_at_the_left_end_of_the_axis_keeps_off_the_legend_of_heat(state, qtbot):
    drive = msgspec.structs.replace(state.drives[0], home=state.drives[0].start)
    project = msgspec.structs.replace(state.project, drives=(drive, *state.drives[1:]))
    moved = replace(state, project=project, drive=drive.name, values={})
    seen = picture(moved, qtbot)
    legend_ends = 160
    between = {seen.pixelColor(x, y).name() for x in range(legend_ends, moved.bands_left - 3) for y in range(moved.rows_bottom + 8, 228)}
    assert between == {LIGHT.field}
    named = {
        seen.pixelColor(x, y).name() for x in range(moved.bands_left, moved.bands_left + 24) for y in range(moved.rows_bottom + 9, 228)
    }
    assert len(named) > 1


@pytest.mark.parametrize("end", [120.0, 1000.0])
def test_what_a_running_drive_paints_otherwise_lies_in_the_areas_painted_anew(state, qtbot, end):
    drive = msgspec.structs.replace(state.drives[0], unit="mm", start=0.0, end=end, home=0.0)
    project = msgspec.structs.replace(state.project, drives=(drive, *state.drives[1:]))
    view = TimelineView(LIGHT)
    qtbot.addWidget(view)
    view.resize(*state.size)
    before, at = None, replace(state, project=project, drive=drive.name, here=0.5)
    for share in (0.0, 0.31, 0.5, 0.87, 0.96, 1.0, 0.2):
        view.show_state(replace(at, values={drive.name: share * end}, here=share))
        qtbot.waitUntil(lambda: not view.behind, timeout=10_000)
        showing, seen = view.showing, view.grab().toImage()
        if before is not None:
            areas = [area.toAlignedRect() for one in (before[0], showing) for area in frame.moving_areas(one)]
            pixels = QRegion(seen.rect())
            for area in areas:
                pixels -= QRegion(area)
            assert all(before[1].copy(rect) == seen.copy(rect) for rect in pixels)
            assert before[1] != seen
        before = (showing, seen)


def picture(showing, qtbot):
    """The timeline as a widget that shows nothing else has it."""
    view = TimelineView(LIGHT)
    qtbot.addWidget(view)
    view.resize(*showing.size)
    view.show_state(showing)
    qtbot.waitUntil(lambda: not view.behind, timeout=10_000)
    return view.grab().toImage()
