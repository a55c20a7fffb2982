"""The pose on the board: the user's own, or one that is only visited; and the pose of the ghost."""

from collections.abc import Mapping

from PySide6.QtCore import QObject, QVariantAnimation, Signal

from core.model.names import DriveName
from core.model.project import Drive, Project

EASE_MS = 120


def clamped(drive: Drive, value: float) -> float:
    """`value` held within the drive's travel."""
    return min(max(value, drive.start), drive.end)


class PoseAtHand(QObject):
    """Drive values by name, always within travel.

    values: where the drives are, or are easing to. shown: where the board has them now. While a breach is visited `own` is the
    pose that Esc gives back, otherwise None.
    """

    moved = Signal()
    settled = Signal()
    ghosted = Signal()
    visiting_changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.values: dict[DriveName, float] = {}
        self.shown: dict[DriveName, float] = {}
        self.ghost: dict[DriveName, float] | None = None
        self.own: dict[DriveName, float] | None = None
        self.ease_ms = EASE_MS
        self._drives: dict[DriveName, Drive] = {}
        self._start: dict[DriveName, float] = {}
        self._ease = QVariantAnimation(self)
        self._ease.setStartValue(0.0)
        self._ease.setEndValue(1.0)
        self._ease.valueChanged.connect(self._step)
        self._ease.finished.connect(self._arrive)

    def take(self, project: Project | None) -> None:
        """Start on `project`: drives that it knows keep their values, new ones stand at home."""
        self._ease.stop()
        self._drives = {drive.name: drive for drive in project.drives} if project else {}
        self.values = {name: clamped(drive, self.values.get(name, drive.home)) for name, drive in self._drives.items()}
        self.ghost = None
        self._end_visit()
        self._jump()

    def forget(self) -> None:
        """Put every drive home before another project is taken."""
        self.values = {}

    def put(self, values: Mapping[DriveName, float]) -> None:
        """The user's own hand moves drives: at once, and a visit ends here. Nothing is told of drives that stand there already."""
        eased = self._ease.state() == QVariantAnimation.State.Running
        self._ease.stop()
        self.values = self._with(values)
        self._end_visit()
        if eased or self.shown != self.values:
            self._jump()

    def go(self, values: Mapping[DriveName, float]) -> None:
        """The user poses drives by name or place: eased, and a visit ends here."""
        self._end_visit()
        self._ease_to(self._with(values))

    def visit(self, values: Mapping[DriveName, float]) -> None:
        """Look at a pose, keeping the user's own for `give_back`."""
        if self.own is None:
            self.own = dict(self.values)
            self.visiting_changed.emit()
        self._ease_to(self._with(values))

    def give_back(self) -> bool:
        """Return to the user's own pose; False where nothing is visited."""
        if self.own is None:
            return False
        own = self.own
        self._end_visit()
        self._ease_to(own)
        return True

    def home(self) -> dict[DriveName, float]:
        """Every drive's home."""
        return {name: drive.home for name, drive in self._drives.items()}

    def set_ghost(self, values: Mapping[DriveName, float] | None) -> None:
        """Show a pose besides the one at hand, or none."""
        ghost = None if values is None else self._with(values)
        if ghost != self.ghost:
            self.ghost = ghost
            self.ghosted.emit()

    def _with(self, values: Mapping[DriveName, float]) -> dict[DriveName, float]:
        return {name: clamped(drive, values.get(name, self.values[name])) for name, drive in self._drives.items()}

    def _end_visit(self) -> None:
        if self.own is not None:
            self.own = None
            self.visiting_changed.emit()

    def _ease_to(self, values: dict[DriveName, float]) -> None:
        self._ease.stop()
        self.values = values
        if self.ease_ms <= 0 or values == self.shown:
            self._jump()
            return
        self._start = dict(self.shown)
        self._ease.setDuration(self.ease_ms)
        self._ease.start()

    def _step(self, share: float) -> None:
        if self._ease.state() == QVariantAnimation.State.Running:
            self.shown = {name: start + share * (self.values[name] - start) for name, start in self._start.items()}
            self.moved.emit()

    def _arrive(self) -> None:
        self._jump()

    def _jump(self) -> None:
        self.shown = dict(self.values)
        self.moved.emit()
        self.settled.emit()
