"""Mechanisms that several tests look at, drawn by trigonometry of their own. Lengths mm, angles degrees."""

import cmath
import math
from collections.abc import Sequence
from typing import Any

import msgspec

from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Body, Drive, Move, Project, Section
from core.model.shapes import Disc

SIDE = SectionName("Side")
BAY = "bay"


def polar(length: float, degrees: float) -> complex:
    """A vector by its length and direction."""
    return cmath.rect(length, math.radians(degrees))


def pair(point: complex) -> tuple[float, float]:
    return point.real, point.imag


def body(name: str, *, fixed: bool = False) -> Body:
    return Body(name=BodyName(name), fixed=fixed, depth=(0, 2), shapes=(Disc(centre=(0, 0), radius=1),))


def between(one: str, other: str) -> tuple[BodyName, BodyName]:
    return BodyName(one), BodyName(other)


def pivot(name: str, one: str, other: str, at: complex, *, play: float = 0.0) -> Pivot:
    return Pivot(name=JointName(name), between=between(one, other), at=pair(at), play=play)


def slide(name: str, one: str, other: str, *, along: float, at: complex = 0j) -> Slide:
    return Slide(name=JointName(name), between=between(one, other), at=pair(at), along=along)


def pin_slot(name: str, pin: str, slot: str, at: complex, *, along: float, reach: tuple[float, float] | None = None) -> PinSlot:
    return PinSlot(name=JointName(name), between=between(pin, slot), at=pair(at), along=along, reach=reach)


def bolted(name: str, one: str, other: str) -> Bolted:
    return Bolted(name=JointName(name), between=between(one, other))


def drive(name: str, *moves: tuple[str, float], travel: tuple[float, float] = (-90, 90), **other: Any) -> Drive:
    """A drive of `travel` that moves joints by ratios; `other`: unit, home, drawn."""
    moved = tuple(Move(section=SIDE, joint=JointName(joint), ratio=ratio) for joint, ratio in moves)
    record = {"unit": "deg", "home": 0, "speed": 60, **other, "name": DriveName(name), "from": travel[0], "to": travel[1], "moves": moved}
    return msgspec.convert(record, Drive)


def mechanism(joints: Sequence[Joint], *drives: Drive, fixed: Sequence[str] = (BAY,)) -> Project:
    """A project of one section with the bodies that `joints` name, in their order."""
    names = dict.fromkeys([*fixed, *(name for joint in joints for name in joint.between)])
    section = Section(name=SIDE, bodies=tuple(body(name, fixed=name in fixed) for name in names), joints=tuple(joints))
    return Project(format=1, name="Mechanism", required_gap=1, sections=(section,), drives=drives)


def circles_meet(one: complex, radius: float, other: complex, reach: float, *, left: bool) -> complex:
    """The point at `radius` from `one` and `reach` from `other`, left or right of the way from one to the other."""
    apart = abs(other - one)
    forth = (apart**2 + radius**2 - reach**2) / (2 * apart)
    aside = math.sqrt(radius**2 - forth**2) * (1 if left else -1)
    return one + (other - one) / apart * complex(forth, aside)


Lengths = tuple[float, float, float, float]


def four_bar(lengths: Lengths, *, drawn: float, left: bool = True, travel: tuple[float, float] = (0, 360), play: float = 0.0) -> Project:
    """Crank a, coupler b, follower c, ground d along x from the origin, drawn with the crank at `drawn` degrees from it.

    The drive's value is the crank's angle from the ground line. `left`: the follower's pin lies left of the way from the
    crank's pin to the follower's pivot (the open branch for a crank above the ground line is `left`).
    """
    a, b, c, d = lengths
    crank_pin = polar(a, drawn)
    follower_pin = circles_meet(crank_pin, b, complex(d), c, left=left)
    joints = [
        pivot("crank pivot", BAY, "crank", 0j),
        pivot("crank pin", "crank", "coupler", crank_pin, play=play),
        pivot("follower pin", "coupler", "follower", follower_pin, play=play),
        pivot("follower pivot", BAY, "follower", complex(d)),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1), travel=travel, home=drawn, drawn=drawn))


def slider_crank(crank: float, rod: float, *, drawn: float, offset: float = 0.0, forward: bool = True) -> Project:
    """A crank about the origin, a rod and a block on a rail along x at height `offset`; the drive's value is the crank's angle."""
    crank_pin = polar(crank, drawn)
    run = math.sqrt(rod**2 - (offset - crank_pin.imag) ** 2) * (1 if forward else -1)
    block_pin = complex(crank_pin.real + run, offset)
    joints = [
        pivot("crank pivot", BAY, "crank", 0j),
        pivot("crank pin", "crank", "rod", crank_pin),
        pivot("block pin", "rod", "block", block_pin),
        slide("rail", BAY, "block", along=0, at=block_pin),
    ]
    return mechanism(joints, drive("crank", ("crank pivot", 1), travel=(0, 360), home=drawn, drawn=drawn))


def cranks_and_rods(
    pins: Sequence[tuple[complex, complex]],
    *,
    apart: complex,
    travel: tuple[float, float] = (-45, 45),
    play: float = 0.0,
    driven: bool = True,
) -> Project:
    """A horn about the origin and a hub about `apart`, with a rod from each first pin (horn) to each second (hub)."""
    joints: list[Joint] = [pivot("horn pivot", BAY, "horn", 0j), pivot("hub pivot", BAY, "hub", apart)]
    for index, (horn_pin, hub_pin) in enumerate(pins, start=1):
        joints.append(pivot(f"horn pin {index}", "horn", f"rod {index}", horn_pin, play=play))
        joints.append(pivot(f"hub pin {index}", f"rod {index}", "hub", hub_pin, play=play))
    return mechanism(joints, *([drive("servo", ("horn pivot", 1), travel=travel)] if driven else []))


def push_pull(
    *, horn: float = 12.0, hub: float = 16.0, apart: float = 60.0, rods: Sequence[float] = (90, -90), turn: float = 0.0, **other: Any
) -> Project:
    """Rods at angles `rods` from the centre line on horn and hub, all turned by `turn`; equal arms make it a parallelogram."""
    pins = [(polar(horn, angle + turn), apart + polar(hub, angle + turn)) for angle in rods]
    return cranks_and_rods(pins, apart=complex(apart), **other)
