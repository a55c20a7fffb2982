"""A core of any outline cut into convex pieces: constrained Delaunay triangles, merged while they stay convex."""

from collections.abc import Sequence
from math import atan2, pi

import numpy as np
import shapely
from numpy.typing import NDArray

Points = NDArray[np.complex128]
Rings = tuple[Points, ...]

_FLAT = 1e-12
"""Sine of the corner angle below which three points count as lying on a line."""


def polygon_of(rings: Rings) -> shapely.Polygon:
    """The shapely polygon of an outer ring and its holes (complex points, mm)."""
    return shapely.Polygon(_pairs(rings[0]), [_pairs(ring) for ring in rings[1:]])


def _pairs(ring: Points) -> NDArray[np.float64]:
    return np.column_stack([ring.real, ring.imag])


def is_convex(ring: Sequence[complex]) -> bool:
    """Whether a counter-clockwise ring turns left (or runs straight) at every corner, once round."""
    total = 0.0
    edges = [end - start for start, end in zip(ring, (*ring[1:], ring[0]), strict=True)]
    for before, after in zip(edges, (*edges[1:], edges[0]), strict=True):
        turn = before.conjugate() * after
        if turn.imag < -_FLAT * abs(turn):
            return False
        total += atan2(turn.imag, turn.real)
    return abs(total - 2 * pi) < 1.0


def convex_pieces(rings: Rings) -> tuple[Points, ...]:
    """Convex rings, counter-clockwise, whose union is the core. Points, segments and convex rings come back as they are.

    rings: outer ring counter-clockwise, holes clockwise. No vertex is added, so the union is exact.
    """
    if len(rings) == 1 and (len(rings[0]) < 3 or is_convex(rings[0].tolist())):
        return rings
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon_of(rings)))
    return tuple(np.array(piece) for piece in _merged(_corners_of(triangles)))


def _corners_of(triangles: NDArray[np.object_]) -> list[list[complex]]:
    """The corners of triangles, counter-clockwise; asked for all at once, since one by one takes longer than all the rest."""
    whole = triangles[shapely.get_num_coordinates(triangles) == 4]  # the first corner comes again at the end
    at = shapely.get_coordinates(whole).view(np.complex128).reshape(-1, 4)[:, :3]
    clockwise = (np.conj(at[:, 1] - at[:, 0]) * (at[:, 2] - at[:, 0])).imag < 0
    corners: list[list[complex]] = np.where(clockwise[:, None], at[:, ::-1], at).tolist()
    return corners


def _merged(pieces: list[list[complex]]) -> list[list[complex]]:
    """Join neighbours over their shared edge, longest edge first, where the union stays convex."""
    alive = dict(enumerate(pieces))
    homes: dict[tuple[complex, complex], int] = {}
    for number, piece in alive.items():
        for start, end in zip(piece, piece[1:] + piece[:1], strict=True):
            homes[start, end] = number
    inner = [edge for edge in homes if edge[::-1] in homes and (edge[0].real, edge[0].imag) < (edge[1].real, edge[1].imag)]
    for start, end in sorted(inner, key=lambda edge: (-abs(edge[1] - edge[0]), edge[0].real, edge[0].imag)):
        left, right = homes[start, end], homes[end, start]
        if left == right or not _bends_out(alive[left], alive[right], start=start, end=end):
            continue
        joined = _joined(alive[left], alive[right], start=start, end=end)
        if is_convex(joined):
            alive[left] = joined
            for corner, following in zip(joined, joined[1:] + joined[:1], strict=True):
                homes[corner, following] = left
            del alive[right]
    return list(alive.values())


def _bends_out(left: list[complex], right: list[complex], *, start: complex, end: complex) -> bool:
    """Whether the ring of two convex pieces joined over an edge turns left at both its ends: no other corner changes."""
    here, there = left.index(start), right.index(end)
    after_left, after_right = left[(here + 2) % len(left)], right[(there + 2) % len(right)]
    return _turns_left(start - left[here - 1], after_right - start) and _turns_left(end - right[there - 1], after_left - end)


def _turns_left(before: complex, after: complex) -> bool:
    turn = before.conjugate() * after
    return turn.imag >= -_FLAT * abs(turn)


def _joined(left: list[complex], right: list[complex], *, start: complex, end: complex) -> list[complex]:
    """The ring of two pieces joined over the edge `start`-`end` of `left` (which is `end`-`start` of `right`)."""
    cut = left.index(end)
    ahead = left[cut:] + left[:cut]
    cut = right.index(start)
    return ahead + (right[cut:] + right[:cut])[1:-1]
