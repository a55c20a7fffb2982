"""Which convex pieces make up a polygon?"""

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]
Spot = tuple[float, float]


def convex_pieces(geometry: BaseGeometry) -> list[Floats]:
    """The geometry cut into convex pieces: triangles, put together again where the whole stays convex; each (m, 2)."""
    pieces = []
    for part in getattr(geometry, "geoms", [geometry]):
        hull = part.convex_hull
        if hull.area - part.area <= 1e-9 * max(1.0, hull.area):
            pieces.append(shapely.get_coordinates(hull)[:-1])
        elif part.area > 0.0:
            pieces.extend(_joined(part))
    return pieces


def _joined(part: BaseGeometry) -> list[Floats]:
    triangles = shapely.orient_polygons(shapely.constrained_delaunay_triangles(part)).geoms
    loops = [[(float(x), float(y)) for x, y in t.exterior.coords[:-1]] for t in triangles]
    done = False
    while not done:
        done = True
        owner = {edge: k for k, loop in enumerate(loops) for edge in zip(loop, loop[1:] + loop[:1], strict=True)}
        used: set[int] = set()
        for (p, q), k in owner.items():
            other = owner.get((q, p))
            if other is None or k in used or other in used or k == other:
                continue
            whole = _merged(loops[k], loops[other], p, q)
            if whole is not None:
                used |= {k, other}
                loops[k], loops[other], done = whole, [], False
        loops = [loop for loop in loops if loop]
    return [np.array(loop) for loop in loops]


def _merged(first: list[Spot], second: list[Spot], p: Spot, q: Spot) -> list[Spot] | None:
    """Two counter-clockwise loops joined over the edge p-q of the first; None where that is not convex."""
    i, j = first.index(q), second.index(p)
    whole = first[i:] + first[:i] + second[j + 1 :] + second[:j]
    whole = whole[: len(first)] + [point for point in whole[len(first) :] if point != q]
    ring = np.array(whole)
    ahead = np.roll(ring, -1, axis=0) - ring
    crosses = ahead[:, 0] * np.roll(ahead[:, 1], -1) - ahead[:, 1] * np.roll(ahead[:, 0], -1)
    return whole if np.all(crosses >= -1e-12) else None
