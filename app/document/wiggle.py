"""A wiggle: what a new or changed drive or joint moves goes a little to and fro about where it is drawn, once, to be seen."""

import math
from collections.abc import Mapping

from msgspec.structs import replace
from PySide6.QtCore import QAbstractAnimation, QObject, QVariantAnimation, Signal

from core.model.joints import Joint
from core.model.names import DriveName, JointName
from core.model.project import Drive, Project

WIGGLE_MS = 600
SHARE, MOST = 0.1, 12.0
"""How far it goes to each side: a share of travel, and at most so many degrees or mm; never beyond travel."""


def stirred(before: Project, after: Project) -> tuple[Drive, ...]:
    """The drives of `after` that move something they did not, or otherwise: new, with another travel, or moving a joint that is.

    Another name, speed or note stirs nothing. Pure.
    """
    known = {_way(before, drive) for drive in before.drives}
    return tuple(drive for drive in after.drives if drive.moves and _way(after, drive) not in known)


def _way(project: Project, drive: Drive) -> tuple[object, ...]:
    """All that tells how a drive moves what it moves, without names."""
    joints = {(section.name, joint.name): joint for section in project.sections for joint in section.joints}
    moves = tuple((move.ratio, _nameless(joints.get((move.section, move.joint)))) for move in drive.moves)
    return (drive.unit, drive.start, drive.end, drive.drawn_value, moves)


def _nameless(joint: Joint | None) -> Joint | None:
    return replace(joint, name=JointName(""), notes="") if joint is not None else None


def wiggled(drive: Drive, share: float) -> float:
    """The value of `drive` after `share` (0 to 1) of a wiggle about its drawn value: up, down, and back. Pure."""
    reach = min(SHARE * (drive.end - drive.start), MOST)
    drawn = drive.drawn_value
    wave = math.sin(2.0 * math.pi * share)
    room = drive.end - drawn if wave > 0.0 else drawn - drive.start
    return drawn + wave * max(0.0, min(reach, room))


class Wiggle(QObject):
    """`values` are those of all drives while it goes on, otherwise None. The pose at hand is not touched."""

    moved = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.values: Mapping[DriveName, float] | None = None
        self._project: Project | None = None
        self._drives: tuple[Drive, ...] = ()
        self._frames = QVariantAnimation(self, duration=WIGGLE_MS)
        self._frames.setStartValue(0.0)
        self._frames.setEndValue(1.0)
        self._frames.valueChanged.connect(self._frame)
        self._frames.finished.connect(self.stop)

    @property
    def going(self) -> bool:
        """Whether something is moving."""
        return self._frames.state() == QAbstractAnimation.State.Running

    def start(self, project: Project, drives: tuple[Drive, ...]) -> None:
        """Move these drives of `project`; one wiggle at a time."""
        self.stop()
        self._project, self._drives = project, drives
        if drives:
            self._frames.start()

    def stop(self) -> None:
        """All stands as drawn again."""
        self._frames.stop()
        if self.values is not None:
            self.values = None
            self.moved.emit()

    def _frame(self, share: float) -> None:
        if self._project is not None and self.going:
            drawn = {drive.name: drive.drawn_value for drive in self._project.drives}
            self.values = {**drawn, **{drive.name: wiggled(drive, share) for drive in self._drives}}
            self.moved.emit()
