"""Knuckles: where two shapes hold the same pin they overlap by design; only what lies outside the relief is checked."""

from typing import NamedTuple

import msgspec
import numpy as np
import shapely

from core.clearance.convex import Points, convex_pieces, polygon_of
from core.clearance.rounded import Piece, Rounded, complex_of, ring_of_room, rounded_of
from core.model.joints import Bolted, Joint, Pivot
from core.model.names import JointName
from core.model.project import Body
from core.model.shapes import Bore, Disc, Frame, Shape
from core.tolerances import Tolerances

RELIEF_SIDES = 24
"""Sides of the inscribed polygon that stands for the relief disc: what it leaves out of the disc is checked."""

DEFAULT_RELIEF = 1.5
"""Relief as a multiple of the larger distance from the pin to the two shapes' own outlines."""


class Relief(NamedTuple):
    """The disc about a joint's pin inside which two shapes are not checked, mm."""

    joint: JointName
    pin: complex
    radius: float


class RunningFit(NamedTuple):
    """A disc that turns in a bore, both centred on their joint's pin; `play` radial mm (negative: it cannot turn)."""

    joint: JointName
    play: float


def knuckle_of(joint: Joint, shapes: tuple[Shape, Shape], *, tolerances: Tolerances) -> Relief | RunningFit | None:
    """What the joint makes of two shapes of its two bodies, or None where they do not both hold its pin."""
    if isinstance(joint, Bolted):
        return None
    pin = complex_of(joint.at)
    fit = _running_fit(joint, pin, shapes, tolerances)
    if fit is not None:
        return fit
    depths = [depth_of_pin(shape, pin, tolerances=tolerances) for shape in shapes]
    if min(depths) < -tolerances.on_outline:
        return None
    return Relief(joint.name, pin, joint.relief if joint.relief is not None else DEFAULT_RELIEF * max(*depths, 0.0))


def usual_relief(joint: Joint, bodies: tuple[Body, Body], *, tolerances: Tolerances) -> float | None:
    """The relief that a joint has where it is given none, mm: the largest about its pin; None where no two shapes both hold it."""
    if isinstance(joint, Bolted):
        return None
    plain = msgspec.structs.replace(joint, relief=None)
    found = [knuckle_of(plain, (one, other), tolerances=tolerances) for one in bodies[0].shapes for other in bodies[1].shapes]
    return max((each.radius for each in found if isinstance(each, Relief)), default=None)


def _running_fit(joint: Joint, pin: complex, shapes: tuple[Shape, Shape], tolerances: Tolerances) -> RunningFit | None:
    first, second = shapes
    disc, bore = (first, second) if isinstance(first, Disc) else (second, first)
    if not (isinstance(joint, Pivot) and isinstance(disc, Disc) and isinstance(bore, Bore)):
        return None
    if max(abs(complex_of(disc.centre) - pin), abs(complex_of(bore.centre) - pin)) > tolerances.on_outline:
        return None
    return RunningFit(joint.name, bore.radius - disc.radius)


def depth_of_pin(shape: Shape, pin: complex, *, tolerances: Tolerances) -> float:
    """Distance of the pin from the shape's outline, mm: positive in its material, negative outside."""
    rounded = ring_of_room(shape, chord=tolerances.ring_chord) if isinstance(shape, Bore | Frame) else rounded_of(shape)
    core = _core_geometry(rounded)
    point = shapely.Point(pin.real, pin.imag)
    if isinstance(core, shapely.Polygon) and core.contains(point):
        return rounded.radius + float(core.boundary.distance(point))
    return rounded.radius - float(core.distance(point))


def _core_geometry(rounded: Rounded) -> shapely.Geometry:
    ring = rounded.rings[0]
    if len(ring) == 1:
        return shapely.Point(ring[0].real, ring[0].imag)
    if len(ring) == 2:
        return shapely.LineString([(end.real, end.imag) for end in ring])
    return polygon_of(rounded.rings)


def clipped(pieces: tuple[Piece, ...], relief: Relief) -> tuple[Piece, ...]:
    """The pieces without what of their cores lies in the relief disc (its inscribed polygon); radii stay."""
    disc = _relief_polygon(relief)
    left = []
    for piece in pieces:
        if len(piece.points) == 1:
            if not disc.covers(shapely.Point(piece.points[0].real, piece.points[0].imag)):
                left.append(piece)
            continue
        core = _core_geometry(Rounded((piece.points,), piece.radius))
        for part in shapely.get_parts(shapely.difference(core, disc)):
            left.extend(Piece(points, piece.radius) for points in _cores_of(part))
    return tuple(left)


def _relief_polygon(relief: Relief) -> shapely.Polygon:
    corners = relief.pin + relief.radius * np.exp(2j * np.pi * np.arange(RELIEF_SIDES) / RELIEF_SIDES)
    return polygon_of((corners,))


def _cores_of(part: shapely.Geometry) -> tuple[Points, ...]:
    """Convex cores of what a clip left: a line gives its ends, a polygon its pieces; slivers without area are dropped."""
    if part.geom_type == "LineString" and part.length > 0:
        ends = shapely.get_coordinates(part)
        return (np.array([complex(*ends[0]), complex(*ends[-1])]),)
    if part.geom_type == "Polygon" and part.area > 0:
        rings = (part.exterior, *part.interiors)
        turned = [ring if ring.is_ccw == (number == 0) else ring.reverse() for number, ring in enumerate(rings)]
        return convex_pieces(tuple(_complex_ring(ring) for ring in turned))
    return ()


def _complex_ring(ring: shapely.LinearRing) -> Points:
    points = shapely.get_coordinates(ring)[:-1]
    return np.array([complex(x, y) for x, y in points])
