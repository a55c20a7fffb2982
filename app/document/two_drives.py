"""The two-drive map at hand: the drive in hand and a second one, the others at home or anywhere, and what is found of them."""

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal

from app.document.choice import Choice
from app.document.document import Document
from app.document.pose_at_hand import PoseAtHand
from app.document.run import Run
from app.jobs.asker import Fault
from app.jobs.mapper import MapAsk, Mapper
from core.model.names import DriveName
from core.model.project import Drive, Project
from core.sweep.drive_map import DriveMap, Others
from core.sweep.result import Check


def partner(drives: Sequence[DriveName], drive: DriveName, checks: Sequence[Check]) -> DriveName | None:
    """The other drive that breaches most together with `drive`: by the depth of the breaches on whose path both are.

    Without any, one that shares a pair's path with it; otherwise the next of `drives`; None where there is no other.
    """
    shared = [check for check in checks if drive in check.drives]
    here = drives.index(drive)

    def worth(other: DriveName) -> tuple[float, int, int]:
        both = [check for check in shared if other in check.drives]
        depth = sum(check.required_gap + check.tolerance - check.lowest_gap for check in both if check.verdict == "breach")
        return depth, len(both), -abs(drives.index(other) - here)

    return max((other for other in drives if other != drive), key=worth, default=None)


class TwoDrives(QObject):
    """Asks for a map whenever its drives, the others or the project change while it is `on`. Holds no drive values."""

    changed = Signal()
    """Drives, others, whether one is being made, or whether it is on."""
    mapped = Signal(object)
    """A DriveMap of what is asked now."""

    def __init__(self, document: Document, choice: Choice, pose: PoseAtHand, run: Run, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document, self._choice, self._pose, self._run = document, choice, pose, run
        self._mapper = Mapper(self)
        self._picked: DriveName | None = None
        self._ask: MapAsk | None = None
        self.on = False
        self.drives: tuple[DriveName, DriveName] | None = None
        self.others: Others = "home"
        self.found: DriveMap | None = None
        self.fresh = False
        self.fault: Fault | None = None
        self._mapper.mapped.connect(self._take)
        self._mapper.failed.connect(self._fail)
        self._mapper.running_changed.connect(self.changed)
        choice.changed.connect(self._look)
        document.project_changed.connect(self._look)
        document.answer_changed.connect(self._look)

    @property
    def mapping(self) -> bool:
        """Whether a map, or a finer one, is being made."""
        return self._mapper.running

    @property
    def project(self) -> Project | None:
        """The project at hand."""
        return self._document.project

    def records(self) -> tuple[Drive, Drive] | None:
        """The two drives."""
        there = {drive.name: drive for drive in self.project.drives} if self.project else {}
        if self.drives is None or not there.keys() >= set(self.drives):
            return None
        return there[self.drives[0]], there[self.drives[1]]

    def set_on(self, *, on: bool) -> None:
        """Begin or end mapping."""
        if on != self.on:
            self.on = on
            self._look()
            self.changed.emit()

    def pick_second(self, drive: DriveName) -> None:
        """Map the drive in hand with this one."""
        self._picked = drive
        self._look()

    def set_others(self, others: Others) -> None:
        """Take the other drives at home, or anywhere in their travel."""
        self.others = others
        self._look()

    def put(self, first: float, second: float) -> None:
        """Pose the board at a place of the map; where the map takes the others at home, they go there."""
        if self.drives is not None:
            self._run.stop()
            others = self._pose.home() if self.others == "home" else {}
            self._pose.put({**others, self.drives[0]: first, self.drives[1]: second})

    def pick_pair(self, place: int) -> None:
        """Take in hand a pair of the map, by its place among `found.pairs`."""
        if self.found is not None:
            self._choice.pick_pair(*self.found.pairs[place])

    def values(self) -> tuple[float, float] | None:
        """Where the two drives are on the board."""
        if self.drives is None or not self._pose.shown.keys() >= set(self.drives):
            return None
        return self._pose.shown[self.drives[0]], self._pose.shown[self.drives[1]]

    def tells_of_pose(self) -> bool:
        """Whether the map speaks of the pose on the board: not where the others should be at home and are not."""
        home = self._pose.home()
        away = (name for name, value in self._pose.shown.items() if name not in (self.drives or ()) and value != home.get(name))
        return self.others == "any" or next(away, None) is None

    def warm(self) -> None:
        """Have the process that maps started before it is needed."""
        self._mapper.warm()

    def pid(self) -> int | None:
        """The process that maps, where there is one."""
        return self._mapper.pid()

    def end(self) -> None:
        """End what runs, before the window goes."""
        self._mapper.end()

    def _look(self) -> None:
        """Ask anew where what is asked has changed."""
        drives = self._wanted() if self.on else None
        project = self.project
        if drives is None or project is None:
            self._ask, self.drives, self.found = None, None, None
            self._mapper.ask(None)
            return
        asked = self._ask
        if asked is not None and (asked.project, asked.others) == (project, self.others) and asked.drives == drives:
            return
        if asked is None or asked.others != self.others or asked.drives != drives:
            self.found = None
        self.drives, self.fresh = drives, False
        self.fault = None
        self._ask = MapAsk(project, drives, self.others)
        self._mapper.ask(self._ask)
        self.changed.emit()

    def _wanted(self) -> tuple[DriveName, DriveName] | None:
        names = [drive.name for drive in self.project.drives] if self.project else []
        first = self._choice.drive
        if first is None or first not in names:
            return None
        if self._picked == first and self.drives is not None:
            # The second drive was taken in hand: the two change places.
            self._picked = self.drives[0]
        answer = self._document.answer
        checks = answer.result.checks if answer is not None and answer.result is not None else ()
        second = self._picked if self._picked in names and self._picked != first else partner(names, first, checks)
        return (first, second) if second is not None else None

    def _fail(self, fault: Fault) -> None:
        self.fault = fault
        self.changed.emit()

    def _take(self, ask: MapAsk, found: DriveMap) -> None:
        if ask is self._ask:
            self.found, self.fresh = found, True
            self.mapped.emit(found)
