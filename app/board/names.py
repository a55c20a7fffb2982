"""Where does a body's name go? Inside it where it fits, else at its upper right, else nowhere. Pure."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from core.drawing.extent import Extent
from core.model.names import BodyName
from core.model.shapes import Point

BESIDE = 6.0
"""Logical pixels between a body and a name that stands beside it."""

FITS = 1.15
"""A name may reach this many times the radius of the widest place: letters leave the corners of their box empty."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A name that looks for a place. `room`: widest place of the body, mm, posed; `extent`: the body's, mm, posed.

    width, height: of the words, logical pixels. must: it is shown even where it covers another (bodies in hand).
    """

    body: BodyName
    room: tuple[Point, float] | None
    extent: Extent
    width: float
    height: float
    must: bool = False


@dataclass(frozen=True, slots=True)
class NamePlace:
    """The middle of the name, mm; `inside` its body or beside it."""

    body: BodyName
    at: Point
    inside: bool


def name_places(wanted: Sequence[Wanted], *, pixels: float, taken: Collection[Extent] = ()) -> tuple[NamePlace, ...]:
    """Places for the names, `pixels` logical pixels a mm; those that find none without covering another are left out.

    Bodies in hand come first, then names inside their bodies, then names beside them. `taken`: boxes in mm to keep free.
    """
    boxes = list(taken)
    placed: list[NamePlace] = []
    choices = [(want, *_place(want, pixels)) for want in wanted]
    for want, at, inside in sorted(choices, key=lambda choice: (not choice[0].must, not choice[2])):
        box = _box(at, want, pixels)
        if want.must or not any(_overlap(box, other) for other in boxes):
            boxes.append(box)
            placed.append(NamePlace(want.body, at, inside))
    return tuple(placed)


def _place(want: Wanted, pixels: float) -> tuple[Point, bool]:
    if want.room is not None and math.hypot(want.width, want.height) / 2.0 <= FITS * want.room[1] * pixels:
        return want.room[0], True
    _, _, right, top = want.extent
    return (right + (BESIDE + want.width / 2.0) / pixels, top + want.height / 2.0 / pixels), False


def _box(at: Point, want: Wanted, pixels: float) -> Extent:
    w, h = want.width / 2.0 / pixels, (want.height / 2.0 + 2.0) / pixels
    return at[0] - w, at[1] - h, at[0] + w, at[1] + h


def _overlap(a: Extent, b: Extent) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
