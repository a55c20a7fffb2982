"""What is wrong with the bodies: their depth bands, shapes, outlines, holes and corner radii."""

from collections.abc import Iterator
from itertools import combinations
from math import floor

from core.model.finding import Finding, Place
from core.model.judge import error, inside, negative, not_finite, unfit_name
from core.model.outline import Ring, edges, inset_ring, ring_holds, rings_meet, self_crossing, signed_area
from core.model.project import Body
from core.model.shapes import Band, Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape
from core.tolerances import Tolerances

HALVINGS = 12
"""Steps in which the largest corner radius that fits is searched for, once the given one does not."""


def judge_body(body: Body, place: Place, tolerances: Tolerances) -> Iterator[Finding]:
    """Every finding of a body and its shapes."""
    yield from unfit_name(place, "body", body.name)
    if broken := tuple(not_finite(body, place)):
        yield from broken
        return
    yield from _judge_band(body.depth, place)
    yield from negative(place, outline_tolerance=body.outline_tolerance)
    if not body.shapes:
        yield error(place, "body-without-shapes")
    for index, shape in enumerate(body.shapes):
        yield from judge_shape(shape, inside(place, f"shapes[{index}]"), tolerances)


def judge_shape(shape: Shape, place: Place, tolerances: Tolerances) -> Iterator[Finding]:
    """Every finding of one shape, whose numbers are finite."""
    if shape.depth is not None:
        yield from _judge_band(shape.depth, place)
    match shape:
        case Disc() | Bore():
            yield from _judge_radius(shape.radius, place)
        case Bar():
            yield from _judge_radius(shape.radius, place)
            if shape.start == shape.end:
                yield error(place, "bar-without-length")
        case Box():
            yield from _judge_size(shape.size, place)
            yield from _judge_box_corners(shape, place)
        case Frame():
            yield from _judge_size(shape.size, place)
        case Polygon():
            yield from _judge_polygon(shape, place, tolerances.on_outline)
    if isinstance(shape, Bore | Frame) and shape.wall <= 0:
        yield error(place, "wall-not-positive", wall=shape.wall)


def _judge_band(band: Band, place: Place) -> Iterator[Finding]:
    low, high = band
    if high <= low:
        yield error(inside(place, "depth"), "depth-empty", low=low, high=high)


def _judge_radius(radius: float, place: Place) -> Iterator[Finding]:
    if radius <= 0:
        yield error(place, "radius-not-positive", radius=radius)


def _judge_size(size: Point, place: Place) -> Iterator[Finding]:
    if min(size) <= 0:
        yield error(place, "size-not-positive", width=size[0], height=size[1])


def _judge_box_corners(box: Box, place: Place) -> Iterator[Finding]:
    yield from negative(place, corner_radius=box.corner_radius)
    largest = min(box.size) / 2
    if 0 < largest < box.corner_radius:
        yield error(place, "corner-radius-too-large", corner_radius=box.corner_radius, largest=largest)


def _judge_polygon(polygon: Polygon, place: Place, within: float) -> Iterator[Finding]:
    yield from negative(place, corner_radius=polygon.corner_radius)
    holes = tuple((hole, inside(place, f"holes[{index}]")) for index, hole in enumerate(polygon.holes))
    unsound = tuple(finding for ring, where in ((polygon.points, place), *holes) for finding in _judge_ring(ring, where, within))
    yield from unsound
    if unsound:
        return
    misplaced = (*_judge_holes(polygon, holes, within), *_judge_hole_pairs(holes, within))
    yield from misplaced
    if not misplaced and polygon.corner_radius > 0 and not _corners_fit(polygon, polygon.corner_radius, within):
        largest = _largest_corner_radius(polygon, within)
        yield error(place, "corner-radius-too-large", corner_radius=polygon.corner_radius, largest=largest)


def _judge_ring(ring: Ring, place: Place, within: float) -> Iterator[Finding]:
    if len(ring) < 3:
        yield error(place, "outline-too-few-points", count=len(ring))
    elif abs(signed_area(ring)) <= within * max(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in edges(ring)):
        yield error(place, "outline-without-area")
    elif (point := self_crossing(ring, within=within)) is not None:
        yield error(place, "outline-crosses-itself", x=point[0], y=point[1])


def _judge_holes(polygon: Polygon, holes: tuple[tuple[Ring, Place], ...], within: float) -> Iterator[Finding]:
    for index, (hole, place) in enumerate(holes):
        if (point := rings_meet(polygon.points, hole, within=within)) is not None:
            yield error(place, "hole-meets-outline", hole=index, x=point[0], y=point[1])
        elif not ring_holds(polygon.points, hole[0]):
            yield error(place, "hole-outside", hole=index)


def _judge_hole_pairs(holes: tuple[tuple[Ring, Place], ...], within: float) -> Iterator[Finding]:
    for (first, (one, _)), (second, (other, place)) in combinations(enumerate(holes), 2):
        if (point := rings_meet(one, other, within=within)) is not None:
            yield error(place, "holes-meet", hole=second, other=first, x=point[0], y=point[1])
        elif ring_holds(one, other[0]) or ring_holds(other, one[0]):
            yield error(place, "hole-in-hole", hole=second, other=first)


def _corners_fit(polygon: Polygon, radius: float, within: float) -> bool:
    """Whether the core of the polygon (outline inset, holes grown) is a sound polygon still."""
    outline = inset_ring(polygon.points, radius)
    holes = tuple(inset_ring(hole, -radius) for hole in polygon.holes)
    if outline is None or self_crossing(outline, within=within) is not None:
        return False
    sound: list[Ring] = []
    for hole in holes:
        if hole is None or self_crossing(hole, within=within) is not None or not ring_holds(outline, hole[0]):
            return False
        if any(rings_meet(ring, hole, within=within) is not None for ring in (outline, *sound)):
            return False
        sound.append(hole)
    return True


def _largest_corner_radius(polygon: Polygon, within: float) -> float:
    low, high = 0.0, polygon.corner_radius
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _corners_fit(polygon, middle, within) else (low, middle)
    return floor(low * 1000) / 1000
