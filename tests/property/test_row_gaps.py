"""Gaps of whole rows at many poses, with a cap and without, held against every core pair measured one by one and the checker."""

import math
import os

import numpy as np
import pytest

from core.clearance.batch import CorePair, Kind
from core.clearance.posed import gaps_at, posed_batch, spread_in_b
from core.clearance.small_cores import SIZES, small_cores
from core.model.names import DriveName
from core.motion.pose import poses
from core.sweep.at_pose import PoseGaps
from tests.bays import project
from tests.checker import load
from tests.property.random_bays import random_bay

COUNT = min(int(os.environ.get("BAYSWEEP_RANDOM_BAYS", "10000")) // 2, 1000)
CHUNK = 50
POSES = 40
CAPS = (math.inf, 10.0, 0.5, 0.0, -1.0)


def somewhere(record, rng: np.random.Generator) -> np.ndarray:
    ends = np.array([[drive["from"], drive["to"]] for drive in record["drives"]], dtype=float)
    return rng.uniform(ends[:, 0], ends[:, 1], size=(POSES, len(ends)))


def one_by_one(gaps: PoseGaps, values: np.ndarray) -> np.ndarray:
    """(n, R): every core pair of every row at every pose, nothing left out."""
    section = gaps.linkage.sections[0]
    posed = poses(section, gaps.linkage, values)
    batch = posed_batch([core for row in gaps.plan.rows for shapes in row.shape_pairs for core in shapes.cores])
    rows = []
    place = 0
    for row in gaps.plan.rows:
        least = np.full(len(values), math.inf)
        for shapes in row.shape_pairs:
            a, b = row.pair.groups[::-1] if shapes.room_first else row.pair.groups
            back = np.exp(-1j * posed.turn[:, b])
            spread = spread_in_b(np.exp(1j * posed.turn[:, a]) * back, (posed.shift[:, a] - posed.shift[:, b]) * back)
            for _ in shapes.cores:
                least = np.minimum(least, gaps_at(batch, np.full(len(values), place), spread))
                place += 1
        rows.append(least)
    return np.stack(rows, axis=1)


@pytest.mark.parametrize("first", range(0, COUNT, CHUNK))
def test_capped_gaps_are_the_exact_ones_below_the_cap_and_the_cap_above_it(first):
    seen = 0
    for seed in range(first, first + CHUNK):
        record = random_bay(seed)
        gaps = PoseGaps(project(record))
        if not gaps.plan.rows:
            continue
        values = somewhere(record, np.random.default_rng(seed))
        exact = one_by_one(gaps, values)
        name = gaps.project.sections[0].name
        for cap in CAPS:
            told = gaps.all_over(name, values, cap=cap)
            assert np.abs(told - np.minimum(exact, cap)).max() < 1e-9, (seed, cap)
            seen += told.size
    assert seen


def test_one_pose_tells_of_every_pair_what_the_checker_measures():
    """The checker poses and measures by means of its own."""
    for seed in range(0, 4 * CHUNK, 4):
        record = random_bay(seed, rooms=False, depths=False, knuckles=False)
        gaps, bay = PoseGaps(project(record)), load(record)
        values = somewhere(record, np.random.default_rng(seed))[0]
        named = {DriveName(drive["name"]): float(value) for drive, value in zip(record["drives"], values, strict=True)}
        for told in gaps.at(named):
            outside = bay.gap(told.section, *told.between, named)
            assert told.gap <= outside.value + 1e-6, (seed, told, outside)
            # How deep concave shapes overlap is measured elsewhere; here that an overlap is told, and never as a gap.
            assert (told.gap < 0) == (outside.value < 0) or abs(outside.value) < 1e-6, (seed, told, outside)
            assert told.gap < 0 or outside.low - 1e-6 <= told.gap, (seed, told, outside)


def polygon(rng: np.random.Generator, corners: int) -> np.ndarray:
    """A convex polygon, counter-clockwise, on an ellipse anywhere near; one and two corners too."""
    round_it = np.exp(1j * (np.sort(rng.choice(360, corners, replace=False)) * math.tau / 360))
    return complex(*rng.uniform(-12, 12, 2)) + rng.uniform(3, 9) * round_it.real + 1j * rng.uniform(3, 9) * round_it.imag


def test_small_cores_of_any_size_have_the_gap_that_others_have_too():
    rng = np.random.default_rng(3)
    sizes = [(int(a), int(b)) for a, b in rng.integers(1, SIZES[-1] + 4, size=(1500, 2))]
    batch = posed_batch([CorePair(Kind.CONVEX, polygon(rng, a), polygon(rng, b), float(rng.uniform(0, 2))) for a, b in sizes])
    pair = rng.integers(len(batch), size=40_000)
    spin = np.exp(1j * rng.uniform(-math.pi, math.pi, len(pair)))
    shift = rng.uniform(-25, 25, len(pair)) + 1j * rng.uniform(-25, 25, len(pair))
    told, wanted = small_cores(batch).gaps(pair, spin, shift), gaps_at(batch, pair, spread_in_b(spin, shift))
    small = np.array([max(size) <= SIZES[-1] for size in sizes])[pair]
    assert np.array_equal(~np.isnan(told), small)
    assert np.abs(told - wanted)[small].max() < 1e-9
    assert 0.1 < np.mean(wanted < 0) < 0.9


def test_a_disc_inside_a_polygon_of_many_corners_overlaps_it():
    ring = 10 * np.exp(1j * np.arange(24) * math.tau / 24)
    batch = posed_batch([CorePair(Kind.CONVEX, ring, np.zeros(1, dtype=complex), 2.0)])
    inside = gaps_at(batch, np.zeros(1, dtype=np.int64), spread_in_b(np.ones(1, dtype=complex), np.zeros(1, dtype=complex)))
    assert inside[0] == pytest.approx(-10 * math.cos(math.pi / 24) - 2.0, abs=1e-9)
