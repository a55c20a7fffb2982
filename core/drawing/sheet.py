"""A drawing put on paper: a display list placed at a scale, on a sheet of a size, mm from its lower left corner."""

from collections.abc import Iterable
from dataclasses import dataclass

from core.drawing.display_list import DisplayList, Fill, Group, Item, Stroke, Text
from core.drawing.extent import Extent
from core.drawing.path import Path, Pose, moved, polyline
from core.model.shapes import Point


@dataclass(frozen=True, slots=True)
class Sheet:
    """What stands on one sheet of `width` by `height` mm: places in mm, the origin at the lower left corner, y up.

    A drawing unit is `UNIT_ON_PAPER` here, whatever the scale. `named`: items that a reader may want to find by name
    (identifiers of letters, digits and hyphens), drawn after `items`; a writer that knows no names draws them all the same.
    """

    width: float
    height: float
    items: DisplayList
    named: "tuple[tuple[str, DisplayList], ...]" = ()

    @property
    def everything(self) -> DisplayList:
        """All items in the order in which they are drawn."""
        return (*self.items, *(item for _, items in self.named for item in items))


def placed(items: Iterable[Item], *, scale: float = 1.0, at: Point = (0.0, 0.0)) -> DisplayList:
    """The items enlarged about the origin by `scale` and shifted, so that the origin comes to `at`, mm.

    Line widths and type sizes stay: they are drawing units. A section drawn with `unit = UNIT_ON_PAPER / scale` fits this.
    """
    pose = Pose(0.0, *at)
    return tuple(put(item, pose, scale) for item in items)


def put(item: Item, pose: Pose, scale: float = 1.0) -> Item:
    """The item enlarged about the origin by `scale` and then put at `pose`; texts stay upright."""
    match item:
        case Fill():
            return Fill(tuple(moved(path, pose, scale) for path in item.outlines), item.paint)
        case Stroke():
            return Stroke(moved(item.path, pose, scale), item.line, item.paint)
        case Group():
            return Group(tuple(put(inner, pose, scale) for inner in item.items), moved(item.clip, pose, scale))
        case Text():
            place = pose.place((scale * item.at[0], scale * item.at[1]))
            return Text(place, item.words, item.size, item.paint, item.anchor, item.strong, item.halo)


def rectangle(reach: Extent) -> Path:
    """The outline of an extent, counter-clockwise."""
    low_x, low_y, high_x, high_y = reach
    return (polyline((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y), closed=True),)
