"""The Joints step on the board: hands on joints while it is shown, and a wiggle of what a change to drives or joints moves."""

from PySide6.QtCore import QObject, Signal

from app.board.board import Board
from app.document.desk import Desk
from app.document.mechanism import BodyPoses
from app.document.wiggle import Wiggle, stirred
from app.drawing.joint_hands import JointHands
from core.model.project import Project


class JointsStep(QObject):
    """In this step bodies stand as drawn, but while a drive runs or something wiggles."""

    moved = Signal()
    """Bodies stand elsewhere."""

    def __init__(self, desk: Desk, board: Board, parent: QObject) -> None:
        super().__init__(parent)
        self._desk, self._board = desk, board
        self.hands = JointHands(desk, board, self)
        self.wiggle = Wiggle(self)
        self._on = False
        self._last: tuple[int, Project] | None = None
        self.wiggle.moved.connect(self._take_wiggle)
        self.hands.taken.connect(self.wiggle.stop)
        desk.project_shown.connect(self._take_project)
        desk.run.changed.connect(self._take_run)

    @property
    def as_drawn(self) -> bool:
        """Whether the board shows bodies as drawn rather than at the pose at hand."""
        return self._on and self._desk.run.drive is None

    def set_on(self, *, on: bool) -> None:
        """The step is shown, or is not."""
        self._on = on
        self.wiggle.stop()
        self._take_run()

    def poses(self) -> BodyPoses | None:
        """Where bodies are while something wiggles; None while all stands as drawn."""
        values = self.wiggle.values
        return self._desk.body_poses(values) if values is not None else None

    def _take_wiggle(self) -> None:
        self.hands.moving = self.wiggle.values is not None
        self.moved.emit()

    def _take_run(self) -> None:
        if self._desk.run.drive is not None:
            self.wiggle.stop()
        self.hands.on = self.as_drawn
        self.hands.leave()
        self._board.viewport().update()
        if self._on:
            self.moved.emit()

    def _take_project(self) -> None:
        """A gesture is seen as it goes; what it came to wiggles once it is a step of the history."""
        desk, project = self._desk, self._desk.project
        if desk.document.in_gesture:
            return
        self.wiggle.stop()
        before, self._last = self._last, (desk.document.opened, project) if project is not None else None
        keeps_still = desk.pose.ease_ms <= 0 or not self.as_drawn or desk.mechanism is None
        if project is None or before is None or before[0] != desk.document.opened or keeps_still:
            return
        self.wiggle.start(project, stirred(before[1], project))
