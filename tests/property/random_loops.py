"""Random closed loops as project files: a vane on one of the rods among three posts; all else passes over. Invented sizes.

Four-bars, slider-cranks, two four-bars in a row (six-bars), and cranks with two rods of which one would do. The same for the same seed.
"""

import cmath
import math
from collections.abc import Callable
from typing import Any

import numpy as np

from tests.mechanisms import circles_meet

Record = dict[str, Any]
Random = np.random.Generator


def loop_bay(kind: str, seed: int) -> Record:
    """kind: a key of `KINDS`."""
    rng = np.random.default_rng((list(KINDS).index(kind), seed))
    bodies, joints, (start, end), most = KINDS[kind](rng)
    vane = (start + end) / 2 + cmath.rect(rng.uniform(8, 16), rng.uniform(0, 2 * math.pi))
    corners = [_pair(vane + cmath.rect(4.0, angle)) for angle in (0.3, 2.2, 4.4)]
    (carrier,) = (body for body in bodies if body["name"] == "rod")
    carrier["shapes"].append({"kind": "polygon", "points": corners, "holes": [], "corner_radius": 0})
    posts = [_disc(f"post {n}", vane + cmath.rect(rng.uniform(6, 22), rng.uniform(0, 7)), 1.5, [0, 50]) for n in range(3)]
    width = round(float(rng.uniform(0.3, 1) * most), 3)
    moves = [{"section": "Side", "joint": "shaft", "ratio": 1}]
    return {
        "baysweep": 1,
        "name": f"{kind} {seed}",
        "required_gap": 0.5,
        "sections": [{"name": "Side", "bodies": [_disc("base", 0j, 3, [-9, -8]), *bodies, *posts], "joints": joints}],
        "drives": [{"name": "turn", "unit": "deg", "from": -width, "to": width, "home": 0, "speed": 60, "moves": moves}],
    }


def _pair(point: complex) -> list[float]:
    return [round(point.real, 6) + 0.0, round(point.imag, 6) + 0.0]


def _disc(name: str, at: complex, radius: float, depth: list[float]) -> Record:
    return {"name": name, "fixed": True, "depth": depth, "shapes": [{"kind": "disc", "centre": _pair(at), "radius": radius}]}


def _bar(name: str, start: complex, end: complex, layer: int) -> Record:
    shape = {"kind": "bar", "from": _pair(start), "to": _pair(end), "radius": 2.0}
    return {"name": name, "fixed": False, "depth": [5 * layer, 5 * layer + 2], "shapes": [shape]}


def _pivot(name: str, one: str, other: str, at: complex) -> Record:
    return {"kind": "pivot", "name": name, "between": [one, other], "at": _pair(at)}


Made = tuple[list[Record], list[Record], tuple[complex, complex], float]
"""Bodies (one named "rod", which gets the vane), joints (one named "shaft", which is driven), the rod's ends, the most travel."""


def _four_bar(rng: Random) -> Made:
    ground, crank, follower = complex(rng.uniform(50, 80)), rng.uniform(10, 18), rng.uniform(30, 45)
    pin = cmath.rect(crank, rng.uniform(0, 2 * math.pi))
    # The rod is as long as this pose of the follower needs, so that the drawing closes exactly.
    tip = ground + cmath.rect(follower, rng.uniform(1.2, 1.9))
    bodies = [_bar("crank", 0j, pin, 1), _bar("rod", pin, tip, 2), _bar("follower", ground, tip, 3)]
    joints = [
        _pivot("shaft", "base", "crank", 0j),
        _pivot("crank pin", "crank", "rod", pin),
        _pivot("tip", "rod", "follower", tip),
        _pivot("heel", "base", "follower", ground),
    ]
    return bodies, joints, (pin, tip), 50.0


def _slider_crank(rng: Random) -> Made:
    crank, rod, offset = rng.uniform(8, 16), rng.uniform(32, 60), rng.uniform(-9, 9)
    pin = cmath.rect(crank, rng.uniform(0, 2 * math.pi))
    block = complex(pin.real + math.sqrt(rod**2 - (offset - pin.imag) ** 2), offset)
    bodies = [_bar("crank", 0j, pin, 1), _bar("rod", pin, block, 2), _bar("block", block - 4, block + 4, 3)]
    joints = [
        _pivot("shaft", "base", "crank", 0j),
        _pivot("crank pin", "crank", "rod", pin),
        _pivot("block pin", "rod", "block", block),
        {"kind": "slide", "name": "rail", "between": ["base", "block"], "at": _pair(block), "along": 0},
    ]
    return bodies, joints, (pin, block), 110.0


def _six_bar(rng: Random) -> Made:
    """Crank, coupler and lever, and from the lever a rod to a second one."""
    heel, far = complex(rng.uniform(90, 110), rng.uniform(-5, 5)), complex(rng.uniform(195, 215), rng.uniform(-15, 5))
    pin = cmath.rect(rng.uniform(20, 30), rng.uniform(0.7, 1.4))
    arm, end = rng.uniform(60, 75), rng.uniform(65, 80)
    middle = circles_meet(pin, rng.uniform(100, 112), heel, arm, left=True)
    tip = circles_meet(middle, rng.uniform(108, 118), far, end, left=True)
    bodies = [
        _bar("crank", 0j, pin, 1),
        _bar("coupler", pin, middle, 2),
        _bar("lever", heel, middle, 3),
        _bar("rod", middle, tip, 4),
        _bar("last lever", far, tip, 5),
    ]
    joints = [
        _pivot("shaft", "base", "crank", 0j),
        _pivot("crank pin", "crank", "coupler", pin),
        _pivot("middle", "coupler", "lever", middle),
        _pivot("heel", "base", "lever", heel),
        _pivot("rod pin", "lever", "rod", middle),
        _pivot("tip", "rod", "last lever", tip),
        _pivot("far heel", "base", "last lever", far),
    ]
    return bodies, joints, (middle, tip), 30.0


def _double_rods(rng: Random) -> Made:
    """A crank and a hub of equal arms with a rod on either side: rods that fit exactly, for all pins are moved by one vector."""
    apart = complex(round(rng.uniform(40, 70), 3), round(rng.uniform(-10, 10), 3))
    turn = rng.uniform(0, 2 * math.pi)
    pins = [complex(*np.round([p.real, p.imag], 3)) for p in (cmath.rect(rng.uniform(10, 18), turn + way) for way in (0.0, 2.2))]
    bodies = [
        _bar("crank", 0j, pins[0], 1),
        _bar("rod", pins[0], pins[0] + apart, 2),
        _bar("second rod", pins[1], pins[1] + apart, 3),
        _bar("hub", apart, pins[0] + apart, 4),
    ]
    joints = [_pivot("shaft", "base", "crank", 0j), _pivot("hub shaft", "base", "hub", apart)]
    for name, pin in zip(("rod", "second rod"), pins, strict=True):
        joints += [_pivot(f"near pin of {name}", "crank", name, pin), _pivot(f"far pin of {name}", name, "hub", pin + apart)]
    return bodies, joints, (pins[0], pins[0] + apart), 50.0


KINDS: dict[str, Callable[[Random], Made]] = {
    "four-bar": _four_bar,
    "slider-crank": _slider_crank,
    "six-bar": _six_bar,
    "double rods": _double_rods,
}


def four_bar_bay(seed: int) -> Record:
    """The loop that most mechanisms are made of."""
    return loop_bay("four-bar", seed)
