"""What does a section show of each body? Slabs: the shapes of a body that fill one depth band, with the lines seen of them."""

from collections.abc import Collection
from dataclasses import dataclass, replace
from functools import lru_cache

from core.drawing.drawable import is_hair
from core.drawing.extent import Extent, extent, joined_extent
from core.drawing.outline import outline
from core.drawing.path import DRAWN, Path, Pose, moved
from core.drawing.union import union_edges
from core.model.names import BodyName
from core.model.project import Body, Section
from core.model.shapes import Band, Point, Room, Shape
from core.tolerances import DEFAULT_TOLERANCES, Tolerances


@dataclass(frozen=True, slots=True)
class Slab:
    """Part of a body between two depths. `fills`: the closed outline of each shape; `lines`: what bounds their union.

    shapes: their numbers in the body. walls: for each, the wall of a bore or frame, mm; None for all others.
    """

    body: BodyName
    fixed: bool
    depth: Band
    fills: tuple[Path, ...]
    lines: Path
    shapes: tuple[int, ...]
    walls: tuple[float | None, ...]

    def extent(self, pose: Pose = DRAWN) -> Extent | None:
        """How far the slab reaches at `pose`, mm; None where it has no outline."""
        return joined_extent(extent(path, pose) for path in self.fills)


KEPT_BODIES = 1024
"""Bodies whose slabs are kept: while one of many is dragged, the others are drawn again and again."""


def body_slabs(body: Body, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> tuple[Slab, ...]:
    """The slabs of a body, low to high; a body without shapes has none."""
    return _body_slabs(body, tolerances)


@lru_cache(maxsize=KEPT_BODIES)
def _body_slabs(body: Body, tolerances: Tolerances) -> tuple[Slab, ...]:
    bands: dict[Band, list[int]] = {}
    for number, shape in enumerate(body.shapes):
        bands.setdefault(shape.depth or body.depth, []).append(number)
    return tuple(
        _slab(body, band, [(number, body.shapes[number]) for number in numbers], tolerances)
        for band, numbers in sorted(bands.items(), key=lambda item: _height(item[0]))
    )


def section_slabs(section: Section, *, hidden: Collection[BodyName] = (), tolerances: Tolerances = DEFAULT_TOLERANCES) -> tuple[Slab, ...]:
    """All slabs in the order in which they are drawn, low to high; equal heights fixed first, then as in the section.

    `hidden` bodies, and those whose view hides them, are left out.
    """
    shown = [body for body in section.bodies if not body.view.hidden and body.name not in hidden]
    slabs = [slab for body in shown for slab in body_slabs(body, tolerances=tolerances)]
    return tuple(sorted(slabs, key=lambda slab: (*_height(slab.depth), not slab.fixed)))


def shifted(slab: Slab, by: Point) -> Slab:
    """The slab `by` mm beside where it is."""
    if by == (0.0, 0.0):
        return slab
    there = Pose(0.0, *by)
    fills = tuple([moved(path, there) for path in slab.fills])
    # Of a single shape both are the same lines.
    lines = fills[0] if len(fills) == 1 and slab.lines == slab.fills[0] else moved(slab.lines, there)
    return replace(slab, fills=fills, lines=lines)


def _height(band: Band) -> tuple[float, float]:
    return band[1], band[0]


def _slab(body: Body, band: Band, shapes: list[tuple[int, Shape]], tolerances: Tolerances) -> Slab:
    fills = tuple(outline(shape) for _, shape in shapes)
    # A hair encloses nothing that could cover a line, and of a ring of many points they come with every move of one of them.
    hairs = [fill for fill, (_, shape) in zip(fills, shapes, strict=True) if is_hair(shape)]
    solid = [fill for fill, (_, shape) in zip(fills, shapes, strict=True) if not is_hair(shape)]
    lines = (*union_edges(solid, step=tolerances.chord), *(run for hair in hairs for run in hair))
    walls = tuple(shape.wall if isinstance(shape, Room) else None for _, shape in shapes)
    return Slab(body.name, body.fixed, band, fills, lines, tuple(number for number, _ in shapes), walls)
