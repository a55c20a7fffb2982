"""The two-drive map of the *Gaps* step through the real window: what it shows, what the hand and the keys do with it."""

import math

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, QPoint, Qt
from PySide6.QtGui import QColor

from app.drive_map.plane import cell_at
from app.palette import palette_of
from app.theme import DARK, LIGHT
from core.sweep.at_pose import PoseGaps
from core.sweep.drive_map import BREACH, CLEAR, UNDECIDED, state_at

MAP_MS = 60_000


@pytest.fixture
def mapped(opened, qtbot):
    """The petal lamp with the map of fold 2 and twist 2, finished, everything at home."""
    window = opened("petal_lamp")
    window.desk.pose.put(window.desk.pose.home())
    window.desk.choice.pick_drive("fold 2")
    with qtbot.waitSignal(window.desk.two_drives.mapped, timeout=MAP_MS):
        qtbot.keyClick(window, Qt.Key.Key_M)
    finish(qtbot, window)
    return window


def finish(qtbot, window):
    qtbot.waitUntil(lambda: window.desk.two_drives.found is not None and not window.desk.two_drives.mapping, timeout=MAP_MS)


def at(window, first, second):
    x, y = window.sheet.map.plot.plane().point((first, second))
    return QPoint(round(x), round(y))


def colours(window, first, second):
    """The colours of a patch of the map about two drive values."""
    image = window.sheet.map.plot.grab().toImage()
    middle, ratio = at(window, first, second), image.devicePixelRatio()
    about = [(round((middle.x() + x) * ratio), round((middle.y() + y) * ratio)) for x in range(-4, 5) for y in range(-4, 5)]
    return {image.pixelColor(*place).name() for place in about}


def test_m_shows_the_map_and_a_known_breach_is_a_breach_and_home_is_clear(mapped):
    panel, found = mapped.sheet.map, mapped.desk.two_drives.found
    assert panel.isVisible()
    assert mapped.actions_by_name["two_drive_map"].isChecked()
    assert found.drives == ("fold 2", "twist 2")
    # Petals 2 and 3 breach at fold 2 = 60 with all else at home by the gap at that one pose, which knows no cells.
    gaps = {gap.between: gap for gap in PoseGaps(mapped.desk.project).at({"fold 2": 60.0})}
    assert gaps["petal 2", "petal 3"].gap < gaps["petal 2", "petal 3"].required_gap
    assert state_at(found, (60.0, 0.0)) == BREACH
    assert state_at(found, (0.0, 0.0)) == CLEAR
    share = math.ceil(100 * np.mean(found.state == BREACH))
    assert panel.state.whole().startswith(f"{share} % breach")


def test_states_agree_with_the_gaps_at_poses_all_over_the_map(mapped):
    # Against the gap at single poses: in a cell that is proved clear no pose breaches.
    found, gaps = mapped.desk.two_drives.found, PoseGaps(mapped.desk.project)
    rng = np.random.default_rng(20)
    seen = {CLEAR: 0, BREACH: 0, UNDECIDED: 0}
    for _ in range(60):
        values = (float(rng.uniform(-12, 64)), float(rng.uniform(-9, 9)))
        state = state_at(found, values)
        seen[state] += 1
        pose = gaps.at({"fold 2": values[0], "twist 2": values[1]})
        short = {gap.between for gap in pose if not gap.passes_over and gap.gap - gap.tolerance < gap.required_gap - 1e-6}
        moved = {pair for pair in short if {"petal 2", "motor 2", "arm 2"} & set(pair)}
        if state == CLEAR:
            assert not moved, values
        if moved:
            assert state == BREACH, values
    assert seen[CLEAR] > 10
    assert seen[BREACH] > 3


def test_a_breach_is_hatched_in_the_heat_of_contact_and_clear_cells_are_paper(mapped):
    shown = colours(mapped, 60.0, 4.0)
    assert QColor(LIGHT.heat[5]).name() in shown
    assert len(shown) > 1
    assert colours(mapped, 20.0, 4.0) == {QColor(LIGHT.board).name()}


def test_the_map_follows_the_style(mapped, qtbot, system_palette):
    system_palette(palette_of(DARK))
    qtbot.waitUntil(lambda: mapped._style is DARK)
    assert QColor(DARK.heat[5]).name() in colours(mapped, 60.0, 4.0)
    assert colours(mapped, 20.0, 4.0) == {QColor(DARK.board).name()}


def test_the_dot_is_dragged_and_the_board_follows(mapped, qtbot):
    plot = mapped.sheet.map.plot
    before = mapped.desk.body_poses()["petal 2"]
    qtbot.mousePress(plot, Qt.MouseButton.LeftButton, pos=at(mapped, 0.0, 0.0))
    for values in ((20.0, 2.0), (40.0, 4.0), (50.0, 5.0)):
        qtbot.mouseMove(plot, at(mapped, *values))
    qtbot.mouseRelease(plot, Qt.MouseButton.LeftButton, pos=at(mapped, 50.0, 5.0))
    assert mapped.desk.pose.values["fold 2"] == pytest.approx(50.0, abs=0.3)
    assert mapped.desk.pose.values["twist 2"] == pytest.approx(5.0, abs=0.1)
    assert mapped.desk.body_poses()["petal 2"] != before


def test_hover_tells_the_values_and_the_pair_that_breaches(mapped, qtbot):
    plot, told = mapped.sheet.map.plot, mapped.sheet.map.told
    qtbot.mouseMove(plot, at(mapped, 60.0, 0.0))
    assert "fold 2 at 6" in told.whole() or "fold 2 at 59." in told.whole()
    assert "petal 2 and petal 3 come too close" in told.whole()
    assert mapped.desk.pose.values == mapped.desk.pose.home()
    qtbot.mouseMove(plot, at(mapped, 20.0, 0.0))
    assert told.whole().endswith("proved clear.")


def test_a_click_on_a_breach_poses_the_board_there_and_takes_its_pair_in_hand(mapped, qtbot):
    mapped.desk.choice.pick_bodies(())
    qtbot.mouseClick(mapped.sheet.map.plot, Qt.MouseButton.LeftButton, pos=at(mapped, 60.0, 0.0))
    assert mapped.desk.choice.pair == ("petal 2", "petal 3")
    assert mapped.desk.pose.values["fold 2"] == pytest.approx(60.0, abs=0.3)
    assert mapped.desk.gap.gap < 0


def test_arrows_move_the_dot_by_a_cell_and_with_shift_finer(mapped, qtbot):
    plot, edges = mapped.sheet.map.plot, mapped.desk.two_drives.found.edges
    across, up = edges[0][1] - edges[0][0], edges[1][1] - edges[1][0]
    qtbot.keyClick(plot, Qt.Key.Key_Right)
    qtbot.keyClick(plot, Qt.Key.Key_Up)
    assert mapped.desk.pose.values["fold 2"] == pytest.approx(across)
    assert mapped.desk.pose.values["twist 2"] == pytest.approx(up)
    qtbot.keyClick(plot, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert mapped.desk.pose.values["fold 2"] == pytest.approx(0.9 * across)
    assert "fold 2 at" in plot.accessibleDescription()


def test_the_dot_does_not_leave_travel(mapped, qtbot):
    mapped.desk.pose.put({"fold 2": 64.0})
    qtbot.keyClick(mapped.sheet.map.plot, Qt.Key.Key_Right)
    assert mapped.desk.pose.values["fold 2"] == 64.0


def test_the_others_anywhere_are_mapped_anew_and_breach_more(mapped, qtbot):
    home = mapped.desk.two_drives.found
    with qtbot.waitSignal(mapped.desk.two_drives.mapped, timeout=MAP_MS):
        qtbot.mouseClick(mapped.sheet.map.anywhere, Qt.MouseButton.LeftButton)
    anywhere = mapped.desk.two_drives.found
    assert anywhere.others == "any"
    assert np.mean(anywhere.state == BREACH) > np.mean(home.state == BREACH)
    assert mapped.sheet.map.anywhere.isChecked()
    assert not mapped.sheet.map.at_home.isChecked()
    qtbot.mouseClick(mapped.sheet.map.at_home, Qt.MouseButton.LeftButton)
    finish(qtbot, mapped)
    assert mapped.desk.two_drives.found.others == "home"


def test_another_second_drive_is_mapped_anew(mapped, qtbot):
    second = mapped.sheet.map.second
    names = [second.itemText(place) for place in range(second.count())]
    assert "fold 2" not in names
    with qtbot.waitSignal(mapped.desk.two_drives.mapped, timeout=MAP_MS):
        # With the popup closed, Home takes the first of the list.
        qtbot.keyClick(second, Qt.Key.Key_Home)
    assert mapped.desk.two_drives.found.drives == ("fold 2", "twist 1")


def test_the_second_drive_taken_in_hand_changes_places_with_the_first(mapped, qtbot):
    mapped.desk.two_drives.pick_second("twist 3")
    finish(qtbot, mapped)
    mapped.desk.choice.pick_drive("twist 3")
    assert mapped.desk.two_drives.drives == ("twist 3", "fold 2")


def test_where_other_drives_are_not_at_home_it_is_told(mapped):
    mapped.desk.pose.put({"fold 4": 20.0})
    assert mapped.sheet.map.told.whole().endswith("On the board other drives are not at home.")


@pytest.mark.parametrize("key", [Qt.Key.Key_M, Qt.Key.Key_Escape])
def test_m_and_escape_close_the_map_and_the_pose_stays(mapped, qtbot, key):
    mapped.desk.pose.put({"fold 2": 30.0})
    qtbot.keyClick(mapped.sheet.map.plot, key)
    assert not mapped.sheet.map.isVisible()
    assert not mapped.actions_by_name["two_drive_map"].isChecked()
    assert not mapped.desk.two_drives.mapping
    assert mapped.desk.pose.values["fold 2"] == 30.0


def test_detail_a_goes_while_the_map_has_its_place_and_is_there_again_when_it_closes(mapped, qtbot):
    overlay = mapped.sheet.board._overlay
    assert not overlay.detail
    qtbot.keyClick(mapped.sheet.map.plot, Qt.Key.Key_M)
    assert overlay.detail
    QCoreApplication.processEvents()
    assert overlay.detail


def test_another_step_closes_the_map_and_m_comes_back_to_gaps(mapped, qtbot):
    qtbot.keyClick(mapped, Qt.Key.Key_3)
    assert not mapped.sheet.map.isVisible()
    qtbot.keyClick(mapped, Qt.Key.Key_M)
    assert mapped.step == "Gaps"
    assert mapped.sheet.map.isVisible()


def test_a_window_that_is_closed_while_it_maps_lets_its_process_go(opened, qtbot):
    window = opened("petal_lamp")
    window.desk.two_drives.set_others("any")
    qtbot.keyClick(window, Qt.Key.Key_M)
    assert window.desk.two_drives.mapping
    assert window.sheet.map.state.whole() == "mapping"
    window.close()
    assert window.desk.two_drives.pid() is None


def test_a_project_with_one_drive_offers_no_map(mapped, opened):
    opened("barrier_arm")
    assert not mapped.sheet.map.isVisible()
    assert not mapped.actions_by_name["two_drive_map"].isEnabled()


def test_every_part_of_the_map_has_a_name(mapped):
    panel = mapped.sheet.map
    named = (panel, panel.plot, panel.second, panel.at_home, panel.anywhere, panel.legend)
    assert all(part.accessibleName() for part in named)
    assert panel.plot.accessibleName() == "Two-drive map: fold 2 across, twist 2 upward"
    assert cell_at(mapped.desk.two_drives.found, (-12.0, -9.0)) == (0, 0)
