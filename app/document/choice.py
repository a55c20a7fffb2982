"""What the user has picked: the section shown, a pair, bodies, a joint, the drive in hand and the step of the work."""

from PySide6.QtCore import QObject, Signal

from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Body, Project, Section
from core.sweep.result import Pair


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

    def take(self, project: Project | None) -> None:
        """Keep what `project` still has; fall back to its first section and first drive."""
        sections = {section.name: section for section in project.sections} if project else {}
        if self.section not in sections:
            self.section = next(iter(sections), None)
            self.pair = self.joint = None
            self.bodies = ()
        names = {body.name for body in sections[self.section].bodies} if self.section is not None else set()
        self.bodies = tuple(body for body in self.bodies if body in names)
        if self.pair and not names.issuperset(self.pair):
            self.pair = None
        if self.section is None or all(joint.name != self.joint for joint in sections[self.section].joints):
            self.joint = None
        drives = [drive.name for drive in project.drives] if project else []
        if self.drive not in drives:
            self.drive = drives[0] if drives else None
        self.section_changed.emit()
        self.changed.emit()

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
