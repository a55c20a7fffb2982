"""Closed loops: poses a second, and the ratio to scipy.optimize.root from a good start, in one run."""

import math
import time

import numpy as np
import pytest
from scipy.optimize import root

from core.motion.linkage import linkage_of
from core.motion.pose import poses
from tests.mechanisms import four_bar, polar

POSES = 20_000
ROOTS = 300


def _roots(lengths: tuple[float, float, float, float], cranks: np.ndarray) -> list[float]:
    """Follower angles by a root a pose, each started from the one before it."""
    a, b, c, d = lengths

    def missing(angles: np.ndarray, crank: float) -> list[float]:
        gap = polar(a, crank) + polar(b, math.degrees(angles[0])) - d - polar(c, math.degrees(angles[1]))
        return [gap.real, gap.imag]

    state, found = np.radians([20.297883, 57.324880]), []
    for crank in cranks:
        state = root(missing, state, args=(crank,), tol=1e-12).x
        found.append(math.degrees(state[1]))
    return found


def test_four_bar_against_scipy_root(benchmark):
    lengths = (40.0, 120.0, 80.0, 100.0)
    linkage = linkage_of(four_bar(lengths, drawn=40))
    section = linkage.sections[0]
    values = np.linspace(40, 400, POSES)[:, None]
    poses(section, linkage, values)
    found = benchmark(lambda: poses(section, linkage, values))
    some = np.linspace(0, POSES - 1, ROOTS).astype(int)
    start = time.perf_counter()
    expected = _roots(lengths, values[some, 0])
    alone = (time.perf_counter() - start) / ROOTS
    follower = section.group_of("follower")
    assert found.reached.all()
    turned = np.degrees(found.turn[some, follower])
    assert turned - turned[0] == pytest.approx(np.array(expected) - expected[0], abs=1e-6)
    if benchmark.stats:
        own = benchmark.stats.stats.median / POSES
        benchmark.extra_info.update({"microseconds a pose": round(own * 1e6, 3), "times scipy.root": round(alone / own, 1)})
