"""A run: one drive moves through its travel on screen and back to where it was."""

from itertools import pairwise

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

from app.document.pose_at_hand import PoseAtHand
from core.model.project import Drive

TRAVEL_MS = 2600
"""Time for one way along the whole travel, whatever the drive's own speed: slow enough to watch."""
FRAME_MS = 16


def run_path(drive: Drive, value: float) -> tuple[float, ...]:
    """The values that a run from `value` turns at: to the end of travel, to its start, and back."""
    return (value, drive.end, drive.start, value)


def along(path: tuple[float, ...], way: float) -> float | None:
    """The value after `way` along `path`; None beyond its end."""
    for start, end in pairwise(path):
        length = abs(end - start)
        if way < length:
            return start + (end - start) * way / length
        way -= length
    return None


def turns_by(path: tuple[float, ...], way: float) -> int:
    """How many of the values that a path turns at lie behind, `way` along it."""
    turns = 0
    for start, end in pairwise(path[:-1]):
        way -= abs(end - start)
        turns += way >= 0.0
    return turns


class Run(QObject):
    """At most one drive runs at a time. The ends of travel are always shown, however seldom there is time for a frame."""

    changed = Signal()

    def __init__(self, pose: PoseAtHand, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.drive: Drive | None = None
        self.travel_ms = TRAVEL_MS
        self._pose = pose
        self._path: tuple[float, ...] = ()
        self._turned = 0
        self._clock = QElapsedTimer()
        self._frames = QTimer(self)
        self._frames.setInterval(FRAME_MS)
        self._frames.timeout.connect(self._frame)

    def start(self, drive: Drive) -> None:
        """Run `drive` from where it is."""
        self.drive = drive
        self._path = run_path(drive, self._pose.values[drive.name])
        self._turned = turns_by(self._path, 0.0)
        self._clock.start()
        self._frames.start()
        self.changed.emit()

    def stop(self) -> None:
        """Leave the drive where it is."""
        if self.drive is not None:
            self._frames.stop()
            self.drive = None
            self.changed.emit()

    def _frame(self) -> None:
        drive = self.drive
        if drive is None:
            return
        way = self._clock.elapsed() * abs(drive.end - drive.start) / max(self.travel_ms, 1)
        if self._turned < turns_by(self._path, way):
            self._turned += 1
            self._pose.put({drive.name: self._path[self._turned]})
            return
        value = along(self._path, way)
        self._pose.put({drive.name: self._path[-1] if value is None else value})
        if value is None:
            self.stop()
