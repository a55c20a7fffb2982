"""Proofs along closed loops held against the independent checker, which closes loops by least squares of its own.

BAYSWEEP_RANDOM_LOOPS sets how many loops of each kind, to shorten a trial.
"""

import os

import pytest

from tests.property.beside import Beside
from tests.property.loop_faults import Looked, looked_at
from tests.property.random_loops import KINDS, loop_bay

COUNT = int(os.environ.get("BAYSWEEP_RANDOM_LOOPS", "80"))
CHUNK = 20
CHUNKS = [(kind, range(first, min(first + CHUNK, COUNT))) for kind in KINDS for first in range(0, COUNT, CHUNK)]
DECIDED = {"four-bar": 0.8, "slider-crank": 0.95, "six-bar": 0.8, "double rods": 0.9}
"""Least share of rows that must be decided of each chunk; the rest are loops that stop inside the travel, or stand near a dead centre."""


def chunk(case: tuple[str, range]) -> Looked:
    kind, seeds = case
    every = [looked_at(loop_bay(kind, seed)) for seed in seeds]
    return Looked([fault for one in every for fault in one.faults], sum(one.decided for one in every), sum(one.rows for one in every))


@pytest.fixture(scope="module")
def chunks():
    with Beside(chunk, CHUNKS) as answers:
        yield answers


@pytest.mark.parametrize("number", range(len(CHUNKS)), ids=lambda number: f"{CHUNKS[number][0]} from {CHUNKS[number][1].start}")
def test_loops_with_a_vane_among_posts(chunks, number):
    found = chunks.answer(number)
    assert not found.faults, "\n".join(found.faults)
    assert found.decided >= DECIDED[CHUNKS[number][0]] * found.rows > 0
