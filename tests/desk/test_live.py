"""The proof follows the hand: a depth band that is dragged, a number that is spun, and what the edit changed in the end."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication

from app.command_line import sample_files
from app.paint_now import paint_now
from core.model.edit_bodies import set_depth
from core.project_file.read import read_project
from core.project_file.write import write_project
from core.sentences import change_line, verdict_line
from core.sentences.numbers import degree_sign, plain
from core.sweep.run import check_project

PROOF_MS = 60_000


@pytest.fixture
def bay(opened):
    """The barrier arm, proved, everything at home and nothing in hand: motor and rib breach, in depths 4 to 16 and 0 to 12."""
    window = opened("barrier_arm")
    window.desk.leave()
    window.desk.choice.pick_bodies(())
    return window


def body(window, name):
    return next(one for section in window.desk.project.sections for one in section.bodies if one.name == name)


def strip_place(window, name, share):
    """A place on a body's band in the strip, `share` from its low to its high end, where no other band is nearer to the eye."""
    strip = window.sheet.strip
    to_pixels = strip._to_pixels()
    for slab, view in strip._seen():
        if slab.body == name:
            low, high = slab.depth
            for part in (0.5, 0.25, 0.75, 0.1, 0.9, 0.02, 0.98):
                y = view.low + part * (view.high - view.low)
                place = to_pixels.map(QPointF(low + share * (high - low), y))
                grip = strip._grip_at(place)
                if grip is not None and grip.slab.body == name:
                    return place.toPoint()
    raise AssertionError(name)


def drag_band(qtbot, window, name, by, *, share=0.5, release=True):
    """Take hold of a band and move it by so many mm, in steps."""
    view = window.sheet.strip.viewport()
    start = strip_place(window, name, share)
    far = QPoint(round(by * window.sheet.strip._pixels), 0)
    qtbot.mousePress(view, Qt.MouseButton.LeftButton, pos=start)
    for part in (0.25, 0.5, 0.75, 1.0):
        qtbot.mouseMove(view, start + far * part)
    if release:
        qtbot.mouseRelease(view, Qt.MouseButton.LeftButton, pos=start + far)


def field(window, key):
    return window.sheet.panel.selected.numbers.field_of(key)


def spin(widget, notches):
    """Turn the wheel over a field that has the keyboard."""
    middle = QPointF(widget.rect().center())
    event = QWheelEvent(
        middle, widget.mapToGlobal(middle), QPoint(), QPoint(0, 120 * notches), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(widget, event)


def followed(qtbot, window):
    """Wait until the verdict of the state at hand is told."""
    qtbot.waitUntil(lambda: window.desk.live.found is not None and window.desk.live.fresh, timeout=PROOF_MS)
    return window.sheet.sentence.text()


def answered(qtbot, window):
    """Wait until the whole answer is there and shown."""
    qtbot.waitUntil(lambda: window.desk.result is not None and window.desk.answer.profiles != (), timeout=PROOF_MS)
    qtbot.waitUntil(lambda: not window.sheet.timeline.behind, timeout=PROOF_MS)


def test_a_band_dragged_clear_of_the_rib_is_proved_while_it_is_held(bay, qtbot):
    before = bay.desk.project
    drag_band(qtbot, bay, "motor", 9.0, release=False)
    told = followed(qtbot, bay)
    assert told.startswith("Proved: ")
    assert told.endswith(" every combination.")
    # The line is that of a sweep of the very state, made here.
    project = bay.desk.project
    result = check_project(project, seek="verdict", safe_anywhere=False)
    assert result.verdict == "clear"
    assert told == verdict_line(result, project, degree_sign(plain)).replace(" -", " \N{MINUS SIGN}")
    assert bay.desk.document.in_gesture
    assert not bay.desk.document.history.canUndo()
    low, high = body(bay, "motor").depth
    assert (low, high) == pytest.approx((13.0, 25.0), abs=0.5)
    assert bay.desk.document.at_press is before
    assert bay.sheet.corner._work.whole() == "1 cleared, 0 new"


def test_a_verdict_told_while_a_hand_edits_is_painted_by_then_and_leaves_the_next_frame_alone(bay, qtbot, painted):
    drag_band(qtbot, bay, "motor", 9.0, release=False)
    told = []

    def look():
        told.append(bay.sheet.sentence in painted)
        painted.clear()
        paint_now(bay)
        told.append(bay.sheet.sentence in painted)

    bay.desk.live.changed.connect(lambda: bay.desk.live.fresh and look())
    painted.clear()
    assert followed(qtbot, bay).startswith("Proved: ")
    assert told[:2] == [True, False]


def test_a_dragged_band_is_one_step_of_the_history_and_says_what_it_changed(bay, qtbot):
    before = bay.desk.project
    first = bay.desk.result
    drag_band(qtbot, bay, "motor", 9.0)
    answered(qtbot, bay)
    assert bay.job_bar._undo.text() == "Undo: Depth of motor"
    assert bay.desk.result.verdict == "clear"
    assert bay.sheet.corner._work.whole().startswith("1 cleared, 0 new by the last edit")
    assert change_line(first, bay.desk.result, plain) == "1 cleared, 0 new"
    after = bay.desk.project
    bay.desk.document.history.undo()
    assert bay.desk.project == before
    answered(qtbot, bay)
    assert bay.sheet.corner._work.whole().startswith("0 cleared, 1 new by the last edit")
    bay.desk.document.history.redo()
    assert bay.desk.project == after


def test_the_rows_of_the_state_before_stay_pale_until_others_are_there(bay, qtbot):
    rows = bay.desk.timeline.rows
    drag_band(qtbot, bay, "motor", 9.0, release=False)
    followed(qtbot, bay)
    assert bay.desk.timeline.rows is rows
    assert bay.sheet.timeline.showing.outdated
    qtbot.mouseRelease(bay.sheet.strip.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(5, 5))
    answered(qtbot, bay)
    assert not bay.sheet.timeline.showing.outdated
    assert bay.desk.timeline.rows is not rows


def test_an_end_of_a_band_that_is_dragged_leaves_the_other_end(bay, qtbot):
    drag_band(qtbot, bay, "motor", -2.0, share=1.0)
    low, high = body(bay, "motor").depth
    assert low == 4.0
    assert high == pytest.approx(14.0, abs=0.5)


def test_a_spun_required_gap_is_proved_at_each_step_and_taken_by_enter(bay, qtbot):
    gap = field(bay, "gap")
    assert gap.text() == "0.5 mm"
    gap.setFocus()
    spin(gap, 2)
    assert gap.text() == "0.6 mm"
    assert gap.value() == 0.5
    told = followed(qtbot, bay)
    assert told.startswith("Breach: motor meets rib with swing at ")
    assert bay.desk.project.required_gap == pytest.approx(0.6)
    assert not bay.desk.document.history.canUndo()
    qtbot.keyClick(gap, Qt.Key.Key_Return)
    assert bay.desk.project.required_gap == pytest.approx(0.6)
    assert bay.desk.document.history.undoText() == "Required gap"
    assert bay.desk.document.history.count() == 1
    answered(qtbot, bay)
    assert bay.sheet.corner._work.whole().startswith("no breach cleared, none new by the last edit")


def test_escape_gives_a_spun_number_back_with_its_answer(bay, qtbot):
    before, answer = bay.desk.project, bay.desk.answer
    gap = field(bay, "gap")
    gap.setFocus()
    qtbot.keyClick(gap, Qt.Key.Key_Up)
    followed(qtbot, bay)
    qtbot.keyClick(gap, Qt.Key.Key_Escape)
    assert bay.desk.project is before
    assert bay.desk.answer is answer
    assert gap.text() == "0.5 mm"
    assert not bay.desk.document.history.canUndo()


def test_a_typed_depth_is_arithmetic_and_one_step(bay, qtbot):
    bay.desk.choice.pick_body("motor")
    high = field(bay, "high")
    high.setFocus()
    high.selectAll()
    qtbot.keyClicks(high, "23/2+1.5 mm")
    assert high.value() == 16.0
    qtbot.keyClick(high, Qt.Key.Key_Return)
    assert body(bay, "motor").depth == (4.0, 13.0)
    assert bay.desk.document.history.count() == 1
    assert high.text() == "13 mm"


def test_the_tolerance_of_an_outline_can_be_set(bay, qtbot):
    bay.desk.choice.pick_body("motor")
    tolerance = field(bay, "tolerance")
    tolerance.setFocus()
    tolerance.selectAll()
    qtbot.keyClicks(tolerance, "0.125")
    qtbot.keyClick(tolerance, Qt.Key.Key_Return)
    assert body(bay, "motor").outline_tolerance == 0.125
    assert tolerance.text() == "0.125 mm"


def test_travel_shortened_to_before_the_breach_is_proved_while_it_is_spun(bay, qtbot):
    end = bay.sheet.panel.travel.field_of("to")
    assert end.text() == "45\N{DEGREE SIGN}"
    end.setFocus()
    spin(end, -14)
    assert bay.sheet.panel.travel.field_of("to") is end
    told = followed(qtbot, bay)
    assert told.startswith("Proved: ")
    qtbot.keyClick(end, Qt.Key.Key_Return)
    assert bay.desk.drive("swing").end == 31.0
    answered(qtbot, bay)
    assert bay.desk.result.verdict == "clear"


def test_the_required_gap_of_a_pair_is_a_rule_of_its_own(bay, qtbot):
    row = next(number for number, one in enumerate(bay.desk.timeline.rows) if set(one.between) == {"motor", "rib"})
    bay.desk.pick_row(row)
    gap = field(bay, "gap")
    assert gap.text() == "1 mm"
    gap.setFocus()
    gap.selectAll()
    qtbot.keyClicks(gap, "0.75")
    qtbot.keyClick(gap, Qt.Key.Key_Return)
    assert [rule.required_gap for rule in bay.desk.project.gap_rules if set(rule.between) == {"motor", "rib"}] == [0.75]


def test_no_step_of_a_drag_repeats_a_proof_that_stands(opened, qtbot):
    """What the worker does for a dragged body is a part of what it does for all: it keeps the answers of untouched pairs."""
    window = opened("clear_bay")
    moving = next(one for one in window.desk.project.sections[0].bodies if not one.fixed)
    found = []
    window.desk.prover.followed.connect(lambda _project, result: found.append(result.work.gap_queries))
    for by in (0.3, 0.6, 0.9):
        band = (moving.depth[0] + by, moving.depth[1] + by)
        if by == 0.3:
            window.desk.drag_band(moving.name, *moving.depth, "press")
        with qtbot.waitSignal(window.desk.prover.followed, timeout=PROOF_MS):
            window.desk.drag_band(moving.name, *band, "move")
    cold = check_project(window.desk.project, seek="verdict", safe_anywhere=False, safe_box=False).work.gap_queries
    window.desk.document.cancel()
    assert len(found) == 3
    # The first state may come before the worker has proved its verdicts at rest, or after.
    assert max(found[1:]) < cold


def test_of_states_that_come_faster_than_a_frame_the_first_and_the_last_are_shown(opened, qtbot):
    window = opened("petal_lamp")
    moving = next(one for one in window.desk.project.sections[0].bodies if not one.fixed)
    shown = []
    window.desk.document.project_changed.connect(lambda: shown.append(body(window, moving.name).depth[0]))
    window.desk.drag_band(moving.name, *moving.depth, "press")
    for step in range(1, 40):
        window.desk.drag_band(moving.name, moving.depth[0] + 0.01 * step, moving.depth[1] + 0.01 * step, "move")
    followed(qtbot, window)
    assert shown == [pytest.approx(moving.depth[0] + 0.01), pytest.approx(moving.depth[0] + 0.39)]
    window.desk.document.cancel()


def test_the_rows_of_a_bay_without_drives_are_those_of_the_last_edit(window, qtbot, tmp_path):
    project = read_project(sample_files()["barrier_arm"])
    file = tmp_path / "still.bay.json"
    write_project(replace(project, drives=(), allowed_together=()), file)
    window.files.open(file)
    qtbot.waitUntil(lambda: window.desk.result is not None, timeout=PROOF_MS)
    before = window.desk.result
    section = project.sections[0].name
    window.desk.document.change("deeper", lambda found: set_depth(found, section, ("motor",), (4.5, 16.5)))
    qtbot.waitUntil(lambda: window.desk.result not in (None, before), timeout=PROOF_MS)
    assert not window.desk.outdated
    assert window.desk.timeline is window.desk.answer.timeline
    assert window.desk.timeline.rows
