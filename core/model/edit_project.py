"""How is a project begun, and what is asked of all of it? Edits of the project's own keys."""

import msgspec

from core.model.names import BodyName, SectionName
from core.model.project import FORMAT_VERSION, Body, Project, Section
from core.model.rounding import rounded
from core.model.shapes import Band, Frame, Point

REQUIRED_GAP = 1.0
"""mm, moving part to bay, filament print: common practice, no source; the user's own number replaces it."""

WALL = 2.0
"""mm, wall of a bay made by its size alone: common practice, no source."""

DEPTH: Band = (0.0, 30.0)
"""mm, depth band of a bay made by its size alone: a start, to be measured."""


def new_project(name: str = "New bay", *, section: str = "Side", required_gap: float = REQUIRED_GAP) -> Project:
    """An empty project: one section without bodies. `required_gap` mm."""
    return rounded(
        Project(
            format=FORMAT_VERSION,
            name=name,
            required_gap=required_gap,
            sections=(Section(name=SectionName(section), bodies=()),),
        )
    )


def bay_wall(size: Point, *, name: str = "bay", wall: float = WALL, depth: Band = DEPTH) -> Body:
    """A fixed frame about the origin: `size` is its free inside in mm, `wall` the material around it."""
    frame = Frame(centre=(0.0, 0.0), size=size, wall=wall)
    return rounded(Body(name=BodyName(name), fixed=True, depth=depth, shapes=(frame,)))


def set_name(project: Project, name: str) -> Project:
    """Give the project another name."""
    return msgspec.structs.replace(project, name=name)


def set_notes(project: Project, notes: str) -> Project:
    """Give the project other notes."""
    return msgspec.structs.replace(project, notes=notes)


def set_required(project: Project, *, gap: float | None = None, depth_gap: float | None = None) -> Project:
    """Ask another gap of all pairs, in the section and across it, mm; None leaves one as it is."""
    return rounded(
        msgspec.structs.replace(
            project,
            required_gap=project.required_gap if gap is None else gap,
            required_depth_gap=project.required_depth_gap if depth_gap is None else depth_gap,
        )
    )
