"""Joints and drives by words and numbers in the side panel, each change one step, and what is told of the mobility."""

import pytest

from app.panels.joint_work import JointWork
from core.model.edit_bodies import add_body
from core.model.edit_project import bay_wall, new_project
from core.model.joints import Bolted, PinSlot, Pivot, Slide
from core.model.project import Body
from core.model.shapes import Box
from core.model.validate import validate
from tests.desk.by_number import press, typed

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def work(window):
    project = add_body(new_project(), "Side", bay_wall((120.0, 80.0)))
    cam = Body(name="cam", fixed=False, depth=(2, 8), shapes=(Box(centre=(10, 0), size=(30, 8)),))
    window.desk.begin(add_body(project, "Side", cam))
    window.show_step("Joints")
    window.desk.choice.pick_bodies(("bay", "cam"))
    return window.sheet.panel.findChild(JointWork)


def test_two_bodies_are_joined_and_driven_by_numbers(window, work, qtbot):
    press(qtbot, work, "join pivot")
    typed(qtbot, work, "joint pin", x="0", y="3/2", play="0.1")
    (pin,) = window.desk.project.sections[0].joints
    assert pin == Pivot(name="pin", between=("bay", "cam"), at=(0, 1.5), play=0.1)
    assert work.mobility.whole() == "0 drives, 1 freedom undriven: pin."
    press(qtbot, work, "drive pin")
    typed(qtbot, work, "drive pin drive", **{"from": "-20", "to": "60", "home": "10", "speed": "50", "ratio0": "0.5"})
    (drive,) = window.desk.project.drives
    assert (drive.start, drive.end, drive.home, drive.speed, drive.moves[0].ratio) == (-20, 60, 10, 50, 0.5)
    assert work.mobility.whole() == "1 drive, 1 freedom: well driven."
    assert validate(window.desk.project) == ()
    assert "drive pin" not in work.words
    assert window.desk.document.history.count() == 10


def test_deleting_a_joint_takes_its_drive_along_in_one_step(window, work, qtbot):
    press(qtbot, work, "join pivot")
    press(qtbot, work, "drive pin")
    press(qtbot, work, "delete joint pin")
    assert (window.desk.project.sections[0].joints, window.desk.project.drives) == ((), ())
    assert window.desk.document.history.undoText() == "Delete pin, with 1 joint and 1 drive"
    window.desk.document.history.undo()
    press(qtbot, work, "delete drive pin drive")
    assert len(window.desk.project.sections[0].joints) == 1
    assert window.desk.project.drives == ()


@pytest.mark.parametrize(("word", "kind"), [("slide", Slide), ("pin in slot", PinSlot), ("bolt", Bolted)])
def test_every_kind_of_joint_is_set_between_what_carries_and_what_moves(window, work, qtbot, word, kind):
    press(qtbot, work, f"join {word}")
    (joint,) = window.desk.project.sections[0].joints
    assert isinstance(joint, kind)
    assert joint.between == ("bay", "cam")
    assert (f"drive {joint.name}" in work.words) == (kind is Slide)


def test_a_project_with_faults_says_why_its_mobility_is_not_told(window, work, qtbot):
    press(qtbot, work, "join pivot")
    press(qtbot, work, "drive pin")
    typed(qtbot, work, "drive pin drive", **{"from": "90"})
    assert not window.desk.document.is_valid
    assert work.mobility.whole() == "How it can move is told once the faults are mended."


def test_mobility_is_worked_out_once_for_a_project_and_never_while_hidden(window, work, qtbot, monkeypatch):
    worked = []
    monkeypatch.setattr("app.document.mobility_known.mobility", lambda project, _linkage: worked.append(project) or ())
    for names in (("bay",), ("cam",), ("bay", "cam")):
        window.desk.choice.pick_bodies(names)
    assert worked == []
    press(qtbot, work, "join pivot")
    assert worked == [window.desk.project]
    window.show_step("Outline")
    window.desk.document.history.undo()
    assert len(worked) == 1
    window.show_step("Joints")
    assert worked[1:] == [window.desk.project]
