"""After an edit the board keeps the items of what is the same, and shows what one that was built anew would."""

import pytest
from msgspec.structs import replace

from app.board.board import Board
from app.command_line import sample_files
from app.theme import LIGHT
from app.window import make_application
from core.drawing.slabs import section_slabs
from core.model.edit_bodies import delete_bodies, reorder_body, set_depth, set_fixed, show_bodies
from core.model.edit_placing import duplicate_bodies, place_bodies
from core.model.edit_shapes import replace_shape
from core.model.placing import moving
from core.project_file.read import read_project
from tests.unit.drawing.measure import length

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
SAMPLES = ("petal_lamp", "owl_head")


def moved(project, section, body):
    return place_bodies(project, section, (body,), moving(turn=7.0, shift=(3.0, -2.0)))


def deeper(project, section, body):
    return set_depth(project, section, (body,), (-3.0, 61.0))


def beside(project, section, body):
    return place_bodies(project, section, (body,), moving(shift=(3.7, -2.3)))


EDITS = {
    "moved": moved,
    "beside": beside,
    "deeper": deeper,
    "deleted": lambda project, section, body: delete_bodies(project, section, (body,)).project,
    "fixed": lambda project, section, body: set_fixed(project, section, (body,), fixed=True),
    "loosened": lambda project, section, body: set_fixed(project, section, (body,), fixed=False),
    "hidden": lambda project, section, body: show_bodies(project, section, (body,), hidden=True),
    "duplicated": lambda project, section, body: duplicate_bodies(project, section, (body,)).project,
    "first": lambda project, section, body: reorder_body(project, section, body, to=0),
    "nothing": lambda project, section, body: replace(project, notes=f"{section} {body}"),
}


@pytest.fixture
def boards(qtbot):
    """A function that makes a board on a section."""
    make_application()

    def make(project, section):
        board = Board(LIGHT)
        qtbot.addWidget(board)
        board.resize(700, 500)
        board.show()
        board.show_section(project, section)
        return board

    return make


def picture(board, qtbot):
    qtbot.waitUntil(lambda: not board._naming.busy, timeout=20_000)
    return board.grab().toImage()


@pytest.mark.parametrize("edit", EDITS)
@pytest.mark.parametrize("sample", SAMPLES)
def test_a_section_refreshed_looks_as_one_shown_for_the_first_time(boards, qtbot, sample, edit):
    before = read_project(sample_files()[sample])
    section = before.sections[0]
    kept = boards(before, section.name)
    for place in (0, len(section.bodies) // 2):
        after = EDITS[edit](before, section.name, section.bodies[place].name)
        kept.refresh_section(after, section.name)
        kept.place_bolts()
        kept.fit()
        assert picture(kept, qtbot) == picture(boards(after, section.name), qtbot)
    kept.refresh_section(before, section.name)
    kept.place_bolts()
    kept.fit()
    assert picture(kept, qtbot) == picture(boards(before, section.name), qtbot)


def test_of_all_bodies_only_the_one_that_moved_is_drawn_anew(boards):
    before = read_project(sample_files()["petal_lamp"])
    section = before.sections[0]
    board = boards(before, section.name)
    items = {item.slab.body: item for item, _ in board._items._movers.values()}
    stamps = {body: item.stamp for body, item in items.items()}
    slabs = {body: item.slab for body, item in items.items()}
    body = next(iter(items))
    board.refresh_section(moved(before, section.name, body), section.name)
    after = {item.slab.body: item for item, _ in board._items._movers.values()}
    assert after == items
    assert [name for name, item in after.items() if item.stamp != stamps[name]] == [body]
    assert [name for name, item in after.items() if item.slab is not slabs[name]] == [body]
    assert after[body].slab in board.slabs


def test_the_outlines_of_a_body_that_is_shifted_again_and_again_are_those_of_the_last_state(boards):
    """No step adds to the error of the one before: after a thousand all is where one step would have put it."""
    before = read_project(sample_files()["petal_lamp"])
    section, body = before.sections[0], "petal 1"
    board = boards(before, section.name)
    project = before
    for step in range(1000):
        project = place_bodies(before, section.name, (body,), moving(shift=(0.0137 * step, -0.0071 * step)))
        board.refresh_section(project, section.name)
    shown = [slab for slab in board.slabs if slab.body == body]
    exact = [slab for slab in section_slabs(project.sections[0]) if slab.body == body]
    assert [slab.extent() for slab in shown] == [pytest.approx(slab.extent(), abs=3e-6) for slab in exact]
    assert [length(slab.lines) for slab in shown] == [pytest.approx(length(slab.lines), abs=1e-6) for slab in exact]


def test_a_body_that_changes_its_outline_and_is_shifted_then_has_the_new_one(boards):
    before = read_project(sample_files()["petal_lamp"])
    section = before.sections[0]
    post = next(body for body in section.bodies if body.name == "hub 1")
    board = boards(before, section.name)
    wider = replace_shape(before, section.name, post.name, 0, replace(post.shapes[0], radius=post.shapes[0].radius + 1.5))
    board.refresh_section(wider, section.name)
    board.refresh_section(beside(wider, section.name, post.name), section.name)
    exact = next(slab for slab in section_slabs(beside(wider, section.name, post.name).sections[0]) if slab.body == post.name)
    shown = next(slab for slab in board.slabs if slab.body == post.name)
    assert shown.extent() == pytest.approx(exact.extent(), abs=1e-9)
