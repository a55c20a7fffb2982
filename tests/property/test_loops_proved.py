"""Proofs along closed loops held against the independent checker, which closes loops by least squares of its own."""

import cmath
import math
from typing import Any

import msgspec
import numpy as np
import pytest

from core.model.project import Project
from core.sweep.at_pose import PoseGaps
from core.sweep.run import check_project
from tests.checker.bay import Bay

CASES = 24


def _pair(point: complex) -> list[float]:
    return [round(point.real, 6), round(point.imag, 6)]


def _bar(name: str, start: complex, end: complex, depth: list[float]) -> dict[str, Any]:
    shape = {"kind": "bar", "from": _pair(start), "to": _pair(end), "radius": 2.0}
    return {"name": name, "fixed": False, "depth": depth, "shapes": [shape]}


def _pivot(name: str, one: str, other: str, at: complex) -> dict[str, Any]:
    return {"kind": "pivot", "name": name, "between": [one, other], "at": _pair(at)}


def four_bar_bay(seed: int) -> dict[str, Any]:
    """A four-bar whose coupler carries a vane, among posts; all but the posts and the vane pass over each other."""
    rng = np.random.default_rng(seed)
    ground, crank = rng.uniform(50, 80), rng.uniform(10, 18)
    follower, start = rng.uniform(30, 45), rng.uniform(0, 2 * math.pi)
    pin = cmath.rect(crank, start)
    # The coupler is as long as this pose of the follower needs, so that the drawing closes exactly.
    tip = ground + cmath.rect(follower, rng.uniform(1.2, 1.9))
    vane = (pin + tip) / 2 + cmath.rect(rng.uniform(8, 16), rng.uniform(0, 2 * math.pi))
    corners = [vane + cmath.rect(4.0, angle) for angle in (0.3, 2.2, 4.4)]
    coupler = _bar("coupler", pin, tip, [10, 12])
    coupler["shapes"].append({"kind": "polygon", "points": [_pair(corner) for corner in corners], "holes": [], "corner_radius": 0})
    posts = [
        {
            "name": f"post {number}",
            "fixed": True,
            "depth": [0, 30],
            "shapes": [{"kind": "disc", "centre": _pair(vane + cmath.rect(rng.uniform(6, 22), rng.uniform(0, 7))), "radius": 1.5}],
        }
        for number in range(3)
    ]
    width = rng.uniform(15, 50)
    return {
        "baysweep": 1,
        "name": f"four-bar {seed}",
        "required_gap": 0.5,
        "sections": [
            {
                "name": "Side",
                "bodies": [
                    {"name": "base", "fixed": True, "depth": [-9, -8], "shapes": [{"kind": "disc", "centre": [0, 0], "radius": 3}]},
                    _bar("crank", 0j, pin, [5, 7]),
                    coupler,
                    _bar("follower", ground + 0j, tip, [15, 17]),
                    *posts,
                ],
                "joints": [
                    _pivot("shaft", "base", "crank", 0j),
                    _pivot("crank pin", "crank", "coupler", pin),
                    _pivot("tip", "coupler", "follower", tip),
                    _pivot("heel", "base", "follower", ground + 0j),
                ],
            }
        ],
        "drives": [
            {
                "name": "turn",
                "unit": "deg",
                "from": -width,
                "to": width,
                "home": 0,
                "speed": 60,
                "moves": [{"section": "Side", "joint": "shaft", "ratio": 1}],
            }
        ],
    }


@pytest.mark.parametrize("seed", range(CASES))
def test_four_bar_with_a_vane_among_posts(seed: int) -> None:
    record = four_bar_bay(seed)
    project = msgspec.convert(record, Project, strict=False)
    result = check_project(project)
    bay = Bay(record)
    pairs = {(pair.a, pair.b): pair for pair in bay.pairs()}
    poses = PoseGaps(project)
    told = 0
    for check in result.of_sweep("solo"):
        pair = pairs.get(check.between) or pairs.get(check.between[::-1])
        assert pair is not None, check.between
        reached = {name: (low, high) for name, low, high in check.reached}["turn"]
        whole = reached == (project.drives[0].start, project.drives[0].end)
        at = {gap.between: gap.gap for gap in poses.at(dict(check.at))}
        assert at[check.between] == pytest.approx(check.lowest_gap, abs=1e-5)
        for value in np.linspace(*reached, 25):
            gap = bay.gap_of(pair, bay.row({"turn": float(value)}))
            if not math.isfinite(gap.value):
                continue
            told += 1
            assert check.floor is None or gap.high >= check.floor - 1e-6
            if gap.high < pair.sure:
                assert check.verdict == "breach"
                assert any(breach.start - 1e-3 <= value <= breach.end + 1e-3 for breach in check.breaches)
        if not whole:
            assert check.verdict != "clear"
    assert told > 0


def test_most_four_bars_are_decided() -> None:
    checks = [check for seed in range(12) for check in check_project(msgspec.convert(four_bar_bay(seed), Project)).checks]
    full = [check for check in checks if all(low == -high for _, low, high in check.reached)]
    assert full
    assert all(check.verdict != "undecided" and check.proof == "bounded" for check in full)
