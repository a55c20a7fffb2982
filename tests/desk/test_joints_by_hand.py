"""Joints placed, picked, moved, driven and deleted by mouse and keys on the board; each is one step of the history."""

import math

import pytest
from PySide6.QtCore import QPoint, Qt

from core.model.edit_bodies import add_body
from core.model.edit_project import new_project
from core.model.joints import Bolted, PinSlot, Pivot, Slide
from core.model.project import Body
from core.model.shapes import Bar, Box, Disc
from core.model.validate import validate
from tests.desk.by_hand import ask, click, drag, pixel, point_at, type_numbers

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
ALT = Qt.KeyboardModifier.AltModifier
PIVOT, SLIDE, SLOT, BOLT, ROD, DRIVE = (getattr(Qt.Key, f"Key_{number}") for number in range(1, 7))
PROOF_MS = 60_000

BASE = Body(name="base", fixed=True, depth=(0, 4), shapes=(Box(centre=(20, 0), size=(90, 24)),))
CRANK = Body(name="crank", fixed=False, depth=(5, 8), shapes=(Bar(start=(-10, 0), end=(-2, 18), radius=3.5),))
COUPLER = Body(name="coupler", fixed=False, depth=(9, 12), shapes=(Bar(start=(-2, 18), end=(48, 32), radius=3.5),))
ROCKER = Body(name="rocker", fixed=False, depth=(5, 8), shapes=(Bar(start=(50, 0), end=(48, 32), radius=3.5),))
PINS = ((-10, 0), (-2, 18), (48, 32), (50, 0))


@pytest.fixture
def drawn(window):
    """A function that puts bodies on the board and goes to Joints."""

    def begin(*bodies):
        project = new_project()
        for body in bodies:
            project = add_body(project, "Side", body)
        window.desk.begin(project)
        window.show_step("Joints")
        window.sheet.board.setFocus()
        return window

    return begin


@pytest.fixture
def bars(drawn):
    return drawn(BASE, CRANK, COUPLER, ROCKER)


def joints(window):
    return window.desk.project.sections[0].joints


def tool_text(window):
    return window.sheet.in_hand.tool.said().text


def place(qtbot, window, key, *points):
    ask(qtbot, window, key, ALT)
    for point in points:
        click(qtbot, window, *point)


def test_a_four_bar_is_built_by_four_clicks_driven_and_swept(bars, qtbot):
    for pin in PINS:
        place(qtbot, bars, PIVOT, pin)
    assert [(joint.between, joint.at) for joint in joints(bars)] == [
        (("base", "crank"), (-10, 0)),
        (("crank", "coupler"), (-2, 18)),
        (("coupler", "rocker"), (48, 32)),
        (("base", "rocker"), (50, 0)),
    ]
    click(qtbot, bars, *PINS[0])
    ask(qtbot, bars, DRIVE, ALT)
    (drive,) = bars.desk.project.drives
    assert (drive.unit, drive.start, drive.end, drive.moves[0].joint) == ("deg", -45, 45, "pin")
    assert bars.desk.choice.drive == drive.name
    assert validate(bars.desk.project) == ()
    assert bars.desk.document.history.count() == 5
    qtbot.waitUntil(lambda: bars.desk.result is not None, timeout=PROOF_MS)
    proved = [check for check in bars.desk.result.checks if check.sweep == "combined"]
    assert {check.between for check in proved} >= {("crank", "rocker")}
    for check in proved:
        assert check.verdict == "clear"
        assert check.proof == "bounded"
    # As far as the crank turns, the rocker's pin stays as far from the coupler's other pin as it is drawn.
    poses = bars.desk.body_poses({drive.name: 30.0})
    assert poses["crank"][0] == pytest.approx(30.0)
    assert _posed_distance(poses, "crank", PINS[1], "rocker", PINS[2]) == pytest.approx(math.dist(PINS[1], PINS[2]))
    for left in range(4, -1, -1):
        bars.desk.document.history.undo()
        assert len(joints(bars)) == min(left, 4)
    assert bars.desk.project.drives == ()


def _posed_distance(poses, first, at, second, there):
    def posed(body, point):
        turn, x, y = poses[body]
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        return (c * point[0] - s * point[1] + x, s * point[0] + c * point[1] + y)

    return math.dist(posed(first, at), posed(second, there))


def test_the_bodies_are_told_and_drawn_heavier_before_the_click(bars, qtbot):
    ask(qtbot, bars, PIVOT, ALT)
    point_at(qtbot, bars, -2, 18)
    assert tool_text(bars) == "Pivot at ({x}, {y}) between coupler and crank"
    assert bars.sheet.board._items.selected == {"crank", "coupler"}
    point_at(qtbot, bars, 20, 0)
    assert tool_text(bars) == "Pivot at ({x}, {y}): only base lies here, which is fixed"
    assert bars.sheet.board._items.selected == frozenset()
    click(qtbot, bars, 20, 0)
    assert joints(bars) == ()
    qtbot.keyClick(bars.sheet.board, Qt.Key.Key_Escape)
    assert bars.sheet.in_hand.tool is None


def test_other_bodies_are_taken_by_a_key_and_by_a_word_and_the_two_swapped(drawn, qtbot):
    disc = (Disc(centre=(0, 0), radius=10),)
    names = ("low", "middle", "high")
    window = drawn(*(Body(name=name, fixed=False, depth=(3 * n, 3 * n + 2), shapes=disc) for n, name in enumerate(names)))
    ask(qtbot, window, PIVOT, ALT)
    point_at(qtbot, window, 0, 0)
    assert tool_text(window).endswith("between high and middle")
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Down)
    assert tool_text(window).endswith("between middle and low")
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Up)
    qtbot.mouseClick(window.sheet.tool_line.words["other"], Qt.MouseButton.LeftButton)
    qtbot.mouseClick(window.sheet.tool_line.words["other"], Qt.MouseButton.LeftButton)
    assert tool_text(window).endswith("between high and low")
    qtbot.mouseClick(window.sheet.tool_line.words["swap"], Qt.MouseButton.LeftButton)
    click(qtbot, window, 0, 0)
    assert joints(window)[0].between == ("high", "low")


def test_numbers_typed_place_a_pivot_to_their_last_digit(bars, qtbot):
    ask(qtbot, bars, PIVOT, ALT)
    type_numbers(qtbot, bars, "-9.123456", "1/8")
    assert joints(bars) == (Pivot(name="pin", between=("base", "crank"), at=(-9.123456, 0.125)),)


def test_one_body_alone_is_put_on_the_one_bay_and_that_is_told(bars, qtbot):
    ask(qtbot, bars, PIVOT, ALT)
    point_at(qtbot, bars, 20, 24)
    assert tool_text(bars) == "Pivot at ({x}, {y}) between coupler and base, the one fixed body"
    click(qtbot, bars, 20, 24)
    assert joints(bars)[0].between == ("base", "coupler")


@pytest.mark.parametrize("driven", [False, True])
def test_a_slide_takes_its_direction_from_a_second_point_and_its_travel_where_it_is_driven(bars, qtbot, driven):
    place(qtbot, bars, SLIDE, (-8, 4))
    assert joints(bars) == ()
    if driven:
        qtbot.mouseClick(bars.sheet.tool_line.words["driven"], Qt.MouseButton.LeftButton)
    click(qtbot, bars, -8, 44)
    (slide,) = joints(bars)
    assert slide == Slide(name="slide", between=("base", "crank"), at=(-8, 4), along=90)
    travels = [(drive.unit, drive.start, drive.end) for drive in bars.desk.project.drives]
    assert travels == ([("mm", 0, 40)] if driven else [])
    assert bars.desk.document.history.count() == 1


def test_a_slides_direction_is_typed(bars, qtbot):
    place(qtbot, bars, SLIDE, (-8, 4))
    type_numbers(qtbot, bars, "33.690068")
    assert joints(bars)[0].along == 33.690068


def test_a_pin_in_a_slot_is_given_its_pin_and_both_ends_of_the_slot(bars, qtbot):
    place(qtbot, bars, SLOT, (48, 32), (68, 32), (8, 50))
    (slot,) = joints(bars)
    assert slot == PinSlot(name="slot", between=("rocker", "coupler"), at=(48, 32), along=0, reach=(-40, 20))
    assert bars.desk.document.history.undoText() == "Pin of rocker in a slot of coupler"


def test_a_slot_whose_other_end_is_on_the_same_side_ends_at_the_pin(bars, qtbot):
    place(qtbot, bars, SLOT, (48, 32), (68, 32), (80, 36))
    assert joints(bars)[0].reach == (0, 20)


def test_bodies_are_bolted_together_by_one_click(bars, qtbot):
    place(qtbot, bars, BOLT, (-2, 18))
    assert joints(bars) == (Bolted(name="bolt", between=("crank", "coupler")),)


def test_bodies_about_to_be_bolted_together_are_shown_with_their_mark(bars, qtbot):
    ask(qtbot, bars, BOLT, ALT)
    bars.sheet.board.viewport().grab()
    point_at(qtbot, bars, 20, 0)
    alone = bars.sheet.board.viewport().grab().toImage()
    point_at(qtbot, bars, -2, 18)
    assert bars.sheet.in_hand.tool.between() is not None
    assert bars.sheet.board.viewport().grab().toImage() != alone
    assert joints(bars) == ()


def test_backspace_takes_the_pin_back_and_then_puts_the_tool_away(bars, qtbot):
    place(qtbot, bars, SLIDE, (-8, 4))
    qtbot.keyClick(bars.sheet.board, Qt.Key.Key_Backspace)
    assert bars.sheet.in_hand.tool.points == []
    qtbot.keyClick(bars.sheet.board, Qt.Key.Key_Backspace)
    assert bars.sheet.in_hand.tool is None
    assert joints(bars) == ()


def test_a_rod_is_a_bar_with_a_pin_at_each_end_in_one_step(bars, qtbot):
    place(qtbot, bars, ROD, (-7, 7), (49, 16))
    assert joints(bars) == (
        Pivot(name="rod at crank", between=("crank", "rod"), at=(-7, 7)),
        Pivot(name="rod at rocker", between=("rocker", "rod"), at=(49, 16)),
    )
    rod = bars.desk.project.sections[0].bodies[-1]
    assert (rod.name, rod.fixed, rod.outline_tolerance, rod.trust) == ("rod", False, 0, None)
    assert rod.shapes == (Bar(start=(-7, 7), end=(49, 16), radius=2),)
    # Over crank and rocker, which end at 8 deep, and over the coupler, which its way crosses from 9 to 12.
    assert rod.depth == pytest.approx((12.3, 14.3))
    assert bars.desk.choice.bodies == ("rod",)
    assert bars.desk.document.history.count() == 1
    bars.desk.document.history.undo()
    assert len(bars.desk.project.sections[0].bodies) == 4


def test_a_rod_is_not_pinned_to_one_body_twice(bars, qtbot):
    place(qtbot, bars, ROD, (-7, 7))
    point_at(qtbot, bars, -5, 14)
    assert tool_text(bars) == "Rod from crank, {length} long at {direction}: no other body lies here"
    click(qtbot, bars, -5, 14)
    assert joints(bars) == ()
    point_at(qtbot, bars, -8, 4)
    assert tool_text(bars).startswith("Rod from crank to base, ")


def test_a_joint_is_named_under_the_pointer_and_picked_by_a_click(bars, qtbot):
    for pin in PINS:
        place(qtbot, bars, PIVOT, pin)
    click(qtbot, bars, 20, -8)
    assert (bars.desk.choice.joint, bars.desk.choice.bodies) == (None, ("base",))
    point_at(qtbot, bars, *PINS[1])
    assert bars.sheet.joints_step.hands.hovered == "pin 2"
    assert bars.desk.choice.joint is None
    click(qtbot, bars, *PINS[1])
    assert (bars.desk.choice.joint, bars.desk.choice.bodies) == ("pin 2", ())
    assert bars.sheet.panel.selected.head() == "pin 2"
    assert {"drive pin 2", "delete joint pin 2", "open joint pin 3"} <= set(bars.sheet.panel.joints.words)
    point_at(qtbot, bars, 20, -8)
    assert bars.sheet.joints_step.hands.hovered is None


def test_of_two_joints_on_one_pin_another_click_takes_the_next(bars, qtbot):
    place(qtbot, bars, PIVOT, PINS[0])
    place(qtbot, bars, BOLT, PINS[1])
    ask(qtbot, bars, PIVOT, ALT)
    qtbot.keyClick(bars.sheet.board, Qt.Key.Key_Escape)
    bars.desk.document.change("again", _again)
    assert bars.desk.choice.joint is None or bars.desk.choice.joint in {"pin", "bolt"}
    seen = []
    for _ in range(3):
        click(qtbot, bars, *PINS[0])
        seen.append(bars.desk.choice.joint)
    assert set(seen) == {"pin", "pin 2"}
    assert seen[0] == seen[2] != seen[1]


def _again(project):
    from core.model.edit_joints import add_joint

    return add_joint(project, "Side", Pivot(name="pin", between=("base", "rocker"), at=PINS[0]))


def test_delete_deletes_the_joint_in_hand_with_its_drive_in_one_step(bars, qtbot):
    place(qtbot, bars, PIVOT, PINS[0])
    ask(qtbot, bars, DRIVE, ALT)
    qtbot.keyClick(bars.sheet.board, Qt.Key.Key_Delete)
    assert (joints(bars), bars.desk.project.drives) == ((), ())
    assert bars.desk.document.history.undoText() == "Delete pin, with 1 drive"
    bars.desk.document.history.undo()
    assert len(bars.desk.project.drives) == 1


def test_a_pin_is_dragged_with_snapping_as_one_step(bars, qtbot):
    place(qtbot, bars, PIVOT, (-9, 2))
    drag(qtbot, bars, (-9, 2), (-9.9, 0.2))
    assert joints(bars)[0].at == (-10, 0)
    assert bars.desk.document.history.count() == 2
    assert bars.desk.document.history.undoText() == "Move pin"
    bars.desk.document.history.undo()
    assert joints(bars)[0].at == (-9, 2)


def test_escape_gives_a_dragged_pin_back(bars, qtbot):
    place(qtbot, bars, PIVOT, (-9, 2))
    view = bars.sheet.board.viewport()
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, pixel(bars, -9, 2))
    qtbot.mouseMove(view, pixel(bars, -8, 8))
    assert joints(bars)[0].at == (-8, 8)
    qtbot.waitUntil(lambda: bars.sheet.panel.joints.sentence_of("joint pin").field_of("y").value() == 8)
    qtbot.keyClick(bars.sheet.board, Qt.Key.Key_Escape)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, pixel(bars, -8, 8))
    assert joints(bars)[0].at == (-9, 2)
    assert bars.desk.document.history.count() == 1


def test_a_joint_is_out_of_hand_once_a_body_is_picked(bars, qtbot):
    place(qtbot, bars, PIVOT, PINS[0])
    assert bars.desk.choice.joint == "pin"
    click(qtbot, bars, 20, 24)
    assert (bars.desk.choice.joint, bars.desk.choice.bodies) == (None, ("coupler",))
    assert not bars.actions_by_name["drive_joint"].isEnabled()


def test_a_driven_joint_is_not_driven_again(bars, qtbot):
    place(qtbot, bars, PIVOT, PINS[0])
    assert bars.actions_by_name["drive_joint"].isEnabled()
    ask(qtbot, bars, DRIVE, ALT)
    assert not bars.actions_by_name["drive_joint"].isEnabled()


def test_a_new_pivot_says_what_it_would_move_and_nothing_wiggles(bars, qtbot):
    bars.desk.pose.ease_ms = 120
    place(qtbot, bars, PIVOT, PINS[0])
    assert not bars.sheet.joints_step.wiggle.going
    assert "Nothing drives it yet; driven, it moves <b>crank</b>." in bars.sheet.panel.selected._told.whole()


def test_a_new_drive_wiggles_what_it_moves_and_the_pose_at_hand_stays(bars, qtbot):
    for pin in PINS:
        place(qtbot, bars, PIVOT, pin)
    step, board = bars.sheet.joints_step, bars.sheet.board
    bars.desk.pose.ease_ms = 120
    click(qtbot, bars, *PINS[0])
    turned = set()
    step.moved.connect(lambda: turned.add(tuple(round(board._items.pose_of(body).turn, 3) for body in ("crank", "rocker"))))
    ask(qtbot, bars, DRIVE, ALT)
    assert step.wiggle.going
    before = dict(bars.desk.pose.values)
    qtbot.waitUntil(lambda: not step.wiggle.going, timeout=PROOF_MS)
    assert max(turn for turn, _ in turned) > 2.0
    assert min(turn for turn, _ in turned) < -2.0
    assert len({rocker for _, rocker in turned}) > 2
    assert bars.desk.pose.values == before
    assert board._items.pose_of("crank").turn == 0.0
    assert bars.desk.document.history.count() == 5


def test_nothing_wiggles_where_motion_is_kept_down_nor_while_a_drive_runs(bars, qtbot):
    place(qtbot, bars, PIVOT, PINS[0])
    ask(qtbot, bars, DRIVE, ALT)
    assert not bars.sheet.joints_step.wiggle.going
    bars.desk.pose.ease_ms = 120
    bars.desk.document.history.undo()
    bars.desk.document.history.redo()
    assert bars.sheet.joints_step.wiggle.going
    bars.desk.toggle_run(bars.desk.project.drives[0].name)
    assert not bars.sheet.joints_step.wiggle.going
    bars.desk.run.stop()


def test_what_runs_in_joints_is_seen_running_and_stands_as_drawn_again(bars, qtbot):
    place(qtbot, bars, PIVOT, PINS[0])
    ask(qtbot, bars, DRIVE, ALT)
    name = bars.desk.project.drives[0].name
    bars.desk.toggle_run(name)
    bars.desk.pose.put({name: 20.0})
    assert bars.sheet.board._items.pose_of("crank").turn == pytest.approx(20.0)
    bars.desk.run.stop()
    assert bars.sheet.board._items.pose_of("crank").turn == 0.0


def test_marks_stand_beside_joints_that_nothing_drives_only(bars, qtbot):
    for pin in PINS:
        place(qtbot, bars, PIVOT, pin)
    assert bars.sheet.joints_step.hands.undriven() == {"pin", "pin 2", "pin 3", "pin 4"}
    marked = _ink(bars, PINS[1])
    click(qtbot, bars, *PINS[0])
    ask(qtbot, bars, DRIVE, ALT)
    assert bars.sheet.joints_step.hands.undriven() == frozenset()
    point_at(qtbot, bars, 20, -8)
    assert _ink(bars, PINS[1]) < marked


def _ink(window, pin):
    """Dark pixels in the ring about a pin where marks of undriven joints are drawn."""
    at, picture = pixel(window, *pin), window.sheet.board.viewport().grab().toImage()
    ring = [QPoint(x, y) for x in range(-17, 18) for y in range(-17, 18) if 12 <= math.hypot(x, y) <= 16]
    return sum(picture.pixelColor(at + offset).lightness() < 90 for offset in ring)


def test_joint_tools_leave_other_steps_alone(bars, qtbot):
    place(qtbot, bars, PIVOT, PINS[0])
    bars.show_step("Outline")
    point_at(qtbot, bars, *PINS[0])
    assert bars.sheet.joints_step.hands.hovered is None
    click(qtbot, bars, *PINS[0])
    assert bars.desk.choice.joint is None


def test_a_joint_of_a_hidden_body_is_not_there_to_be_picked_or_marked(bars, qtbot):
    for pin in PINS[:2]:
        place(qtbot, bars, PIVOT, pin)
    marked = _ink(bars, PINS[1])
    bars.desk.choice.pick_bodies(("coupler",))
    bars.desk.handwork.hide(hidden=True)
    click(qtbot, bars, *PINS[1])
    assert bars.desk.choice.joint is None
    point_at(qtbot, bars, 20, -8)
    assert _ink(bars, PINS[1]) < marked
