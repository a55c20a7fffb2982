"""By how much does a drag move what it holds? Pure: the bodies at the press and two points of the pointer in; a shift in mm out."""

from collections.abc import Collection
from dataclasses import dataclass

from app.board.tools.nearby import Nearby
from app.board.tools.snap import candidates
from core.model.names import BodyName
from core.model.project import Section
from core.model.shapes import Point


@dataclass(frozen=True, slots=True, eq=False)
class Hold:
    """What a drag holds, and where: a place of the bodies near the press, which is what snaps, or the press itself; mm, as drawn.

    still: the bodies that stay, to which it snaps. within, grid: as `held_at` was given them.
    """

    start: Point
    at: Point
    still: Nearby
    within: float
    grid: float

    def moved_by(self, pointer: Point) -> Point:
        """The shift of the bodies with the pointer there, mm."""
        shift = (pointer[0] - self.start[0], pointer[1] - self.start[1])
        if self.within <= 0.0:
            return shift
        there = (self.at[0] + shift[0], self.at[1] + shift[1])
        near = self.still.of(there, self.within)
        found = candidates(near, there, within=self.within, grid=self.grid, on_edges=False)
        return (found[0].at[0] - self.at[0], found[0].at[1] - self.at[1]) if found else shift


def held_at(section: Section, names: Collection[BodyName], start: Point, *, within: float, grid: float) -> Hold:
    """Take bodies `names` at `start`; all mm. `within` 0: nothing is snapped to.

    Held near an end, a middle or a centre of theirs, that place is what snaps: to those of the bodies that stay, or to the grid.
    """
    own = [body for body in section.bodies if body.name in names] if within > 0.0 else []
    still = Nearby(body for body in section.bodies if within > 0.0 and body.name not in names and not body.view.hidden)
    places = (one.at for one in candidates(own, start, within=within, grid=grid, on_edges=False) if one.body is not None)
    return Hold(start, next(places, start), still, within, grid)
