"""What went with what was deleted? Every deletion takes along what refers to it, and says so."""

from dataclasses import dataclass

from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import AllowedTogether, GapRule, Project


@dataclass(frozen=True, slots=True)
class Gone:
    """What is no longer there, in the order of the file. `drives` also holds those that had nothing left to move.

    `released` counts joints that were taken off drives which are still there.
    """

    sections: tuple[SectionName, ...] = ()
    bodies: tuple[BodyName, ...] = ()
    joints: tuple[JointName, ...] = ()
    drives: tuple[DriveName, ...] = ()
    gap_rules: tuple[GapRule, ...] = ()
    together: tuple[AllowedTogether, ...] = ()
    released: int = 0

    def and_also(self, other: "Gone") -> "Gone":
        """All that is gone in one or the other."""
        return Gone(
            sections=self.sections + other.sections,
            bodies=self.bodies + other.bodies,
            joints=self.joints + other.joints,
            drives=self.drives + other.drives,
            gap_rules=self.gap_rules + other.gap_rules,
            together=self.together + other.together,
            released=self.released + other.released,
        )


@dataclass(frozen=True, slots=True)
class Deleted:
    """The project after a deletion, and all that went."""

    project: Project
    gone: Gone = Gone()
