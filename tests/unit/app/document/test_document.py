"""The document: one step a gesture, worked out from the press; faults are kept; what another program writes is noticed."""

import pytest

from app.document import document as module
from app.document.document import Document
from core.errors import ProjectFileError
from core.model.edit_bodies import delete_bodies
from core.model.edit_placing import place_bodies
from core.model.edit_shapes import replace_shape
from core.model.placing import moving
from core.model.shapes import Disc
from core.model.validate import validate
from core.project_file.read import read_project
from core.project_file.write import write_project
from tests.unit.model.drawings import gate

pytestmark = pytest.mark.usefixtures("qapp")


def shifted(project, x):
    return place_bodies(project, "Plan", ["leaf"], moving(shift=(x, 0.0)))


@pytest.fixture
def document():
    made = Document()
    made.show(gate())
    return made


def test_a_gesture_is_one_step_worked_out_from_the_press(document):
    document.begin("Move leaf")
    for x in (1.0, 2.0, 3.0):
        document.preview(shifted(document.at_press, x))
        assert document.in_gesture
        assert document.history.count() == 0
    assert document.commit()
    assert document.project == shifted(gate(), 3.0)
    assert (document.history.count(), document.history.undoText()) == (1, "Move leaf")
    document.history.undo()
    assert document.project == gate()
    document.history.redo()
    assert document.project == shifted(gate(), 3.0)


def test_bodies_moved_of_a_valid_state_are_drawn_whole_without_a_judgement(document, monkeypatch):
    assert document.is_valid
    document.begin("Move leaf")
    asked = []
    monkeypatch.setattr(module, "validate", lambda project: asked.append(project) or validate(project))
    for x in (1.0, 2.0):
        document.preview(shifted(document.at_press, x), moved=True)
        assert document.draws_whole
    assert asked == []
    assert document.is_valid
    assert asked == [document.project]


def test_of_any_other_edit_it_is_judged_whether_it_can_be_drawn_whole(document):
    flat = replace_shape(gate(), "Plan", "leaf", 0, Disc(centre=(0, 0), radius=-1))
    document.begin("Radius of leaf")
    document.preview(shifted(document.at_press, 1.0), moved=True)
    document.preview(flat)
    assert not document.draws_whole
    document.commit()
    assert not document.draws_whole
    document.begin("Move leaf")
    document.preview(shifted(document.at_press, 1.0), moved=True)
    assert not document.draws_whole
    document.cancel()
    document.close()
    assert not document.draws_whole


def test_a_cancelled_gesture_leaves_no_trace(document):
    answer = document.answer
    document.begin("Move leaf")
    document.preview(shifted(document.at_press, 7.0))
    document.cancel()
    assert document.project == gate()
    assert document.answer is answer
    assert not document.history.canUndo()
    assert not document.has_unsaved_changes


def test_a_gesture_that_comes_back_to_the_press_is_no_step(document):
    document.begin("Move leaf")
    document.preview(shifted(document.at_press, 7.0))
    document.preview(shifted(document.at_press, 0.0))
    assert not document.commit()
    assert document.history.count() == 0


def test_an_edit_during_a_gesture_gives_the_gesture_up(document):
    document.begin("Move leaf")
    document.preview(shifted(document.at_press, 7.0))
    document.change("Delete paddle", lambda project: delete_bodies(project, "Plan", ["paddle"]).project)
    assert document.project == delete_bodies(gate(), "Plan", ["paddle"]).project
    assert document.history.count() == 1


def test_a_preview_without_a_gesture_does_nothing(document):
    document.preview(shifted(gate(), 1.0))
    assert document.project == gate()
    assert not document.commit()


def test_undo_to_empty_and_redo_to_the_end_give_equal_projects(document):
    states = [document.project]
    for x in range(60):
        document.change(f"Move {x}", lambda project, x=x: shifted(project, 1.0 + x))
        states.append(document.project)
    for state in states[-2::-1]:
        document.history.undo()
        assert document.project == state
    assert not document.history.canUndo()
    for state in states[1:]:
        document.history.redo()
        assert document.project == state


def test_faults_are_kept_and_told_and_need_no_undo(document):
    broken = replace_shape(gate(), "Plan", "leaf", 0, Disc(centre=(0.0, 0.0), radius=0.0))
    document.change("Shrink leaf", lambda _project: broken)
    assert not document.is_valid
    assert [finding.code for finding in document.findings] == ["radius-not-positive"]
    document.change("Grow leaf", lambda project: replace_shape(project, "Plan", "leaf", 0, Disc(centre=(0.0, 0.0), radius=5.0)))
    assert document.is_valid


def test_a_project_with_faults_is_saved_and_opened_again(document, tmp_path):
    file = tmp_path / "gate.bay.json"
    broken = replace_shape(gate(), "Plan", "leaf", 0, Disc(centre=(0.0, 0.0), radius=0.0))
    document.change("Shrink leaf", lambda _project: broken)
    document.save(file)
    other = Document()
    other.open(file)
    assert other.project == broken
    assert not other.is_valid


def test_a_file_changed_elsewhere_differs_until_it_is_read_again(document, tmp_path):
    file = tmp_path / "gate.bay.json"
    document.save(file)
    assert not document.differs_on_disk
    write_project(shifted(gate(), 2.0), file)
    assert document.differs_on_disk
    document.take_from_disk("Read again", read_project(file))
    assert not document.differs_on_disk
    assert not document.has_unsaved_changes
    assert document.project == shifted(gate(), 2.0)
    document.history.undo()
    assert document.project == gate()
    assert document.has_unsaved_changes


def test_a_file_that_is_gone_is_no_difference_and_is_written_anew(document, tmp_path):
    file = tmp_path / "gate.bay.json"
    document.save(file)
    file.unlink()
    assert not document.differs_on_disk
    document.save(file)
    assert read_project(file) == gate()


def test_what_is_no_project_leaves_what_was_open(document, tmp_path):
    file = tmp_path / "other.bay.json"
    file.write_text("{}")
    with pytest.raises(ProjectFileError):
        document.open(file)
    assert document.project == gate()
