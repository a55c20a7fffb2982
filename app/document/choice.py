"""What the user has picked: the section shown, a pair, bodies, a joint, the drive in hand and the step of the work."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from PySide6.QtCore import QObject, Signal

from app.document.followed import followed
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Body, Project, Section
from core.sweep.result import Pair

PAIR = 2


@dataclass(frozen=True, slots=True)
class _Inside:
    """The names in a section."""

    bodies: tuple[BodyName, ...] = ()
    joints: tuple[JointName, ...] = ()


@dataclass(frozen=True, slots=True)
class _Names:
    """The names of the project at hand, in order: what was picked by one that went is found by its place."""

    sections: Mapping[SectionName, _Inside] = field(default_factory=dict)
    drives: tuple[DriveName, ...] = ()

    @classmethod
    def of(cls, project: Project | None) -> "_Names":
        """Those of `project`; none without one."""
        if project is None:
            return cls()
        inside = {s.name: _Inside(tuple(b.name for b in s.bodies), tuple(j.name for j in s.joints)) for s in project.sections}
        return cls(inside, tuple(drive.name for drive in project.drives))


class Choice(QObject):
    """Names only; the records stay in the document. Any name may be None where there is nothing to pick.

    A joint is in hand alone: picking one lets bodies and pair go, and picking those lets the joint go.
    """

    changed = Signal()
    section_changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.section: SectionName | None = None
        self.pair: Pair | None = None
        self.bodies: tuple[BodyName, ...] = ()
        self.joint: JointName | None = None
        self.drive: DriveName | None = None
        self._names = _Names()

    def take(self, project: Project | None) -> None:
        """Keep what `project` still has, by its new name where that alone changed; fall back to its first section and drive."""
        before, self._names = self._names, _Names.of(project)
        section = SectionName(followed(self.section, tuple(before.sections), tuple(self._names.sections)) or "")
        old, new = before.sections.get(self.section or section, _Inside()), self._names.sections.get(section, _Inside())
        if section not in self._names.sections:
            self.section = next(iter(self._names.sections), None)
            self.pair = self.joint = None
            self.bodies = ()
        else:
            self.section = section
            self.bodies = tuple(BodyName(now) for body in self.bodies if (now := followed(body, old.bodies, new.bodies)) is not None)
            pair = tuple(BodyName(now) for body in self.pair or () if (now := followed(body, old.bodies, new.bodies)) is not None)
            self.pair = (pair[0], pair[1]) if len(pair) == PAIR else None
            joint = followed(self.joint, old.joints, new.joints)
            self.joint = None if joint is None else JointName(joint)
        drive = followed(self.drive, before.drives, self._names.drives)
        self.drive = next(iter(self._names.drives), None) if drive is None else DriveName(drive)
        self.section_changed.emit()
        self.changed.emit()

    def has_names_of(self, project: Project) -> bool:
        """Whether all of `project` is called, and stands, as in the one taken last."""
        return self._names == _Names.of(project)

    def pick_pair(self, section: SectionName, pair: Pair, *, drive: DriveName | None = None) -> None:
        """Take a pair in hand, and with it its two bodies and its section; a drive too, where one is named."""
        self._show(section)
        drive = drive or self.drive
        if (self.pair, self.bodies, self.drive, self.joint) != (pair, tuple(pair), drive, None):
            self.pair, self.joint = pair, None
            self.bodies = tuple(pair)
            self.drive = drive
            self.changed.emit()

    def pick_body(self, body: BodyName) -> None:
        """Take one body of the section shown in hand."""
        if (self.bodies, self.joint) != ((body,), None):
            self.bodies, self.joint = (body,), None
            self.changed.emit()

    def pick_bodies(self, bodies: tuple[BodyName, ...]) -> None:
        """Take several bodies of the section shown in hand, or none; a pair is let go."""
        if (self.pair, self.bodies, self.joint) != (None, bodies, None):
            self.pair = self.joint = None
            self.bodies = bodies
            self.changed.emit()

    def pick_joint(self, joint: JointName | None) -> None:
        """Take a joint of the section shown in hand, alone, or none."""
        if self.joint != joint or (joint is not None and (self.pair or self.bodies)):
            self.joint = joint
            if joint is not None:
                self.pair, self.bodies = None, ()
            self.changed.emit()

    def toggle_body(self, body: BodyName) -> None:
        """Add a body of the section shown to those in hand, or let it go where it is one of them."""
        kept = tuple(name for name in self.bodies if name != body)
        self.pick_bodies(kept if body in self.bodies else (*kept, body))

    def pick_drive(self, drive: DriveName) -> None:
        """Take a drive in hand: its band of the timeline opens wide."""
        if self.drive != drive:
            self.drive = drive
            self.changed.emit()

    def pick_section(self, section: SectionName) -> None:
        """Show another section; a pair of the one before is let go."""
        if self._show(section):
            self.pair = self.joint = None
            self.bodies = ()
            self.changed.emit()

    def _show(self, section: SectionName) -> bool:
        if self.section == section:
            return False
        self.section = section
        self.section_changed.emit()
        return True


def section_named(project: Project | None, name: SectionName | None) -> Section | None:
    """The section called `name`, or None."""
    return next((section for section in project.sections if section.name == name), None) if project else None


def body_named(section: Section | None, name: BodyName) -> Body | None:
    """The body called `name`, or None."""
    return next((body for body in section.bodies if body.name == name), None) if section else None
