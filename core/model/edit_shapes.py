"""How are the shapes of a body changed? Edits of shapes by their place in the body, and of the points of polygons.

A ring of a polygon is its outline (`hole` None) or one of its holes, by its place. IndexError where a shape, hole or point
is not there; TypeError where a shape is not of the kind that can be changed so.
"""

from collections.abc import Collection

import msgspec

from core.model.edit import replace_body
from core.model.lookup import body_of, section_of
from core.model.middle import corners
from core.model.names import BodyName, SectionName
from core.model.project import Body, Project
from core.model.reordered import reordered
from core.model.rounding import rounded
from core.model.shapes import Band, Box, Point, Polygon, Shape

LEAST_POINTS = 3
"""Points without which a ring is none."""


def add_shape(project: Project, section: SectionName, body: BodyName, shape: Shape) -> Project:
    """Put a shape at the end of a body."""
    return _with_shapes(project, section, body, (*_body(project, section, body).shapes, shape))


def replace_shape(project: Project, section: SectionName, body: BodyName, index: int, new: Shape) -> Project:
    """Put `new` in the place of a shape."""
    shapes = list(_body(project, section, body).shapes)
    shapes[_within(index, len(shapes))] = new
    return _with_shapes(project, section, body, tuple(shapes))


def delete_shapes(project: Project, section: SectionName, body: BodyName, indices: Collection[int]) -> Project:
    """Delete shapes. A body may be left with none, which `validate` tells."""
    shapes = _body(project, section, body).shapes
    for index in indices:
        _within(index, len(shapes))
    return _with_shapes(project, section, body, tuple(shape for index, shape in enumerate(shapes) if index not in indices))


def reorder_shape(project: Project, section: SectionName, body: BodyName, index: int, *, to: int) -> Project:
    """Put a shape at the place `to` in its body."""
    shapes = _body(project, section, body).shapes
    return _with_shapes(project, section, body, reordered(shapes, shapes[_within(index, len(shapes))], to))


def set_shape_depth(project: Project, section: SectionName, body: BodyName, index: int, depth: Band | None) -> Project:
    """Give a shape a depth band of its own, [low, high] mm; None: its body's."""
    return replace_shape(project, section, body, index, msgspec.structs.replace(_shape(project, section, body, index), depth=depth))


def round_corners(project: Project, section: SectionName, body: BodyName, index: int, radius: float) -> Project:
    """Give a box or polygon another corner radius, mm."""
    shape = _shape(project, section, body, index)
    if not isinstance(shape, Box | Polygon):
        raise TypeError(f"a {shape.__struct_config__.tag} has no corners to round")
    return replace_shape(project, section, body, index, msgspec.structs.replace(shape, corner_radius=radius))


def as_polygon(shape: Shape) -> Polygon:
    """A box as a polygon of the same outline, counter-clockwise; a polygon as it is."""
    if isinstance(shape, Polygon):
        return shape
    if not isinstance(shape, Box):
        raise TypeError(f"a {shape.__struct_config__.tag} cannot be told by points")
    points = corners(shape.centre, shape.size, turn=shape.turn)
    return rounded(Polygon(points=points, corner_radius=shape.corner_radius, depth=shape.depth, notes=shape.notes))


def cut_hole(project: Project, section: SectionName, body: BodyName, index: int, ring: tuple[Point, ...]) -> Project:
    """Cut a hole, the last of its shape, in a polygon; a box becomes one."""
    polygon = as_polygon(_shape(project, section, body, index))
    return replace_shape(project, section, body, index, msgspec.structs.replace(polygon, holes=(*polygon.holes, ring)))


def fill_hole(project: Project, section: SectionName, body: BodyName, index: int, hole: int) -> Project:
    """Take a hole out of a polygon."""
    polygon = _polygon(project, section, body, index)
    _within(hole, len(polygon.holes))
    holes = tuple(ring for number, ring in enumerate(polygon.holes) if number != hole)
    return replace_shape(project, section, body, index, msgspec.structs.replace(polygon, holes=holes))


def add_point(
    project: Project, section: SectionName, body: BodyName, index: int, point: Point, *, before: int, hole: int | None = None
) -> Project:
    """Add a point to a ring of a polygon, before the one at the place `before`; their number puts it at the end."""
    polygon = _polygon(project, section, body, index)
    ring = _ring(polygon, hole)
    _within(before, len(ring) + 1)
    return replace_shape(project, section, body, index, _with_ring(polygon, hole, (*ring[:before], point, *ring[before:])))


def move_point(
    project: Project, section: SectionName, body: BodyName, index: int, point: int, *, to: Point, hole: int | None = None
) -> Project:
    """Put a point of a ring of a polygon elsewhere."""
    polygon = _polygon(project, section, body, index)
    ring = list(_ring(polygon, hole))
    ring[_within(point, len(ring))] = to
    return replace_shape(project, section, body, index, _with_ring(polygon, hole, tuple(ring)))


def delete_point(project: Project, section: SectionName, body: BodyName, index: int, point: int, *, hole: int | None = None) -> Project:
    """Take a point out of a ring of a polygon. Of three points none can go alone: the hole goes, or the shape."""
    polygon = _polygon(project, section, body, index)
    ring = _ring(polygon, hole)
    _within(point, len(ring))
    if len(ring) > LEAST_POINTS:
        return replace_shape(project, section, body, index, _with_ring(polygon, hole, (*ring[:point], *ring[point + 1 :])))
    return delete_shapes(project, section, body, (index,)) if hole is None else fill_hole(project, section, body, index, hole)


def _body(project: Project, section: SectionName, name: BodyName) -> Body:
    return body_of(section_of(project, section), name)


def _shape(project: Project, section: SectionName, body: BodyName, index: int) -> Shape:
    shapes = _body(project, section, body).shapes
    return shapes[_within(index, len(shapes))]


def _polygon(project: Project, section: SectionName, body: BodyName, index: int) -> Polygon:
    shape = _shape(project, section, body, index)
    if not isinstance(shape, Polygon):
        raise TypeError(f"a {shape.__struct_config__.tag} has no points of its own")
    return shape


def _ring(polygon: Polygon, hole: int | None) -> tuple[Point, ...]:
    return polygon.points if hole is None else polygon.holes[_within(hole, len(polygon.holes))]


def _with_ring(polygon: Polygon, hole: int | None, ring: tuple[Point, ...]) -> Polygon:
    if hole is None:
        return msgspec.structs.replace(polygon, points=ring)
    return msgspec.structs.replace(polygon, holes=tuple(ring if number == hole else old for number, old in enumerate(polygon.holes)))


def _with_shapes(project: Project, section: SectionName, name: BodyName, shapes: tuple[Shape, ...]) -> Project:
    return replace_body(project, section, name, msgspec.structs.replace(_body(project, section, name), shapes=shapes))


def _within(index: int, count: int) -> int:
    """The index, which must not count from the end: a slip there would change the wrong one."""
    if not 0 <= index < count:
        raise IndexError(index)
    return index
