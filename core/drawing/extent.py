"""How far does an outline reach in x and y? Exact at every pose, arcs included."""

import math
from collections.abc import Iterable

from core.drawing.path import DRAWN, FULL_TURN, Arc, Edge, Path, Pose, moved

Extent = tuple[float, float, float, float]
"""Lowest x, lowest y, highest x, highest y, mm."""


def edge_extent(edge: Edge) -> Extent:
    """The extent of one edge."""
    (ax, ay), (bx, by) = edge.start, edge.end
    low_x, high_x, low_y, high_y = min(ax, bx), max(ax, bx), min(ay, by), max(ay, by)
    if isinstance(edge, Arc):
        (cx, cy), r = edge.centre, edge.radius
        first, span = (edge.first, edge.sweep) if edge.sweep >= 0.0 else (edge.first + edge.sweep, -edge.sweep)

        def passes(angle: float) -> bool:
            return (angle - first) % FULL_TURN <= span

        high_x = cx + r if passes(0.0) else high_x
        high_y = cy + r if passes(math.pi / 2.0) else high_y
        low_x = cx - r if passes(math.pi) else low_x
        low_y = cy - r if passes(1.5 * math.pi) else low_y
    return low_x, low_y, high_x, high_y


def extent(path: Path, pose: Pose = DRAWN) -> Extent | None:
    """The extent of the path at `pose`; None where it has no edge."""
    return joined_extent(edge_extent(edge) for run in moved(path, pose) for edge in run.edges)


def joined_extent(extents: Iterable[Extent | None]) -> Extent | None:
    """The extent of all together; None where there is none."""
    known = [item for item in extents if item is not None]
    if not known:
        return None
    low_x, low_y, high_x, high_y = zip(*known, strict=True)
    return min(low_x), min(low_y), max(high_x), max(high_y)


def extents_meet(a: Extent, b: Extent) -> bool:
    """Whether two extents share a point; those that touch do."""
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def extent_within(a: Extent, b: Extent) -> bool:
    """Whether `a` lies in `b`, edges included."""
    return b[0] <= a[0] and b[1] <= a[1] and a[2] <= b[2] and a[3] <= b[3]
