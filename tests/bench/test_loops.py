"""Closed loops: poses a second, and the ratio to scipy.optimize.root from a good start, in one run."""

import math
import time
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import root

from core.model.project import Project
from core.motion import pose
from core.motion.closure import closed
from core.motion.linkage import linkage_of
from core.motion.pose import poses
from core.tolerances import DEFAULT_TOLERANCES
from tests.bench.ring_bay import ring_bay
from tests.mechanisms import BAY, circles_meet, drive, four_bar, mechanism, pivot, polar

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


def test_turns_of_a_dyad_against_scipy_root(benchmark):
    lengths = (40.0, 120.0, 80.0, 100.0)
    linkage = linkage_of(four_bar(lengths, drawn=40))
    (loop,) = linkage.sections[0].loops
    moved = np.linspace(0, 360, POSES)[:, None]
    closed(loop, moved, DEFAULT_TOLERANCES)
    found = benchmark(lambda: closed(loop, moved, DEFAULT_TOLERANCES))
    assert found.reached.all()
    some = np.linspace(0, POSES - 1, ROOTS).astype(int)
    start = time.perf_counter()
    expected = _roots(lengths, 40 + moved[some, 0])
    alone = (time.perf_counter() - start) / ROOTS
    # crank, coupler and follower hang on each other: the follower's turn is the sum of all three
    assert np.degrees(found.freedoms[:, some].sum(axis=0)) == pytest.approx(np.array(expected) - expected[0], abs=1e-6)
    _compared(benchmark, alone)


def test_whole_poses_of_a_dyad_against_sines_of_every_turn(benchmark, monkeypatch):
    """What the closure hands over of its circles, against poses worked out from its turns alone."""
    linkage = linkage_of(four_bar((40.0, 120.0, 80.0, 100.0), drawn=40))
    section = linkage.sections[0]
    values = np.linspace(40, 400, POSES)[:, None]
    poses(section, linkage, values)
    found = benchmark(lambda: poses(section, linkage, values))
    monkeypatch.setattr(pose, "closed", lambda *asked: replace(closed(*asked), rotors=()))
    plain, seconds = min((_timed(lambda: poses(section, linkage, values)) for _ in range(5)), key=lambda timed: timed[1])
    assert np.abs(found.shift - plain.shift).max() < 1e-9
    if benchmark.stats:
        benchmark.extra_info["times sines anew"] = round(seconds / benchmark.stats.stats.min, 2)


def test_one_pose_of_many_bodies_against_arrays_of_one(benchmark):
    linkage = linkage_of(ring_bay(16))
    section = linkage.sections[0]
    moved = np.linspace(-5, 5, len(linkage.drawn))
    shape = (len(section.groups), 1)

    def arrays() -> np.ndarray:
        turn, shift = np.zeros(shape), np.zeros(shape, dtype=complex)
        pose._placed(section, moved[None], {}, turn, shift)
        return shift

    found = benchmark(lambda: poses(section, linkage, linkage.drawn + moved))
    plain, seconds = min((_timed(arrays) for _ in range(5)), key=lambda timed: timed[1])
    assert np.abs(found.shift.T - plain).max() < 1e-9
    if benchmark.stats:
        benchmark.extra_info["times arrays of one"] = round(seconds / benchmark.stats.stats.min, 1)


def _timed(work):
    start = time.perf_counter()
    return work(), time.perf_counter() - start


def _compared(benchmark, alone: float) -> None:
    if benchmark.stats:
        own = benchmark.stats.stats.min / POSES
        figures = {"microseconds a pose": round(own * 1e6, 3), "million poses a second": round(1e-6 / own, 2)}
        benchmark.extra_info.update({**figures, "times scipy.root": round(alone / own, 1)})


PIVOTS = (0j, 100 + 0j, 210 - 10j, 330 + 15j)
LINKS = ((30.0, 105.0, 70.0), (70.0, 112.0, 75.0), (75.0, 118.0, 72.0))
"""Driving arm, coupler and driven arm of three four-bars, each driven by the one before."""
DRAWN = 60.0


def _pins(crank: complex) -> list[complex]:
    """The pins of three four-bars in a row, from that of the crank: each where two circles meet."""
    pins = [crank]
    for number, (_, coupler, arm) in enumerate(LINKS):
        pins.append(circles_meet(pins[-1], coupler, PIVOTS[number + 1], arm, left=True))
    return pins


def four_bars_in_a_row() -> Project:
    pins = _pins(polar(LINKS[0][0], DRAWN))
    names = ["crank", "lever 1", "lever 2", "lever 3"]
    joints = [pivot(f"{name} pivot", BAY, name, at) for name, at in zip(names, PIVOTS, strict=True)]
    for number in range(3):
        joints.append(pivot(f"near pin {number}", names[number], f"coupler {number}", pins[number]))
        joints.append(pivot(f"far pin {number}", f"coupler {number}", names[number + 1], pins[number + 1]))
    return mechanism(joints, drive("crank", ("crank pivot", 1), travel=(0, 360), home=DRAWN, drawn=DRAWN))


def _levers(cranks: np.ndarray) -> list[float]:
    """Angles of the last lever by a root a pose over all six angles, each started from the one before it."""
    pins = _pins(polar(LINKS[0][0], DRAWN))
    state = np.array([np.angle(after - before) for before, after in pairwise(pins)])
    state = np.concatenate([state, [np.angle(pin - at) for pin, at in zip(pins[1:], PIVOTS[1:], strict=True)]])

    def missing(angles: np.ndarray, crank: float) -> list[float]:
        rows, pin = [], polar(LINKS[0][0], crank)
        for number, (_, coupler, arm) in enumerate(LINKS):
            far = PIVOTS[number + 1] + arm * np.exp(1j * angles[3 + number])
            gap = pin + coupler * np.exp(1j * angles[number]) - far
            rows += [gap.real, gap.imag]
            pin = far
        return rows

    found = []
    for crank in cranks:
        state = root(missing, state, args=(crank,), tol=1e-12).x
        found.append(math.degrees(state[5]))
    return found


def test_three_coupled_loops_against_scipy_root(benchmark):
    linkage = linkage_of(four_bars_in_a_row())
    section = linkage.sections[0]
    moved = np.linspace(0, 60, POSES)[:, None]
    (loop,) = section.loops
    assert len(loop.closing) == 3
    closed(loop, moved, DEFAULT_TOLERANCES)
    found = benchmark(lambda: closed(loop, moved, DEFAULT_TOLERANCES))
    assert found.reached.all()
    some = np.linspace(0, POSES - 1, ROOTS).astype(int)
    start = time.perf_counter()
    expected = _levers(DRAWN + moved[some, 0])
    alone = (time.perf_counter() - start) / ROOTS
    lever = poses(section, linkage, DRAWN + moved[some])
    assert np.degrees(lever.turn[:, section.group_of("lever 3")]) == pytest.approx(np.array(expected) - expected[0], abs=1e-6)
    _compared(benchmark, alone)
