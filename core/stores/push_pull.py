"""Rods between two horns: one, or a push-pull pair on either side of the shafts, with their pins and ends.

A rod is a bar with a pivot at each end. What its ends need beside the bar (a bend through the horn, a clip, a ball) belongs
to it, since ends collide where bars do not. Sizes are trade facts: common practice, no source.
"""

from dataclasses import dataclass
from math import atan2, cos, degrees, radians, sin
from types import MappingProxyType
from typing import Literal

from core.model.fragment import Fragment
from core.model.joints import Joint, Pivot
from core.model.names import BodyName, JointName
from core.model.project import Body
from core.model.shapes import Band, Bar, Disc, Point, Shape
from core.stores.marked import BOUGHT, FILAMENT, typical
from core.stores.station import fragment_from

RodEnd = Literal["plain", "bend", "clip", "ball"]

WIRE_OFF = 0.3
"""mm between a horn's face and the wire over it."""

BEND_BEYOND = 3.0
"""mm that a bend through a horn stands out below it."""

CLIP, BALL = (3.0, 4.0), (3.5, 6.0)
"""mm, radius and height of a clip and of a ball end."""

PLAY: MappingProxyType[RodEnd, float] = MappingProxyType({"plain": 0.3, "bend": 0.15, "clip": 0.15, "ball": 0.05})
"""Diametral, mm: printed pin, wire, wire, ball."""


@dataclass(frozen=True, slots=True)
class HornEnd:
    """Where a rod is pinned on: the body, its shaft, the distance of the hole from it in mm, and the depth band of its horn."""

    body: BodyName
    shaft: Point
    arm: float
    depth: Band


def rod_body(
    name: str,
    start: Point,
    end: Point,
    *,
    radius: float,
    depth: Band,
    ends: tuple[RodEnd, RodEnd] = ("plain", "plain"),
    over: Band | None = None,
) -> Body:
    """A rod from pin to pin; `radius` mm. `over` is the depth band of the horns that its ends go through."""
    shapes: tuple[Shape, ...] = (Bar(start=start, end=end, radius=radius),)
    for point, kind in zip((start, end), ends, strict=True):
        shapes += _end_shapes(point, kind, radius=radius, depth=depth, over=over)
    return typical(name, shapes, depth, tolerance=FILAMENT if ends == ("plain", "plain") else BOUGHT)


def rod_between(
    first: tuple[BodyName, Point],
    second: tuple[BodyName, Point],
    *,
    radius: float,
    depth: Band,
    ends: tuple[RodEnd, RodEnd] = ("plain", "plain"),
    over: Band | None = None,
    name: str = "rod",
) -> Fragment:
    """A fragment with one rod, pinned to a body at each end: the bodies, and where their pins are.

    To be pasted into the section of the two bodies, where the rod and its pins get free names. ValueError for two pins in one place.
    """
    if first[1] == second[1]:
        raise ValueError("the two pins of a rod are in one place")
    pins = [
        Pivot(name=JointName(f"{name} at {body}"), between=(body, BodyName(name)), at=at, play=PLAY[kind])
        for (body, at), kind in zip((first, second), ends, strict=True)
    ]
    return fragment_from((rod_body(name, first[1], second[1], radius=radius, depth=depth, ends=ends, over=over),), tuple(pins))


def push_pull(
    first: HornEnd,
    second: HornEnd,
    *,
    double: bool = True,
    heading: float | None = None,
    wire: float = 1.0,
    ends: tuple[RodEnd, RodEnd] = ("bend", "bend"),
    name: str = "rod",
) -> Fragment:
    """A fragment with one rod or two, each pinned to both horns at the drawn pose; to be pasted into the section of the horns.

    `heading` degrees is the direction of both arms; None: square to the line between the shafts, where rods stand neutral.
    The second rod is pinned on the opposite arms. `wire` is its diameter in mm. It lies `WIRE_OFF` over the higher horn.
    With unequal arms a pair of rods agrees in the drawn pose only, which the sweep will tell. ValueError for shafts in one place.
    """
    if first.shaft == second.shaft:
        raise ValueError("the two shafts are in one place")
    angle = _square_to(first.shaft, second.shaft) if heading is None else heading
    low = max(first.depth[1], second.depth[1]) + WIRE_OFF
    over = (min(first.depth[0], second.depth[0]), low)
    bodies, joints = [], []
    for number, side in enumerate((1.0, -1.0) if double else (1.0,), start=1):
        rod = name if not double else f"{name} {number}"
        pins = [_hole(end, angle, side) for end in (first, second)]
        bodies.append(rod_body(rod, *pins, radius=wire / 2, depth=(low, low + wire), ends=ends, over=over))
        joints.extend(_pins(rod, (first, second), pins, ends))
    return fragment_from(tuple(bodies), tuple(joints))


def _pins(rod: str, horns: tuple[HornEnd, HornEnd], at: list[Point], ends: tuple[RodEnd, RodEnd]) -> list[Joint]:
    return [
        Pivot(name=JointName(f"{rod} at {horn.body}"), between=(horn.body, BodyName(rod)), at=point, play=PLAY[kind])
        for horn, point, kind in zip(horns, at, ends, strict=True)
    ]


def _end_shapes(at: Point, kind: RodEnd, *, radius: float, depth: Band, over: Band | None) -> tuple[Shape, ...]:
    low = depth[0] if over is None else over[0]
    match kind:
        case "plain":
            return ()
        case "bend":
            return (Disc(centre=at, radius=radius, depth=(low - BEND_BEYOND, depth[1])),)
        case "clip":
            return (Disc(centre=at, radius=CLIP[0], depth=(depth[0], depth[0] + CLIP[1])),)
        case "ball":
            return (Disc(centre=at, radius=BALL[0], depth=(depth[0], depth[0] + BALL[1])),)


def _hole(end: HornEnd, angle: float, side: float) -> Point:
    return (end.shaft[0] + side * end.arm * cos(radians(angle)), end.shaft[1] + side * end.arm * sin(radians(angle)))


def _square_to(one: Point, two: Point) -> float:
    return degrees(atan2(two[1] - one[1], two[0] - one[0])) + 90.0
