"""Where does a straight line cross outlines, and is a point inside them? Exact for arcs.

Every edge is cut where it turns back in y; each piece is then crossed by a line y = c at most once, and counting a piece
only for lowest <= c < highest makes the count right at corners too.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.drawing.path import Edge, Path, Segment
from core.model.shapes import Point

Floats = NDArray[np.float64]

_DECIMALS = 9


@dataclass(frozen=True, slots=True)
class Pieces:
    """Pieces of outlines that rise or fall all along; columns of (n,) float, mm, in a frame turned by -`angle` degrees.

    low, high: the range in y. x0, slope: a straight piece is x = x0 + slope (y - low). cx, cy, radius, side: a round piece
    is x = cx + side sqrt(radius^2 - (y - cy)^2); radius is 0 for a straight one. shape: the number of its outline.
    """

    low: Floats
    high: Floats
    x0: Floats
    slope: Floats
    cx: Floats
    cy: Floats
    radius: Floats
    side: Floats
    shape: NDArray[np.intp]
    angle: float


def pieces(outlines: tuple[Path, ...], *, angle: float = 0.0) -> Pieces:
    """The pieces of closed `outlines`, one number for each; lines at `angle` degrees run along x there. Level edges drop out."""
    back = math.radians(-angle)
    c, s = math.cos(back), math.sin(back)
    rows = [
        (*row, number)
        for number, path in enumerate(outlines)
        for run in path
        for edge in run.edges
        for row in _rows(edge, c=c, s=s, back=back)
    ]
    table = np.array(rows, float).reshape(-1, 9)
    # Ends of neighbouring edges differ by rounding; a line between them would be counted once, not twice.
    table[:, :2] = np.round(table[:, :2], _DECIMALS)
    low, high, x0, slope, cx, cy, radius, side, shape = table.T
    return Pieces(low, high, x0, slope, cx, cy, radius, side, shape.astype(np.intp), angle)


def _rows(edge: Edge, *, c: float, s: float, back: float) -> list[tuple[float, ...]]:
    def turned(point: Point) -> Point:
        return (c * point[0] - s * point[1], s * point[0] + c * point[1])

    if isinstance(edge, Segment):
        lower, upper = sorted((turned(edge.start), turned(edge.end)), key=lambda point: point[1])
        rise = upper[1] - lower[1]
        return [(lower[1], upper[1], lower[0], (upper[0] - lower[0]) / rise, 0.0, 0.0, 0.0, 0.0)] if rise > 0.0 else []
    first, last = sorted((edge.first + back, edge.first + back + edge.sweep))
    cx, cy = turned(edge.centre)
    # An arc turns back in y at its top and bottom: at odd multiples of a quarter turn.
    turns = np.arange(math.ceil(first / math.pi - 0.5), math.floor(last / math.pi - 0.5) + 1) * math.pi + math.pi / 2.0
    stops = [first, *(float(turn) for turn in turns if first < turn < last), last]
    made: list[tuple[float, ...]] = []
    for begin, end in pairwise(stops):
        low, high = sorted((cy + edge.radius * math.sin(begin), cy + edge.radius * math.sin(end)))
        side = math.copysign(1.0, math.cos((begin + end) / 2.0))
        if high > low:
            made.append((low, high, 0.0, 0.0, cx, cy, edge.radius, side))
    return made


def level_crossings(table: Pieces, levels: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp], Floats]:
    """Where lines y = `levels` (k,) cross the pieces, in the pieces' turned frame.

    Returns the index of the level, the number of the outline and x, each (m,), sorted by level, outline, x. Even-odd: the
    first of two neighbours enters the outline and the second leaves it. A line that rounding lets graze an outline an odd
    number of times is taken to miss that outline.
    """
    hit_level, hit_piece = np.nonzero((levels[:, None] >= table.low) & (levels[:, None] < table.high))
    y = levels[hit_level]
    inside = np.maximum(table.radius[hit_piece] ** 2 - (y - table.cy[hit_piece]) ** 2, 0.0)
    straight = table.x0[hit_piece] + table.slope[hit_piece] * (y - table.low[hit_piece])
    curved = table.cx[hit_piece] + table.side[hit_piece] * np.sqrt(inside)
    x = np.where(table.radius[hit_piece] > 0.0, curved, straight)
    shape = table.shape[hit_piece]
    group = hit_level * (int(table.shape.max(initial=0)) + 1) + shape
    even = np.bincount(group)[group] % 2 == 0 if len(group) else np.empty(0, bool)
    order = np.lexsort((x, shape, hit_level))
    order = order[even[order]]
    return hit_level[order], shape[order], x[order]


def covered(table: Pieces, points: Floats) -> NDArray[np.bool_]:
    """Which of `points` (k, 2), mm, section frame, lie inside any of the outlines; on an outline either answer may come."""
    inside: NDArray[np.bool_] = np.logical_or.reduce(covered_by(table, points), axis=0)
    return inside


def covered_by(table: Pieces, points: Floats) -> NDArray[np.bool_]:
    """(S, k) which of `points` (k, 2), mm, section frame, lie inside each of the outlines, by their numbers; none of one without pieces."""
    back = math.radians(-table.angle)
    c, s = math.cos(back), math.sin(back)
    x, y = c * points[:, 0] - s * points[:, 1], s * points[:, 0] + c * points[:, 1]
    level, shape, at = level_crossings(table, y)
    right = at > x[level]
    outlines = int(table.shape.max(initial=-1)) + 1
    counts = np.bincount(shape[right] * len(points) + level[right], minlength=outlines * len(points))
    odd: NDArray[np.bool_] = counts.reshape(outlines, len(points)) % 2 == 1
    return odd
