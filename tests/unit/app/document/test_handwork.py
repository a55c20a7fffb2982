"""Work by keys: one named step each, what went along is told, and what was made is picked."""

import pytest
from PySide6.QtGui import QGuiApplication

from app.document.choice import Choice
from app.document.clipboard import copied_fragment, has_fragment
from app.document.document import Document
from app.document.handwork import Handwork
from core.errors import BaysweepError
from core.model.edit_sections import add_section
from core.model.lookup import body_of
from core.model.validate import validate
from core.project_file.write import project_to_bytes
from tests.unit.model.drawings import every_key, gate

pytestmark = pytest.mark.usefixtures("qapp")


class At:
    def __init__(self, project):
        self.document, self.choice = Document(), Choice()
        self.hand = Handwork(self.document, self.choice)
        self.document.project_changed.connect(lambda: self.choice.take(self.document.project))
        self.document.show(project)

    def names(self, place=0):
        return [body.name for body in self.document.project.sections[place].bodies]

    def done(self):
        return self.document.history.undoText()


@pytest.fixture
def at():
    return At(gate())


def test_deleting_tells_what_went_and_undo_brings_it_back(at):
    at.choice.pick_bodies(("leaf",))
    assert at.hand.delete()
    assert at.names() == ["post", "paddle"]
    assert at.done() == "Delete leaf, with 2 joints and 1 drive"
    assert at.choice.bodies == ()
    at.document.history.undo()
    assert at.document.project == gate()


def test_with_nothing_picked_nothing_happens(at):
    for work in (at.hand.delete, at.hand.cut, at.hand.copy, at.hand.duplicate):
        assert not work()
    assert not at.hand.mirror(about=(0.0, 0.0))
    assert at.document.history.count() == 0


def test_a_duplicate_has_joints_and_drive_of_its_own_and_is_picked(at):
    at.choice.pick_bodies(("leaf",))
    assert at.hand.duplicate()
    assert at.choice.bodies == ("leaf 2",)
    (section,) = at.document.project.sections
    assert [joint.name for joint in section.joints] == ["heel", "rack", "heel 2"]
    assert [drive.name for drive in at.document.project.drives] == ["swing", "swing 2"]
    assert at.done() == "Duplicate leaf 2"
    assert validate(at.document.project) == ()


def test_copy_and_paste_into_another_section_joins_nothing_that_is_not_there(at):
    at.choice.pick_bodies(("leaf", "paddle"))
    assert at.hand.copy()
    assert has_fragment()
    at.document.change("Add a section", add_section)
    at.choice.pick_section("Section")
    assert at.hand.paste(middle_at=(100.0, 50.0))
    section = at.document.project.sections[1]
    assert [body.name for body in section.bodies] == ["leaf", "paddle"]
    # the rack joins leaf and paddle; the heel was on the post, which is not in this section
    assert [joint.name for joint in section.joints] == ["rack"]
    assert body_of(section, "leaf").shapes[0].centre == (100, 50)
    assert at.choice.bodies == ("leaf", "paddle")


def test_pasting_again_and_again_sets_each_copy_farther(at):
    at.choice.pick_bodies(("post",))
    at.hand.copy()
    for _ in range(3):
        assert at.hand.paste()
    places = [body.shapes[0].centre for body in at.document.project.sections[0].bodies if body.name.startswith("post")]
    assert places == [(0, 0), (5, -5), (10, -10), (15, -15)]


def test_cut_is_one_step(at):
    at.choice.pick_bodies(("paddle",))
    assert at.hand.cut()
    assert at.done() == "Cut paddle, with 1 joint"
    assert at.document.history.count() == 1
    assert [body.name for body in copied_fragment().sections[0].bodies] == ["paddle"]


@pytest.mark.parametrize("text", ["", "a sentence", '{"baysweep": 1}', "{}"])
def test_a_clipboard_of_something_else_is_told(at, text):
    QGuiApplication.clipboard().setText(text)
    with pytest.raises(BaysweepError, match="nothing that can be pasted"):
        at.hand.paste()
    assert at.document.project == gate()


def test_an_empty_clipboard_is_told_as_nothing_to_paste(at):
    QGuiApplication.clipboard().clear()
    with pytest.raises(BaysweepError, match="nothing that can be pasted"):
        at.hand.paste()


def test_a_whole_project_as_text_is_pasted_where_it_has_one_section(at):
    QGuiApplication.clipboard().setText(project_to_bytes(gate()).decode())
    assert at.hand.paste()
    assert at.names() == ["post", "leaf", "paddle", "post 2", "leaf 2", "paddle 2"]
    assert validate(at.document.project) == ()
    project = every_key()
    if len(project.sections) > 1:
        QGuiApplication.clipboard().setText(project_to_bytes(project).decode())
        with pytest.raises(BaysweepError, match="sections"):
            at.hand.paste()


def test_mirroring_in_place_turns_the_drive_round(at):
    at.choice.pick_bodies(("leaf", "paddle"))
    assert at.hand.mirror(about=(0.0, 0.0))
    assert at.document.project.drives[0].moves[0].ratio == -1
    assert body_of(at.document.project.sections[0], "leaf").shapes[0].centre == (-10, 0)
    assert at.done() == "Mirror 2 bodies"


def test_hiding_and_holding_and_all_again(at):
    at.choice.pick_bodies(("leaf",))
    assert at.hand.hide(hidden=True)
    assert at.hand.hold(held=True)
    assert at.document.project.sections[0].bodies[1].view.hidden
    at.hand.select_all()
    assert at.choice.bodies == ("post", "paddle")
    assert at.hand.hide(hidden=False)
    assert at.hand.hold(held=False)
    assert at.document.project == gate()


def test_a_renamed_body_stays_picked_under_a_free_name(at):
    at.choice.pick_bodies(("leaf", "post"))
    assert at.hand.rename("leaf", "post")
    assert at.names() == ["post", "post 2", "paddle"]
    assert at.choice.bodies == ("post 2", "post")
    assert validate(at.document.project) == ()


def test_what_is_picked_is_made_fixed_and_what_is_all_fixed_moving(at):
    at.choice.pick_bodies(("post", "leaf"))
    assert at.hand.fix()
    assert at.done() == "Make 2 bodies fixed"
    assert [body.name for body in at.document.project.sections[0].bodies if body.fixed] == ["post", "leaf"]
    assert at.hand.fix()
    assert at.done() == "Make 2 bodies moving"
    assert not [body.name for body in at.document.project.sections[0].bodies if body.fixed]


def test_what_is_picked_goes_along_the_list_in_its_order_and_what_stands_at_the_end_stays(at):
    assert at.names() == ["post", "leaf", "paddle"]
    at.choice.pick_bodies(("paddle", "leaf"))
    assert at.hand.reorder(-1)
    assert at.names() == ["leaf", "paddle", "post"]
    assert at.done() == "Reorder 2 bodies"
    assert not at.hand.reorder(-1)
    at.choice.pick_bodies(("leaf",))
    assert at.hand.reorder(1)
    assert at.names() == ["paddle", "leaf", "post"]
    assert at.hand.reorder(1)
    assert not at.hand.reorder(1)
    assert at.names() == ["paddle", "post", "leaf"]
