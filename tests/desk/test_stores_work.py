"""The stores through the window: set down by number, rods between two horns, and the user's own put in and taken out."""

import pytest
from PySide6.QtCore import Qt

from app.stores_work import OWN
from core.model.edit_bodies import add_body
from core.model.edit_project import bay_wall, new_project
from core.model.joints import Pivot
from core.model.validate import validate
from core.project_file.stores_file import read_stores
from core.stores.catalogue import ENTRIES

# Dialogs and slips are raised by the system, which a window drawn in memory cannot ask for.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def bay(window):
    window.desk.begin(add_body(new_project(), "Side", bay_wall((300.0, 200.0), depth=(-5.0, 60.0))))
    return window


def typed(qtbot, card, key, text):
    field = card.field(key)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)


def section(window):
    return window.desk.project.sections[0]


def test_every_ready_thing_is_listed_and_found_by_words(bay, qtbot):
    bay.actions_by_name["stores"].trigger()
    picker = bay.stores.picker
    assert picker.keys() == tuple(entry.key for entry in ENTRIES)
    qtbot.keyClicks(picker.field(), "standard horn turns")
    assert picker.keys() == ("station standard horn",)
    qtbot.keyClick(picker, Qt.Key.Key_Escape)
    assert bay.stores.picker is None
    assert bay.desk.document.history.count() == 0


def test_a_motor_station_is_set_down_on_the_bay_in_one_step(bay, qtbot):
    bay.actions_by_name["stores"].trigger()
    qtbot.keyClicks(bay.stores.picker.field(), "micro motor station, the motor")
    qtbot.keyClick(bay.stores.picker.field(), Qt.Key.Key_Down)
    qtbot.keyClick(bay.stores.picker, Qt.Key.Key_Return)
    card = bay.cards.card
    typed(qtbot, card, "length", "22.8")
    typed(qtbot, card, "at x", "-40")
    typed(qtbot, card, "at y", "12.5")
    assert bay.desk.document.history.count() == 0
    qtbot.keyClick(card, Qt.Key.Key_Return)
    assert bay.desk.document.history.count() == 1
    (_, motor) = section(bay).bodies
    assert motor.shapes[0].size == (22.8, 12)
    (pin,) = section(bay).joints
    assert (pin.between, pin.at) == (("bay", motor.name), (-40, 12.5))
    assert len(bay.desk.project.drives) == 1
    assert validate(bay.desk.project) == ()
    assert bay.desk.choice.bodies == (motor.name,)


def test_sizes_that_cannot_be_leave_what_was_shown(bay, qtbot):
    bay.stores.set_down("hub")
    card = bay.cards.card
    before = bay.desk.project
    typed(qtbot, card, "bore", "99")
    assert bay.desk.project == before
    card.take()
    assert bay.desk.document.history.count() == 0
    assert not bay.desk.document.in_gesture


def set_down(window, qtbot, key, x, turn="0"):
    window.desk.choice.pick_bodies(())
    window.stores.set_down(key)
    card = window.cards.card
    for name, text in (("at x", x), ("at y", "0"), ("at turn", turn)):
        typed(qtbot, card, name, text)
    card.take()


def test_two_horns_are_joined_by_push_pull_rods(bay, qtbot):
    for x in ("-50", "50"):
        set_down(bay, qtbot, "station standard horn", x, "90")
    horns = tuple(body.name for body in section(bay).bodies if "horn" in body.name)
    bay.desk.choice.pick_bodies(horns)
    bay.actions_by_name["push_pull"].trigger()
    card = bay.cards.card
    typed(qtbot, card, "first", "12")
    card.take()
    rods = [body.name for body in section(bay).bodies if body.name.startswith("rod")]
    assert rods == ["rod 1", "rod 2"]
    assert sum(isinstance(joint, Pivot) and set(joint.between) & set(rods) != set() for joint in section(bay).joints) == 4
    assert validate(bay.desk.project) == ()
    assert bay.desk.document.history.undoText() == "Push-pull rods"


def test_rods_ask_for_two_bodies_that_turn(bay):
    bay.desk.choice.pick_bodies(("bay",))
    bay.actions_by_name["push_pull"].trigger()
    assert "Each must turn on a pivot" in bay.slip.words()
    assert bay.cards.card is None


def test_own_stations_are_put_in_set_down_and_taken_out(bay, qtbot):
    set_down(bay, qtbot, "station micro motor", "30")
    bay.actions_by_name["put_in_stores"].trigger()
    assert "motor is in your stores." in bay.slip.words()
    bay.slip.hide()
    (entry,) = read_stores(bay.stores.own.file)
    assert (entry.name, len(entry.drives)) == ("motor", 1)
    bay.actions_by_name["put_in_stores"].trigger()
    bay.slip.hide()
    assert [entry.name for entry in read_stores(bay.stores.own.file)] == ["motor", "motor 2"]
    bay.actions_by_name["stores"].trigger()
    picker = bay.stores.picker
    assert picker.keys()[:2] == (OWN + "motor", OWN + "motor 2")
    picker.take()
    typed(qtbot, bay.cards.card, "at x", "-60")
    bay.cards.card.take()
    assert [body.name for body in section(bay).bodies] == ["bay", "motor", "motor 2"]
    assert [drive.name for drive in bay.desk.project.drives] == ["motor drive", "motor drive 2"]
    assert validate(bay.desk.project) == ()
    bay.stores._take_out(OWN + "motor")
    assert [entry.name for entry in read_stores(bay.stores.own.file)] == ["motor 2"]


def test_broken_stores_are_told_left_alone_and_the_ready_things_offered(bay):
    bay.stores.own.file.write_text("{ broken")
    bay.actions_by_name["stores"].trigger()
    assert "stores.json was not opened" in bay.slip.words()
    assert bay.stores.picker.keys() == tuple(entry.key for entry in ENTRIES)
    bay.stores.picker.reject()
    bay.desk.choice.pick_bodies(("bay",))
    bay.actions_by_name["put_in_stores"].trigger()
    assert bay.stores.own.file.read_text() == "{ broken"
