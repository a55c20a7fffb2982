"""Which places of a body can be snapped to? Its edges as arrays and its points with what they are, made once a body."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from core.drawing.drawable import bare_lines
from core.drawing.extent import Extent, edge_extent, joined_extent
from core.drawing.outline import outline
from core.drawing.path import FULL_TURN, Arc, Edge, Segment
from core.model.outline import outline_of_box
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape

Kind = Literal["end", "middle", "centre", "corner"]
"""corner: of an outline before its corners are rounded."""

KEPT = 1024
"""Bodies whose places are kept."""

LEAST_POINTS = 3


@dataclass(frozen=True, slots=True)
class Spot:
    """A point of a body as drawn, mm; `line`: the straight edge or axis it lies on, `edge`: what of the drawing to thicken."""

    at: Point
    kind: Kind
    line: tuple[Point, Point] | None = None
    edge: Edge | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """All that one body offers, at the drawn pose. The order of spots and edges follows the body's shapes.

    spots_at: (k, 2) of `spots`. starts, alongs: (n,) complex, of the straight edges, numbered among all by `straight`.
    centres: (m,) complex, radii: (m,), of the arcs, numbered by `round`. reach: how far all of it goes, None where there is
    nothing.
    """

    spots: tuple[Spot, ...]
    edges: tuple[Edge, ...]
    spots_at: NDArray[np.float64]
    starts: NDArray[np.complex128]
    alongs: NDArray[np.complex128]
    straight: tuple[int, ...]
    centres: NDArray[np.complex128]
    radii: NDArray[np.float64]
    round: tuple[int, ...]
    reach: Extent | None

    def far(self, at: Point, within: float) -> bool:
        """Whether nothing of it comes within `within` mm of a point, told by how far it reaches."""
        if self.reach is None:
            return True
        low_x, low_y, high_x, high_y = self.reach
        return not (low_x - within <= at[0] <= high_x + within and low_y - within <= at[1] <= high_y + within)

    def spots_near(self, at: Point, within: float) -> list[Spot]:
        """The points within `within` mm of `at`."""
        apart = np.hypot(self.spots_at[:, 0] - at[0], self.spots_at[:, 1] - at[1])
        return [self.spots[number] for number in np.flatnonzero(apart <= within).tolist()]

    def edges_near(self, at: Point, within: float) -> list[Edge]:
        """The edges within `within` mm of `at`; of arcs also some whose circle, but not the arc itself, comes so near."""
        found: list[int] = []
        point = complex(*at)
        if len(self.starts):
            square = np.abs(self.alongs) ** 2
            share = np.clip(((point - self.starts) * self.alongs.conj()).real / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
            near = np.abs(point - self.starts - share * self.alongs) <= within
            found += [self.straight[number] for number in np.flatnonzero(near).tolist()]
        if len(self.radii):
            near = np.abs(np.abs(point - self.centres) - self.radii) <= within
            found += [self.round[number] for number in np.flatnonzero(near).tolist()]
        return [self.edges[number] for number in found]


def places(body: Body) -> Places:
    """What a body offers; kept for the bodies asked of, each told from others as an object, since comparing corners takes longer."""
    kept = _kept.get(id(body))
    if kept is not None and kept[0] is body:
        return kept[1]
    _kept.pop(id(body), None)
    if len(_kept) >= KEPT:
        del _kept[next(iter(_kept))]
    _kept[id(body)] = (body, found := _places(body))
    return found


_kept: Final[dict[int, tuple[Body, Places]]] = {}
"""By the identity of bodies that are held here, so that no other can have it; those asked of first go first."""


def _with_outline(shape: Shape) -> tuple[Shape, ...]:
    """The shape, or its bare lines where a ring of a polygon has too few points to enclose anything: such a drawing is mended too."""
    rings = (shape.points, *shape.holes) if isinstance(shape, Polygon) else ()
    return bare_lines(shape) if any(len(ring) < LEAST_POINTS for ring in rings) else (shape,)


def _places(body: Body) -> Places:
    spots: list[Spot] = []
    edges: list[Edge] = []
    for shape in (part for whole in body.shapes for part in _with_outline(whole)):
        own = [edge for run in outline(shape) for edge in run.edges if edge.length > 0.0]
        spots += _once([*_of_shape(shape), *_of_edges(own)])
        edges += own
    straight = [(number, edge) for number, edge in enumerate(edges) if isinstance(edge, Segment)]
    curved = [(number, edge) for number, edge in enumerate(edges) if isinstance(edge, Arc)]
    dots = [(spot.at[0], spot.at[1], spot.at[0], spot.at[1]) for spot in spots]
    return Places(
        spots=tuple(spots),
        edges=tuple(edges),
        spots_at=np.array([spot.at for spot in spots], float).reshape(-1, 2),
        starts=np.array([complex(*edge.start) for _, edge in straight], complex),
        alongs=np.array([complex(*edge.end) - complex(*edge.start) for _, edge in straight], complex),
        straight=tuple(number for number, _ in straight),
        centres=np.array([complex(*edge.centre) for _, edge in curved], complex),
        radii=np.array([edge.radius for _, edge in curved], float),
        round=tuple(number for number, _ in curved),
        reach=joined_extent([*dots, *map(edge_extent, edges)]),
    )


def _of_shape(shape: Shape) -> Iterator[Spot]:
    """What the shape is made by: its centre, its axis, its corners before any rounding (of a room those of its free inside)."""
    if isinstance(shape, Disc | Bore | Box | Frame):
        yield Spot(shape.centre, "centre")
    if isinstance(shape, Bar):
        axis = Segment(shape.start, shape.end)
        yield from _of_edge(axis, "end")
        yield Spot(shape.end, "end", (shape.start, shape.end), axis)
    ring = _corners(shape)
    rounded = getattr(shape, "corner_radius", 0.0) > 0.0
    for start, end in zip(ring, (*ring[1:], *ring[:1]), strict=True):
        yield from _of_edge(Segment(start, end), "corner" if rounded else "end")


def _of_edges(edges: list[Edge]) -> Iterator[Spot]:
    for edge in edges:
        line = (edge.start, edge.end) if isinstance(edge, Segment) else None
        if isinstance(edge, Arc):
            yield Spot(edge.centre, "centre", None, edge)
            if abs(edge.sweep) >= FULL_TURN:
                continue
        yield Spot(edge.start, "end", line, edge)
        yield Spot(edge.end, "end", line, edge)
        yield Spot(edge.point(0.5), "middle", line, edge)


def _of_edge(edge: Segment, kind: Kind) -> Iterator[Spot]:
    """Its first end and its middle: the other end is the first of the next edge."""
    line = (edge.start, edge.end)
    yield Spot(edge.start, kind, line, edge)
    yield Spot(edge.point(0.5), "middle", line, edge)


def _corners(shape: Shape) -> tuple[Point, ...]:
    if isinstance(shape, Polygon):
        return shape.points
    return outline_of_box(centre=shape.centre, size=shape.size, turn=shape.turn) if isinstance(shape, Box | Frame) else ()


def _once(spots: list[Spot]) -> list[Spot]:
    """The spots without those in the place of one before."""
    kept: dict[tuple[int, int], Spot] = {}
    for spot in spots:
        kept.setdefault((math.floor(spot.at[0] * 1e6 + 0.5), math.floor(spot.at[1] * 1e6 + 0.5)), spot)
    return list(kept.values())
