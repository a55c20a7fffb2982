"""Random bays: what the program proves of each is held against the independent checker's sampling (`bay_faults`).

They run in processes beside each other, one a core. BAYSWEEP_RANDOM_BAYS sets how many bays, to shorten a trial.
"""

import os

import pytest

from tests.property.bay_faults import faults
from tests.property.beside import Beside

COUNT = int(os.environ.get("BAYSWEEP_RANDOM_BAYS", "10000"))
CHUNK = 250
CHUNKS = [range(first, min(first + CHUNK, COUNT)) for first in range(0, COUNT, CHUNK)]


def chunk_faults(seeds: range) -> list[str]:
    return [fault for seed in seeds for fault in faults(seed)]


@pytest.fixture(scope="module")
def chunks():
    with Beside(chunk_faults, CHUNKS) as answers:
        yield answers


@pytest.mark.parametrize("number", range(len(CHUNKS)), ids=lambda number: f"from {CHUNKS[number].start}")
def test_answers_hold_against_the_checker(chunks, number):
    found = chunks.answer(number)
    assert not found, "\n".join(found)
