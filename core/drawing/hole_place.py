"""Where in a shape is there room for a hole? Pure; lengths mm, section frame."""

from math import sqrt

from msgspec.structs import replace

from core.drawing.drawable import DRAWN_ALL_THE_SAME
from core.drawing.outline import outline
from core.drawing.region import widest_place
from core.model.finding import Place
from core.model.middle import reach_of
from core.model.shapes import Box, Point, Polygon
from core.model.validate_shapes import judge_shape
from core.tolerances import DEFAULT_TOLERANCES

SHARE = 0.5
"""Of the room that there is, what a new hole takes of it."""

LEAST_SHARE = 0.1
"""What it takes where the rounding of the outline's corners leaves no room; a finding then tells so."""

GRID, DECIMALS = 0.01, 2
"""mm; the corners of a new hole are rounded so."""

PRECISION = 1e-3
"""Of the shape's own size, how near to its widest place the hole comes."""


def ring_for_hole(shape: Box | Polygon) -> tuple[Point, ...] | None:
    """Four corners of a square in the widest part of a shape that no hole of it takes up; None where its outline is not sound.

    The square leaves room for the rounded corners of the outline, which are made by growing holes as much as the outline is
    shrunk (see `core.model.outline.inset_ring`). Its corners are rounded to 0.01 mm; where that leaves nothing there is none.
    """
    sharp = replace(shape, corner_radius=0.0)
    if any(finding.code not in DRAWN_ALL_THE_SAME for finding in judge_shape(sharp, Place(), DEFAULT_TOLERANCES)):
        return None
    left, bottom, right, top = reach_of(shape)
    found = widest_place((outline(sharp),), within=max(max(right - left, top - bottom) * PRECISION, GRID))
    if found is None:
        return None
    (x, y), room = found
    # a square of half diagonal a, grown by r all round, reaches a + r sqrt(2) from its middle, and the outline shrinks by r
    half = max(SHARE * (room - (1 + sqrt(2)) * shape.corner_radius), LEAST_SHARE * room) / sqrt(2)
    ring = tuple((round(x + i * half, DECIMALS), round(y + j * half, DECIMALS)) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
    return ring if ring[0] < ring[2] else None
