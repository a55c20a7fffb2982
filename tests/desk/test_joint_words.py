"""Joints and drives by words in the side panel: names, kinds, reliefs, stops, pulses, further joints, and the mobility line."""

import pytest
from PySide6.QtCore import Qt

from app.document import mobility_known
from app.panels.joint_work import FEW, JointWork
from core.model.edit_bodies import add_body
from core.model.edit_drives import add_drive
from core.model.edit_joints import add_joint
from core.model.edit_project import bay_wall, new_project
from core.model.edit_sections import add_section
from core.model.joints import PinSlot, Pivot, Slide
from core.model.lookup import drive_of, joint_of
from core.model.project import Body, Drive, Move
from core.model.shapes import Box, Disc
from tests.desk.by_number import press, typed

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


def owl():
    """A bay with a head that turns and a beak on it that does, the head driven."""
    project = add_body(new_project("Owl"), "Side", bay_wall((120.0, 80.0)))
    for name, x in (("head", 0.0), ("beak", 20.0)):
        shapes = (Disc(centre=(x, 0), radius=4), Box(centre=(x + 10, 0), size=(26, 6)))
        project = add_body(project, "Side", Body(name=name, fixed=False, depth=(2, 8), shapes=shapes))
    project = add_joint(project, "Side", Pivot(name="neck", between=("bay", "head"), at=(0, 0)))
    project = add_joint(project, "Side", Pivot(name="jaw", between=("head", "beak"), at=(20, 0)))
    move = Move(section="Side", joint="neck")
    return add_drive(project, Drive(name="nod", unit="deg", start=-30, end=30, home=0, speed=100, moves=(move,)))


@pytest.fixture
def work(window):
    window.desk.begin(owl())
    window.show_step("Joints")
    window.desk.choice.pick_bodies(())
    return window.sheet.panel.findChild(JointWork)


def joint(window, name):
    return joint_of(window.desk.project.sections[0], name)


def nod(window):
    return drive_of(window.desk.project, "nod")


def undo_text(window):
    return window.desk.document.history.undoText()


def rename(qtbot, block, name):
    block.name.setFocus()
    block.name.selectAll()
    qtbot.keyClicks(block.name, name)
    qtbot.keyClick(block.name, Qt.Key.Key_Return)


def test_a_joint_is_renamed_and_what_refers_to_it_follows(window, work, qtbot):
    window.desk.choice.pick_joint("neck")
    rename(qtbot, work.block_of("joint neck"), "neck pin")
    assert nod(window).moves == (Move(section="Side", joint="neck pin"),)
    assert undo_text(window) == "Rename neck to neck pin"
    assert window.desk.choice.joint == "neck pin"
    assert work.block_of("joint neck pin").name.hasFocus()
    rename(qtbot, work.block_of("joint neck pin"), "jaw")
    assert [one.name for one in window.desk.project.sections[0].joints] == ["jaw 2", "jaw"]
    rename(qtbot, work.block_of("joint jaw 2"), "  ")
    assert window.desk.document.history.count() == 2
    window.desk.document.history.undo()
    window.desk.document.history.undo()
    assert window.desk.project == owl()


def test_a_name_that_is_left_is_as_it_was(window, work, qtbot):
    field = work.block_of("joint jaw").name
    field.setFocus()
    qtbot.keyClicks(field, "xyz")
    work.block_of("joint neck").name.setFocus()
    assert field.text() == "jaw"
    assert window.desk.project == owl()


def test_a_drive_is_renamed_and_stays_in_hand(window, work, qtbot):
    rename(qtbot, work.block_of("drive nod"), "nodding")
    assert [drive.name for drive in window.desk.project.drives] == ["nodding"]
    assert window.desk.choice.drive == "nodding"
    assert work.block_of("drive nodding").name.hasFocus()


def test_a_drive_moves_a_further_joint_by_a_ratio_and_lets_go_of_it(window, work, qtbot):
    assert work.mobility.whole() == "1 drive, 1 freedom undriven: jaw."
    press(qtbot, work, "move nod")
    picker = work._drive_ways.picker
    qtbot.keyClicks(picker.field(), "jaw")
    qtbot.keyClick(picker, Qt.Key.Key_Return)
    assert nod(window).moves[1] == Move(section="Side", joint="jaw", ratio=1.0)
    assert undo_text(window) == "nod moves jaw"
    assert work.mobility.whole() == "1 drive, 2 freedoms, all driven."
    assert "move nod" not in work.words
    typed(qtbot, work, "drive nod", ratio1="-1/2")
    assert nod(window).moves[1].ratio == -0.5
    press(qtbot, work, "release 0 nod")
    assert nod(window).moves == (Move(section="Side", joint="jaw", ratio=-0.5),)
    assert undo_text(window) == "nod lets go of neck"


def test_stops_pulses_and_a_drawn_value_are_given_typed_and_taken_off(window, work, qtbot):
    for word in ("stops nod", "pulse nod", "drawn nod"):
        press(qtbot, work, word)
    assert (nod(window).stops, nod(window).drawn) == ((-30, 30), 0)
    assert [value for value, _width in nod(window).pulse] == [-30, 30]
    numbers = {"stop_low": "-90", "stop_high": "90", "at0": "-45", "pulse0": "900 us", "at1": "45", "pulse1": "2100\N{MICRO SIGN}s"}
    typed(qtbot, work, "drive nod", **numbers, drawn="5", home="5")
    assert (nod(window).stops, nod(window).pulse) == ((-90, 90), ((-45, 900), (45, 2100)))
    assert (nod(window).drawn, nod(window).home) == (5, 5)
    assert work.sentence_of("drive nod").field_of("pulse0").text() == "900 \N{MICRO SIGN}s"
    for word in ("stops nod", "pulse nod", "drawn nod"):
        press(qtbot, work, word)
    assert (nod(window).stops, nod(window).pulse, nod(window).drawn) == (None, None, None)


def test_bad_numbers_are_told_under_the_drive_in_a_sentence(window, work, qtbot):
    press(qtbot, work, "stops nod")
    typed(qtbot, work, "drive nod", stop_low="0")
    faults = work.block_of("drive nod").faults
    assert not window.desk.document.is_valid
    assert faults.isVisible()
    assert "stops" in faults.whole()
    assert "nod" in faults.whole().casefold()
    window.desk.document.history.undo()
    assert not faults.isVisible()


def test_play_spins_are_tried_out_as_one_step_and_mobility_waits(window, work, qtbot, monkeypatch):
    worked = []
    real = mobility_known.mobility
    monkeypatch.setattr(mobility_known, "mobility", lambda *args: worked.append(1) or real(*args))
    field = work.sentence_of("joint jaw").field_of("x")
    field.setFocus()
    for _ in range(4):
        qtbot.keyClick(field, Qt.Key.Key_Up)
    qtbot.waitUntil(lambda: joint(window, "jaw").at == (22, 0))
    assert window.desk.document.in_gesture
    assert worked == []
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert (joint(window, "jaw").at, window.desk.document.history.count()) == ((22, 0), 1)
    assert undo_text(window) == "Joint jaw"
    assert worked == [1]
    typed(qtbot, work, "drive nod", speed="50")
    assert worked == [1]


def test_a_relief_of_its_own_begins_with_the_usual_one_and_goes_again(window, work, qtbot):
    press(qtbot, work, "relief jaw")
    assert joint(window, "jaw").relief > 0
    typed(qtbot, work, "joint jaw", relief="2.5")
    assert joint(window, "jaw").relief == 2.5
    press(qtbot, work, "relief jaw")
    assert joint(window, "jaw").relief is None
    assert undo_text(window) == "Relief of jaw"


def test_a_joint_becomes_another_kind_and_its_bodies_swap(window, work, qtbot):
    press(qtbot, work, "slide neck")
    assert isinstance(joint(window, "neck"), Slide)
    assert nod(window).moves
    press(qtbot, work, "pin in slot neck")
    assert isinstance(joint(window, "neck"), PinSlot)
    assert window.desk.project.drives == ()
    assert undo_text(window) == "neck as another kind of joint, with 1 drive"
    press(qtbot, work, "reach neck")
    assert joint(window, "neck").reach == (-10, 10)
    typed(qtbot, work, "joint neck", low="-4", high="6")
    assert joint(window, "neck").reach == (-4, 6)
    press(qtbot, work, "reach neck")
    assert joint(window, "neck").reach is None
    press(qtbot, work, "swap neck")
    assert joint(window, "neck").between == ("head", "bay")


def test_a_drive_changes_its_unit_and_its_place_in_the_list(window, work, qtbot):
    press(qtbot, work, "unit nod")
    assert nod(window).unit == "mm"
    press(qtbot, work, "drive jaw")
    window.desk.choice.pick_bodies(())
    press(qtbot, work, "later nod")
    assert [drive.name for drive in window.desk.project.drives] == ["jaw drive", "nod"]
    press(qtbot, work, "earlier nod")
    assert [drive.name for drive in window.desk.project.drives] == ["nod", "jaw drive"]


def test_undriven_joints_and_unheld_bodies_are_links_in_a_line_that_always_shows(window, work, qtbot):
    coin = Body(name="coin", fixed=False, depth=(2, 4), shapes=(Disc(centre=(0, 30), radius=2),))
    window.desk.document.change("coin", lambda project: add_body(project, "Side", coin))
    assert work.mobility.whole() == "1 drive, 1 freedom undriven: jaw. No joint holds coin."
    qtbot.mouseClick(work.mobility.links["jaw"], Qt.MouseButton.LeftButton)
    assert window.desk.choice.joint == "jaw"
    link = work.mobility.links["coin"]
    link.setFocus()
    qtbot.keyClick(link, Qt.Key.Key_Space)
    assert (window.desk.choice.joint, window.desk.choice.bodies) == (None, ("coin",))
    for bodies in ((), ("head",), ("bay", "beak")):
        window.desk.choice.pick_bodies(bodies)
        assert work.mobility.isVisible()


def test_with_no_two_bodies_in_a_section_the_way_to_a_joint_begins_in_outline(window, work):
    window.desk.document.change("section", lambda project: add_section(project, "Plan"))
    assert "Pick two bodies" in work._parts["hint"].text()
    window.desk.choice.pick_section("Plan")
    assert "Outline" in work._parts["begin"].text()


def test_that_the_board_shows_all_as_drawn_is_told_while_the_pose_at_hand_is_another(window, work):
    assert not work.stands.isVisible()
    window.desk.pose.put({"nod": 12.0})
    assert work.stands.isVisible()
    window.desk.pose.put({"nod": 0.0})
    assert not work.stands.isVisible()
    # In a section that the drive does not move nothing stands elsewhere than drawn.
    window.desk.document.change("section", lambda project: add_section(project, "Plan"))
    window.desk.pose.put({"nod": 12.0})
    assert work.stands.isVisible()
    window.desk.choice.pick_section("Plan")
    assert not work.stands.isVisible()


def test_outline_tells_too_that_the_board_shows_all_as_drawn(window, work):
    window.show_step("Outline")
    told = window.sheet.panel.as_drawn
    assert not work.isVisible()
    assert not told.isVisible()
    window.desk.pose.put({"nod": 12.0})
    assert told.isVisible()
    window.desk.pose.put({"nod": 0.0})
    assert not told.isVisible()


def test_of_many_joints_only_what_is_in_hand_stands_open_and_the_others_open_by_a_press(window, work, qtbot):
    project = owl()
    for number in range(FEW):
        name = f"feather {number}"
        project = add_body(project, "Side", Body(name=name, fixed=False, depth=(2, 8), shapes=(Disc(centre=(0, 20), radius=2),)))
        project = add_joint(project, "Side", Pivot(name=f"quill {number}", between=("head", name), at=(0, 20)))
    window.desk.begin(project)
    window.show_step("Joints")
    window.desk.choice.pick_bodies(())
    with pytest.raises(KeyError):
        work.block_of("joint neck")
    press(qtbot, work, "open joint quill 3")
    assert window.desk.choice.joint == "quill 3"
    qtbot.waitUntil(work.block_of("joint quill 3").sentence.isVisible)
    press(qtbot, work, "open drive nod")
    assert window.desk.choice.drive == "nod"
    assert work.block_of("drive nod").name.hasFocus()
    window.desk.choice.pick_bodies(("feather 2",))
    assert work.block_of("joint quill 2") is not None
    press(qtbot, work, "open joint neck")
    assert work.block_of("joint neck") is not None
    assert work.block_of("drive nod") is not None


def test_a_word_keeps_the_keyboard_while_it_is_pressed_again(window, work, qtbot):
    word = work.words["stops nod"]
    word.setFocus()
    for given in (True, False, True):
        qtbot.keyClick(work.words["stops nod"], Qt.Key.Key_Space)
        assert (nod(window).stops is not None) == given
        assert work.words["stops nod"].hasFocus()
