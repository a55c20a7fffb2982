"""Has a body only been shifted, as drawn, and by how much? Told by its two states, without asking what made one of the other."""

from collections.abc import Sequence
from math import isclose

from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

PLACES: dict[type[Shape], tuple[str, ...]] = {
    Disc: ("centre",),
    Bar: ("start", "end"),
    Box: ("centre",),
    Polygon: ("points", "holes"),
    Bore: ("centre",),
    Frame: ("centre",),
}
"""The fields of each shape that say where it is; all others say what it is."""


def shift_between(old: Body, new: Body, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> Point | None:
    """The shift in mm that takes every shape of `old` onto the one of `new`; None where more has changed, or there are no shapes.

    Each number is rounded for itself, so that places count as shifted alike within `touch`. Depth, name and view are not asked for.
    """
    if len(old.shapes) != len(new.shapes) or not all(map(_alike, old.shapes, new.shapes)):
        return None
    before, after = ([point for shape in body.shapes for point in places(shape)] for body in (old, new))
    if len(before) != len(after) or not before:
        return None
    x, y = after[0][0] - before[0][0], after[0][1] - before[0][1]
    near = tolerances.touch
    together = all(
        isclose(one[0] - other[0], x, rel_tol=0.0, abs_tol=near) and isclose(one[1] - other[1], y, rel_tol=0.0, abs_tol=near)
        for one, other in zip(after, before, strict=True)
    )
    return (x, y) if together else None


def places(shape: Shape) -> Sequence[Point]:
    """Every point that says where a shape is, mm."""
    match shape:
        case Polygon():
            return (*shape.points, *(point for hole in shape.holes for point in hole))
        case Bar():
            return (shape.start, shape.end)
        case _:
            return (shape.centre,)


def _alike(old: Shape, new: Shape) -> bool:
    """Whether they differ in nothing but where they are."""
    if type(old) is not type(new):
        return False
    if isinstance(old, Polygon) and isinstance(new, Polygon) and [len(hole) for hole in old.holes] != [len(hole) for hole in new.holes]:
        return False
    kept = PLACES[type(old)]
    return all(getattr(old, name) == getattr(new, name) for name in old.__struct_fields__ if name not in kept)
