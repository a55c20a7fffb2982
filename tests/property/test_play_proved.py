"""Proofs over mechanisms whose pins have play, held against configurations that scipy finds within it; none may come closer."""

import cmath
import math
from typing import Any

import msgspec
import numpy as np
import pytest

from core.model.project import Project
from core.sweep.run import check_project
from tests.loose_pins import LEVER, LoosePins, centred

BAYS, VALUES, LOOKS = 6, 3, 3
OTHER_BRANCH = 0.3
"""Radians; play turns no part of these bays by half as much."""
ROUNDING = 3e-6
"""mm: what scipy may overstep, and the six decimals of an answer."""


def _bar(name: str, depth: list[float], *ends: tuple[complex, complex]) -> dict[str, Any]:
    shapes = [{"kind": "bar", "from": _pair(start), "to": _pair(end), "radius": 2.0} for start, end in ends]
    return {"name": name, "fixed": False, "depth": depth, "shapes": shapes}


def _pair(point: complex) -> list[float]:
    return [round(float(point.real), 6), round(float(point.imag), 6)]


def _pivot(name: str, one: str, other: str, at: complex, play: float) -> dict[str, Any]:
    return {"kind": "pivot", "name": name, "between": [one, other], "at": _pair(at), "play": round(float(play), 3)}


def rod_bay(seed: int, *, rods: int) -> dict[str, Any]:
    """A horn that works a lever by one rod or two, among posts; the lever carries an arm. Every pin has play."""
    rng = np.random.default_rng(seed)
    apart, horn, hub, tilt = rng.uniform(45, 75), rng.uniform(9, 15), rng.uniform(10, 18), rng.uniform(-25, 25)
    ways = [cmath.rect(1.0, math.radians(90 + tilt)), -cmath.rect(1.0, math.radians(90 + tilt))][:rods]
    pins = [(horn * way, apart + hub * way) for way in ways]
    arm = apart + cmath.rect(rng.uniform(25, 35), rng.uniform(-0.6, 0.6))
    posts = [arm + cmath.rect(rng.uniform(7, 16), rng.uniform(0, 7)), complex(apart / 2, rng.choice([-1, 1]) * rng.uniform(0, 26))]
    pivots, play = rng.choice([0.0, 0.1]), rng.uniform(0.08, 0.3)
    bodies = [
        {"name": "base", "fixed": True, "depth": [-9, -8], "shapes": [{"kind": "disc", "centre": [0, 0], "radius": 3}]},
        _bar("horn", [5, 7], *[(0j, pin) for pin, _ in pins]),
        _bar("lever", [5, 7], *[(apart + 0j, pin) for _, pin in pins], (apart + 0j, arm)),
        *(_bar(f"rod {number}", [10, 12], own) for number, own in enumerate(pins)),
        *(
            {"name": f"post {number}", "fixed": True, "depth": [0, 30], "shapes": [{"kind": "disc", "centre": _pair(post), "radius": 1.5}]}
            for number, post in enumerate(posts)
        ),
    ]
    joints = [_pivot("horn pivot", "base", "horn", 0j, pivots), _pivot("hub pivot", "base", "lever", apart + 0j, pivots)]
    for number, (one, other) in enumerate(pins):
        joints.append(_pivot(f"horn pin {number}", "horn", f"rod {number}", one, play * rng.uniform(0.8, 1.2)))
        joints.append(_pivot(f"hub pin {number}", f"rod {number}", "lever", other, play * rng.uniform(0.8, 1.2)))
    travel = float(rng.uniform(15, 45))
    moves = [{"section": "Side", "joint": "horn pivot", "ratio": 1}]
    return {
        "baysweep": 1,
        "name": f"rods {seed}",
        "required_gap": 0.5,
        "sections": [{"name": "Side", "bodies": bodies, "joints": joints}],
        "drives": [{"name": "servo", "unit": "deg", "from": -travel, "to": travel, "home": 0, "speed": 60, "moves": moves}],
    }


def states(pins: LoosePins, start: np.ndarray, rng: np.random.Generator) -> list[np.ndarray]:
    """States at the rim of what play allows, in random directions and with each body turned as far as it goes."""
    aims = [way * np.eye(len(start))[3 * number + 2] for number in range(len(pins.free)) for way in (-1.0, 1.0)]
    aims += list(rng.normal(size=(LOOKS, len(start))))
    found = [pins.least(lambda state, aim=aim: float(aim @ state), start) for aim in aims]
    # A search may jump to the other way to assemble the parts, which is not what the drives lead to.
    return [state for state in found if state is not None and np.abs(state - start)[2::3].max() < OTHER_BRANCH * LEVER]


def held(record: dict[str, Any], seed: int) -> tuple[int, int]:
    """How many configurations were looked at, and how many rows were decided; asserts that none is closer than proved."""
    project = msgspec.convert(record, Project)
    result = check_project(project, covers="solo")
    rng, section, looked = np.random.default_rng(1000 + seed), record["sections"][0], 0
    checks = [check for check in result.of_sweep("solo") if check.depth_gap is None]
    low, high = next(check.reached[0][1:] for check in checks if "lever" in check.between)
    for value in (low, *rng.uniform(low, high, VALUES - 2), high):
        pins = LoosePins(section, {"horn pivot": float(value)})
        for state in states(pins, centred(project, pins, float(value)), rng):
            looked += 1
            for check in checks:
                gap = pins.gap(state, *check.between)
                if check.floor is not None:
                    assert gap >= check.floor - ROUNDING, (seed, value, check.between)
                if gap < check.required_gap - ROUNDING:
                    assert check.verdict != "clear"
                    near = any(breach.start - 1e-3 <= value <= breach.end + 1e-3 for breach in check.breaches)
                    assert near or check.verdict == "undecided", (seed, value, check.between, gap)
    return looked, sum(check.verdict != "undecided" for check in checks)


@pytest.mark.parametrize("seed", range(BAYS))
def test_two_rods_with_play_never_come_closer_than_proved(seed: int) -> None:
    looked, _ = held(rod_bay(seed, rods=2), seed)
    assert looked > VALUES


@pytest.mark.parametrize("seed", range(50, 50 + BAYS // 2))
def test_one_rod_with_play_never_comes_closer_than_proved(seed: int) -> None:
    looked, decided = held(rod_bay(seed, rods=1), seed)
    assert looked > VALUES
    assert decided
