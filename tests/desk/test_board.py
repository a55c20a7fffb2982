"""The board and the depth strip as the user meets them."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QImage, QWheelEvent
from PySide6.QtWidgets import QApplication, QWidget

from app import theme
from app.board.board import Board
from app.board.depth_strip import DepthStrip
from core.drawing.gap_mark import GapMark
from core.model.project import Project, Section
from tests.unit.board.lamp import about, lamp, turned

SHEET = {theme.LIGHT.board, theme.LIGHT.grid, theme.LIGHT.grid_ten}
FOLD_2 = turned((0, 42), 72)
FOLDED = about(FOLD_2, 62)
BREACH = GapMark(((-53, -38), (-53, -38)), -3.65, 1.0, ("petal 2", "petal 3"), (0.57, -3.6))


def at(board, x, y):
    """The point of the viewport over a place in mm."""
    return board.viewportTransform().map(QPointF(x, y)).toPoint()


def picture(widget):
    return widget.viewport().grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def largest_difference(one, other):
    """Of any channel of any pixel, 0 to 255."""
    a, b = (np.frombuffer(image.constBits(), np.uint8).astype(int) for image in (one, other))
    return np.abs(a - b).max()


def colours(image):
    return {image.pixelColor(x, y).name() for x in range(0, image.width(), 3) for y in range(0, image.height(), 3)}


def test_the_section_is_fitted_with_y_up(board):
    image = picture(board)
    top, low = at(board, 0, 85), at(board, 0, -85)
    assert top.y() < low.y()
    assert image.pixelColor(at(board, 20, 80)).name() == theme.LIGHT.bodies["sky"]
    assert image.pixelColor(at(board, 0, 0).x() + 5, at(board, 0, 6).y()).name() in {
        theme.LIGHT.board,
        theme.LIGHT.grid,
        theme.LIGHT.grid_ten,
    }
    for x, y in ((0, 99), (0, -91), (94, 0), (-94, 0)):
        assert board.viewport().rect().contains(at(board, x, y))


def test_a_turned_body_is_drawn_and_picked_where_it_is_posed(board, qtbot):
    place = (-60, -15)
    assert board.body_at(QPointF(at(board, *place))) is None or board.body_at(QPointF(at(board, *place))).body != "petal 2"
    board.set_poses({"petal 2": FOLDED})
    assert board.body_at(QPointF(at(board, *place))).body == "petal 2"
    assert picture(board).pixelColor(at(board, *place)).name() == theme.LIGHT.bodies["lagoon"]
    with qtbot.waitSignal(board.body_picked) as picked:
        qtbot.mouseClick(board.viewport(), Qt.MouseButton.LeftButton, pos=at(board, *place))
    assert picked.args == ["petal 2"]


def test_a_click_beside_all_bodies_picks_nothing(board, qtbot):
    with qtbot.waitSignal(board.body_picked) as picked:
        qtbot.mouseClick(board.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(5, 5))
    assert picked.args == [""]


def test_a_drag_tells_the_body_and_the_pointer_in_mm(board, qtbot):
    told = []
    board.body_dragged.connect(lambda *args: told.append(args))
    picked = []
    board.body_picked.connect(picked.append)
    start, end = at(board, 0, 80), at(board, 20, 70)
    qtbot.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(board.viewport(), end)
    qtbot.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=end)
    assert [(body, phase) for body, _, _, phase in told] == [("petal 1", "press"), ("petal 1", "move"), ("petal 1", "release")]
    pixel = 1 / board.pixels_a_mm
    assert told[0][1:3] == pytest.approx((0, 80), abs=pixel)
    assert told[-1][1:3] == pytest.approx((20, 70), abs=pixel)
    assert picked == []


@pytest.mark.parametrize("show", ["refresh_section", "show_section"])
def test_a_body_that_goes_while_it_is_held_is_let_go(board, qtbot, show):
    told = []
    board.body_dragged.connect(lambda *args: told.append(args))
    board.body_picked.connect(told.append)
    qtbot.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=at(board, 0, 80))
    section = lamp().sections[0]
    left = Section(name="Plan", bodies=tuple(body for body in section.bodies if body.name != "petal 1"))
    getattr(board, show)(Project(format=1, name="p", required_gap=1, sections=(left,)), "Plan")
    qtbot.mouseMove(board.viewport(), at(board, 20, 70))
    qtbot.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=at(board, 20, 70))
    assert told == []


def test_a_hand_that_trembles_is_a_click(board, qtbot):
    told = []
    board.body_dragged.connect(lambda *args: told.append(args))
    start = at(board, 0, 80)
    qtbot.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(board.viewport(), start + QPoint(1, 1))
    with qtbot.waitSignal(board.body_picked):
        qtbot.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=start + QPoint(1, 1))
    assert told == []


@pytest.mark.parametrize(("modifier", "expected"), [(Qt.KeyboardModifier.NoModifier, {"petal 1"}), (Qt.KeyboardModifier.AltModifier, None)])
def test_a_box_takes_what_lies_inside_or_with_alt_what_it_touches(board, qtbot, modifier, expected):
    start, end = at(board, -40, 105), at(board, 34, 35.5)
    qtbot.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=start)
    qtbot.mouseMove(board.viewport(), end)
    with qtbot.waitSignal(board.bodies_boxed) as boxed:
        qtbot.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, modifier, pos=end)
    found = set(boxed.args[0])
    if expected is None:
        assert {"petal 1", "motor 1"} < found
        assert "ring" not in found
    else:
        assert "petal 1" in found
        assert "motor 1" not in found


def test_the_wheel_zooms_about_the_pointer(board):
    pointer = at(board, 20, 80)
    before, scale = board.to_mm(QPointF(pointer)), board.pixels_a_mm
    event = QWheelEvent(
        QPointF(pointer),
        board.viewport().mapToGlobal(QPointF(pointer)),
        QPoint(),
        QPoint(0, 360),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(board.viewport(), event)
    after = board.to_mm(QPointF(pointer))
    assert board.pixels_a_mm == pytest.approx(scale * 1.2**3)
    assert (after.x(), after.y()) == pytest.approx((before.x(), before.y()), abs=1 / board.pixels_a_mm)


def test_zoom_has_ends_and_fit_comes_back(board):
    fitted = board.pixels_a_mm
    board.zoom_by(1e9)
    assert board.pixels_a_mm == 400
    board.zoom_by(1e-9)
    assert board.pixels_a_mm == 0.02
    board.fit()
    assert board.pixels_a_mm == pytest.approx(fitted)


@pytest.mark.parametrize("by_space", [False, True])
def test_the_middle_button_or_space_pans(board, qtbot, by_space):
    button = Qt.MouseButton.LeftButton if by_space else Qt.MouseButton.MiddleButton
    before = at(board, 0, 0)
    if by_space:
        qtbot.keyPress(board, Qt.Key.Key_Space)
    qtbot.mousePress(board.viewport(), button, pos=QPoint(300, 200))
    qtbot.mouseMove(board.viewport(), QPoint(340, 170))
    qtbot.mouseRelease(board.viewport(), button, pos=QPoint(340, 170))
    if by_space:
        qtbot.keyRelease(board, Qt.Key.Key_Space)
    moved = at(board, 0, 0) - before
    assert (moved.x(), moved.y()) == (pytest.approx(40, abs=1), pytest.approx(-30, abs=1))


def test_held_bodies_are_not_dragged(qtbot):
    project = lamp()
    bodies = [
        body if body.name != "petal 1" else body.__class__(**{**_fields(body), "view": body.view.__class__(colour="sky", held=True)})
        for body in project.sections[0].bodies
    ]
    section = Section(name="Plan", bodies=tuple(bodies), joints=project.sections[0].joints)
    board = Board(theme.LIGHT)
    qtbot.addWidget(board)
    board.resize(848, 460)
    board.show()
    board.show_section(Project(format=1, name="p", required_gap=1, sections=(section,)), "Plan")
    told = []
    board.body_dragged.connect(lambda *args: told.append(args))
    qtbot.mousePress(board.viewport(), Qt.MouseButton.LeftButton, pos=at(board, 0, 80))
    qtbot.mouseMove(board.viewport(), at(board, 20, 70))
    qtbot.mouseRelease(board.viewport(), Qt.MouseButton.LeftButton, pos=at(board, 20, 70))
    assert told == []


def _fields(record):
    return {name: getattr(record, name) for name in record.__struct_fields__}


def test_selection_changes_weight_and_never_a_colour(board):
    before = colours(picture(board))
    board.set_selected({"petal 1"})
    after = colours(picture(board))
    tints = set(theme.LIGHT.bodies.values())
    assert before & tints == after & tints
    assert picture(board).pixelColor(at(board, 20, 80)).name() == theme.LIGHT.bodies["sky"]


def ink_share(image, start, end):
    """How much darker than the lightest pixel the line of pixels is, summed."""
    steps = max(abs(end.x() - start.x()), abs(end.y() - start.y()))
    along = [image.pixelColor(start + (end - start) * (number / steps)).lightness() for number in range(steps + 1)]
    return sum(max(along) - value for value in along)


def test_a_selected_outline_is_drawn_wider(board):
    start, end = at(board, 26, 74), at(board, 36, 74)
    plain = ink_share(picture(board), start, end)
    board.set_selected({"petal 1"})
    assert ink_share(picture(board), start, end) > 1.15 * plain


def test_a_breach_shows_its_overlap_and_detail_a(board):
    board.set_poses({"petal 2": FOLDED})
    assert theme.LIGHT.heat[5] not in colours(picture(board))
    told = []
    board.overlap_changed.connect(told.append)
    board.set_gap(BREACH)
    overlap = theme.LIGHT.heat[5]
    on_board = _count(picture(board), overlap)
    assert on_board > 20
    (span,) = told
    assert span.band == (23, 25)
    assert span.low < span.high < -30
    board.set_detail(True)
    assert _count(picture(board), overlap) > 5 * on_board
    board.set_gap(None)
    assert _count(picture(board), overlap) == 0
    assert told[-1] is None


def _count(image, name):
    wanted = QColor(name).rgb()
    return sum(image.pixel(x, y) == wanted for x in range(image.width()) for y in range(image.height()))


def test_detail_leaves_the_section_beside_it_free(board):
    board.set_poses({"petal 2": FOLDED})
    middle = at(board, 0, 0).x()
    board.set_gap(BREACH)
    board.set_detail(True)
    assert at(board, 0, 0).x() < middle - 50


def test_the_overlap_follows_the_poses(board):
    board.set_poses({"petal 2": FOLDED})
    board.set_gap(BREACH)
    told = []
    board.overlap_changed.connect(told.append)
    board.set_poses({"petal 2": about(FOLD_2, 64)})
    assert told
    board.set_poses({"petal 2": (0.0, 0.0, 0.0)})
    assert told[-1] is None


def test_ghost_and_ends_of_travel_add_lines_and_take_them_away(board):
    plain = picture(board)
    board.set_ghost({"petal 2": FOLDED})
    assert picture(board) != plain
    board.set_ghost(None)
    assert picture(board) == plain
    board.set_travel_ends({"petal 2": [FOLDED, about(FOLD_2, -12)]})
    assert picture(board) != plain
    board.set_travel_ends(None)
    assert picture(board) == plain


def test_a_ghost_at_the_pose_shown_draws_nothing(board):
    plain = picture(board)
    board.set_ghost({"petal 2": (0.0, 0.0, 0.0), "petal 3": (0.0, 0.0, 0.0)})
    assert picture(board) == plain


def test_the_theme_changes_everything_on_the_board(board):
    board.set_style(theme.DARK)
    found = colours(picture(board))
    assert theme.DARK.board in found
    assert theme.DARK.bodies["sky"] in found
    assert theme.LIGHT.board not in found
    assert not found & set(theme.LIGHT.bodies.values())


def test_pointing_tells_the_place_in_mm_and_the_body(board, qtbot):
    with qtbot.waitSignals([board.pointer_moved, board.body_hovered]):
        qtbot.mouseMove(board.viewport(), at(board, 0, 80))
    with qtbot.waitSignal(board.pointer_moved) as moved:
        qtbot.mouseMove(board.viewport(), at(board, 10, 80))
    assert moved.args == pytest.approx([10, 80], abs=1 / board.pixels_a_mm)


def test_an_edit_keeps_view_poses_and_selection(board):
    board.set_poses({"petal 2": FOLDED})
    board.set_selected({"petal 2"})
    board.zoom_by(3)
    before, scale = picture(board), board.pixels_a_mm
    board.refresh_section(lamp(), "Plan")
    assert board.pixels_a_mm == scale
    assert (
        largest_difference(picture(board), before) < 25
    )  # letters are not drawn alike to the last bit each time; a line that moves differs by far more


def test_an_unknown_section_is_an_empty_sheet(board):
    board.show_section(lamp(), "Side")
    assert colours(picture(board)) <= SHEET
    assert board.body_at(QPointF(100, 100)) is None
    board.set_poses({"petal 1": FOLDED})
    board.set_ghost({"petal 1": FOLDED})
    board.set_selected({"petal 1"})


def test_hidden_bodies_are_not_drawn_and_not_hit(board):
    project = lamp()
    bodies = tuple(
        body.__class__(**{**_fields(body), "view": body.view.__class__(hidden=True)}) if body.name == "petal 1" else body
        for body in project.sections[0].bodies
    )
    section = Section(name="Plan", bodies=bodies, joints=project.sections[0].joints)
    board.show_section(Project(format=1, name="p", required_gap=1, sections=(section,)), "Plan")
    assert theme.LIGHT.bodies["sky"] not in colours(picture(board))
    assert board.body_at(QPointF(at(board, 0, 80))) is None


@pytest.fixture
def pair(qtbot):
    """A board with its depth strip at its right."""
    theme.load_fonts()
    holder = QWidget()
    qtbot.addWidget(holder)
    board, strip = Board(theme.LIGHT, holder), DepthStrip(theme.LIGHT, holder)
    board.setGeometry(0, 0, 848, 460)
    strip.setGeometry(848, 0, 112, 460)
    strip.follow(board)
    holder.resize(960, 460)
    holder.show()
    board.show_section(lamp(), "Plan")
    strip.show_section(lamp(), "Plan")
    yield board, strip
    holder.close()


def strip_point(board, strip, depth, y):
    found = strip._to_pixels().map(QPointF(depth, y)).toPoint()
    assert abs(found.y() - board.viewportTransform().map(QPointF(0, y)).y()) <= 1
    return found


def test_the_strip_shows_bands_at_the_boards_height(pair):
    board, strip = pair
    assert picture(strip).pixelColor(strip_point(board, strip, 24, 80)).name() == theme.LIGHT.bodies["sky"]
    board.zoom_by(1.5)
    board.pan_by(QPointF(0, 120))
    assert picture(strip).pixelColor(strip_point(board, strip, 24, 80)).name() == theme.LIGHT.bodies["sky"]


def test_the_strip_follows_poses(pair):
    board, strip = pair
    strip.set_poses({"petal 1": (0.0, 0.0, -500.0)})
    assert picture(strip).pixelColor(strip_point(board, strip, 24, 95)).name() != theme.LIGHT.bodies["sky"]


def test_bands_are_picked_and_dragged_by_their_ends(pair, qtbot):
    board, strip = pair
    inside, low_end = strip_point(board, strip, 24, 90), strip_point(board, strip, 23, 90)
    with qtbot.waitSignal(strip.body_picked) as picked:
        qtbot.mouseClick(strip.viewport(), Qt.MouseButton.LeftButton, pos=inside)
    assert picked.args == ["petal 1"]
    told = []
    strip.band_dragged.connect(lambda *args: told.append(args))
    qtbot.mousePress(strip.viewport(), Qt.MouseButton.LeftButton, pos=low_end)
    qtbot.mouseMove(strip.viewport(), low_end - QPoint(12, 0))
    qtbot.mouseRelease(strip.viewport(), Qt.MouseButton.LeftButton, pos=low_end - QPoint(12, 0))
    assert [args[3] for args in told] == ["press", "move", "release"]
    body, low, high, _ = told[-1]
    assert (body, high) == ("petal 1", 25)
    assert low < 23


def test_the_strip_shows_where_the_overlap_lies(pair):
    board, strip = pair
    board.set_poses({"petal 2": FOLDED})
    strip.set_poses({"petal 2": FOLDED})
    assert _count(picture(strip), theme.LIGHT.heat[5]) == 0
    board.set_gap(BREACH)
    assert _count(picture(strip), theme.LIGHT.heat[5]) > 5


def test_an_unknown_section_is_an_empty_strip(pair):
    _, strip = pair
    strip.show_section(lamp(), "Side")
    assert not colours(picture(strip)) & set(theme.LIGHT.bodies.values())


def test_the_board_is_drawn_at_twice_the_density(qtbot):
    """A still layer's pixmap must have as many pixels as the picture it is drawn on."""
    board = Board(theme.LIGHT)
    qtbot.addWidget(board)
    board.resize(400, 300)
    board.show()
    board.show_section(lamp(), "Plan")
    sharp = QImage(board.viewport().size() * 2, QImage.Format.Format_RGB32)
    sharp.setDevicePixelRatio(2)
    board.viewport().render(sharp, QPoint(0, 0))
    place = at(board, 20, 80) * 2
    assert sharp.pixelColor(place).name() == theme.LIGHT.bodies["sky"]
    # A post's wide line is 3 pixels there; painted at one to one and enlarged, no pixel would reach the full ink.
    assert any(QColor(theme.LIGHT.ink).rgb() == sharp.pixel(x, y) for x in range(sharp.width()) for y in range(0, sharp.height(), 2))
