"""Outlines as polygons, for display alone: where two posed bodies overlap, and where a name fits. Never a gap."""

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from core.drawing.extent import Extent, joined_extent
from core.drawing.path import FULL_TURN, Edge, Path, Pose, Run, Segment, moved, polyline
from core.drawing.slabs import Slab
from core.model.shapes import Point


def region(outlines: Sequence[Path], *, chord: float) -> BaseGeometry:
    """The union of closed outlines as polygons whose chords leave their arcs by at most `chord` mm; may be empty."""
    made: list[BaseGeometry] = []
    for path in outlines:
        lines = [shapely.linearrings(_points(run, chord)) for run in path if run.edges]
        rings = [shapely.polygons(line) for line in lines if shapely.is_ccw(line)]
        holes = [shapely.polygons(line) for line in lines if not shapely.is_ccw(line)]
        made += [shapely.union_all(rings).difference(shapely.union_all(holes))] if holes else rings
    return shapely.union_all(made)


def overlap(
    first: Sequence[Slab], second: Sequence[Slab], *, poses: tuple[Pose, Pose], near: Point, chord: float
) -> tuple[Path, tuple[float, float]] | None:
    """Where the slabs of two posed bodies overlap in the section and in depth, the patch nearest to `near`.

    Returns its outline (straight edges, chords within `chord` mm) and the depths it covers, or None where nothing overlaps.
    """
    patches = []
    for a in first:
        for b in second:
            band = (max(a.depth[0], b.depth[0]), min(a.depth[1], b.depth[1]))
            if band[0] < band[1]:
                common = _posed(a, poses[0], chord).intersection(_posed(b, poses[1], chord))
                patches += [(part, band) for part in shapely.get_parts(common) if isinstance(part, shapely.Polygon) and part.area > 0.0]
    if not patches:
        return None
    place = shapely.Point(near)
    patch, band = min(patches, key=lambda item: (item[0].distance(place), -item[0].area))
    ring = shapely.orient_polygons(patch)
    return tuple(polyline(*_corners(line), closed=True) for line in (ring.exterior, *ring.interiors)), band


def widest_place(outlines: Sequence[Path], *, within: float, window: Path = (), without: Sequence[Path] = ()) -> tuple[Point, float] | None:
    """Centre and radius, mm, of about the largest circle inside the union of the outlines; None where they hold no area.

    Only what lies inside the closed `window` (empty: everywhere) and outside the outlines `without` is looked at. The
    radius is within `within` mm of the largest one.
    """
    reach = joined_extent(map(_box, outlines))
    # Most of a section is far away, and making polygons of it would take longest.
    near = [path for path in without if _meet(_box(path), reach)]
    whole = region(outlines, chord=within).difference(region(near, chord=within))
    if window:
        whole = whole.intersection(region((window,), chord=within))
    parts = [part for part in shapely.get_parts(whole) if part.area > 0.0]
    if not parts:
        return None
    line = shapely.maximum_inscribed_circle(max(parts, key=lambda part: float(part.area)), tolerance=within)
    (x, y), _ = line.coords[0], line.coords[-1]
    return (float(x), float(y)), float(line.length)


def roomiest_place(where: BaseGeometry, size: tuple[float, float], *, within: float) -> Point | None:
    """The middle of the roomiest place of a box of `size` mm (wide, high) in polygons; None where it fits nowhere.

    Squeezed so that the box is a square, it is the middle of the largest circle of each part, where the box fits about it; found within
    `within` mm.
    """
    width, height = size
    squeeze = height / width
    found: list[tuple[float, Point]] = []
    for part in shapely.get_parts(where):
        if part.area < width * height:
            continue
        line = shapely.maximum_inscribed_circle(shapely.transform(part, lambda points: points * [squeeze, 1.0]), tolerance=within)
        x, y = line.coords[0][0] / squeeze, line.coords[0][1]
        if part.covers(shapely.box(x - width / 2.0, y - height / 2.0, x + width / 2.0, y + height / 2.0)):
            found.append((float(line.length), (float(x), float(y))))
    return max(found)[1] if found else None


def drawn_lines(paths: Sequence[Path], *, chord: float) -> BaseGeometry:
    """The lines of paths as polylines whose chords leave their arcs by at most `chord` mm; may be empty."""
    runs = [(run, _points(run, chord)) for path in paths for run in path if run.edges]
    whole = [[*points, points[0]] if run.closed else [*points, run.edges[-1].point(1.0)] for run, points in runs]
    return shapely.MultiLineString([shapely.LineString(points) for points in whole])


def _box(path: Path) -> Extent | None:
    """A box that holds a path; arcs are taken for their whole circles."""
    return joined_extent(_box_of(edge) for run in path for edge in run.edges)


def _box_of(edge: Edge) -> Extent:
    if isinstance(edge, Segment):
        (ax, ay), (bx, by) = edge.start, edge.end
        return (min(bx, ax), min(by, ay), max(ax, bx), max(ay, by))
    (x, y), r = edge.centre, edge.radius
    return (x - r, y - r, x + r, y + r)


def _meet(one: Extent | None, other: Extent | None) -> bool:
    if one is None or other is None:
        return False
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


def _posed(slab: Slab, pose: Pose, chord: float) -> BaseGeometry:
    return region([moved(path, pose) for path in slab.fills], chord=chord)


def _corners(ring: shapely.LinearRing) -> list[Point]:
    return [(float(x), float(y)) for x, y in np.asarray(ring.coords)[:-1]]


def _points(run: Run, chord: float) -> list[Point]:
    return [edge.point(number / count) for edge in run.edges for count in (_chords(edge, chord),) for number in range(count)]


def _chords(edge: Edge, chord: float) -> int:
    if isinstance(edge, Segment) or edge.radius <= chord:
        return 1 if isinstance(edge, Segment) else max(3, math.ceil(8.0 * abs(edge.sweep) / FULL_TURN))
    return max(3, math.ceil(abs(edge.sweep) / (2.0 * math.acos(1.0 - chord / edge.radius))))
