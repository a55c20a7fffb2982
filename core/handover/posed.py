"""Where do the bodies of a section stand for given drive values? In the words of drawings."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from core.drawing.path import Pose
from core.errors import UsageError
from core.model.names import BodyName, DriveName
from core.model.project import Project, Section
from core.motion.linkage import Linkage, linkage_of
from core.motion.pose import poses

Values = Mapping[DriveName, float]


@dataclass(frozen=True, slots=True)
class Posed:
    """poses: of every body of the section. reached: False where a loop cannot be followed there; it then stands where it last came to."""

    poses: Mapping[BodyName, Pose]
    reached: bool


def posed_section(project: Project, section: Section, values: Values, *, linkage: Linkage | None = None) -> Posed:
    """The section at `values` (drive units; drives that are not named stand at home)."""
    linkage = linkage or linkage_of(project)
    own = linkage.section(section.name)
    at = np.array([[values.get(drive.name, drive.home) for drive in project.drives]], dtype=float).reshape(1, len(project.drives))
    found = poses(own, linkage, at)
    placed = {
        body: Pose(math.degrees(found.turn[0, number]), float(found.shift[0, number].real), float(found.shift[0, number].imag))
        for number, group in enumerate(own.groups)
        for body in group
    }
    return Posed(placed, bool(found.reached[0]))


def section_named(project: Project, name: str) -> Section:
    """The section of that name; UsageError, which tells the names there are, where there is none."""
    for section in project.sections:
        if section.name == name:
            return section
    raise UsageError(f"`{name}` is not one of the sections: {_known(project)}.")


def chosen_section(project: Project, name: str | None) -> Section:
    """The section of that name, or the only one where none is named; UsageError otherwise."""
    if name is not None:
        return section_named(project, name)
    if len(project.sections) != 1:
        raise UsageError(f"Name the section: {_known(project)}.")
    return project.sections[0]


def _known(project: Project) -> str:
    return ", ".join(section.name for section in project.sections) or "none; this project has no sections"
