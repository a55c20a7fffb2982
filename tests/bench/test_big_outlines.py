"""Outlines of 500 corners against those of 60, in one run: `pytest tests/bench/test_big_outlines.py --benchmark-enable`.

Nothing here fails for being slow; verdicts and lowest gaps of both are compared. The ratio is stored in `extra_info`.
"""

import math
import time

import numpy as np
import pytest

from core.model.project import Project
from core.sweep.result import Check
from core.sweep.run import check_project
from tests.bays import bar, bay, body, disc, drive, pivot, polygon, project, slide

FEW, MANY = 60, 500
ROUNDS = 5
REACH = 25.0


def oval(corners: int) -> np.ndarray:
    turns = math.tau * np.arange(corners) / corners
    return REACH * (np.cos(turns) + 0.8j * np.sin(turns))


def kidney(corners: int) -> np.ndarray:
    turns = math.tau * np.arange(corners) / corners - math.pi
    return (REACH - 12 * np.exp(-(turns**2) / 0.3)) * np.exp(1j * turns)


def lever_beside(points: np.ndarray) -> Project:
    """The outline turns about its middle, a lever with a disc at its end slides across it; 5 mm between the reach of both."""
    outline = polygon(*((round(float(point.real), 6), round(float(point.imag), 6)) for point in points))
    lever = [bar((59, 0), (34, 0), 2), disc(34, 0, 4)]
    bodies = [body("base", disc(500, 500, 1), fixed=True), body("lever", *lever), body("rotor", outline)]
    joints = [pivot("pin", "base", "rotor"), slide("rail", "base", "lever", along=90.0)]
    drives = [drive("swing", (-40, 50), "pin"), drive("lift", (-4, 3), "rail", unit="mm")]
    return project(bay(bodies, joints, drives, required_gap=1.0))


def answer(asked: Project) -> Check:
    result = check_project(asked, covers="combined", safe_anywhere=False, safe_box=False)
    return next(check for check in result.checks if set(check.between) == {"lever", "rotor"})


def seconds(asked: Project) -> float:
    start = time.perf_counter()
    answer(asked)
    return time.perf_counter() - start


@pytest.mark.parametrize("form", [oval, kidney], ids=lambda form: form.__name__)
def test_many_corners_against_few(benchmark, form):
    few, many = (lever_beside(form(corners)) for corners in (FEW, MANY))
    plain = answer(few)
    found = benchmark.pedantic(answer, args=(many,), rounds=ROUNDS, warmup_rounds=1) if benchmark.enabled else benchmark(answer, many)
    assert found.verdict == plain.verdict == "clear"
    # Chords of few corners lie off the same curve by 0.034 on a circle of its reach, and by more at the kidney's bay, which bends more.
    assert abs(found.lowest_gap - plain.lowest_gap) < 0.1
    if benchmark.stats:
        beside = min(seconds(few) for _ in range(ROUNDS))
        own = benchmark.stats.stats.min
        benchmark.extra_info.update({"ratio": round(own / beside, 2), "corners": round(MANY / FEW, 2), "ms": round(1e3 * own, 1)})
