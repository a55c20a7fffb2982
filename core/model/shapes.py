"""The six shapes a body is cut into by its section. Lengths mm, section frame at the drawn pose; angles degrees."""

import msgspec

Point = tuple[float, float]
"""x right, y up, mm, section frame."""

Band = tuple[float, float]
"""[low, high] mm across the section."""


class ShapeRecord(
    msgspec.Struct, frozen=True, kw_only=True, tag_field="kind", forbid_unknown_fields=True, omit_defaults=True, cache_hash=True
):
    """What all shapes carry: a depth band of their own (None: the body's) and notes."""

    depth: Band | None = None
    notes: str = ""


class Disc(ShapeRecord, frozen=True, kw_only=True, tag="disc"):
    """A filled circle."""

    centre: Point
    radius: float


class Bar(ShapeRecord, frozen=True, kw_only=True, tag="bar", rename={"start": "from", "end": "to"}):
    """A straight bar with round ends: all points within `radius` of the segment `start`-`end`."""

    start: Point
    end: Point
    radius: float


class Box(ShapeRecord, frozen=True, kw_only=True, tag="box"):
    """A rectangle of outer `size` about `centre`, turned by `turn` degrees, corners rounded by `corner_radius`."""

    centre: Point
    size: Point
    turn: float = 0.0
    corner_radius: float = 0.0


class Polygon(ShapeRecord, frozen=True, kw_only=True, tag="polygon"):
    """A closed outline with holes; corners of the material that stick out are rounded by `corner_radius`."""

    points: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    corner_radius: float = 0.0


class Bore(ShapeRecord, frozen=True, kw_only=True, tag="bore"):
    """A round room: `radius` is the free inside, `wall` the material around it."""

    centre: Point
    radius: float
    wall: float


class Frame(ShapeRecord, frozen=True, kw_only=True, tag="frame"):
    """A rectangular room: `size` is the free inside, `wall` the material around it (square corners)."""

    centre: Point
    size: Point
    wall: float
    turn: float = 0.0


Shape = Disc | Bar | Box | Polygon | Bore | Frame
Room = Bore | Frame
