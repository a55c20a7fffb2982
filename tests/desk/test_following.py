"""While an edit goes on the drawing follows at once, and all that is said of it a little later, in turns of its own."""

from math import cos, sin

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QPoint, QPointF

from app.board.tools import places
from app.document import following
from app.panels import outline as outline_module
from app.panels.number_field import NumberField
from app.panels.shape_sentences import FIRST_SHAPES
from core.drawing.bolt_place import bolt_place
from core.drawing.slabs import body_slabs
from core.model.edit_bodies import delete_bodies, set_depth
from core.model.edit_placing import place_bodies
from core.model.edit_shapes import add_shape, replace_shape
from core.model.joints import Bolted
from core.model.names import BodyName
from core.model.placing import moving
from core.model.shapes import Polygon
from tests.desk.by_hand import LEFT, pixel

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
LONG_MS = 3_600_000


@pytest.fixture
def gesture(opened, monkeypatch):
    """The barrier arm in Outline, its motor picked, a gesture begun; what is said follows only when `due` says so, all in one turn."""
    monkeypatch.setattr(following, "BRIEF", float(LONG_MS))
    for wait in ("SOON_MS", "REST_MS", "LATE_MS"):
        monkeypatch.setattr(following, wait, LONG_MS)
    window = opened("barrier_arm")
    window.desk.leave()
    window.show_step("Outline")
    window.desk.choice.pick_bodies((BodyName("motor"),))
    window.desk.document.begin("Move motor")
    window.desk.following.took(0.0)
    return window


def shifted(project, by):
    return place_bodies(project, project.sections[0].name, (BodyName("motor"),), moving(shift=by))


def drawn_outline(window):
    return [slab.lines for slab in window.sheet.board._items.slabs if slab.body == "motor"]


def depth_field(window):
    return window.sheet.panel.selected.numbers.field_of("low")


def test_the_drawing_follows_at_once_and_the_words_later(gesture):
    window, desk = gesture, gesture.desk
    mechanism, said, before = desk.mechanism, window.sheet.sentence.text(), drawn_outline(window)
    strip = window.sheet.strip._slabs
    desk.document.preview(shifted(desk.document.at_press, (0.0, -3.0)))
    motor = next(body for body in desk.project.sections[0].bodies if body.name == "motor")
    assert drawn_outline(window) == [slab.lines for slab in body_slabs(motor)] != before
    assert window.sheet.strip._slabs == strip
    assert (desk.mechanism, window.sheet.sentence.text()) == (mechanism, said)
    assert desk.following.pending
    desk.following.due.emit()
    assert desk.mechanism is not mechanism
    assert desk.mechanism.project is desk.project
    assert window.sheet.sentence.text() != said
    assert window.sheet.strip._slabs == window.sheet.board._items.slabs != strip


def test_the_depths_follow_at_once_the_hand_that_drags_them(opened, qtbot, monkeypatch):
    monkeypatch.setattr(following, "REST_MS", LONG_MS)
    window = opened("barrier_arm")
    window.show_step("Outline")
    strip = window.sheet.strip
    places = (QPointF(x, y) for x in range(strip.viewport().width()) for y in range(strip.viewport().height()))
    at, grip = next((at, grip) for at in places if (grip := strip._grip_at(at)) is not None and grip.slab.body == "motor")
    start, depth = at.toPoint(), grip.slab.depth
    qtbot.mousePress(strip.viewport(), LEFT, pos=start)
    qtbot.mouseMove(strip.viewport(), start + QPoint(12, 0))
    qtbot.waitUntil(lambda: window.desk.following.pending, timeout=5000)
    moved = next(one for one in strip._slabs if one.body == "motor")
    assert moved.depth != depth
    assert moved in window.sheet.board.slabs
    qtbot.mouseRelease(strip.viewport(), LEFT, pos=start + QPoint(12, 0))


def test_the_fields_of_a_body_picked_in_the_middle_of_an_edit_are_built_in_a_turn_of_their_own(gesture, qtbot):
    window, desk = gesture, gesture.desk
    desk.document.preview(shifted(desk.document.at_press, (0.0, -3.0)))
    desk.choice.pick_bodies((BodyName("rod"),))
    desk.following.took(0.0)
    desk.following.due.emit()
    assert window.sheet.panel.selected.head() == "rod"
    rod = next(body for body in desk.project.sections[0].bodies if body.name == "rod")
    assert depth_field(window).value() == 4.0
    qtbot.waitUntil(lambda: depth_field(window).value() == rod.depth[0], timeout=5000)
    qtbot.waitUntil(lambda: not window.sheet._selected._in_turns.busy, timeout=5000)
    desk.document.preview(shifted(desk.document.at_press, (0.0, -4.0)))
    desk.following.due.emit()
    assert not window.sheet._selected._in_turns.busy


def test_what_a_hand_picks_while_it_edits_is_marked_at_once_and_told_later(gesture):
    window, desk = gesture, gesture.desk
    other = next(body.name for body in desk.project.sections[0].bodies if body.name != "motor")
    told = window.sheet.panel.selected._head.text()
    desk.choice.pick_bodies((other,))
    assert window.sheet.board._items.selected == {other}
    assert window.sheet.panel.selected._head.text() == told
    assert desk.following.pending
    desk.following.took(0.0)
    desk.following.due.emit()
    assert window.sheet.panel.selected._head.text() == other


def test_marks_of_bolted_bodies_follow_with_the_words(gesture):
    window, desk = gesture, gesture.desk
    items, joint = window.sheet.board._items, next(one for one in desk.project.sections[0].joints if isinstance(one, Bolted))
    before = items._bolts[joint.name]
    assert before is not None
    desk.document.preview(place_bodies(desk.project, desk.project.sections[0].name, (joint.between[1],), moving(shift=(2.0, 1.0))))
    assert items._bolts[joint.name] == before
    desk.following.due.emit()
    assert items._bolts[joint.name] == bolt_place(desk.project.sections[0], joint) != before


def test_what_takes_long_is_shown_in_a_turn_after_what_is_worked_out(gesture, monkeypatch):
    monkeypatch.setattr("app.shown_in_turns.LONG_TURN", 3600.0)
    window, desk = gesture, gesture.desk
    desk.following.expect_long()
    said, mechanism = window.sheet.sentence.text(), desk.mechanism
    desk.document.preview(shifted(desk.document.at_press, (0.0, -3.0)))
    desk.following.due.emit()
    assert desk.mechanism is not mechanism
    assert window.sheet.sentence.text() == said
    strip = window.sheet.strip._slabs
    assert strip != window.sheet.board._items.slabs
    paints = Paints(window.sheet.strip.viewport())
    pass_through(window.sheet._in_turns)
    assert window.sheet.sentence.text() != said
    assert window.sheet.strip._slabs == window.sheet.board._items.slabs
    assert paints.count > 0
    assert not window.sheet._in_turns.busy
    assert desk.following.brief, "with the patience of this test"
    monkeypatch.setattr(following, "BRIEF", 0.0)
    desk.document.preview(shifted(desk.document.at_press, (0.0, -4.0)))
    desk.following.due.emit()
    assert not desk.following.brief


def test_the_end_of_a_gesture_shows_at_once_what_was_left_for_a_turn_after(gesture):
    window, desk = gesture, gesture.desk
    desk.following.expect_long()
    desk.document.preview(shifted(desk.document.at_press, (0.0, -3.0)))
    desk.following.due.emit()
    assert window.sheet._in_turns.busy
    desk.document.commit()
    assert not window.sheet._in_turns.busy
    assert window.sheet.strip._slabs == window.sheet.board._items.slabs


def test_many_frames_are_followed_by_one_telling_of_the_last(gesture):
    desk = gesture.desk
    told = []
    desk.project_shown.connect(lambda: told.append(desk.project))
    for step in range(1, 6):
        desk.document.preview(shifted(desk.document.at_press, (0.0, -0.5 * step)))
    assert told == []
    desk.following.due.emit()
    assert told == [desk.project]
    assert not desk.following.pending


def test_the_end_of_a_gesture_tells_at_once_and_nothing_more_follows(gesture):
    desk = gesture.desk
    desk.document.preview(shifted(desk.document.at_press, (0.0, -3.0)))
    told = []
    desk.project_shown.connect(lambda: told.append(desk.project))
    desk.document.commit()
    assert told[-1] is desk.project
    assert not desk.following.pending
    assert desk.mechanism.project is desk.project


def test_escape_tells_the_state_at_the_press_at_once(gesture):
    desk = gesture.desk
    press, before = desk.document.at_press, drawn_outline(gesture)
    desk.document.preview(shifted(press, (0.0, -3.0)))
    desk.document.cancel()
    assert desk.project is press
    assert drawn_outline(gesture) == before
    assert desk.mechanism.project is press
    assert not desk.following.pending


def test_an_edit_that_takes_a_body_away_tells_at_once(gesture):
    """What is picked goes with it: nothing may go on looking for it."""
    desk = gesture.desk
    section = desk.project.sections[0].name
    desk.document.preview(delete_bodies(desk.document.at_press, section, (BodyName("motor"),)).project)
    assert desk.choice.bodies == ()
    assert not desk.following.pending


def test_numbers_follow_with_the_words(gesture):
    window, desk = gesture, gesture.desk
    section = desk.project.sections[0].name
    desk.document.preview(set_depth(desk.document.at_press, section, (BodyName("motor"),), (5.0, 17.0)))
    assert depth_field(window).text().startswith("4")
    desk.following.due.emit()
    assert depth_field(window).text().startswith("5")


def test_a_body_picked_by_its_drag_has_its_work_in_the_panel_while_it_is_dragged(opened, qtbot):
    window = opened("barrier_arm")
    window.desk.leave()
    window.show_step("Outline")
    window.desk.choice.pick_bodies(())
    window.sheet.board.fit()
    view, start = window.sheet.board.viewport(), pixel(window, 15.0, -3.0)
    qtbot.mousePress(view, LEFT, pos=start)
    qtbot.mouseMove(view, pixel(window, 15.0, -6.0))
    assert window.desk.choice.bodies == ("motor",)
    qtbot.waitUntil(lambda: window.sheet.panel.outline.name is not None and window.sheet.panel.outline.name.text() == "motor")
    assert window.desk.document.in_gesture
    qtbot.mouseRelease(view, LEFT, pos=pixel(window, 15.0, -6.0))


def test_what_bodies_offer_to_snap_to_is_found_before_a_hand_asks(opened, qtbot, monkeypatch):
    window = opened("barrier_arm")
    monkeypatch.setattr(places, "_kept", kept := {})
    window.show_step("Outline")
    qtbot.waitUntil(lambda: not window.sheet._moving._ahead.busy)
    count = len(window.desk.project.sections[0].bodies)
    assert len(kept) == count
    QCoreApplication.processEvents()
    assert len(kept) == count


def pass_through(behind):
    """The turns in which what is left to be shown behind a hand is shown."""
    while behind.busy:
        behind._turns._turn.timeout.emit()


class Paints(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget):
        super().__init__(widget)
        self.count = 0
        widget.installEventFilter(self)

    def eventFilter(self, _widget, event):  # noqa: N802 - Qt's name
        self.count += event.type() == QEvent.Type.Paint
        return False


@pytest.mark.parametrize("long_turn", [3600.0, 0.0], ids=["short turn", "long turn"])
def test_what_followed_is_painted_in_the_same_turn_unless_that_was_long(gesture, monkeypatch, long_turn):
    monkeypatch.setattr("app.shown_in_turns.LONG_TURN", long_turn)
    desk = gesture.desk
    QCoreApplication.processEvents()
    paints = Paints(depth_field(gesture))
    desk.document.preview(set_depth(desk.document.at_press, desk.project.sections[0].name, (BodyName("motor"),), (5.0, 17.0)))
    desk.following.due.emit()
    assert (paints.count > 0) == (long_turn > 0.0)
    QCoreApplication.processEvents()
    assert paints.count > 0


def picked_by_its_drag(window, discs):
    """The work on a body of one shape, to which `discs` are added, picked in the middle of an edit; and a step of its turns."""
    desk, outline = window.desk, window.sheet.panel.outline
    section = desk.project.sections[0].name
    desk.document.cancel()
    desk.choice.pick_bodies(())
    name = next(one.name for one in desk.project.sections[0].bodies if len(one.shapes) == 1)
    for _ in range(discs):
        desk.document.change("Add", lambda project: add_shape(project, section, name, FIRST_SHAPES["disc"]))
    desk.document.begin("Move")
    desk.choice.pick_bodies((name,))
    desk.following.took(0.0)
    desk.following.due.emit()
    pass_through(window.sheet._selected._in_turns)

    def step():
        assert outline._soon.isActive()
        outline._soon.stop()
        outline._soon.timeout.emit()
        return [len(sentence._fields) > 0 for sentence, _ in outline._rows]

    return name, outline, step


def test_the_shapes_of_a_body_picked_by_its_drag_have_their_numbers_one_a_turn(gesture):
    _, outline, step = picked_by_its_drag(gesture, 1)
    assert [step() for _ in range(4)] == [[False, False], [True, False], [True, True], [True, True]]
    assert not outline._soon.isActive()


def test_a_sentence_of_many_numbers_is_made_in_several_turns(gesture):
    name, outline, step = picked_by_its_drag(gesture, 0)
    document = gesture.desk.document
    many = Polygon(points=tuple((10.0 * cos(turn), 10.0 * sin(turn)) for turn in range(1, 13)))
    document.preview(replace_shape(document.at_press, document.project.sections[0].name, name, 0, many))
    gesture.desk.following.due.emit()
    pass_through(gesture.sheet._in_turns)
    pass_through(gesture.sheet._selected._in_turns)
    made = []
    while outline._soon.isActive():
        before = len(outline.findChildren(NumberField))
        shown = step()
        made.append((len(outline.findChildren(NumberField)) - before, shown))
    assert [count for count, _ in made if count > 0] == [outline_module.AT_ONCE] * 3 + [1], "two numbers a corner, and the corners' radius"
    assert [shown for count, shown in made if count > 0] == [[False]] * 3 + [[True]]


def test_once_the_hand_has_let_go_all_numbers_are_those_of_the_body(gesture):
    name, outline, step = picked_by_its_drag(gesture, 2)
    assert [step() for _ in range(2)] == [[False] * 3, [True, False, False]]
    before = outline.sentence_of(0).field_of("x").value()
    document = gesture.desk.document
    document.preview(place_bodies(document.at_press, document.project.sections[0].name, (name,), moving(shift=(7.0, 0.0))))
    document.commit()
    assert [step() for _ in range(3)] == [[True, True, False], [True, True, True], [True, True, True]]
    assert not outline._soon.isActive()
    assert outline.sentence_of(0).field_of("x").value() != before
    assert outline.sentence_of(2).field_of("x").value() == FIRST_SHAPES["disc"].centre[0] + 7.0
