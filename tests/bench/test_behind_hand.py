"""A frame of a hand on a drive, and what follows it in turns of its own: `pytest tests/bench/test_behind_hand.py --benchmark-enable`.

Nothing here fails for being slow; where the bodies are, and what is said, is compared with the pose. The ratio is in `extra_info`.
"""

import time

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPointF
from PySide6.QtTest import QTest

from app.theme import LIGHT
from app.window import Window, make_application
from core.drawing.path import Pose
from core.model.names import DriveName
from tests.bench.ring_bay import ring_bay
from tests.desk.by_hand import LEFT

ROUNDS = 30
PROOF_MS = 120_000
LONG_MS = 3_600_000


@pytest.mark.parametrize("stations", [4, 16])
def test_a_frame_of_a_hand_against_all_that_follows(qtbot, tmp_path, benchmark, stations):
    make_application()
    window = Window(tmp_path / "settings.json", LIGHT)
    qtbot.addWidget(window)
    window.resize(1280, 800)
    window.show()
    qtbot.waitExposed(window)
    desk, view = window.desk, window.sheet.board.viewport()
    desk.begin(ring_bay(stations))
    qtbot.waitUntil(lambda: desk.result is not None and not (desk.settling or window.sheet.timeline.behind), timeout=PROOF_MS)
    window.show_step("Gaps")
    board = window.sheet.board
    places = (QPointF(x, y) for y in range(0, view.height(), 5) for x in range(0, view.width(), 5))
    start, flap = next((at, hit.body) for at in places if (hit := board.body_at(at)) is not None and hit.body.startswith("flap"))
    held = Pose(*desk.body_poses()[flap]).unplace((board.to_mm(start).x(), board.to_mm(start).y()))
    drive = desk.drive(DriveName(flap.replace("flap", "fold")))
    QTest.mousePress(view, LEFT, pos=start.toPoint())
    desk._behind_hand._timer.setInterval(LONG_MS)
    moved = []

    def frame():
        moved.append(0.2 + 0.6 * (len(moved) % 10) / 10)
        pose = Pose(*desk.body_poses({**desk.pose.shown, drive.name: drive.start + moved[-1] * (drive.end - drive.start)})[flap])
        QTest.mouseMove(view, board.viewportTransform().map(QPointF(*pose.place(held))).toPoint())
        QCoreApplication.sendPostedEvents(window, QEvent.Type.UpdateRequest.value)

    frame()
    desk._catch_up()
    benchmark.pedantic(frame, rounds=ROUNDS if benchmark.enabled else 2)
    bodies = desk.body_poses()
    assert all(board._items.pose_of(body) == pose for body, pose in bodies.items())
    assert desk.stirring
    before = time.perf_counter()
    desk._catch_up()
    QCoreApplication.sendPostedEvents(window, QEvent.Type.UpdateRequest.value)
    follows = time.perf_counter() - before
    assert window.sheet.timeline.showing.values == desk.pose.shown
    QTest.mouseRelease(view, LEFT, pos=start.toPoint())
    window.end()
    own = benchmark.stats.stats.median if benchmark.stats else float("nan")
    benchmark.extra_info.update({"ratio": round(follows / own, 1), "bodies": len(bodies)})
