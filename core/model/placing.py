"""Where does a shape or joint come to stand? Moves, turns, scalings and mirrorings of the section plane, as one record.

Points are complex numbers here, x + iy, mm, section frame. Depth bands, play and outline tolerance are never changed:
they do not lie in the plane, or are a fit.
"""

from cmath import exp, rect
from dataclasses import dataclass
from math import floor, isfinite, radians

import msgspec

from core.model.joints import Bolted, Joint, PinSlot, Slide
from core.model.project import Body
from core.model.rounding import DECIMALS, rounded
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Point, Polygon, Shape

STEP = 10.0**-DECIMALS
"""mm, the grain of all numbers."""


@dataclass(frozen=True, slots=True)
class Placing:
    """p -> scale * R(turn) * p' + shift, where p' is p, or p mirrored in the x axis. `turn` degrees, `shift` mm, `scale` > 0."""

    shift: Point = (0.0, 0.0)
    turn: float = 0.0
    scale: float = 1.0
    mirrored: bool = False

    def point(self, point: Point) -> Point:
        """Where a point comes to stand."""
        z = self.scale * rect(1.0, radians(self.turn)) * complex(point[0], -point[1] if self.mirrored else point[1])
        return (z.real + self.shift[0], z.imag + self.shift[1])

    def heading(self, angle: float) -> float:
        """What an angle in degrees becomes."""
        return self.turn - angle if self.mirrored else self.turn + angle

    def then(self, after: "Placing") -> "Placing":
        """This placing, and `after` upon it."""
        return Placing(
            shift=after.point(self.shift),
            turn=after.heading(self.turn),
            scale=self.scale * after.scale,
            mirrored=self.mirrored != after.mirrored,
        )


def moving(*, shift: Point = (0.0, 0.0), turn: float = 0.0, about: Point = (0.0, 0.0)) -> Placing:
    """Turn by `turn` degrees about the point `about`, then shift by `shift` mm."""
    centre = complex(*about)
    rest = centre - exp(1j * radians(turn)) * centre + complex(*shift)
    return Placing(shift=(rest.real, rest.imag), turn=turn)


def scaling(by: float, *, about: Point = (0.0, 0.0)) -> Placing:
    """Scale by a factor about a point. ValueError unless the factor is above zero and finite."""
    if not (isfinite(by) and by > 0):
        raise ValueError(f"scale {by!r} is not above zero")
    return Placing(shift=((1 - by) * about[0], (1 - by) * about[1]), scale=by)


def mirroring(*, about: Point = (0.0, 0.0), along: float = 90.0) -> Placing:
    """Mirror in the line through `about` in the direction `along` degrees: 90 changes left for right."""
    centre = complex(*about)
    rest = centre - exp(2j * radians(along)) * centre.conjugate()
    return Placing(shift=(rest.real, rest.imag), turn=2 * along, mirrored=True)


def placed(shape: Shape, placing: Placing) -> Shape:
    """A shape where `placing` takes it; numbers rounded as in the file.

    Radii, walls and sizes are scaled. A polygon keeps the order of its points, mirrored too. The corner radius of a box
    that is scaled stays within half of its smaller side after rounding, where it was before.
    """
    return rounded(_placed_shape(shape, placing))


def placed_body(body: Body, placing: Placing) -> Body:
    """A body with all its shapes where `placing` takes them."""
    return rounded(msgspec.structs.replace(body, shapes=tuple([_placed_shape(shape, placing) for shape in body.shapes])))


def placed_joint(joint: Joint, placing: Placing) -> Joint:
    """A joint with its pin, direction, reach and relief where `placing` takes them; its play is a fit and stays."""
    if isinstance(joint, Bolted):
        return joint
    relief = None if joint.relief is None else joint.relief * placing.scale
    new: Joint = msgspec.structs.replace(joint, at=placing.point(joint.at), relief=relief)
    if isinstance(new, Slide | PinSlot):
        new = msgspec.structs.replace(new, along=placing.heading(new.along))
    if isinstance(new, PinSlot) and new.reach is not None:
        new = msgspec.structs.replace(new, reach=(new.reach[0] * placing.scale, new.reach[1] * placing.scale))
    return rounded(new)


def _placed_shape(shape: Shape, placing: Placing) -> Shape:
    by, put = placing.scale, placing.point
    change = msgspec.structs.replace
    match shape:
        case Disc():
            return change(shape, centre=put(shape.centre), radius=by * shape.radius)
        case Bar():
            return change(shape, start=put(shape.start), end=put(shape.end), radius=by * shape.radius)
        case Box():
            size = (by * shape.size[0], by * shape.size[1])
            radius = _held_in(by * shape.corner_radius, size) if shape.corner_radius <= min(shape.size) / 2 else by * shape.corner_radius
            return change(shape, centre=put(shape.centre), size=size, turn=placing.heading(shape.turn), corner_radius=radius)
        case Bore():
            return change(shape, centre=put(shape.centre), radius=by * shape.radius, wall=by * shape.wall)
        case Frame():
            size = (by * shape.size[0], by * shape.size[1])
            return change(shape, centre=put(shape.centre), size=size, wall=by * shape.wall, turn=placing.heading(shape.turn))
        case Polygon():
            holes = tuple(tuple(map(put, hole)) for hole in shape.holes)
            return change(shape, points=tuple(map(put, shape.points)), holes=holes, corner_radius=by * shape.corner_radius)


def _held_in(radius: float, size: Point) -> float:
    """The corner radius, or the largest that half of the rounded smaller side has room for."""
    half = min(round(size[0], DECIMALS), round(size[1], DECIMALS)) / 2
    return radius if round(radius, DECIMALS) <= half else floor(half / STEP) * STEP
