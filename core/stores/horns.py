"""What does a horn look like along the shaft? A hub and arms, or a disc, and the screw that holds it.

Hole distances and depths are trade facts (common practice, no source); hub and arm widths are from memory.
"""

from dataclasses import dataclass
from math import cos, radians, sin
from types import MappingProxyType
from typing import Literal

from core.model.shapes import Bar, Disc, Shape

HornForm = Literal["arm", "two arms", "cross", "disc"]
ARMS = MappingProxyType({"arm": 1, "two arms": 2, "cross": 4, "disc": 0})


@dataclass(frozen=True, slots=True)
class HornSize:
    """All in mm. `reach` is from the shaft to the outermost hole; an arm ends `beyond` it."""

    reach: float
    hub_radius: float
    arm_radius: float
    hole: float
    thickness: float = 2.0
    beyond: float = 2.0
    screw_radius: float = 2.0
    screw_proud: float = 1.5


MICRO_HORN = HornSize(reach=14.0, hub_radius=3.5, arm_radius=2.0, hole=1.0)
STANDARD_HORN = HornSize(reach=20.0, hub_radius=5.0, arm_radius=3.0, hole=1.5, screw_radius=3.0)
MICRO_HOLES = (6.0, 8.0, 10.0, 12.0, 14.0)
STANDARD_HOLES = (10.0, 12.5, 15.0, 17.5, 20.0)
"""mm, distances of the holes from the shaft."""


def horn_shapes(size: HornSize, form: HornForm = "arm", *, low: float = 0.0, screw: bool = True, heading: float = 0.0) -> tuple[Shape, ...]:
    """The shapes of a horn about the origin whose underside is at depth `low` mm; its first arm points `heading` degrees."""
    band = (low, low + size.thickness)
    end = size.reach + size.beyond
    hub: tuple[Shape, ...] = (Disc(centre=(0.0, 0.0), radius=end if form == "disc" else size.hub_radius, depth=band),)
    count = ARMS[form]
    for k in range(count):
        angle = radians(heading + 360.0 * k / count)
        tip = end - size.arm_radius
        hub += (Bar(start=(0.0, 0.0), end=(tip * cos(angle), tip * sin(angle)), radius=size.arm_radius, depth=band),)
    if screw:
        hub += (Disc(centre=(0.0, 0.0), radius=size.screw_radius, depth=(band[1], band[1] + size.screw_proud)),)
    return hub
