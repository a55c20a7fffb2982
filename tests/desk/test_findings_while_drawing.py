"""What is wrong with a drawing is told at once in every step, each finding a link to its place; an invalid project is drawn through."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF, Qt

from core.model.edit_bodies import add_body
from core.model.edit_drives import change_drive
from core.model.edit_joints import change_joint
from core.model.edit_project import new_project
from core.model.edit_shapes import cut_hole
from core.model.joints import Pivot
from core.model.project import Body, GapRule
from core.model.shapes import Disc, Polygon
from tests.desk.by_number import press, typed

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

DRAWING_STEPS = ("Outline", "Joints", "Travel")


def told(window):
    """The findings that stand beside the work, or in Gaps in the list."""
    panel = window.sheet.panel
    found = panel.findings if window.step == "Gaps" else panel.faults
    return [entry.head for entry in found.entries()] if found.isVisible() else []


def follow(qtbot, window, words):
    """Press the finding that says `words`."""
    panel = window.sheet.panel
    found = panel.findings if window.step == "Gaps" else panel.faults
    link = next(link for link in found.links() if words in link.text())
    qtbot.mouseClick(link, Qt.MouseButton.LeftButton)


def change(window, edit):
    assert window.desk.document.change("An edit", edit)


@pytest.fixture
def crossed(window, qtbot):
    """A polygon drawn by numbers, whose fourth point makes it cross itself."""
    window.desk.begin(new_project())
    window.show_step("Outline")
    outline = window.sheet.panel.outline
    press(qtbot, outline, "new polygon")
    press(qtbot, outline, "point 0")
    assert told(window) == []
    typed(qtbot, outline, 0, x3="25", y3="12")
    return window


def test_a_crossed_outline_is_told_in_every_step_and_drawn_through(crossed):
    for step in (*DRAWING_STEPS, "Gaps"):
        crossed.show_step(step)
        assert len(told(crossed)) == 1
        assert told(crossed)[0].startswith("Body crosses itself near")
    assert "The sweep waits: Body crosses itself" in crossed.sheet.sentence.text()
    assert crossed.job_bar.state_of("Gaps") == "waits: 1 fault"
    crossed.show_step("Outline")
    view = crossed.sheet.board.viewport()
    shown = view.grab().toImage()
    at = crossed.sheet.board.viewportTransform().map(QPointF(10.0, 0.0)).toPoint()
    # A hair-thin line of ink, which is drawn over two rows of pixels.
    assert min(shown.pixelColor(at.x(), at.y() + away).lightness() for away in range(-4, 5)) < 100


def test_the_finding_goes_to_the_body_in_outline_and_to_its_shape(crossed, qtbot):
    crossed.desk.choice.pick_bodies(())
    crossed.show_step("Travel")
    follow(qtbot, crossed, "crosses itself")
    assert (crossed.step, crossed.desk.choice.bodies) == ("Outline", ("body",))
    first = crossed.sheet.panel.outline.sentence_of(0).field_of("x0")
    qtbot.waitUntil(first.hasFocus)


def test_a_mended_outline_is_told_no_more_and_the_sweep_goes_on(crossed, qtbot):
    assert not crossed.desk.prover.running
    typed(qtbot, crossed.sheet.panel.outline, 0, x3="-5")
    assert told(crossed) == []
    assert not crossed.sheet.panel.faults.isVisible()
    qtbot.waitUntil(lambda: crossed.desk.result is not None, timeout=60_000)


def test_a_finding_is_followed_by_keys(crossed, qtbot):
    crossed.show_step("Joints")
    (link,) = crossed.sheet.panel.faults.links()
    link.setFocus()
    qtbot.keyClick(link, Qt.Key.Key_Space)
    assert crossed.step == "Outline"


def test_a_joint_outside_both_bodies_is_told_before_and_after_the_proof(opened, qtbot):
    window = opened("barrier_arm")
    window.show_step("Outline")
    assert told(window) == []
    change(window, lambda project: change_joint(project, "Side", "yoke slot", lambda joint: replace(joint, at=(30.0, 60.0))).project)
    assert [head for head in told(window) if "yoke slot" in head.lower() and "outside" in head]
    qtbot.waitUntil(lambda: window.desk.result is not None, timeout=60_000)
    for step in (*DRAWING_STEPS, "Gaps"):
        window.show_step(step)
        assert [head for head in told(window) if "yoke slot" in head.lower() and "outside" in head], step
    follow(qtbot, window, "outside")
    assert (window.step, window.desk.choice.joint) == ("Joints", "yoke slot")


def test_a_body_that_nothing_holds_is_told_and_leads_to_joints(opened, qtbot):
    window = opened("barrier_arm")
    window.show_step("Outline")
    stray = Body(name="stray", fixed=False, depth=(0.0, 5.0), shapes=(Disc(centre=(-20.0, 15.0), radius=2.0),))
    change(window, lambda project: add_body(project, "Side", stray))
    qtbot.waitUntil(lambda: any("No joint leads" in head for head in told(window)), timeout=60_000)
    follow(qtbot, window, "stray")
    assert (window.step, window.desk.choice.bodies) == ("Joints", ("stray",))


def test_what_is_found_of_the_mechanism_stays_while_the_next_edit_is_proved(opened, qtbot):
    window = opened("barrier_arm")
    window.show_step("Outline")
    stray = Body(name="stray", fixed=False, depth=(0.0, 5.0), shapes=(Disc(centre=(-20.0, 15.0), radius=2.0),))
    change(window, lambda project: add_body(project, "Side", stray))
    qtbot.waitUntil(lambda: bool(told(window)), timeout=60_000)
    change(window, lambda project: replace(project, required_gap=0.75))
    assert window.desk.result is None
    assert len(told(window)) == 1
    window.desk.choice.pick_bodies(("stray",))
    window.actions_by_name["delete"].trigger()
    assert told(window) == []


def test_a_fault_of_a_drive_leads_to_it(opened, qtbot):
    window = opened("barrier_arm")
    window.show_step("Outline")
    change(window, lambda project: change_drive(project, "swing", lambda drive: replace(drive, home=90.0)))
    follow(qtbot, window, "home")
    assert (window.step, window.desk.choice.drive, window.desk.choice.joint) == ("Joints", "swing", "hub pin")


def test_a_fault_of_a_rule_leads_to_the_rules(opened, qtbot):
    window = opened("barrier_arm")
    window.show_step("Outline")
    rule = GapRule(section="Side", between=("motor", "sled"), required_gap=-1.0)
    change(window, lambda project: replace(project, gap_rules=(*project.gap_rules, rule)))
    (head,) = told(window)
    follow(qtbot, window, head)
    assert window.step == "Gaps"
    assert window.sheet.panel.rules.isVisible()


def test_a_fault_in_another_section_shows_that_section(crossed, qtbot):
    crossed.desk.sections.add()
    assert crossed.desk.choice.section != "Side"
    assert len(told(crossed)) == 1
    follow(qtbot, crossed, "crosses itself")
    assert (crossed.desk.choice.section, crossed.desk.choice.bodies) == ("Side", ("body",))


def test_many_faults_leave_room_for_the_work(window):
    window.desk.begin(new_project())
    window.show_step("Outline")
    bowtie = Polygon(points=((0, 0), (20, 20), (20, 0), (0, 20)))
    for number in range(12):
        body = Body(name=f"plate {number}", fixed=True, depth=(0, 5), shapes=(bowtie,))
        change(window, lambda project, body=body: add_body(project, "Side", body))
    assert len(told(window)) == 12
    assert window.sheet.panel.faults.height() <= 112


def test_more_shapes_and_joints_are_drawn_while_the_project_is_invalid(crossed, qtbot):
    outline = crossed.sheet.panel.outline
    press(qtbot, outline, "new disc")
    press(qtbot, outline, "new frame")
    crossed.desk.choice.pick_bodies(("body 3", "body 2"))
    crossed.show_step("Joints")
    pin = Pivot(name="pin", between=("body 3", "body 2"), at=(0.0, 0.0))
    change(crossed, lambda project: replace(project, sections=(replace(project.sections[0], joints=(pin,)),)))
    assert len(crossed.sheet.board._items.section.bodies) == 3
    assert len(told(crossed)) == 1


def test_a_hole_outside_its_outline_goes_to_its_shape(window, qtbot):
    window.desk.begin(new_project())
    window.show_step("Outline")
    press(qtbot, window.sheet.panel.outline, "new box")
    ring = ((40.0, 40.0), (45.0, 40.0), (40.0, 45.0))
    change(window, lambda project: cut_hole(project, "Side", "body", 0, ring))
    (head,) = told(window)
    assert "lies outside the outline" in head
    follow(qtbot, window, head)
    assert window.desk.choice.bodies == ("body",)
