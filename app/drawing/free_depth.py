"""At which depth is there room for a new bar? Pure: a section, the bar and what it is to lie over in; a depth band out."""

from collections.abc import Collection

from core.drawing.extent import Extent, extent
from core.drawing.outline import outline
from core.model.names import BodyName
from core.model.project import Section
from core.model.shapes import Band, Bar, Room
from core.stores.push_pull import WIRE_OFF


def free_depth(section: Section, bar: Bar, *, thick: float, over: Collection[BodyName]) -> Band:
    """The lowest band of `thick` mm over the bodies `over` where the bar meets them that nothing in the bar's way fills.

    It stays `WIRE_OFF` mm or more above what it lies over. Rooms are not in its way: it lies inside them.
    What is in its way is told by upright rectangles as drawn; what else it meets as it moves, the sweep will tell.
    """
    reach = extent(outline(bar))
    bands: list[tuple[Band, bool]] = []
    for body in section.bodies:
        for shape in body.shapes:
            own = extent(outline(shape))
            if not isinstance(shape, Room) and own is not None and reach is not None and _meet(own, reach):
                bands.append((shape.depth or body.depth, body.name in over))
    low = max((high + WIRE_OFF for (_, high), lies_over in bands if lies_over), default=0.0)
    for (bottom, top), _ in sorted(bands):
        if bottom < low + thick and top > low:
            low = top + WIRE_OFF
    return (low, low + thick)


def _meet(one: Extent, other: Extent) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]
