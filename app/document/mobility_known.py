"""How the sections of the project at hand can move, found once for all views and only where something it depends on has changed."""

from collections.abc import Sequence

from core.model.project import Project
from core.motion.linkage import Linkage
from core.motion.mobility import SectionMobility, mobility


def moves_by(project: Project) -> object:
    """All of a project that its mobility depends on: what is joined to what and where, and what the drives move.

    Shapes, depths, rules, speeds and travels are not among it, so that an edit of those leaves what is told of it as it is.
    """
    sections = tuple(
        (section.name, tuple((body.name, body.fixed) for body in section.bodies), section.joints) for section in project.sections
    )
    return sections, tuple((drive.name, drive.moves) for drive in project.drives)


class MobilityKnown:
    """Keeps what was found last. To be asked once an edit has ended: on a large mechanism it takes longer than a frame."""

    def __init__(self) -> None:
        self._key: object = None
        self._found: Sequence[SectionMobility] = ()

    def of(self, project: Project, linkage: Linkage) -> Sequence[SectionMobility]:
        """The mobility of every section of `project`, whose linkage it is."""
        key = moves_by(project)
        if key != self._key:
            self._key, self._found = key, mobility(project, linkage)
        return self._found
