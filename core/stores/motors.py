"""What does a small motor look like along its shaft? Case, ears, boss, shaft, lead and plug as shapes of one body.

The shaft is at the origin and the case lies to its right; the bottom of the case is at depth 0. Sizes are trade facts
(common practice, no source) but for those marked as from memory; every maker differs.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from core.model.shapes import Band, Box, Disc, Shape

MotorClass = Literal["sub-micro", "micro", "mini", "standard"]


@dataclass(frozen=True, slots=True)
class MotorSize:
    """All in mm. `height` is that of the case alone; `ears_at` the underside of the ears over its bottom.

    `shaft_in` is from the near end of the case to the shaft. The lead leaves that end: `stub` stiff, then `bend`.
    """

    length: float
    width: float
    height: float
    shaft_in: float
    over_ears: float
    ears_at: float
    ear_thickness: float = 2.5
    boss_height: float = 4.0
    boss_radius: float = 0.0
    shaft_radius: float = 2.4
    shaft_length: float = 2.0
    stub: float = 5.0
    bend: float = 5.0
    lead_width: float = 4.0
    lead_thickness: float = 1.3
    lead_at: float = 4.0

    @property
    def top(self) -> float:
        """Depth of the top of the boss, on which the horn stands."""
        return self.height + self.boss_height


MOTORS: Mapping[MotorClass, MotorSize] = MappingProxyType(
    {
        # the shaft lies half a width in: common practice; ears and their height from memory, but for micro and the standard's length
        "sub-micro": MotorSize(20.0, 8.0, 18.0, shaft_in=4.0, over_ears=27.0, ears_at=13.0, boss_radius=4.0, shaft_radius=2.0),
        "micro": MotorSize(23.0, 12.0, 22.5, shaft_in=6.0, over_ears=32.0, ears_at=16.0, boss_radius=6.0),
        "mini": MotorSize(29.0, 13.0, 29.0, shaft_in=6.5, over_ears=39.0, ears_at=20.0, boss_radius=6.5, shaft_radius=2.5),
        "standard": MotorSize(40.0, 20.0, 39.0, shaft_in=10.0, over_ears=54.5, ears_at=28.0, boss_radius=6.5, shaft_radius=3.0),
    }
)
"""A size for each class. Shaft radii are from memory."""

PLUG = (14.0, 8.0, 2.6)
"""mm, length, width and thickness of a three-pole plug: common practice, no source."""


def motor_shapes(size: MotorSize, *, ears: bool = True, lead: bool = True, plug: bool = True) -> tuple[Shape, ...]:
    """The shapes of a motor, each with its own depth band; a plug only where there is a lead that it hangs on."""
    middle = (size.length / 2 - size.shaft_in, 0.0)
    case: tuple[Shape, ...] = (
        Box(centre=middle, size=(size.length, size.width), depth=(0.0, size.height)),
        Disc(centre=(0.0, 0.0), radius=size.boss_radius or size.width / 2, depth=(size.height, size.top)),
        Disc(centre=(0.0, 0.0), radius=size.shaft_radius, depth=(size.top, size.top + size.shaft_length)),
    )
    if ears:
        band = (size.ears_at, size.ears_at + size.ear_thickness)
        case += (Box(centre=middle, size=(size.over_ears, size.width), depth=band),)
    return (*case, *(lead_shapes(size, plug=plug) if lead else ()))


def lead_shapes(size: MotorSize, *, plug: bool) -> tuple[Shape, ...]:
    """The stiff stub of the lead with room for its bend, and the plug behind it."""
    long = size.stub + size.bend
    end = -size.shaft_in
    band = (size.lead_at, size.lead_at + size.lead_thickness)
    shapes: tuple[Shape, ...] = (Box(centre=(end - long / 2, 0.0), size=(long, size.lead_width), depth=band),)
    if plug:
        length, width, thickness = PLUG
        shapes += (Box(centre=(end - long - length / 2, 0.0), size=(length, width), depth=(band[0], band[0] + thickness)),)
    return shapes


def band_of(shapes: tuple[Shape, ...]) -> Band:
    """The depth band from the lowest to the highest of shapes that all have one of their own."""
    bands = [shape.depth for shape in shapes if shape.depth is not None]
    return (min(low for low, _ in bands), max(high for _, high in bands))
