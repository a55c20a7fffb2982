"""Generated ring bays for measuring: n stations round a bore, two drives each, 2 + 6 n bodies. Invented data."""

import math

from core.model.joints import Bolted, Pivot
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Body, Drive, Move, Project, Section
from core.model.shapes import Bar, Bore, Box, Disc, Point, Polygon

SECTION = SectionName("Ring")


def ring_bay(stations: int, *, clear: bool = False) -> Project:
    """A bay of `stations` stations: a hub that twists carries a motor, a horn and a weight; a flap turns on the motor.

    Each pair of neighbours is checked against 0.5 mm. With `clear` the twist is small enough that nothing meets.
    """
    ring = 48.0 * stations / (2 * math.pi)
    bodies = [
        _body("wall", fixed=True, shapes=(Bore(centre=(0, 0), radius=ring + 47.5, wall=3),)),
        _body("pillar", fixed=True, shapes=(Disc(centre=(0, 0), radius=max(ring - 21, 3)),)),
    ]
    joints: list[Pivot | Bolted] = []
    drives: list[Drive] = []
    for number in range(stations):
        _station(number, 2 * math.pi * number / stations, ring, bodies, joints, drives, stations, clear)
    return Project(
        format=1,
        name=f"ring of {stations}",
        required_gap=0.5,
        sections=(Section(name=SECTION, bodies=tuple(bodies), joints=tuple(joints)),),
        drives=tuple(drives),
    )


def _body(name: str, *, shapes: tuple, fixed: bool = False, depth: tuple[float, float] = (0, 10)) -> Body:
    return Body(name=BodyName(name), fixed=fixed, depth=depth, shapes=shapes)


def _station(
    number: int,
    angle: float,
    ring: float,
    bodies: list[Body],
    joints: list,
    drives: list[Drive],
    stations: int,
    clear: bool,
) -> None:
    def at(out: float, along: float) -> Point:
        spin = complex(math.cos(angle), math.sin(angle))
        point = spin * complex(ring + out, along)
        return (point.real, point.imag)

    turn = math.degrees(angle)
    hub, motor, horn, weight, flap = (f"{part} {number + 1}" for part in ("hub", "motor", "horn", "weight", "flap"))
    between = angle + math.pi / stations
    post = ((ring + 22) * math.cos(between), (ring + 22) * math.sin(between))
    bodies += [
        _body(f"post {number + 1}", fixed=True, shapes=(Disc(centre=post, radius=2.5),)),
        _body(hub, shapes=(Disc(centre=at(0, 0), radius=9),)),
        _body(motor, shapes=(Box(centre=at(12, 0), size=(23, 12), turn=turn, corner_radius=1),)),
        _body(horn, shapes=(Bar(start=at(0, 0), end=at(0, -15), radius=2.5),)),
        _body(weight, shapes=(Polygon(points=tuple(at(x, y) for x, y in ((-13, -5), (-6, -5), (-6, 8), (-9, 12), (-13, 8)))),)),
        _body(flap, shapes=(Polygon(points=tuple(at(x, y) for x, y in _FLAP)), Disc(centre=at(20, 0), radius=3))),
    ]
    joints += [
        Pivot(name=JointName(f"pin {number + 1}"), between=(bodies[0].name, BodyName(hub)), at=at(0, 0)),
        Bolted(name=JointName(f"screw {number + 1}"), between=(BodyName(hub), BodyName(motor))),
        Bolted(name=JointName(f"key {number + 1}"), between=(BodyName(hub), BodyName(horn))),
        Bolted(name=JointName(f"glue {number + 1}"), between=(BodyName(hub), BodyName(weight))),
        Pivot(name=JointName(f"shaft {number + 1}"), between=(BodyName(motor), BodyName(flap)), at=at(20, 0)),
    ]
    swing = 8.0 if clear else 16.0
    for kind, joint, low, high in (("twist", "pin", -swing, swing), ("fold", "shaft", -5.0, 20.0 if clear else 62.0)):
        drives.append(
            Drive(
                name=DriveName(f"{kind} {number + 1}"),
                unit="deg",
                start=low,
                end=high,
                home=0,
                speed=300,
                moves=(Move(section=SECTION, joint=JointName(f"{joint} {number + 1}")),),
            )
        )


_FLAP = ((18.5, -2), (27, -2), (30, -7), (40, -9), (46, -3), (46, 3), (40, 9), (30, 7), (27, 2), (18.5, 2))
