"""The list of bodies: a line each, and in brief while one of them is at work."""

import pytest

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


@pytest.fixture
def listing(opened):
    """A function that opens a sample in Outline; the answer is the window and its list of bodies."""

    def begin(sample, size=(1280, 800)):
        window = opened(sample)
        window.resize(*size)
        window.show_step("Outline")
        window.desk.choice.pick_bodies(())
        return window, window.sheet.panel.bodies

    return begin


def rows(bodies):
    return {word.y() for word in bodies._words.values()}


def test_names_stand_a_line_each_with_what_is_said_of_them(listing, qtbot):
    _, bodies = listing("petal_lamp")
    qtbot.waitUntil(lambda: len(rows(bodies)) == len(bodies._words))
    assert all(line.isVisibleTo(bodies) for line in bodies._told.values())
    assert {word.x() for word in bodies._words.values()} == {0}


@pytest.mark.parametrize("size", [(1280, 800), (1100, 700)])
def test_while_a_body_is_at_work_names_stand_one_after_another(listing, qtbot, size):
    window, bodies = listing("barrier_arm", size)
    window.desk.choice.pick_body("sled")
    qtbot.waitUntil(lambda: len(rows(bodies)) == 1)
    assert not any(line.isVisibleTo(bodies) for line in bodies._told.values())
    word = next(iter(bodies._words.values()))
    # One line of names takes a line, and leaves the rest to the work on the body.
    qtbot.waitUntil(lambda: bodies.height() == word.height())
    assert max(word.geometry().right() for word in bodies._words.values()) <= bodies.width()
    window.desk.choice.pick_bodies(())
    a_line_each = size == (1280, 800)
    qtbot.waitUntil(lambda: len(rows(bodies)) == (len(bodies._words) if a_line_each else 1))
    assert all(line.isVisibleTo(bodies) == a_line_each for line in bodies._told.values())
    window.resize(1280, 800)
    qtbot.waitUntil(lambda: len(rows(bodies)) == len(bodies._words))


@pytest.mark.parametrize(("sample", "name"), [("petal_lamp", "lead clip"), ("owl_head", "chin post")])
def test_the_body_that_is_picked_is_seen_in_the_list(listing, qtbot, sample, name):
    window, bodies = listing(sample, (1100, 700))
    window.desk.choice.pick_body(name)
    port, word = bodies._scroll.viewport(), bodies._words[name]
    qtbot.waitUntil(lambda: port.rect().contains(word.rect().translated(word.mapTo(port, word.rect().topLeft()))))
    assert word.isChecked()
    # Neither the first line that is seen nor the last is cut.
    assert bodies._scroll.verticalScrollBar().value() % word.height() == 0
    assert port.height() % word.height() == 0


def test_a_name_too_long_for_the_panel_is_cut_and_told_whole_at_the_pointer(listing, qtbot):
    window, bodies = listing("barrier_arm")
    long = "a body with a name that no panel of this width could ever show whole"
    window.desk.handwork.rename("sled", long)
    qtbot.waitUntil(lambda: long in bodies._words)
    assert bodies._words[long].toolTip() == long
    qtbot.waitUntil(lambda: 0 < bodies._words[long].width() <= bodies.width())


def test_a_picked_pair_leaves_the_list_whole_and_the_first_of_the_two_is_seen_with_its_depth(listing, qtbot):
    window, bodies = listing("petal_lamp")
    window.desk.choice.pick_bodies(("petal 3", "petal 4"))
    port, word, told = bodies._scroll.viewport(), bodies._words["petal 3"], bodies._told["petal 3"]
    qtbot.waitUntil(lambda: word.mapTo(port, word.rect().topLeft()).y() >= 0)
    qtbot.waitUntil(lambda: told.mapTo(port, told.rect().bottomLeft()).y() < port.height())
    assert told.isVisibleTo(bodies)


def test_where_no_body_is_at_work_a_row_is_enough_for_a_new_one(listing, qtbot):
    window, bodies = listing("petal_lamp")
    outline = window.sheet.panel.outline
    qtbot.waitUntil(lambda: outline.height() == outline.words["new disc"].parentWidget().height())
    before = bodies.height()
    window.desk.choice.pick_body("ring")
    qtbot.waitUntil(lambda: outline.height() > before)


def test_long_notes_of_a_project_leave_the_list_two_bodies(listing, qtbot):
    window, bodies = listing("owl_head")
    assert len(window.desk.project.notes) > 500
    told = list(bodies._told.values())
    qtbot.waitUntil(lambda: 0 < told[1].geometry().bottom() < bodies._scroll.viewport().height())
