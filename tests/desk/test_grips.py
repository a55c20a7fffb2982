"""Shapes pulled by their grips on the board: each pull is one step, sizes and points follow the pointer, keys do the same."""

import math

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, Qt
from PySide6.QtGui import QKeyEvent, QMouseEvent

from app.panels.number_field import NumberField
from core.model.edit_bodies import add_body, show_bodies
from core.model.edit_joints import add_joint
from core.model.edit_project import new_project
from core.model.joints import Pivot
from core.model.names import BodyName, JointName
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from tests.desk.by_hand import LEFT, ask, click, drag, pixel, point_at

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
FREE = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier

PLATE = Box(centre=(0, 0), size=(40, 20), corner_radius=1)
WEB = Polygon(points=((-20, -10), (20, -10), (20, 30), (-20, 30)), holes=(((-5, 5), (5, 5), (0, 15)),))


@pytest.fixture
def holding(window):
    """A function that begins a project of one body with these shapes, picked, in Outline; and others beside it."""

    def begin(*shapes, beside=()):
        project = new_project()
        section = project.sections[0].name
        project = add_body(project, section, Body(name=BodyName("plate"), fixed=False, depth=(0, 3), shapes=shapes))
        for place, shape in enumerate(beside):
            project = add_body(project, section, Body(name=BodyName(f"beside {place}"), fixed=True, depth=(0, 3), shapes=(shape,)))
        window.desk.begin(project)
        window.show_step("Outline")
        window.sheet.board.setFocus()
        window.desk.choice.pick_bodies((BodyName("plate"),))
        return window

    return begin


def shape_of(window, index=0):
    return window.desk.project.sections[0].bodies[0].shapes[index]


def grip_at(window, kind, place=0, hole=None, index=0):
    """Where a grip stands on the board, mm."""
    found = (held.grip for held in window.sheet.grips.shown() if held.index == index)
    return next(grip.at for grip in found if (grip.kind, grip.place, grip.hole) == (kind, place, hole))


def hover(qtbot, window, at):
    """Two moves: one to where the pointer is already would be none."""
    point_at(qtbot, window, at[0] + 3, at[1] + 3)
    point_at(qtbot, window, *at)


def steps(window):
    history = window.desk.document.history
    return [history.text(number) for number in range(history.count())]


def pulled(qtbot, window, grip, to):
    """Pull a grip with Ctrl, which snaps to nothing; the answer is where the pointer ends, in the middle of a pixel."""
    view, (first, last) = window.sheet.board.viewport(), (pixel(window, *grip), pixel(window, *to))
    qtbot.mousePress(view, LEFT, FREE, first)
    for place in (first + (last - first) / 2, last):  # moves of the test library carry no keys
        at = place.toPointF()
        move = QMouseEvent(QEvent.Type.MouseMove, at, view.mapToGlobal(at), Qt.MouseButton.NoButton, LEFT, FREE)
        QCoreApplication.sendEvent(view, move)
    qtbot.mouseRelease(view, LEFT, FREE, last)
    place = window.sheet.board.to_mm(pixel(window, *to).toPointF())
    return (round(place.x(), 2), round(place.y(), 2))


@pytest.mark.parametrize("place", range(4))
def test_a_corner_of_a_box_goes_to_the_pointer_and_undo_puts_it_back(holding, qtbot, place):
    window = holding(PLATE)
    before, still = window.desk.project, grip_at(window, "corner", (place + 2) % 4)
    at = grip_at(window, "corner", place)
    end = pulled(qtbot, window, at, (at[0] * 1.4, at[1] * 1.7))
    box = shape_of(window)
    assert box.size == pytest.approx((abs(end[0] - still[0]), abs(end[1] - still[1])))
    assert box.centre == pytest.approx(((end[0] + still[0]) / 2, (end[1] + still[1]) / 2))
    assert steps(window) == ["Pull a corner of plate"]
    window.desk.document.history.undo()
    assert window.desk.project == before


def test_a_side_of_a_turned_box_follows_along_its_own_way_alone(holding, qtbot):
    window = holding(Box(centre=(0, 0), size=(40, 20), turn=90))
    end = pulled(qtbot, window, grip_at(window, "side", 0), (9, 33))
    assert shape_of(window).size == pytest.approx((end[1] + 20, 20), abs=0.006)
    assert shape_of(window).centre == pytest.approx((0, (end[1] - 20) / 2), abs=0.006)
    assert shape_of(window).turn == 90


def test_a_box_is_turned_by_its_own_grip_and_catches_whole_fives(holding, qtbot):
    window = holding(PLATE)
    at = grip_at(window, "turn")
    drag(qtbot, window, at, (at[0] * math.cos(math.radians(30.4)), at[0] * math.sin(math.radians(30.4))), Qt.KeyboardModifier.NoModifier)
    assert shape_of(window).turn == 30
    assert (shape_of(window).size, shape_of(window).centre) == (PLATE.size, PLATE.centre)
    assert steps(window) == ["Turn a shape of plate"]


def test_the_corners_of_a_box_are_rounded_by_a_grip(holding, qtbot):
    window = holding(PLATE)
    x, y = grip_at(window, "rounding")
    end = pulled(qtbot, window, (x, y), (x - 4, y + 1))
    assert shape_of(window).corner_radius == pytest.approx(1 + x - end[0], abs=0.011)


@pytest.mark.parametrize(
    ("shape", "kind"), [(Disc(centre=(5, 5), radius=12), "radius"), (Bore(centre=(5, 5), radius=12, wall=3), "radius")]
)
def test_a_rim_pulled_gives_the_radius_to_the_pointer(holding, qtbot, shape, kind):
    window = holding(shape)
    end = pulled(qtbot, window, grip_at(window, kind), (5 + 15, 5 + 7))
    assert shape_of(window).radius == pytest.approx(math.dist(end, (5, 5)), abs=0.006)
    assert shape_of(window).centre == (5, 5)
    assert steps(window) == ["Radius of plate"]


@pytest.mark.parametrize(
    ("shape", "number"), [(Bore(centre=(0, 0), radius=20, wall=3), 20), (Frame(centre=(0, 0), size=(80, 50), wall=2), 25)]
)
def test_the_wall_of_a_room_grows_outward_and_leaves_the_free_inside(holding, qtbot, shape, number):
    window = holding(shape)
    x, y = grip_at(window, "wall")
    end = pulled(qtbot, window, (x, y), (x, y + 6))
    after = shape_of(window)
    assert after.wall == pytest.approx(math.dist(end, (0, 0)) - 20 if isinstance(shape, Bore) else end[1] - number, abs=0.006)
    assert getattr(after, "radius", None) == getattr(shape, "radius", None)
    assert getattr(after, "size", None) == getattr(shape, "size", None)


def test_both_ends_of_a_bar_move_and_its_radius(holding, qtbot):
    window = holding(Bar(start=(-20, 0), end=(20, 0), radius=4))
    end = pulled(qtbot, window, grip_at(window, "end", 1), (23, 14))
    assert shape_of(window) == Bar(start=(-20, 0), end=end, radius=4)
    start = pulled(qtbot, window, grip_at(window, "end", 0), (-25, 3))
    assert shape_of(window) == Bar(start=start, end=end, radius=4)
    x, y = grip_at(window, "radius")
    pulled(qtbot, window, (x, y), (x, y + 3))
    assert 6.0 < shape_of(window).radius < 7.5
    assert steps(window) == ["Move an end of plate", "Move an end of plate", "Radius of plate"]


@pytest.mark.parametrize("hole", [None, 0])
def test_a_point_of_an_outline_or_of_a_hole_is_moved(holding, qtbot, hole):
    window = holding(WEB)
    x, y = grip_at(window, "point", 1, hole)
    end = pulled(qtbot, window, (x, y), (x + 3, y - 2))
    after = shape_of(window)
    assert (after.points if hole is None else after.holes[hole])[1] == end
    assert steps(window) == ["Move a point of plate"]


@pytest.mark.parametrize("hole", [None, 0])
def test_the_middle_of_an_edge_is_pulled_out_to_a_new_point(holding, qtbot, hole):
    window = holding(WEB)
    x, y = grip_at(window, "middle", 0, hole)
    end = pulled(qtbot, window, (x, y), (x + 1, y - 4))
    ring, before = ((shape_of(window).points, WEB.points), (shape_of(window).holes[0], WEB.holes[0]))[hole is not None]
    assert ring == (before[0], end, *before[1:])
    assert steps(window) == ["Add a point to plate"]
    assert window.sheet.grips.taken.grip.kind == "point"


def test_a_double_click_takes_a_point_out(holding, qtbot):
    window = holding(WEB)
    at = pixel(window, *grip_at(window, "point", 2))
    qtbot.mouseClick(window.sheet.board.viewport(), LEFT, pos=at)
    qtbot.mouseDClick(window.sheet.board.viewport(), LEFT, pos=at)
    assert shape_of(window).points == (*WEB.points[:2], *WEB.points[3:])
    assert steps(window) == ["Take a point out of plate"]


@pytest.mark.parametrize("key", [Qt.Key.Key_Delete, Qt.Key.Key_Backspace])
def test_delete_takes_out_the_point_under_the_pointer_not_the_body(holding, qtbot, key):
    window = holding(WEB)
    hover(qtbot, window, grip_at(window, "point", 3))
    qtbot.keyClick(window.sheet.board, key)
    assert shape_of(window).points == WEB.points[:3]
    assert steps(window) == ["Take a point out of plate"]


def test_delete_beside_all_points_deletes_the_body(holding, qtbot):
    window = holding(WEB)
    hover(qtbot, window, (-10, 25))
    ask(qtbot, window, Qt.Key.Key_Delete, Qt.KeyboardModifier.NoModifier)
    assert window.desk.project.sections[0].bodies == ()


def test_three_points_of_an_outline_stay_and_of_a_hole_go_with_it(holding, qtbot):
    window = holding(WEB, Polygon(points=((40, 0), (60, 0), (50, 20))))
    hover(qtbot, window, grip_at(window, "point", 0, index=1))
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Delete)
    assert steps(window) == []
    assert window.sheet.board.accessibleDescription() == "Three points are the least that an outline has."
    hover(qtbot, window, grip_at(window, "point", 0, 0))
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Delete)
    assert shape_of(window).holes == ()
    assert steps(window) == ["Fill a hole of plate"]


def test_a_pull_snaps_to_another_body_and_says_so_and_ctrl_does_not(holding, qtbot):
    window = holding(WEB, beside=[Disc(centre=(45.3, 31.7), radius=4)])
    view, start = window.sheet.board.viewport(), pixel(window, *grip_at(window, "point", 2))
    near = pixel(window, 45.9, 31.2)
    qtbot.mousePress(view, LEFT, pos=start)
    qtbot.mouseMove(view, (start + near) / 2)
    qtbot.mouseMove(view, near)
    assert window.sheet.grips._pull.snapped.told == "centre of beside 0"
    qtbot.mouseRelease(view, LEFT, pos=near)
    assert shape_of(window).points[2] == (45.3, 31.7)
    window.desk.document.history.undo()
    end = pulled(qtbot, window, grip_at(window, "point", 2), (45.9, 31.2))
    assert shape_of(window).points[2] == end != (45.3, 31.7)


def test_tab_while_pulling_takes_the_next_thing_to_snap_to(holding, qtbot):
    window = holding(WEB, beside=[Disc(centre=(45, 30), radius=1)])
    view, start, near = window.sheet.board.viewport(), pixel(window, *grip_at(window, "point", 2)), pixel(window, 45.1, 30.1)
    qtbot.mousePress(view, LEFT, pos=start)
    qtbot.mouseMove(view, (start + near) / 2)
    qtbot.mouseMove(view, near)
    first = window.sheet.grips._pull.snapped
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Tab)
    second = window.sheet.grips._pull.snapped
    assert second.told != first.told
    qtbot.mouseRelease(view, LEFT, pos=near)
    assert shape_of(window).points[2] == pytest.approx(second.at, abs=1e-6)


def test_escape_while_pulling_gives_back_and_the_release_does_nothing(holding, qtbot):
    window = holding(WEB)
    before = window.desk.project
    view, start = window.sheet.board.viewport(), pixel(window, *grip_at(window, "point", 2))
    qtbot.mousePress(view, LEFT, pos=start)
    for by in (10, 20, 30):
        qtbot.mouseMove(view, start + pixel(window, by, 0) - pixel(window, 0, 0))
    qtbot.waitUntil(lambda: window.desk.project != before)
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Escape)
    assert window.desk.project == before
    qtbot.mouseMove(view, start + pixel(window, 40, 0) - pixel(window, 0, 0))
    qtbot.mouseRelease(view, LEFT, pos=start)
    assert (window.desk.project, steps(window), window.desk.document.in_gesture) == (before, [], False)


def test_undo_while_pulling_ends_the_pull_without_a_step(holding, qtbot):
    window = holding(WEB)
    pulled(qtbot, window, grip_at(window, "point", 0), (-25, -15))
    view, start = window.sheet.board.viewport(), pixel(window, *grip_at(window, "point", 2))
    qtbot.mousePress(view, LEFT, pos=start)
    qtbot.mouseMove(view, start + pixel(window, 10, 0) - pixel(window, 0, 0))
    window.desk.document.history.undo()
    qtbot.mouseMove(view, start + pixel(window, 20, 0) - pixel(window, 0, 0))
    qtbot.mouseRelease(view, LEFT, pos=start)
    assert shape_of(window) == WEB
    assert not window.desk.document.in_gesture


def test_a_click_on_a_grip_takes_it_and_changes_nothing(holding, qtbot):
    window = holding(PLATE)
    click(qtbot, window, *grip_at(window, "corner", 2))
    assert steps(window) == []
    assert window.sheet.grips.taken.grip.kind == "corner"
    assert window.desk.choice.bodies == (BodyName("plate"),)


def test_tab_goes_through_the_grips_and_leaves_the_board_after_the_last(holding, qtbot):
    window = holding(Bar(start=(-20, 0), end=(20, 0), radius=4))
    board, kinds, told = window.sheet.board, [], []
    for _ in range(4):
        qtbot.keyClick(board, Qt.Key.Key_Tab)
        kinds.append(window.sheet.grips.taken.grip.kind)
        told.append(board.accessibleDescription())
    assert kinds == ["end", "end", "centre", "radius"]
    assert [text.split(":")[0] for text in told] == ["End 1 of plate", "End 2 of plate", "Centre of plate", "Radius of plate"]
    qtbot.keyClick(board, Qt.Key.Key_Backtab)
    assert window.sheet.grips.taken.grip.kind == "centre"
    for _ in range(2):
        qtbot.keyClick(board, Qt.Key.Key_Tab)
    assert window.sheet.grips.taken is None


@pytest.mark.parametrize(
    ("key", "keys", "end"),
    [
        (Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier, (21, 0)),
        (Qt.Key.Key_Up, Qt.KeyboardModifier.NoModifier, (20, 1)),
        (Qt.Key.Key_Left, SHIFT, (19.9, 0)),
        (Qt.Key.Key_Down, SHIFT, (20, -0.1)),
    ],
)
def test_arrows_move_the_grip_that_is_taken(holding, qtbot, key, keys, end):
    window = holding(Bar(start=(-20, 0), end=(20, 0), radius=4))
    for _ in range(2):
        qtbot.keyClick(window.sheet.board, Qt.Key.Key_Tab)
    qtbot.keyClick(window.sheet.board, key, keys)
    assert shape_of(window) == Bar(start=(-20, 0), end=end, radius=4)
    assert steps(window) == ["Move an end of plate"]
    assert window.sheet.grips.taken.grip.at == pytest.approx(end)


def test_arrows_on_a_side_move_it_and_across_it_do_nothing(holding, qtbot):
    window = holding(PLATE)
    click(qtbot, window, *grip_at(window, "side", 2))
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Left)
    assert (shape_of(window).size, shape_of(window).centre) == ((41, 20), (-0.5, 0))
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Up)
    assert steps(window) == ["Pull a side of plate"]


def test_enter_on_the_middle_of_an_edge_makes_a_point_that_arrows_move(holding, qtbot):
    window = holding(WEB)
    click(qtbot, window, *grip_at(window, "middle", 0))
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Return)
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Down)
    assert shape_of(window).points == ((-20, -10), (0, -11), (20, -10), (20, 30), (-20, 30))
    assert steps(window) == ["Add a point to plate", "Move a point of plate"]


def test_escape_lets_a_grip_go(holding, qtbot):
    window = holding(PLATE)
    click(qtbot, window, *grip_at(window, "corner", 2))
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Escape)
    assert window.sheet.grips.taken is None
    assert window.desk.choice.bodies == (BodyName("plate"),)


def test_after_escape_tab_leaves_the_board_whatever_the_number_of_grips(holding, qtbot):
    window = holding(PLATE)
    board = window.sheet.board
    qtbot.keyClick(board, Qt.Key.Key_Tab)
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    assert not window.sheet.grips.key(QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Tab, Qt.KeyboardModifier.NoModifier))
    assert window.sheet.grips.key(QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Tab, Qt.KeyboardModifier.NoModifier))


def test_numbers_of_the_panel_follow_a_pull(holding, qtbot):
    window = holding(PLATE)
    view, start = window.sheet.board.viewport(), pixel(window, *grip_at(window, "side", 0))
    qtbot.mousePress(view, LEFT, pos=start)
    qtbot.mouseMove(view, (start + pixel(window, 30, 0)) / 2)
    qtbot.mouseMove(view, pixel(window, 30, 0))

    qtbot.waitUntil(lambda: shape_of(window).size[0] == 50)
    fields = window.sheet.panel.findChildren(NumberField)
    qtbot.waitUntil(lambda: [field.text() for field in fields if "width" in field.accessibleName()] == ["50 mm"])
    assert window.desk.document.in_gesture
    qtbot.mouseRelease(view, LEFT, pos=pixel(window, 30, 0))


def test_the_verdict_follows_a_pull_before_it_ends(holding, qtbot):
    window = holding(PLATE, beside=[Box(centre=(60, 0), size=(20, 60))])
    told = window.sheet.sentence
    qtbot.waitUntil(lambda: told._text.startswith("Clear"), timeout=60_000)
    view, start, end = window.sheet.board.viewport(), pixel(window, *grip_at(window, "side", 0)), pixel(window, 52, 0)
    qtbot.mousePress(view, LEFT, pos=start)
    qtbot.mouseMove(view, (start + end) / 2)
    qtbot.mouseMove(view, end)
    qtbot.waitUntil(lambda: told._text.startswith("Breach: plate meets beside 0"), timeout=60_000)
    assert window.desk.document.in_gesture
    qtbot.keyClick(window.sheet.board, Qt.Key.Key_Escape)
    qtbot.mouseRelease(view, LEFT, pos=end)
    qtbot.waitUntil(lambda: told._text.startswith("Clear"), timeout=60_000)


def test_the_centre_of_a_body_of_one_shape_takes_its_pin_along(holding, qtbot):
    window = holding(Disc(centre=(0, 0), radius=12), beside=[Frame(centre=(0, 0), size=(90, 60), wall=2)])
    desk = window.desk
    section = desk.project.sections[0].name
    pin = Pivot(name=JointName("pin"), between=(BodyName("beside 0"), BodyName("plate")), at=(0, 0))
    desk.document.change("Add a pin", lambda project: add_joint(project, section, pin))
    desk.choice.pick_bodies((BodyName("plate"),))
    drag(qtbot, window, (0, 0), (14, 6))
    assert shape_of(window).centre == desk.project.sections[0].joints[0].at == (14, 6)


def test_a_shape_among_others_is_moved_by_its_centre_alone(holding, qtbot):
    window = holding(Disc(centre=(0, 0), radius=8), Disc(centre=(30, 0), radius=6))
    end = pulled(qtbot, window, grip_at(window, "centre", index=1), (37, 9))
    assert [shape_of(window, index).centre for index in (0, 1)] == [(0, 0), end]
    assert steps(window) == ["Move a shape of plate"]


@pytest.mark.parametrize("why", ["held", "hidden", "two picked", "another step", "a tool in hand"])
def test_there_are_no_grips(holding, qtbot, why):
    window = holding(PLATE, beside=[Disc(centre=(60, 0), radius=5)])
    desk = window.desk
    if why in ("held", "hidden"):
        section = desk.project.sections[0].name
        hold, hide = (why == "held") or None, (why == "hidden") or None
        desk.document.change("View", lambda project: show_bodies(project, section, (BodyName("plate"),), held=hold, hidden=hide))
    elif why == "two picked":
        desk.choice.pick_bodies((BodyName("plate"), BodyName("beside 0")))
    elif why == "another step":
        window.show_step("Gaps")
    else:
        ask(qtbot, window, Qt.Key.Key_1)
    QCoreApplication.processEvents()
    assert window.sheet.grips.shown() == ()


def test_grips_stay_apart_where_the_board_shows_little_of_a_shape(holding):
    window = holding(PLATE, beside=[Frame(centre=(0, 0), size=(4000, 2000), wall=5)])
    window.sheet.board.fit()
    shown = window.sheet.grips.shown()
    assert 0 < len(shown) < 5
    window.sheet.board.zoom_by(20)
    assert len(window.sheet.grips.shown()) == 11


def test_names_keep_off_every_grip_but_the_rings_of_the_edge(holding):
    window = holding(PLATE)
    board = window.sheet.board
    boxes = window.sheet.grips.words_at(1.0 / board.pixels_a_mm)

    def kept_free(at):
        return any(left < at[0] < right and low < at[1] < high for left, low, right, high in boxes)

    assert all(kept_free(grip_at(window, "side", place)) for place in range(4))
    assert not any(kept_free(grip_at(window, "corner", place)) for place in range(4))
    x, y = grip_at(window, "turn")
    # The arc by which the box is turned stands upright at its right.
    assert kept_free((x, y + 13.0 / board.pixels_a_mm))
    assert not kept_free((x + 13.0 / board.pixels_a_mm, y))


def grip_drawn(window, at):
    """Whether the ring of a grip is drawn there: darker than the body about it."""
    board = window.sheet.board
    picture, ratio, middle = board.viewport().grab().toImage(), board.devicePixelRatioF(), pixel(window, *at)
    near = [
        picture.pixelColor(round((middle.x() + x) * ratio), round((middle.y() + y) * ratio)) for x in range(-7, 8) for y in range(-7, 8)
    ]
    return len({colour.name() for colour in near}) > 4


def test_while_a_hand_drags_the_body_its_grips_are_not_drawn_and_afterwards_they_are(holding, qtbot):
    window = holding(Disc(centre=(0, 0), radius=20), Disc(centre=(0, 0), radius=4))
    view, (first, last) = window.sheet.board.viewport(), (pixel(window, 10, 8), pixel(window, 30, 8))
    (x, y) = grip_at(window, "radius", index=1)
    assert grip_drawn(window, (x, y))
    qtbot.mousePress(view, LEFT, FREE, first)
    qtbot.mouseMove(view, (first + last) / 2)
    qtbot.mouseMove(view, last)
    by = shape_of(window).centre[0]
    assert by > 15
    assert window.sheet.board.hand_on_body
    assert not grip_drawn(window, (x + by, y))
    qtbot.mouseRelease(view, LEFT, FREE, last)
    assert not window.sheet.board.hand_on_body
    assert grip_drawn(window, (x + by, y))


def test_names_wait_until_the_hand_rests_though_what_it_holds_goes_no_farther(holding, qtbot, monkeypatch):
    window = holding(PLATE)
    view, naming, at = window.sheet.board.viewport(), window.sheet.board._naming, grip_at(window, "corner")
    naming._settle.setInterval(3_600_000)
    hover(qtbot, window, at)
    qtbot.mousePress(view, LEFT, pos=pixel(window, *at))
    for by in (3, 4):
        qtbot.mouseMove(view, pixel(window, at[0] + by, at[1] + by))
    qtbot.waitUntil(lambda: shape_of(window) != PLATE)
    there = shape_of(window)
    assert naming.busy
    put_off = []
    monkeypatch.setattr(naming, "once_at_rest", lambda: put_off.append(shape_of(window)))
    # Less than a step of the grid, to which it snaps.
    qtbot.mouseMove(view, pixel(window, at[0] + 4, at[1] + 4) + QPoint(2, 0))
    assert put_off == [there]
    qtbot.mouseRelease(view, LEFT, pos=pixel(window, at[0] + 4, at[1] + 4))
