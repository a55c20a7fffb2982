"""Random hands on grips: nothing fails, every step is undone and redone, and the file keeps what came of it."""

import random

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPointF, Qt

from core.model.edit_bodies import add_body
from core.model.edit_project import new_project
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from core.project_file.read import project_from_bytes
from core.project_file.write import project_to_bytes
from tests.desk.by_hand import LEFT, pixel

pytestmark = [pytest.mark.qt_log_ignore("This plugin does not support", extend=True), pytest.mark.slow]
PULLS = 80
SHAPES = {
    "tray": (Frame(centre=(0, 0), size=(120, 70), wall=3, turn=5),),
    "plate": (Box(centre=(-20, 10), size=(40, 20), corner_radius=2, turn=30), Box(centre=(-20, -15), size=(10, 12))),
    "cam": (Disc(centre=(25, 5), radius=10), Bar(start=(25, 5), end=(45, -15), radius=3), Bore(centre=(25, -20), radius=5, wall=2)),
    "web": (
        Polygon(points=((-50, -25), (-30, -28), (-25, 0), (-45, 10)), holes=(((-42, -15), (-36, -15), (-38, -8)),), corner_radius=1),
        Polygon(points=((0, -30), (10, -30), (5, -20))),
    ),
}
KEYS = (Qt.Key.Key_Up, Qt.Key.Key_Left, Qt.Key.Key_Return, Qt.Key.Key_Tab, Qt.Key.Key_Backtab, Qt.Key.Key_Escape, Qt.Key.Key_Backspace)


def pull(window, qtbot, rng) -> str:
    """One hand on one grip of some body; the answer tells what was done."""
    board, view = window.sheet.board, window.sheet.board.viewport()
    names = [body.name for body in window.desk.project.sections[0].bodies]
    window.desk.choice.pick_bodies((rng.choice(names),))
    shown = window.sheet.grips.shown()
    if not shown:
        board.fit()
        return "no grips"
    held = rng.choice(shown)
    start = pixel(window, *held.grip.at)
    told = f"{window.desk.choice.bodies[0]} {held}"
    done = rng.choice(("pull", "pull", "pull", "pull and escape", "pull and undo", "double click", "keys"))
    if done == "double click":
        qtbot.mouseClick(view, LEFT, pos=start)
        qtbot.mouseDClick(view, LEFT, pos=start)
        return f"double click on {told}"
    qtbot.mousePress(view, LEFT, pos=start)
    if done == "keys":
        qtbot.mouseRelease(view, LEFT, pos=start)
        pressed = [rng.choice(KEYS) for _ in range(4)]
        for key in pressed:
            qtbot.keyClick(board, key)
        return f"{pressed} on {told}"
    for _ in range(3):
        end = start + QPointF(rng.uniform(-60, 60), rng.uniform(-60, 60)).toPoint()
        qtbot.mouseMove(view, end)
        if rng.random() < 0.3:
            window.desk.adjusting._go_on()  # as if a frame had passed
    if done == "pull and escape":
        qtbot.keyClick(board, Qt.Key.Key_Escape)
    elif done == "pull and undo":
        window.desk.document.history.undo()
        qtbot.mouseMove(view, end)
    qtbot.mouseRelease(view, LEFT, pos=end)
    return f"{done} of {told}"


@pytest.mark.parametrize("seed", range(2))
def test_random_pulls_leave_no_fault_and_a_project_that_its_file_keeps(window, qtbot, monkeypatch, seed):
    monkeypatch.setattr(window.desk.prover, "start", lambda _project: None)
    monkeypatch.setattr(window.desk.prover, "follow", lambda _project: None)
    project, rng = new_project(), random.Random(seed)
    for name, shapes in SHAPES.items():
        project = add_body(project, project.sections[0].name, Body(name=BodyName(name), fixed=name == "tray", depth=(0, 3), shapes=shapes))
    window.desk.begin(project)
    window.show_step("Outline")
    window.sheet.board.setFocus()
    document, log = window.desk.document, []
    before = window.desk.project
    for number in range(PULLS):
        window.setUpdatesEnabled(number % 5 == 0)
        log.append(pull(window, qtbot, rng))
        QCoreApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        assert not document.in_gesture, log[-5:]
        assert window.sheet._drawn.is_at_hand, log[-5:]
    assert document.history.count() > PULLS / 8
    after = window.desk.project
    assert project_from_bytes(project_to_bytes(after), file=None, allow_invalid=True) == after
    place = document.history.index()
    while document.history.canUndo():
        document.history.undo()
    assert window.desk.project == before
    for _ in range(place):
        document.history.redo()
    assert window.desk.project == after
