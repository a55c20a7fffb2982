"""The tightest pair of a pose found without the gaps of pairs far apart, held against the least of all pairs one by one."""

import math
import os

import numpy as np
import pytest

from app.command_line import sample_files
from core.project_file.read import read_project
from core.sweep.at_pose import PoseGaps
from tests.bays import project
from tests.property.random_bays import random_bay

COUNT = min(int(os.environ.get("BAYSWEEP_RANDOM_BAYS", "10000")) // 25, 200)
CHUNK = 20
POSES = 6


def left(gap):
    return gap.gap - gap.tolerance - gap.required_gap


def held(made, seed):
    gaps, rng = PoseGaps(made), np.random.default_rng(seed)
    asked = 0
    for _ in range(POSES):
        values = {drive.name: float(rng.uniform(drive.start, drive.end)) for drive in made.drives}
        of_all = gaps.at(values)
        for section in made.sections:
            wanted = [one for one in of_all if one.section == section.name and not one.passes_over]
            found = gaps.tightest(section.name, values)
            assert (found is None) == (not wanted)
            if found is not None:
                assert left(found) == min(left(one) for one in wanted)
                same = next(one for one in wanted if one.between == found.between)
                # Of two places where a pair comes equally near either may be told.
                assert found._replace(points=same.points) == same
                assert math.dist(*found.points) == pytest.approx(math.dist(*same.points), abs=1e-9)
                asked += 1
    return asked


@pytest.mark.parametrize("first", range(0, COUNT, CHUNK))
def test_of_random_bays(first):
    assert sum(held(project(random_bay(seed)), seed) for seed in range(first, first + CHUNK)) > 0


@pytest.mark.parametrize("name", sorted(sample_files()))
def test_of_every_sample(name):
    assert held(read_project(sample_files()[name]), 1) > 0


def test_a_section_that_is_not_there_has_none():
    assert PoseGaps(project(random_bay(1))).tightest("nowhere", {}) is None
