"""Gaps of single rows at poses of their own: measured together they are what each is alone, and what all pairs are told at that pose."""

import random

import pytest

from app.command_line import sample_files
from core.project_file.read import read_project
from core.sweep.at_pose import PoseGaps
from tests.bench.ring_bay import ring_bay

PROJECTS = {"ring": ring_bay(3), **{name: read_project(path) for name, path in sample_files().items() if "owl" not in name}}
ASKED = 24


def some_rows(gaps, seed=4):
    rng = random.Random(seed)
    drives = gaps.project.drives
    return [(rng.choice(gaps.plan.rows), {drive.name: rng.uniform(drive.start, drive.end) for drive in drives}) for _ in range(ASKED)]


@pytest.mark.parametrize("name", PROJECTS)
def test_rows_together_are_told_to_the_last_digit_as_alone(name):
    gaps = PoseGaps(PROJECTS[name])
    # some of them at one and the same pose
    asked = [*some_rows(gaps), *((row, {}) for row in gaps.plan.rows[:8])]
    assert gaps.rows_at(asked) == [PoseGaps(PROJECTS[name], plan=gaps.plan, linkage=gaps.linkage).row_at(*one) for one in asked]


@pytest.mark.parametrize("name", PROJECTS)
def test_the_gap_of_a_pair_is_that_of_all_pairs_at_the_pose(name):
    gaps = PoseGaps(PROJECTS[name])
    for row, values in some_rows(gaps)[:6]:
        told = gaps.pair_at(row.pair.section, row.pair.between, values)
        (same,) = (one for one in gaps.at(values) if (one.section, one.between) == (row.pair.section, row.pair.between))
        assert told.gap == pytest.approx(same.gap, abs=1e-9)
        assert told.reached == same.reached
        assert (told.required_gap, told.tolerance, told.passes_over) == (same.required_gap, same.tolerance, same.passes_over)


def test_what_was_measured_together_is_remembered_one_by_one():
    gaps = PoseGaps(PROJECTS["ring"])
    asked = some_rows(gaps)
    told = gaps.rows_at([*asked, asked[0]])
    assert told[0] is told[-1]
    assert [gaps.row_at(*one) for one in asked] == told[:-1]
    assert all(gaps.row_at(*one) is known for one, known in zip(asked, told, strict=False))
    elsewhere = {**asked[0][1], gaps.project.drives[0].name: gaps.project.drives[0].start}
    assert gaps.row_at(asked[0][0], elsewhere) is not told[0]


def test_nothing_asked_is_nothing_told():
    assert PoseGaps(PROJECTS["ring"]).rows_at([]) == []
