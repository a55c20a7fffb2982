"""The marks that are kept while the window is open: of every section, until they are removed or another project is opened."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from PySide6.QtCore import QObject, Signal

from app.board.marks import Gap, Mark, Reading
from app.board.marks_followed import followed
from app.document.choice import section_named
from app.document.desk import Desk
from core.drawing.gap_mark import GapMark, mark_of
from core.drawing.path import Pose
from core.model.joints import Joint
from core.model.names import BodyName, SectionName
from core.model.project import Body, Drive, Project
from core.sweep.gap_between import GapBetween, gap_between
from core.sweep.result import Pair

PoseTuple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class _Kept:
    section: SectionName
    mark: Mark


@dataclass(frozen=True, slots=True, eq=False)
class _Prepared:
    """A gap made ready, and what it was made from: while that stays the same objects, so does the gap."""

    gap: GapBetween
    bodies: tuple[Body, ...]
    joints: tuple[Joint, ...]
    drives: tuple[Drive, ...]
    settings: tuple[object, ...]

    def holds(self, other: "_Prepared") -> bool:
        """Whether the other was made from the same."""
        return (self.bodies, self.joints, self.drives, self.settings) == (other.bodies, other.joints, other.drives, other.settings)


class Marks(QObject):
    """What was measured, with its readings at the pose that the board shows."""

    changed = Signal()
    """A mark more or less, another one pointed at, or other readings."""
    kept_changed = Signal()
    """A mark more or less."""

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._kept: tuple[_Kept, ...] = ()
        self._project: Project | None = None
        self._opened = -1
        self._placed: Mapping[BodyName, PoseTuple] = {}
        self._gaps: dict[tuple[SectionName, Pair], _Prepared] = {}
        self._readings: tuple[Reading, ...] | None = None
        self.trying: Mark | None = None
        """What a tool in hand measures just now; it is drawn, but not kept."""
        self.pointed: int | None = None
        """The place among `readings` of the mark that is pointed at in the list."""

    @property
    def poses(self) -> Mapping[BodyName, Pose]:
        """Where the bodies of the section are on the board."""
        return {name: Pose(*pose) for name, pose in self._placed.items()}

    def readings(self) -> tuple[Reading, ...]:
        """The marks of the section shown at the pose shown, the oldest first."""
        if self._readings is None:
            self._readings = tuple(self.reading(kept.mark) for kept in self._kept if kept.section == self._desk.choice.section)
        return self._readings

    def reading(self, mark: Mark) -> Reading:
        """A mark at the pose shown, whether or not it is kept."""
        return Reading(mark, self.poses, self._gap(mark.pair) if isinstance(mark, Gap) else None)

    def add(self, mark: Mark) -> None:
        """Keep a mark in the section shown; one that is kept already is not kept twice."""
        section = self._desk.choice.section
        if section is not None and _Kept(section, mark) not in self._kept:
            self._kept = (*self._kept, _Kept(section, mark))
            self._tell()

    def remove(self, place: int) -> None:
        """Remove a mark by its place among `readings`."""
        shown = [kept for kept in self._kept if kept.section == self._desk.choice.section]
        self._kept = tuple(kept for kept in self._kept if kept is not shown[place])
        self._tell()

    def clear(self) -> None:
        """Remove the marks of every section."""
        self._kept = ()
        self._tell()

    def point_at(self, place: int | None) -> None:
        """Point at a mark, by its place among `readings`, or at none."""
        if place != self.pointed:
            self.pointed = place
            self.changed.emit()

    @property
    def any(self) -> bool:
        """Whether any are kept."""
        return bool(self._kept)

    def take_project(self) -> None:
        """Follow an edit; of another project no mark is kept."""
        project, opened = self._desk.project, self._desk.document.opened
        if project is self._project and opened == self._opened:
            return
        before, self._project = self._project, project
        had = self._kept
        if opened != self._opened or project is None or before is None:
            self._opened, self._kept, self._placed = opened, (), {}
            self._gaps.clear()
        else:
            found = (self._followed(kept, before, project) for kept in self._kept)
            self._kept = tuple(kept for kept in found if kept is not None)
        if had or self._kept:
            self._tell()

    def take_section(self) -> None:
        """Follow the section shown."""
        self._placed = {}
        if self._kept:
            self._tell()

    def take_poses(self, poses: Mapping[BodyName, PoseTuple]) -> None:
        """Follow the bodies of the section, whatever put them where they are."""
        self._placed, self._readings = poses, None
        if self._kept:
            self.changed.emit()

    def _followed(self, kept: _Kept, before: Project, after: Project) -> _Kept | None:
        old, new = section_named(before, kept.section), section_named(after, kept.section)
        if old is not None and new is None and len(before.sections) == len(after.sections):
            renamed = after.sections[before.sections.index(old)]
            new = renamed if renamed.bodies == old.bodies else None
        if old is None or new is None:
            return None
        mark = kept.mark if old is new else followed(kept.mark, old, new)
        return None if mark is None else replace(kept, section=new.name, mark=mark)

    def _gap(self, pair: Pair) -> GapMark | None:
        section = self._desk.choice.section
        prepared = self._prepared(section, pair) if section is not None else None
        found = prepared.at(self._placed) if prepared is not None else None
        return None if found is None else mark_of(found)

    def _prepared(self, section: SectionName, pair: Pair) -> GapBetween | None:
        """The gap of a pair made ready; as it was where nothing that it depends on has changed, which a drag of others leaves so."""
        mechanism = self._desk.mechanism
        if mechanism is None:
            return None
        there = self._gaps.get((section, pair))
        if there is not None and there.gap.project is mechanism.project:
            return there.gap
        project = mechanism.project
        own = section_named(project, section)
        bodies = tuple(body for body in own.bodies if body.name in pair) if own is not None else ()
        if own is None or len(bodies) != len(set(pair)):
            return None
        joints = tuple(joint for one in project.sections for joint in one.joints)
        settings = (project.required_gap, project.required_depth_gap, project.gap_rules, tuple(body.fixed for body in own.bodies))
        if there is not None and there.holds(_Prepared(there.gap, bodies, joints, project.drives, settings)):
            return there.gap
        made = gap_between(project, mechanism.linkage, section, pair)
        self._gaps[section, pair] = _Prepared(made, bodies, joints, project.drives, settings)
        return made

    def _tell(self) -> None:
        self._readings, self.pointed = None, None
        self.changed.emit()
        self.kept_changed.emit()
