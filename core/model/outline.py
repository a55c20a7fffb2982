"""Plane geometry of closed outlines: whether a ring is sound, what it holds, and the core that rounded corners leave.

A ring is its corners in order, mm, section frame, the last joined to the first; either sense of turning will do
unless a function says otherwise. Coordinates must be finite.
"""

from collections.abc import Iterator, Sequence
from math import cos, hypot, inf, isfinite, radians, sin

from core.model.shapes import Point
from core.tolerances import DEFAULT_TOLERANCES

Ring = Sequence[Point]
Edge = tuple[Point, Point]


def signed_area(ring: Ring) -> float:
    """Area in mm2, positive where the corners run counter-clockwise (the shoelace formula); 0 for fewer than three."""
    if not ring:
        return 0.0
    ox, oy = ring[0]  # measured from a corner, so that a small outline far from the origin keeps its digits
    return sum((ax - ox) * (by - oy) - (bx - ox) * (ay - oy) for (ax, ay), (bx, by) in edges(ring)) / 2


def edges(ring: Ring) -> Iterator[Edge]:
    """The edges in order, the closing one last."""
    return zip(ring, (*ring[1:], *ring[:1]), strict=True)


def self_crossing(ring: Ring, *, within: float = DEFAULT_TOLERANCES.on_outline) -> Point | None:
    """Return a point where the ring crosses or touches itself, or None where it is simple.

    Counted too: a corner given twice (one after the other, or later on), an edge that runs back over the one before
    it, a corner that comes within `within` mm of another edge. A ring of no corners is simple.
    """
    around = tuple(edges(ring))
    for (a, b), (_, c) in zip(around, (*around[1:], *around[:1]), strict=True):
        if _length(a, b) <= within:
            return a
        if min(distance_to_edge(c, (a, b)), distance_to_edge(a, (b, c))) <= within:
            return b
    last = len(around) - 1
    for i, j in _near_pairs(around, around, within=within):
        if 1 < j - i < last and (point := edges_meet(around[i], around[j], within=within)) is not None:
            return point
    return None


def rings_meet(one: Ring, other: Ring, *, within: float = DEFAULT_TOLERANCES.on_outline) -> Point | None:
    """Return a point where two rings cross or come within `within` mm of each other, or None."""
    first, second = tuple(edges(one)), tuple(edges(other))
    for i, j in _near_pairs(first, second, within=within):
        if (point := edges_meet(first[i], second[j], within=within)) is not None:
            return point
    return None


def edges_meet(one: Edge, other: Edge, *, within: float) -> Point | None:
    """Return where two edges cross, or an end of one that lies within `within` mm of the other, or None."""
    (a, b), (c, d) = one, other
    at_c, at_d = _side(a, b, c), _side(a, b, d)
    at_a, at_b = _side(c, d, a), _side(c, d, b)
    if at_c * at_d < 0 and at_a * at_b < 0:
        share = at_a / (at_a - at_b)
        return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
    for end, edge in ((a, other), (b, other), (c, one), (d, one)):
        if distance_to_edge(end, edge) <= within:
            return end
    return None


def distance_to_edge(point: Point, edge: Edge) -> float:
    """Distance in mm from a point to an edge; an edge of no length is its point."""
    (ax, ay), (bx, by) = edge
    ux, uy, px, py = bx - ax, by - ay, point[0] - ax, point[1] - ay
    square = ux * ux + uy * uy
    share = min(1.0, max(0.0, (px * ux + py * uy) / square)) if square > 0 else 0.0
    return hypot(px - share * ux, py - share * uy)


def distance_to_ring(point: Point, ring: Ring) -> float:
    """Distance in mm from a point to the nearest edge, never negative; infinite for a ring of no corners."""
    return min((distance_to_edge(point, edge) for edge in edges(ring)), default=inf)


def ring_holds(ring: Ring, point: Point) -> bool:
    """Say whether the point lies inside, by counting crossings of a ray; on the outline itself either may be told."""
    px, py = point
    inside = False
    for (ax, ay), (bx, by) in edges(ring):
        if (ay > py) != (by > py) and px < ax + (py - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def inset_ring(points: Ring, distance: float) -> tuple[Point, ...] | None:
    """Shift every edge inward by `distance` mm and join neighbours where they then cross: the mitre inset.

    The answer keeps order and number of the corners. It is the core of a polygon whose outward corners are rounded by
    `distance`: grown by as much again it is the polygon, inward corners still sharp. A negative distance shifts
    outward, which is what the core does to a hole. None where an edge is eaten up (no length is left) or turned
    round, where an edge has no length to begin with, or runs straight back over its neighbour. Whether the answer
    crosses itself elsewhere (a neck thinner than 2 x distance) is for `self_crossing` to say. Distance 0 gives the
    same corners.
    """
    turn = 1.0 if signed_area(points) > 0 else -1.0
    inward = tuple(_inward(edge, turn) for edge in edges(points))
    if None in inward or len(points) < 3:
        return None
    moved = tuple(
        _mitre(corner, before, after, distance) for corner, before, after in zip(points, (*inward[-1:], *inward[:-1]), inward, strict=True)
    )
    if None in moved:
        return None
    ring = tuple(corner for corner in moved if corner is not None)
    return ring if all(map(_same_way, edges(points), edges(ring))) else None


def outline_of_box(*, centre: Point, size: Point, turn: float) -> tuple[Point, Point, Point, Point]:
    """The four sharp corners of a box, counter-clockwise from the one at -x, -y before it is turned by `turn` degrees."""
    half_x, half_y = size[0] / 2, size[1] / 2
    c, s = cos(radians(turn)), sin(radians(turn))

    def corner(x: float, y: float) -> Point:
        return (centre[0] + c * x - s * y, centre[1] + s * x + c * y)

    return corner(-half_x, -half_y), corner(half_x, -half_y), corner(half_x, half_y), corner(-half_x, half_y)


def _length(a: Point, b: Point) -> float:
    return hypot(b[0] - a[0], b[1] - a[1])


def _side(a: Point, b: Point, point: Point) -> float:
    return (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])


def _inward(edge: Edge, turn: float) -> Point | None:
    (ax, ay), (bx, by) = edge
    length = hypot(bx - ax, by - ay)
    return (-turn * (by - ay) / length, turn * (bx - ax) / length) if length > 0 else None


def _mitre(corner: Point, before: Point | None, after: Point | None, distance: float) -> Point | None:
    if before is None or after is None:
        return None
    spread = 1.0 + before[0] * after[0] + before[1] * after[1]  # 1 + cos of the angle turned; 0 where an edge runs back
    if spread <= 0:
        return None
    reach = distance / spread
    moved = (corner[0] + reach * (before[0] + after[0]), corner[1] + reach * (before[1] + after[1]))
    return moved if isfinite(moved[0]) and isfinite(moved[1]) else None


def _same_way(edge: Edge, moved: Edge) -> bool:
    (a, b), (c, d) = edge, moved
    return (b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1]) > 0


def _near_pairs(first: Sequence[Edge], second: Sequence[Edge], *, within: float) -> Iterator[tuple[int, int]]:
    """Pairs (i, j) of edges whose bounding boxes come within `within`; i < j where both are the same sequence."""
    left = sorted((min(b[0][0], b[1][0]), j) for j, b in enumerate(second))
    for i, (a, b) in enumerate(first):
        low, high = min(a[1], b[1]) - within, max(a[1], b[1]) + within
        start, end = min(a[0], b[0]) - within, max(a[0], b[0]) + within
        for x, j in left:
            if x > end:
                break
            (cx, cy), (dx, dy) = second[j]
            if max(cx, dx) >= start and max(cy, dy) >= low and min(cy, dy) <= high and (first is not second or i < j):
                yield i, j
