"""What stands on a drawing, in the order in which it is drawn: fills, strokes, texts, and groups that are clipped.

All places are mm in the section frame, y up. A drawing unit (line widths, type sizes) is a pixel on a screen and 0.25 mm
on paper; whoever asks for a drawing says how many mm of the section it takes. Colours are named by what they mean.
"""

from dataclasses import dataclass
from typing import Literal

from core.drawing.lines import LineClass
from core.drawing.path import Path
from core.model.shapes import Point


@dataclass(frozen=True, slots=True)
class Tint:
    """The cool tint of a moving body: `colour` by name where the project gives one, else by its order among those that move."""

    colour: str | None
    order: int


@dataclass(frozen=True, slots=True)
class Heat:
    """A step of the heat scale, 0 (roomy) to 6 (deep); breach begins at step 3."""

    step: int


Paint = Literal["ink", "quiet", "board", "breach", "overlap", "hatch", "rule"] | Tint | Heat
"""ink, quiet: lines and texts. board: the sheet itself. breach: the number that is short. overlap: the ground of an
overlap, hatch: the lines on it. rule: light lines between rows."""

Anchor = Literal["left", "middle", "right"]


@dataclass(frozen=True, slots=True)
class Fill:
    """The union of closed outlines, filled; holes run clockwise (winding rule)."""

    outlines: tuple[Path, ...]
    paint: Paint


@dataclass(frozen=True, slots=True)
class Stroke:
    """A path drawn with a line of `line`."""

    path: Path
    line: LineClass
    paint: Paint = "ink"


@dataclass(frozen=True, slots=True)
class Text:
    """One line of words, upright: the middle of its height at `at`, its left end, middle or right end there too.

    `size` in drawing units. `halo`: the board shows round the letters, for words on a tint or over lines.
    """

    at: Point
    words: str
    size: float
    paint: Paint = "ink"
    anchor: Anchor = "middle"
    strong: bool = False
    halo: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """Items of which only what lies inside the closed `clip` shows."""

    items: "tuple[Item, ...]"
    clip: Path


Item = Fill | Stroke | Text | Group
DisplayList = tuple[Item, ...]
