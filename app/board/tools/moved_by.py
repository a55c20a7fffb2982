"""By how much does a drag move what it holds? Pure: the bodies at the press and two points of the pointer in; a shift in mm out."""

from collections.abc import Collection

from app.board.tools.snap import candidates
from core.model.names import BodyName
from core.model.project import Section
from core.model.shapes import Point


def moved_by(section: Section, names: Collection[BodyName], start: Point, at: Point, *, within: float, grid: float) -> Point:
    """The shift of bodies `names` held at `start` with the pointer `at`; all mm. `within` 0: nothing is snapped to.

    Held near an end, a middle or a centre of theirs, that place is what snaps: to those of the bodies that stay, or to the grid.
    """
    shift = (at[0] - start[0], at[1] - start[1])
    if within <= 0.0:
        return shift
    own = [body for body in section.bodies if body.name in names]
    still = [body for body in section.bodies if body.name not in names and not body.view.hidden]
    held = next((one.at for one in candidates(own, start, within=within, grid=grid, on_edges=False) if one.body is not None), start)
    there = (held[0] + shift[0], held[1] + shift[1])
    found = candidates(still, there, within=within, grid=grid, on_edges=False)
    return (found[0].at[0] - held[0], found[0].at[1] - held[1]) if found else shift
