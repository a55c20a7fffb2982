"""Two cranks whose rods meet in one pin: a loop that two drives move together. Invented sizes, the same for the same seed."""

import cmath
import math
from typing import Any

import numpy as np

Record = dict[str, Any]
RODS = (("left crank", [5, 7]), ("right crank", [5, 7]), ("left rod", [10, 12]), ("right rod", [15, 17]))


def five_bar_bay(seed: int) -> Record:
    """The bay: cranks 60 mm apart, both driven, among three posts."""
    rng = np.random.default_rng(seed)
    left, right = cmath.rect(18, rng.uniform(1.2, 2.2)), 60 + cmath.rect(18, rng.uniform(1.0, 2.0))
    length, half = rng.uniform(35, 50), abs(right - left) / 2
    tip = (left + right) / 2 + 1j * (right - left) / abs(right - left) * math.sqrt(length**2 - half**2)
    ends = ((0j, left), (60 + 0j, right), (left, tip), (right, tip))
    rods = [_body(name, depth, _bar(*both)) for (name, depth), both in zip(RODS, ends, strict=True)]
    places = [tip + cmath.rect(rng.uniform(8, 22), rng.uniform(0, 7)) for _ in range(3)]
    posts = [_body(f"post {number}", [0, 30], _disc(place, 1.5), fixed=True) for number, place in enumerate(places)]
    joints = [
        _pivot("left shaft", "base", "left crank", 0j),
        _pivot("right shaft", "base", "right crank", 60 + 0j),
        _pivot("left pin", "left crank", "left rod", left),
        _pivot("right pin", "right crank", "right rod", right),
        _pivot("tip", "left rod", "right rod", tip),
    ]
    bodies = [_body("base", [-9, -8], _disc(0j, 3), fixed=True), *rods, *posts]
    return {
        "baysweep": 1,
        "name": f"five-bar {seed}",
        "required_gap": 0.5,
        "sections": [{"name": "Side", "bodies": bodies, "joints": joints}],
        "drives": [_drive(side, round(float(rng.uniform(5, 15)), 3)) for side in ("left", "right")],
    }


def _pair(point: complex) -> list[float]:
    return [round(point.real, 6), round(point.imag, 6)]


def _body(name: str, depth: list[float], shape: Record, *, fixed: bool = False) -> Record:
    return {"name": name, "fixed": fixed, "depth": list(depth), "shapes": [shape]}


def _bar(start: complex, end: complex) -> Record:
    return {"kind": "bar", "from": _pair(start), "to": _pair(end), "radius": 2.0}


def _disc(centre: complex, radius: float) -> Record:
    return {"kind": "disc", "centre": _pair(centre), "radius": radius}


def _pivot(name: str, one: str, other: str, at: complex) -> Record:
    return {"kind": "pivot", "name": name, "between": [one, other], "at": _pair(at)}


def _drive(side: str, swing: float) -> Record:
    moves = [{"section": "Side", "joint": f"{side} shaft", "ratio": 1}]
    return {"name": f"turn {side}", "unit": "deg", "from": -swing, "to": swing, "home": 0, "speed": 60, "moves": moves}
