"""Distances, angles, radii and gaps measured on the board with the mouse, against closed forms; marks go with their bodies."""

import math

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QEnterEvent
from PySide6.QtWidgets import QApplication

from app.board.marks_taker import MarksTaker
from app.panels.words import Word
from core.model.edit_bodies import delete_bodies
from core.model.edit_placing import place_bodies
from core.model.edit_project import new_project
from core.model.joints import Pivot
from core.model.names import BodyName, DriveName, JointName
from core.model.placing import moving
from core.model.project import Body, Drive, Move
from core.model.shapes import Bar, Disc, Frame, Polygon
from tests.desk.by_hand import ask, click, point_at, type_numbers

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
BAY, ARM, HUB, POST = (BodyName(name) for name in ("bay", "arm", "hub", "post"))
NONE, CTRL, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def lever():
    """An arm of 30 turns about the origin, a quarter either way; a hub of radius 5 stands at (-20, 10) and a post at (20, -20)."""
    bare = new_project()
    section = bare.sections[0]
    bodies = (
        Body(name=BAY, fixed=True, depth=(0.0, 3.0), shapes=(Frame(centre=(0.0, 0.0), size=(120.0, 90.0), wall=2.0),)),
        Body(name=ARM, fixed=False, depth=(0.0, 3.0), shapes=(Bar(start=(0.0, 0.0), end=(30.0, 0.0), radius=1.5),)),
        Body(name=HUB, fixed=True, depth=(0.0, 3.0), shapes=(Disc(centre=(-20.0, 10.0), radius=5.0),)),
        Body(name=POST, fixed=True, depth=(0.0, 3.0), shapes=(Disc(centre=(20.0, -20.0), radius=4.0),)),
    )
    pin = Pivot(name=JointName("elbow"), between=(BAY, ARM), at=(0.0, 0.0))
    move = Move(section=section.name, joint=pin.name)
    swing = Drive(name=DriveName("swing"), unit="deg", start=-90.0, end=90.0, home=0.0, speed=100.0, moves=(move,))
    return replace(bare, sections=(replace(section, bodies=bodies, joints=(pin,)),), drives=(swing,))


@pytest.fixture
def bench(window):
    window.desk.begin(lever())
    window.show_step("Travel")
    window.sheet.show_tightest = window.sheet.show_detail = False
    window.sheet.refresh_switches()
    window.sheet.board.fit()
    window.sheet.board.setFocus()
    return window


def swing(window, degrees):
    window.desk.pose.put({DriveName("swing"): degrees})


def end(degrees, length=30.0):
    return (length * math.cos(math.radians(degrees)), length * math.sin(math.radians(degrees)))


def values(window):
    return [reading.value for reading in window.sheet.marks.readings()]


def words(window):
    return [reading.words(window.sheet.tr) for reading in window.sheet.marks.readings()]


def measure(qtbot, window, key, *places, keys=NONE):
    ask(qtbot, window, key, NONE)
    for place in places:
        click(qtbot, window, *place, keys)


def test_a_distance_is_measured_at_the_pose_shown_and_goes_with_the_arm(bench, qtbot):
    swing(bench, 30.0)
    measure(qtbot, bench, Qt.Key.Key_L, (-20.3, 10.2), (end(30.0)[0] + 0.3, end(30.0)[1] - 0.2))
    assert values(bench) == [pytest.approx(math.dist((-20.0, 10.0), end(30.0)))]
    swing(bench, 90.0)
    assert values(bench) == [pytest.approx(math.hypot(20.0, 20.0))]
    assert words(bench) == ["28.28 mm"]
    (row,) = bench.sheet.marks_list.rows
    assert "from centre of hub to end of arm; 20.00 mm across, 20.00 mm up" in row.words.whole()


def test_a_press_drawn_away_and_let_go_measures_too(bench, qtbot):
    ask(qtbot, bench, Qt.Key.Key_L, NONE)
    view, board = bench.sheet.board.viewport(), bench.sheet.board
    first, last = (board.viewportTransform().map(QPointF(*at)).toPoint() for at in ((-20.0, 10.0), (20.0, -20.0)))
    qtbot.mouseMove(view, first)
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, NONE, first)
    qtbot.mouseMove(view, (first + last) / 2)
    qtbot.mouseMove(view, last)
    qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, NONE, last)
    assert values(bench) == [pytest.approx(50.0)]


def test_numbers_typed_say_where_a_distance_ends(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_L, (-20.3, 10.2))
    type_numbers(qtbot, bench, "25", "90")
    assert values(bench) == [pytest.approx(25.0)]
    assert bench.sheet.marks.readings()[0].ends()[1] == pytest.approx((-20.0, 35.0))


def test_a_free_place_on_a_body_goes_with_it(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_L, (20.0, 0.6), (0.0, 40.0), keys=CTRL)
    (first, _) = bench.sheet.marks.readings()[0].ends()
    swing(bench, 90.0)
    (turned, still) = bench.sheet.marks.readings()[0].ends()
    assert turned == pytest.approx((-first[1], first[0]))
    assert still == pytest.approx((0.0, 40.0), abs=0.3)


def test_square_to_a_wall_is_the_shortest_way_to_it(bench, qtbot):
    """From the hub's centre at y = 10 to the bay's inside at y = 45."""
    measure(qtbot, bench, Qt.Key.Key_L, (-20.3, 10.2), (-19.6, 44.8))
    assert values(bench) == [pytest.approx(35.0)]


def test_an_angle_of_three_points_turns_with_the_arm(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_A, (0.2, 0.2), (30.2, 0.2), (-20.2, 10.2))
    assert values(bench) == [pytest.approx(180.0 - math.degrees(math.atan2(10.0, 20.0)))]
    swing(bench, 60.0)
    assert values(bench) == [pytest.approx(120.0 - math.degrees(math.atan2(10.0, 20.0)))]
    assert words(bench) == ["93.43\N{DEGREE SIGN}"]


def test_an_angle_of_two_edges_is_that_of_arm_and_wall(bench, qtbot):
    """The arm's upper side stands 1.5 off its axis; it is clicked well away from its middle and ends, and so is the wall."""
    swing(bench, 35.0)
    c, s = end(35.0, 1.0)
    side = (22.0 * c - 1.5 * s, 22.0 * s + 1.5 * c)
    measure(qtbot, bench, Qt.Key.Key_A, side, (25.0, -45.0))
    assert values(bench) == [pytest.approx(35.0)]
    swing(bench, -20.0)
    assert values(bench) == [pytest.approx(20.0)]


def test_a_radius_is_measured_on_a_round_edge_alone(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_O, (-60.0, 12.0), (-20.0 + 5.0 * math.cos(0.7), 10.0 + 5.0 * math.sin(0.7)))
    assert words(bench) == ["R 5.00 mm"]
    (row,) = bench.sheet.marks_list.rows
    assert "edge of hub; 10.00 mm across" in row.words.whole()


def test_a_gap_of_two_clicked_bodies_is_exact_and_follows_the_pose(bench, qtbot):
    """Hub to arm: (-20, 10) from the axis, less both radii. Post to arm: the axis passes through (20, -20) at -45 degrees."""
    measure(qtbot, bench, Qt.Key.Key_G, (-20.0, 10.0), (15.0, 0.0))
    assert values(bench) == [pytest.approx(math.hypot(20.0, 10.0) - 5.0 - 1.5)]
    swing(bench, 90.0)
    assert values(bench) == [pytest.approx(20.0 - 5.0 - 1.5)]
    measure(qtbot, bench, Qt.Key.Key_G, (0.0, 15.0), (20.0, -20.0))
    swing(bench, -20.0)
    apart = abs(math.sin(math.radians(25.0))) * math.hypot(20.0, 20.0)
    assert values(bench)[1] == pytest.approx(apart - 4.0 - 1.5)


def test_the_gap_of_two_bodies_of_the_bay_is_measured_too(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_G, (-20.0, 10.0), (20.0, -20.0))
    assert values(bench) == [pytest.approx(50.0 - 5.0 - 4.0)]


def test_the_gap_of_two_picked_bodies_is_measured_at_once_and_kept_once(bench, qtbot):
    for pair in ((HUB, POST), (POST, HUB)):
        bench.desk.choice.pick_bodies(pair)
        ask(qtbot, bench, Qt.Key.Key_G, NONE)
    assert values(bench) == [pytest.approx(41.0)]
    assert bench.sheet.in_hand.tool is None


def test_the_gap_of_the_pair_in_hand_is_the_one_that_the_board_shows(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.choice.pick_bodies((BodyName("motor"), BodyName("rib")))
    ask(qtbot, window, Qt.Key.Key_G, NONE)
    (deep,) = values(window)
    row = next(row for row in window.desk.timeline.rows if set(row.between) == {"motor", "rib"})
    window.desk.choice.pick_pair(row.section, row.between)
    assert deep == window.desk.gap.gap
    assert deep < 0.0
    assert words(window) == ["0.16 mm deep"]


def test_marks_are_removed_one_by_one_and_all_at_once(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_L, (-20.0, 10.0), (20.0, -20.0), (0.0, 0.0), (20.0, -20.0))
    measure(qtbot, bench, Qt.Key.Key_O, (-20.0, 5.0))
    marks = bench.sheet.marks_list
    assert values(bench) == [pytest.approx(50.0), pytest.approx(math.hypot(20.0, 20.0)), pytest.approx(5.0)]
    assert [row.words.whole().split("</b>")[0] for row in marks.rows] == ["<b>R 5.00 mm", "<b>28.28 mm", "<b>50.00 mm"]
    qtbot.mouseClick(marks.rows[1].remove, Qt.MouseButton.LeftButton)
    assert values(bench) == [pytest.approx(50.0), pytest.approx(5.0)]
    assert bench.actions_by_name["clear_marks"].isEnabled()
    ask(qtbot, bench, Qt.Key.Key_L, CTRL | SHIFT)
    assert values(bench) == []
    assert not marks.isVisible()
    assert not bench.actions_by_name["clear_marks"].isEnabled()


def test_a_row_that_is_pointed_at_thickens_its_mark(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_L, (-20.0, 10.0), (20.0, -20.0), (0.0, 0.0), (20.0, -20.0))
    bench.sheet.in_hand.put_away()
    row = bench.sheet.marks_list.rows[0]
    before = bench.sheet.board.viewport().grab().toImage()
    at = QPointF(3.0, 3.0)
    QApplication.sendEvent(row, QEnterEvent(at, at, at))
    assert bench.sheet.marks.pointed == 1
    assert bench.sheet.board.viewport().grab().toImage() != before
    QApplication.sendEvent(row, QEvent(QEvent.Type.Leave))
    assert bench.sheet.marks.pointed is None
    assert bench.sheet.board.viewport().grab().toImage() == before


def test_measuring_changes_nothing_in_the_project_and_another_project_has_no_marks(bench, qtbot):
    project = bench.desk.project
    measure(qtbot, bench, Qt.Key.Key_L, (-20.0, 10.0), (20.0, -20.0))
    assert bench.desk.project is project
    assert bench.desk.document.history.count() == 0
    bench.desk.begin(lever())
    assert values(bench) == []


def test_marks_follow_an_edit_and_its_undo_and_go_with_a_deleted_body(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_L, (-20.0, 10.0), (20.0, -20.0))
    measure(qtbot, bench, Qt.Key.Key_G, (-20.0, 10.0), (20.0, -20.0))
    bench.sheet.in_hand.put_away()
    document, section = bench.desk.document, bench.desk.project.sections[0].name
    document.change("Move hub", lambda old: place_bodies(old, section, [HUB], moving(shift=(10.0, 10.0))))
    assert values(bench) == [pytest.approx(math.hypot(30.0, 40.0)), pytest.approx(41.0)]
    document.change("Move hub", lambda old: place_bodies(old, section, [HUB], moving(shift=(0.0, -20.0))))
    assert values(bench) == [pytest.approx(math.hypot(30.0, 20.0)), pytest.approx(math.hypot(30.0, 20.0) - 9.0)]
    document.history.undo()
    assert values(bench) == [pytest.approx(50.0), pytest.approx(41.0)]
    document.change("Delete hub", lambda old: delete_bodies(old, section, [HUB]).project)
    assert values(bench) == []


def test_in_outline_marks_are_of_the_drawing_whatever_the_drives(bench, qtbot):
    swing(bench, 90.0)
    bench.show_step("Outline")
    measure(qtbot, bench, Qt.Key.Key_L, (-20.0, 10.0), (30.0, 0.2))
    measure(qtbot, bench, Qt.Key.Key_G, (-20.0, 10.0), (15.0, 0.0))
    as_drawn = [math.hypot(50.0, 10.0), math.hypot(20.0, 10.0) - 6.5]
    assert values(bench) == pytest.approx(as_drawn)
    bench.show_step("Travel")
    assert values(bench) == pytest.approx([math.hypot(20.0, 20.0), 20.0 - 6.5])


def test_where_the_drawing_has_faults_a_gap_is_none_and_says_so(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_G, (-20.0, 10.0), (20.0, -20.0))
    section = bench.desk.project.sections[0]
    bow = Body(name=BodyName("bow"), fixed=True, depth=(0.0, 3.0), shapes=(Polygon(points=((0, 0), (9, 9), (9, 0), (0, 9))),))
    faulty = replace(section, bodies=(*section.bodies, bow))
    bench.desk.document.change("Draw bow", lambda old: replace(old, sections=(faulty,)))
    assert bench.desk.mechanism is None
    assert values(bench) == [None]
    ask(qtbot, bench, Qt.Key.Key_G, NONE)
    click(qtbot, bench, -20.0, 10.0)
    assert "faults" in bench.sheet.tool_line.hint.whole()


def test_escape_takes_back_the_point_then_puts_the_tool_away_and_the_marks_stay(bench, qtbot):
    measure(qtbot, bench, Qt.Key.Key_L, (-20.0, 10.0), (20.0, -20.0), (0.0, 0.0))
    point_at(qtbot, bench, 20.0, -20.0)
    assert bench.sheet.marks.trying is not None
    qtbot.keyClick(bench.sheet.board, Qt.Key.Key_Escape)
    assert bench.sheet.marks.trying is None
    assert bench.sheet.in_hand.tool is not None
    qtbot.keyClick(bench.sheet.board, Qt.Key.Key_Escape)
    assert bench.sheet.in_hand.tool is None
    assert len(values(bench)) == 1


def test_words_of_marks_keep_off_those_of_the_gap_dimension_and_of_each_other(bench, qtbot):
    """The gap shown and a mark of the same pair would stand on one line."""
    bench.desk.choice.pick_pair(bench.desk.choice.section, (ARM, HUB))
    qtbot.waitUntil(lambda: bench.desk.gap is not None)
    bench.sheet.show_tightest = True
    bench.sheet.refresh_switches()
    measure(qtbot, bench, Qt.Key.Key_G, (-20.0, 10.0), (15.0, 0.0))
    measure(qtbot, bench, Qt.Key.Key_L, (-20.0, 10.0), (0.0, 0.0))
    bench.sheet.in_hand.put_away()
    board = bench.sheet.board
    (shown,) = board.words_taken()
    taker = next(one for one in board._takers if isinstance(one, MarksTaker))
    boxes = [shown, *taker.words_at(1.0 / board.pixels_a_mm)]
    assert len(boxes) == 3
    for place, a in enumerate(boxes):
        for b in boxes[:place]:
            assert a[0] >= b[2] or b[0] >= a[2] or a[1] >= b[3] or b[1] >= a[3]


def test_the_word_over_the_board_offers_what_can_be_measured(bench, qtbot):
    ask(qtbot, bench, Qt.Key.Key_E, NONE)
    texts = [action.text() for action in bench.menu.actions()]
    assert texts == ["Measure a distance", "Measure an angle", "Measure a radius", "Measure the gap of two bodies", "Clear the marks"]
    bench.menu.close()


def test_measuring_asked_for_in_hand_over_shows_the_board(bench):
    bench.show_step("Hand-over")
    assert not bench.sheet.board.isVisible()
    bench.actions_by_name["measure_distance"].trigger()
    assert bench.sheet.board.isVisible()
    assert bench.sheet.in_hand.tool is not None


def test_in_a_narrow_window_the_words_over_the_board_stand_without_their_keys(bench):
    """At the least width all words of Gaps are there whole; at 1280 with their keys."""
    bench.show_step("Gaps")
    shown = [word for word in bench.sheet.tools.findChildren(Word) if word.isVisible()]
    assert {"Measure", "Tightest pair"} <= {word.text() for word in shown}
    for width in (1100, 1280, 1100):
        bench.resize(width, 800)
        QApplication.processEvents()
        assert all(word.width() >= word.sizeHint().width() for word in shown)
