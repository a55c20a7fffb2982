"""The page of all pairs: what is listed, how it is found and picked, and how gaps and exemptions are set from it."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from app.panels import pairs_page
from app.panels.pairs_table import LINE_HEIGHT, LineDelegate
from core.model.edit_rules import gap_rule_of
from tests.bench.ring_bay import ring_bay

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def listed(opened):
    """The barrier arm with its page of pairs open."""
    window = opened("barrier_arm")
    window.actions_by_name["pairs"].trigger()
    return window


def page_of(window):
    return window.sheet.pairs


def told(window):
    return {line.pair: (line.checked, line.gap, line.told) for line in page_of(window).shown()}


def click(qtbot, window, pair, modifier=Qt.KeyboardModifier.NoModifier):
    table = page_of(window).table
    place = table.place_of(("Side", pair))
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, modifier, place)


def press(qtbot, word):
    qtbot.mouseClick(word, Qt.MouseButton.LeftButton)


def proved(qtbot, window):
    qtbot.waitUntil(lambda: window.desk.result is not None and not window.desk.prover.running, timeout=60_000)


def test_every_pair_is_listed_with_what_is_checked_and_why_not(listed):
    assert told(listed) == {
        "motor and rib": ("checked", "1.00 mm, its own", "breach, 0.16 mm deep"),
        "housing and sled": ("checked", "0.50 mm", "clear, lowest gap 2.00 mm"),
        "housing and motor": ("checked", "0.50 mm", "clear, lowest gap 7.39 mm"),
        "housing and rod": ("not checked", "", "printed in one piece"),
        "rod and sled": ("not checked", "", "printed in one piece"),
        "rod and rib": ("not checked", "", "printed in one piece"),
        "motor and sled": ("not checked", "0.00 mm across", "passes over, 4.00 mm apart"),
        "sled and rib": ("not checked", "0.00 mm across", "passes over, 8.00 mm apart"),
        "housing and rib": ("not checked", "", "both are fixed; looked at once as drawn"),
        "motor and rod": ("not checked", "", "bolted together"),
    }
    assert [word.text() for word in page_of(listed).kinds.values()] == ["All 10", "Checked 3", "Exempt 3", "Pass over 2", "Move as one 2"]


def test_the_page_takes_the_place_of_the_board_and_moves_no_region(opened):
    window = opened("barrier_arm")
    sheet = window.sheet
    regions = (sheet.panel, sheet.sentence, sheet.corner, sheet.timeline)
    before = [region.geometry() for region in regions]
    place = sheet.pairs.parentWidget().geometry()
    window.actions_by_name["pairs"].trigger()
    QApplication.processEvents()
    assert [region.geometry() for region in regions] == before
    assert sheet.pairs.isVisible()
    assert sheet.pairs.parentWidget().geometry() == place
    assert (sheet.board.isVisible(), sheet.panel.rules.isVisible(), sheet.panel.findings.isVisible()) == (False, True, False)
    press_key(window, Qt.Key.Key_Escape)
    assert (sheet.board.isVisible(), sheet.pairs.isVisible(), sheet.panel.findings.isVisible()) == (True, False, True)
    assert not window.actions_by_name["pairs"].isChecked()


def press_key(window, key, modifier=Qt.KeyboardModifier.NoModifier):
    from PySide6.QtTest import QTest

    QTest.keyClick(QApplication.focusWidget() or window, key, modifier)


def test_a_click_on_a_pair_picks_it_everywhere_and_a_pair_picked_elsewhere_is_picked_here(listed, qtbot):
    click(qtbot, listed, ("rod", "rib"))
    assert listed.desk.choice.pair == ("rod", "rib")
    assert listed.sheet.panel.selected.head() == "rod \N{MIDDLE DOT} rib"
    assert page_of(listed).rule.sentence.isVisible()
    listed.desk.pick_row(1)
    lines = page_of(listed).shown()
    assert [lines[row].stand.between for row in page_of(listed).table.rows()] == [("housing", "sled")]
    listed.desk.choice.pick_bodies(("sled", "motor"))
    assert [lines[row].stand.between for row in page_of(listed).table.rows()] == [("motor", "sled")]
    listed.desk.choice.pick_bodies(("sled",))
    assert page_of(listed).table.rows() == []


def test_a_pair_is_found_by_its_names_and_esc_gives_first_all_then_the_board_back(listed, qtbot):
    press_key(listed, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    page = page_of(listed)
    assert page.search.hasFocus()
    qtbot.keyClicks(page.search, "rib mot")
    assert [line.pair for line in page.shown()] == ["motor and rib"]
    qtbot.keyClicks(page.search, "x")
    assert page.shown() == ()
    assert page.note.whole() == "No pair here has a name like that."
    press_key(listed, Qt.Key.Key_Escape)
    assert (page.search.text(), len(page.shown()), page.isVisible()) == ("", 10, True)
    qtbot.keyClicks(page.search, "sled")
    press_key(listed, Qt.Key.Key_Return)
    assert page.table.hasFocus()
    assert listed.desk.choice.pair == page.shown()[0].stand.between
    press_key(listed, Qt.Key.Key_Escape)
    assert not page.isVisible()


def test_a_gap_is_set_by_the_keys_alone(listed, qtbot):
    page = page_of(listed)
    click(qtbot, listed, ("motor", "rib"))
    press_key(listed, Qt.Key.Key_Down)
    assert listed.desk.choice.pair == ("housing", "sled")
    field = page.rule.sentence.field_of("gap")
    qtbot.waitUntil(field.isVisible)
    press_key(listed, Qt.Key.Key_Return)
    assert field.hasFocus()
    qtbot.keyClicks(field, "3/2")
    press_key(listed, Qt.Key.Key_Return)
    assert page.table.hasFocus()
    project = listed.desk.project
    assert gap_rule_of(project, "Side", ("housing", "sled")).required_gap == 1.5
    assert listed.desk.document.history.undoText() == "Gap of housing and sled"
    proved(qtbot, listed)
    assert told(listed)["housing and sled"] == ("checked", "1.50 mm, its own", "clear, lowest gap 2.00 mm")
    press(qtbot, page.rule.words["forget"])
    assert gap_rule_of(listed.desk.project, "Side", ("housing", "sled")) is None


def test_a_pair_is_not_left_out_without_a_reason(listed, qtbot):
    page = page_of(listed)
    click(qtbot, listed, ("motor", "rib"))
    before = listed.desk.project
    press(qtbot, page.rule.words["exempt"])
    ask = page.rule.ask
    for typed in ("", "   "):
        ask.field.setText(typed)
        qtbot.keyClick(ask.field, Qt.Key.Key_Return)
        assert ask.isVisible()
        assert ask.refusal.isVisible()
    assert listed.desk.project is before
    ask.field.clear()
    qtbot.keyClicks(ask.field, "the rib is soft rubber")
    qtbot.keyClick(ask.field, Qt.Key.Key_Return)
    assert not ask.isVisible()
    assert listed.desk.document.history.undoText() == "Leave out motor and rib"
    assert told(listed)["motor and rib"] == ("not checked", "", "the rib is soft rubber")
    proved(qtbot, listed)
    assert ("motor", "rib") in [pair.between for pair in listed.desk.result.unchecked]
    assert listed.desk.choice.pair == ("motor", "rib")
    press(qtbot, page.rule.words["check"])
    proved(qtbot, listed)
    assert told(listed)["motor and rib"][0] == "checked"


def test_leaving_the_question_leaves_the_pair_checked_and_a_reason_given_before_is_offered(listed, qtbot):
    page = page_of(listed)
    click(qtbot, listed, ("motor", "rib"))
    press(qtbot, page.rule.words["exempt"])
    qtbot.keyClick(page.rule.ask, Qt.Key.Key_Escape)
    assert page.rule.ask is None
    assert gap_rule_of(listed.desk.project, "Side", ("motor", "rib")).unchecked is None
    press(qtbot, page.rule.words["exempt"])
    press(qtbot, page.rule.ask.earlier["printed in one piece"])
    assert gap_rule_of(listed.desk.project, "Side", ("motor", "rib")).unchecked == "printed in one piece"


def test_a_pair_that_a_rule_for_many_leaves_out_gets_a_rule_of_its_own_to_be_checked(listed, qtbot):
    click(qtbot, listed, ("rod", "rib"))
    press(qtbot, page_of(listed).rule.words["check"])
    assert gap_rule_of(listed.desk.project, "Side", ("rod", "rib")).required_gap == 0.5
    proved(qtbot, listed)
    assert told(listed)["rod and rib"][0:2] == ("not checked", "0.00 mm across")
    assert told(listed)["rod and sled"] == ("not checked", "", "printed in one piece")


def test_several_pairs_are_changed_in_one_step(listed, qtbot):
    page = page_of(listed)
    click(qtbot, listed, ("motor", "rib"))
    click(qtbot, listed, ("housing", "motor"), Qt.KeyboardModifier.ShiftModifier)
    assert len(page.table.rows()) == 3
    field = page.rule.sentence.field_of("gap")
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "0.8")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert [rule.required_gap for rule in listed.desk.project.gap_rules if "*" not in rule.between] == [0.8, 0.8, 0.8]
    assert listed.desk.document.history.count() == 1
    assert len(page.table.rows()) == 3
    press(qtbot, page.rule.words["exempt"])
    qtbot.keyClicks(page.rule.ask.field, "not built yet")
    qtbot.keyClick(page.rule.ask.field, Qt.Key.Key_Return)
    assert sum(rule.unchecked == "not built yet" for rule in listed.desk.project.gap_rules) == 3
    assert listed.desk.document.history.undoText() == "Leave out 3 pairs"
    listed.desk.document.history.undo()
    assert not any(rule.unchecked == "not built yet" for rule in listed.desk.project.gap_rules)


def test_kinds_and_orders_show_what_they_say(listed, qtbot):
    page = page_of(listed)
    press(qtbot, page.kinds["exempt"])
    assert {line.stand.standing for line in page.shown()} == {"exempt"}
    press(qtbot, page.kinds["all"])
    heading = page.table.heading
    qtbot.mouseClick(heading.viewport(), Qt.MouseButton.LeftButton, pos=heading.viewport().rect().topLeft() + heading.rect().center() / 8)
    names = [line.pair for line in page.shown()]
    assert names == sorted(names)
    page.order_by("pair")
    assert [line.pair for line in page.shown()] == names[::-1]


def test_the_order_is_chosen_by_keys_at_the_heads_of_the_columns(listed, qtbot):
    page = page_of(listed)
    heading = page.table.heading
    heading.setFocus()
    qtbot.keyClick(heading, Qt.Key.Key_Space)
    assert heading.order == "pair"
    for _ in range(7):
        qtbot.keyClick(heading, Qt.Key.Key_Right)
    qtbot.keyClick(heading, Qt.Key.Key_Return)
    assert heading.order == "found"
    assert page.shown()[0].pair == "motor and rib"
    qtbot.keyClick(heading, Qt.Key.Key_Left)
    qtbot.keyClick(heading, Qt.Key.Key_Space)
    assert heading.order == "gap"


def test_why_tells_of_a_pair_in_hand_that_is_not_checked_the_reason_first(listed, qtbot):
    click(qtbot, listed, ("rod", "rib"))
    listed.actions_by_name["why"].trigger()
    assert "rod and rib are not checked: printed in one piece." in listed.slip.words()
    listed.slip.hide()
    click(qtbot, listed, ("motor", "rib"))
    listed.actions_by_name["why"].trigger()
    assert "not checked:" not in listed.slip.words()


def test_a_gap_that_is_spun_is_tried_out_and_given_back_while_the_page_stays(listed, qtbot, monkeypatch):
    page = page_of(listed)
    worked = []
    real = pairs_page.pair_stands
    monkeypatch.setattr(pairs_page, "pair_stands", lambda *args: worked.append(1) or real(*args))
    click(qtbot, listed, ("housing", "sled"))
    before = listed.desk.project
    field = page.rule.sentence.field_of("gap")
    field.setFocus()
    for _ in range(3):
        qtbot.keyClick(field, Qt.Key.Key_Up)
    qtbot.waitUntil(lambda: gap_rule_of(listed.desk.project, "Side", ("housing", "sled")) is not None)
    qtbot.waitUntil(lambda: gap_rule_of(listed.desk.project, "Side", ("housing", "sled")).required_gap == 0.65)
    assert worked == []
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert listed.desk.project is before


def test_a_fault_keeps_the_lines_and_says_so(listed, qtbot):
    page = page_of(listed)
    click(qtbot, listed, ("housing", "sled"))
    field = page.rule.sentence.field_of("gap")
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "-1")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert not listed.desk.document.is_valid
    assert len(page.shown()) == 10
    assert page.note.isVisible()
    assert page.note.whole().startswith("A gap rule of Side is -1, below zero.")
    assert page.rule.sentence.field_of("gap").value() == -1
    listed.desk.document.history.undo()
    assert not page.note.isVisible()


def test_hundreds_of_pairs_draw_only_the_lines_in_view(window, qtbot, monkeypatch):
    project = ring_bay(8)
    window.desk.begin(project)
    drawn = set()
    paint = LineDelegate.paint
    monkeypatch.setattr(LineDelegate, "paint", lambda self, p, o, index: drawn.add(index.row()) or paint(self, p, o, index))
    window.actions_by_name["pairs"].trigger()
    proved(qtbot, window)
    QApplication.processEvents()
    page = page_of(window)
    assert len(page.shown()) > 300
    in_view = page.table.viewport().height() // 24 + 2
    assert 0 < len(drawn) <= 2 * in_view
    window.resize(1100, 700)
    qtbot.waitUntil(lambda: window.width() == 1100)
    assert page.minimumSizeHint().width() <= page.width() == 780


def test_no_line_of_the_table_is_shown_in_part(window, qtbot):
    window.desk.begin(ring_bay(8))
    window.actions_by_name["pairs"].trigger()
    proved(qtbot, window)
    table = page_of(window).table
    qtbot.waitUntil(lambda: table.verticalScrollBar().maximum() > 0)
    for more in range(LINE_HEIGHT):
        window.resize(1100, 700 + more)
        QApplication.processEvents()
        rest = table.viewport().height() % LINE_HEIGHT
        picture = table.viewport().grab().toImage()
        foot = {picture.pixelColor(x, picture.height() - 4).name() for x in range(8, picture.width() - 8)}
        if rest > 4:
            assert len(foot) == 1


def test_the_page_works_nothing_out_while_it_is_hidden(opened, monkeypatch):
    window = opened("barrier_arm")
    worked = []
    monkeypatch.setattr(pairs_page, "pair_stands", lambda *args: worked.append(args) or ())
    window.desk.choice.pick_bodies(("rod", "rib"))
    window.desk.sweep()
    assert worked == []
    window.actions_by_name["pairs"].trigger()
    assert len(worked) == 1


def test_the_side_panel_leaves_a_pair_out_and_says_why_it_is_not_checked(opened, qtbot):
    window = opened("barrier_arm")
    pair = window.sheet.panel.pair
    assert window.desk.choice.pair == ("motor", "rib")
    assert not pair.sentence.isVisible()
    press(qtbot, pair.words["exempt"])
    qtbot.keyClicks(pair.ask.field, "soft")
    qtbot.keyClick(pair.ask.field, Qt.Key.Key_Return)
    assert gap_rule_of(window.desk.project, "Side", ("motor", "rib")).unchecked == "soft"
    assert "check" in pair.words
    assert pair.sentence.isVisible()
    window.show_step("Travel")
    assert not pair.isVisible()
