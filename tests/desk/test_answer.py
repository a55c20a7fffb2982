"""From opening a sample to its answer: sentence, findings, timeline and board tell the same."""

import pytest
from PySide6.QtCore import QPoint, Qt

from app.panels.words import Line
from core.model.edit_project import new_project
from core.sweep.at_pose import PoseGaps

# Slips and the finder are popups, which a window drawn in memory can neither raise nor give the keyboard.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


def row_of(window, *pair):
    place = next(place for place, row in enumerate(window.desk.timeline.rows) if set(row.between) == set(pair))
    return place, window.desk.timeline.rows[place]


def point_in(window, place, drive, value):
    """The pixel of a drive value in a row of the timeline."""
    view = window.sheet.timeline
    band = next(band for band in view.showing.bands if band.drive == drive)
    top = next(top for at, top in view.showing.visible() if at.row == place)
    return QPoint(round(band.x_of(value)), round(top + 6))


def test_the_worst_breach_is_shown_once_it_is_proved(opened):
    window = opened("barrier_arm")
    # The barrier arm's answer is known in closed form: contact from 36.401 to about 40.29, about 0.16 deep near 38.
    assert window.desk.pose.values["swing"] == pytest.approx(38.0, abs=0.05)
    assert "motor meets rib" in window.sheet.sentence.text()
    assert "0.16 mm deep" in window.sheet.sentence.text()
    assert window.sheet.corner.place() == "1 of 1"
    assert [entry.visit for entry in window.sheet.panel.findings.entries()] == [0]
    assert "0.16 mm deep" in window.sheet.panel.findings.entries()[0].head
    assert window.sheet.board._overlay.mark.words == "0.16 mm deep"


def test_escape_gives_back_the_pose_at_home(opened, qtbot):
    window = opened("barrier_arm")
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert window.desk.pose.values == {"swing": 0.0}
    assert window.desk.pose.own is None


def test_a_click_on_a_column_poses_the_board_and_all_parts_agree(opened, qtbot):
    window = opened("petal_lamp")
    place, row = row_of(window, "petal 5", "mast")
    drive = row.lead.drives[0]
    window.desk.choice.pick_drive(drive)
    breach = row.lead.breaches[0]
    value = (breach.start + breach.end) / 2
    qtbot.mouseClick(window.sheet.timeline, Qt.MouseButton.LeftButton, pos=point_in(window, place, drive, value))
    posed = window.desk.pose.shown[drive]
    assert breach.start < posed < breach.end
    independent = PoseGaps(window.desk.project).at({**window.desk.pose.home(), drive: posed})
    gap = next(one.gap for one in independent if set(one.between) == {"petal 5", "mast"})
    assert window.sheet.board._overlay.mark.gap == pytest.approx(gap, abs=1e-9)
    assert gap < row.required
    assert window.sheet.timeline.showing.here == pytest.approx(gap, abs=1e-9)
    sentence = window.sheet.sentence.text()
    assert "petal 5" in sentence
    assert "mast" in sentence
    checked = [link for link in window.sheet.panel.findings.links() if link.isChecked()]
    assert len(checked) == 1
    assert "etal 5 meets mast" in checked[0].entry.head


def test_hovering_ghosts_a_pose_and_leaves_the_board_where_it_is(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.leave()
    place, _ = row_of(window, "motor", "rib")
    qtbot.mouseMove(window.sheet.timeline, point_in(window, place, "swing", 20.0))
    assert window.desk.pose.ghost["swing"] == pytest.approx(20.0, abs=0.3)
    assert window.desk.pose.shown["swing"] == 0.0
    assert window.sheet.board._items._ghosts


def test_keys_visit_the_breaches_by_depth_and_escape_leaves(opened, qtbot):
    window = opened("petal_lamp")
    visits = window.desk.visits()
    assert len(visits) > 2
    seen = [window.desk.visit.place]
    for _ in visits[1:]:
        qtbot.keyClick(window, Qt.Key.Key_N)
        seen.append(window.desk.visit.place)
    assert seen == list(range(1, len(visits) + 1))
    assert window.sheet.corner.place() == f"{len(visits)} of {len(visits)}"
    qtbot.keyClick(window, Qt.Key.Key_N, Qt.KeyboardModifier.ShiftModifier)
    assert window.desk.visit.place == len(visits) - 1
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert window.desk.pose.values == window.desk.pose.home()


def test_arrows_move_a_ghost_along_the_columns_and_enter_poses(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.leave()
    view = window.sheet.timeline
    view.setFocus()
    qtbot.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    edge = window.desk.pose.ghost["swing"]
    # The breach of the 1 mm begins at 31.808 (closed form).
    assert edge == pytest.approx(31.808, abs=1e-3)
    qtbot.keyClick(view, Qt.Key.Key_Right)
    assert window.desk.pose.ghost["swing"] > edge
    qtbot.keyClick(view, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert window.desk.pose.shown["swing"] == 0.0
    fine = window.desk.pose.ghost["swing"]
    qtbot.keyClick(view, Qt.Key.Key_Return)
    assert window.desk.pose.values["swing"] == pytest.approx(fine)


def test_up_and_down_take_another_pair_in_hand(opened, qtbot):
    window = opened("petal_lamp")
    view = window.sheet.timeline
    view.setFocus()
    qtbot.keyClick(view, Qt.Key.Key_Down)
    assert window.desk.row == 1
    assert window.sheet.panel.selected.head() == " \N{MIDDLE DOT} ".join(window.desk.timeline.rows[1].between)
    qtbot.keyClick(view, Qt.Key.Key_Up)
    assert window.desk.row == 0


def test_the_together_column_poses_the_deepest_combination(opened, qtbot):
    window = opened("petal_lamp")
    place = next(place for place, row in enumerate(window.desk.timeline.rows) if row.group == "together")
    window.desk.pick_row(place)
    view = window.sheet.timeline
    top = next(top for at, top in view.showing.visible() if at.row == place)
    qtbot.mouseClick(view, Qt.MouseButton.LeftButton, pos=QPoint(view.showing.together_left + 10, top + 6))
    row = window.desk.timeline.rows[place]
    assert window.desk.gap.gap == pytest.approx(row.together.lowest_gap, abs=1e-6)
    assert sum(window.desk.pose.values[name] != home for name, home in window.desk.pose.home().items()) > 1


def test_a_clear_bay_says_so_and_shows_where_it_is_tightest(opened):
    window = opened("clear_bay")
    assert window.sheet.sentence.text().startswith("Clear:")
    assert window.job_bar.state_of("Gaps") == "clear"
    tightest = window.desk.timeline.rows[0]
    assert window.desk.gap.between == tightest.between
    assert window.desk.gap.gap == pytest.approx(tightest.lowest_gap, abs=1e-6)


def test_why_tells_over_what_and_how_it_was_proved(opened, qtbot):
    window = opened("barrier_arm")
    qtbot.keyClick(window, Qt.Key.Key_W)
    told = window.slip.words()
    assert "Motor and rib of Side." in told
    assert "Proof:" in told
    assert "not a safety device" in told
    window.slip.hide()


def test_pairs_not_checked_are_listed_with_their_reason(opened, qtbot):
    window = opened("barrier_arm")
    qtbot.keyClick(window, Qt.Key.Key_U)
    assert "rinted in one piece" in window.slip.words()
    assert len(window.desk.result.unchecked) == window.sheet.timeline.showing.unchecked
    window.slip.hide()


def test_of_an_empty_bay_no_one_says_that_every_pair_keeps_what_is_asked(window, qtbot):
    window.desk.begin(new_project())
    window.show_step("Gaps")
    qtbot.waitUntil(
        lambda: any(line.isVisible() and line.whole() == "Nothing to check yet." for line in window.findChildren(Line)), timeout=60_000
    )
