"""A wiggle: what a new or changed drive or joint moves goes a little to and fro about where it is drawn, once, to be seen."""

import math
from collections.abc import Mapping

from PySide6.QtCore import QAbstractAnimation, QObject, QVariantAnimation, Signal

from core.model.lookup import section_of
from core.model.names import DriveName
from core.model.project import Drive, Project

WIGGLE_MS = 600
SHARE, MOST = 0.1, 12.0
"""How far it goes to each side: a share of travel, and at most so many degrees or mm; never beyond travel."""


def stirred(before: Project, after: Project) -> tuple[Drive, ...]:
    """The drives of `after` that are new or changed, or that move a joint which is: those to be seen moving. Pure."""
    old = {drive.name: drive for drive in before.drives}
    sections = {section.name: section for section in before.sections}

    def changed(drive: Drive) -> bool:
        for move in drive.moves:
            joint = next((one for one in section_of(after, move.section).joints if one.name == move.joint), None)
            section = sections.get(move.section)
            if section is None or joint not in section.joints:
                return True
        return old.get(drive.name) != drive

    return tuple(drive for drive in after.drives if drive.moves and changed(drive))


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
