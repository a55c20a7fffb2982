"""The lines of the drawing, after ISO 128-2, and the pitch of its hatches.

Widths in drawing units: a logical pixel on a screen, 0.25 mm on paper. Dashes and the gaps between them in multiples of
the line's own width, as ISO 128-2 gives them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

LineClass = Literal["wide", "selected", "narrow", "dashed", "centre", "ends"]
"""wide: outlines seen. selected: outlines in hand. narrow: dimensions, leaders, hatches. dashed: outlines underneath
something else. centre: long dash, dot: centre lines. ends: long dash, two dots: ends of travel."""

UNIT_ON_PAPER: Final = 0.25
"""Size of a drawing unit on paper, mm."""

HATCH_PITCH: Final = 5.6
"""Drawing units between the lines of cut material."""

OVERLAP_PITCH: Final = 4.0
"""Drawing units between the lines of an overlap."""


@dataclass(frozen=True, slots=True)
class LineForm:
    """Width in drawing units; `dashes`: dash, gap, dash, gap... in widths, empty where the line is continuous."""

    width: float
    dashes: tuple[float, ...] = ()


LINES: Final[Mapping[LineClass, LineForm]] = MappingProxyType(
    {
        "wide": LineForm(1.5),
        "selected": LineForm(2.25),
        "narrow": LineForm(0.75),
        "dashed": LineForm(0.75, (6.0, 3.0)),
        "centre": LineForm(0.75, (24.0, 3.0, 1.0, 3.0)),
        "ends": LineForm(0.75, (24.0, 3.0, 1.0, 3.0, 1.0, 3.0)),
    }
)
