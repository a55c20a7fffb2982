"""Where does a body's name go? Inside it where it fits, else beside it, at the upper right if that is free, else nowhere. Pure."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from core.drawing.extent import Extent
from core.model.names import BodyName
from core.model.shapes import Point

Covers = Callable[[Extent], bool]

BESIDE = 6.0
"""Logical pixels between a body and a name that stands beside it."""

SLIM = 3.0
"""A body that reaches this many times the radius of its widest place both across and up is slim and lies aslant, or is bent:
the corners of its box are far from it, and a name there seems to name something else."""

NEAR, FARTHER = (0.0, 8.0, 16.0), (28.0, 40.0)
"""Logical pixels beyond that radius at which a name is tried about the widest place of such a body; farther off where it must show."""

FITS = 1.15
"""A name may reach this many times the radius of the widest place: letters leave the corners of their box empty."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A name that looks for a place. `room`: widest place of the body, mm, posed; `extent`: the body's, mm, posed.

    width, height: of the words, logical pixels. must: it is shown even where it covers another (bodies in hand).
    beside: it may stand beside its body; beside one that is half hidden it would seem to name what hides it.
    """

    body: BodyName
    room: tuple[Point, float] | None
    extent: Extent
    width: float
    height: float
    must: bool = False
    beside: bool = True


@dataclass(frozen=True, slots=True)
class NamePlace:
    """The middle of the name, mm; `inside` its body or beside it."""

    body: BodyName
    at: Point
    inside: bool


def name_places(
    wanted: Sequence[Wanted], *, pixels: float, covers: Covers | None = None, taken: Sequence[Extent] = ()
) -> Iterator[NamePlace | None]:
    """Places for the names, one a step, `pixels` logical pixels a mm; None for one that finds none without covering another.

    Names inside their bodies come first, then names beside them, bodies in hand before others. `covers` tells whether a
    box (mm) lies over any body: a name beside its body keeps off those, but where nothing is free one in hand covers them.
    `taken`: boxes in mm that words have already.
    """
    boxes: list[Extent] = list(taken)
    choices = [(want, _inside(want, pixels)) for want in wanted]
    for want, inside in sorted(choices, key=lambda choice: (choice[1] is None, not choice[0].must)):
        at = _first_free(want, inside, pixels=pixels, boxes=boxes, covers=covers)
        if at is not None:
            boxes.append(_box(at, want, pixels))
        yield None if at is None else NamePlace(want.body, at, at == inside)


def _first_free(want: Wanted, inside: Point | None, *, pixels: float, boxes: Sequence[Extent], covers: Covers | None) -> Point | None:
    def free(place: Point) -> bool:
        return not any(_overlap(_box(place, want, pixels), box) for box in boxes)

    if inside is not None and free(inside):
        return inside
    if (inside is not None or not want.beside) and not want.must:
        return None
    beside = _beside(want, pixels)
    found = next((place for place in beside if free(place) and not (covers is not None and covers(_box(place, want, pixels)))), None)
    if found is not None or not want.must:
        return found
    # A name over a body can be read, a name over a name cannot.
    return next((place for place in beside if free(place)), inside or beside[0])


def _inside(want: Wanted, pixels: float) -> Point | None:
    """The widest place of the body where it is wide enough for the name."""
    if want.room is not None and math.hypot(want.width, want.height) / 2.0 <= FITS * want.room[1] * pixels:
        return want.room[0]
    return None


def _beside(want: Wanted, pixels: float) -> list[Point]:
    """Places beside the body in the order in which they are tried: upper right, right, lower right, and so on the left, above, below.

    Beside a slim body that lies aslant only those about its widest place are, unless it must show.
    """
    left, low, right, high = want.extent
    away, up = (BESIDE + want.width / 2.0) / pixels, want.height / 2.0 / pixels
    middle_x, middle_y = (left + right) / 2.0, (low + high) / 2.0
    above = (BESIDE + want.height / 2.0) / pixels
    sides = [(x, y) for x in (right + away, left - away) for y in (high + up, middle_y, low - up)]
    near: list[Point] = []
    if want.room is not None and min(right - left, high - low) > SLIM * want.room[1]:
        (x, y), radius = want.room
        ways = [*((i, j) for i in (1.0, -1.0) for j in (1.0, 0.0, -1.0)), (0.0, 1.0), (0.0, -1.0)]
        clear = [(radius + away + more / pixels, radius + above + more / pixels) for more in (*NEAR, *(FARTHER if want.must else ()))]
        near = [(x + i * across, y + j * upward) for across, upward in clear for i, j in ways]
        if not want.must:
            return near
    return [*near, *sides, (middle_x, high + above), (middle_x, low - above)]


def _box(at: Point, want: Wanted, pixels: float) -> Extent:
    w, h = want.width / 2.0 / pixels, (want.height / 2.0 + 2.0) / pixels
    return at[0] - w, at[1] - h, at[0] + w, at[1] + h


def _overlap(a: Extent, b: Extent) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
