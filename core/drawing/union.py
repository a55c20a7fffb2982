"""Which lines does one see of a body made of several shapes? Those parts of the outlines that bound their union."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.drawing.crossings import Pieces, covered_by, pieces
from core.drawing.extent import edge_extent
from core.drawing.path import FULL_TURN, Arc, Edge, Path, Run, Segment
from core.model.shapes import Point


def union_edges(outlines: Sequence[Path], *, step: float) -> Path:
    """The parts of closed `outlines` that have material on one side only, as runs; lines inside the union are left out.

    `step` mm is how far to each side a line is tested; details thinner than it may be missed. Where two outlines share a
    line it is given once. One outline comes back as it is.
    """
    if len(outlines) <= 1:
        return tuple(run for path in outlines for run in path)
    others = _Others(outlines, step)
    cut = [
        (number, run.closed, [part for edge in run.edges for part in _cut(edge, others.near(edge, number), step=step)])
        for number, path in enumerate(outlines)
        for run in path
    ]
    owner = np.array([number for number, _, parts in cut for _ in parts], dtype=np.int64)
    seen = _seen([part for _, _, parts in cut for part in parts], owner, pieces(tuple(outlines)), step=step)
    runs: list[Run] = []
    first = 0
    for _, closed, parts in cut:
        runs += _strung(parts, seen[first : first + len(parts)], closed=closed)
        first += len(parts)
    return tuple(runs)


class _Others:
    """The edges of several outlines, and which of them come near one of another outline."""

    def __init__(self, outlines: Sequence[Path], step: float) -> None:
        self._edges = [edge for path in outlines for run in path for edge in run.edges]
        self._owner = np.array([number for number, path in enumerate(outlines) for run in path for _ in run.edges], dtype=np.int64)
        reaches = np.array([edge_extent(edge) for edge in self._edges], dtype=float).reshape(-1, 4)
        self._low, self._high, self._step = reaches[:, :2], reaches[:, 2:] + step, step

    def near(self, edge: Edge, number: int) -> list[Edge]:
        """The edges of outlines other than `number` whose boxes come within `step` of that of an edge of it."""
        box = edge_extent(edge)
        low, high = np.array(box[:2]), np.array(box[2:]) + self._step
        near = ((self._low <= high) & (low <= self._high)).all(axis=1) & (self._owner != number)
        return [self._edges[index] for index in np.flatnonzero(near).tolist()]


def _seen(parts: Sequence[Edge], owner: NDArray[np.int64], table: Pieces, *, step: float) -> list[bool]:
    """Whether each part has material on exactly one side, and is not already drawn for an earlier outline than its owner, (n,)."""
    count = len(parts)
    sides = np.empty((2 * count, 2))
    for row, part in enumerate(parts):
        (x, y), heading = part.point(0.5), part.heading(0.5)
        dx, dy = -step * math.sin(heading), step * math.cos(heading)
        sides[row], sides[count + row] = (x + dx, y + dy), (x - dx, y - dy)
    left, right = np.hsplit(covered_by(table, sides), 2)
    bounded_before = (left ^ right) & (np.arange(len(left))[:, None] < owner)
    bounds = (np.any(left, axis=0) ^ np.any(right, axis=0)) & ~np.any(bounded_before, axis=0)
    return [bool(flag) for flag in np.atleast_1d(bounds)]


def _strung(parts: Sequence[Edge], seen: Sequence[bool], *, closed: bool) -> list[Run]:
    """Join seen parts that follow each other; a run seen all round stays closed."""
    if all(seen):
        return [Run(tuple(parts), closed)]
    first = seen.index(False)  # start after a gap, so that a run is not torn at the outline's seam
    runs: list[list[Edge]] = [[]]
    for part, flag in zip((*parts[first:], *parts[:first]), (*seen[first:], *seen[:first]), strict=True):
        if flag:
            runs[-1].append(part)
        elif runs[-1]:
            runs.append([])
    return [Run(tuple(run), closed=False) for run in runs if run]


def _cut(edge: Edge, others: Sequence[Edge], *, step: float) -> list[Edge]:
    """The edge cut wherever one of `others`, which come near it, meets it; cuts nearer than `step` to each other are taken as one."""
    if edge.length == 0.0:
        return []
    shares = {0.0, 1.0}
    for other in others:
        met = [point for point in _meetings(edge, other) if _reaches(other, point, step=step)]
        shares.update(share for point in met if 0.0 < (share := _share(edge, point)) < 1.0)
    cuts = sorted(shares)
    kept = [0.0, *(share for share in cuts[1:-1] if step < share * edge.length < edge.length - step), 1.0]
    return [edge.part(a, b) for a, b in pairwise(kept) if (b - a) * edge.length > step or len(kept) == 2]


def _reaches(edge: Edge, point: Point, *, step: float) -> bool:
    """Whether the edge itself, not only its line or circle, comes within `step` of the point."""
    if edge.length <= step or math.dist(point, edge.start) <= step or math.dist(point, edge.end) <= step:
        return True
    return 0.0 <= _share(edge, point) <= 1.0


def _share(edge: Edge, point: Point) -> float:
    """Where on the edge the point lies; the point is on the edge's line or circle."""
    if isinstance(edge, Segment):
        dx, dy = edge.end[0] - edge.start[0], edge.end[1] - edge.start[1]
        return ((point[0] - edge.start[0]) * dx + (point[1] - edge.start[1]) * dy) / (dx * dx + dy * dy)
    angle = math.atan2(point[1] - edge.centre[1], point[0] - edge.centre[0])
    ahead = (angle - edge.first) * math.copysign(1.0, edge.sweep) % FULL_TURN
    return ahead / abs(edge.sweep)


def _meetings(a: Edge, b: Edge) -> list[Point]:
    """Points where the lines or circles of the two meet, and the ends of `b`, which matter where the two share a line."""
    if isinstance(a, Segment) and isinstance(b, Segment):
        return [b.start, b.end, *_lines_meet(a, b)]
    if isinstance(a, Segment) and isinstance(b, Arc):
        return _line_meets_circle(a, b)
    if isinstance(a, Arc) and isinstance(b, Segment):
        return _line_meets_circle(b, a)
    if isinstance(a, Arc) and isinstance(b, Arc):
        return [b.start, b.end, *_circles_meet(a, b)] if a.centre == b.centre else _circles_meet(a, b)
    return []


def _lines_meet(a: Segment, b: Segment) -> list[Point]:
    ax, ay = a.end[0] - a.start[0], a.end[1] - a.start[1]
    bx, by = b.end[0] - b.start[0], b.end[1] - b.start[1]
    cross = ax * by - ay * bx
    if cross == 0.0:
        return []
    share = ((b.start[0] - a.start[0]) * by - (b.start[1] - a.start[1]) * bx) / cross
    return [a.point(share)]


def _line_meets_circle(line: Segment, circle: Arc) -> list[Point]:
    length = line.length
    if length == 0.0:
        return []
    ux, uy = (line.end[0] - line.start[0]) / length, (line.end[1] - line.start[1]) / length
    along = (circle.centre[0] - line.start[0]) * ux + (circle.centre[1] - line.start[1]) * uy
    away = (circle.centre[0] - line.start[0]) * uy - (circle.centre[1] - line.start[1]) * ux
    inside = circle.radius**2 - away**2
    if inside < 0.0:
        return []
    half = math.sqrt(inside)
    return [(line.start[0] + at * ux, line.start[1] + at * uy) for at in (along - half, along + half)]


def _circles_meet(a: Arc, b: Arc) -> list[Point]:
    dx, dy = b.centre[0] - a.centre[0], b.centre[1] - a.centre[1]
    apart = math.hypot(dx, dy)
    if apart == 0.0:
        return []
    along = (a.radius**2 - b.radius**2 + apart**2) / (2.0 * apart)
    inside = a.radius**2 - along**2
    if inside < 0.0:
        return []
    half, ux, uy = math.sqrt(inside), dx / apart, dy / apart
    return [(a.centre[0] + along * ux - side * half * uy, a.centre[1] + along * uy + side * half * ux) for side in (1.0, -1.0)]
