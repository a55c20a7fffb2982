"""The joint safe box on random bays, against the independent checker: nothing in it breaches, and no side of it could reach farther."""

import os

import numpy as np
import pytest
from msgspec import structs

from core.sweep.run import check_project
from tests.bays import check, project
from tests.checker import load
from tests.property.bay_faults import pairs_of
from tests.property.random_bays import random_bay

COUNT = max(int(os.environ.get("BAYSWEEP_RANDOM_BAYS", "10000")) // 50, 20)
SAMPLES = 400
STEP = 0.002
"""Drive units that no side can be grown by: twice what ends are known to."""


def corners_and_inside(rng, low, high):
    """Random poses of a box, half of them with every drive at an end."""
    inside = low + rng.random((SAMPLES, len(low))) * (high - low)
    at_ends = np.where(rng.random((SAMPLES, len(low))) < 0.5, low, high)
    return np.vstack([inside, at_ends])


def boxed(seed):
    record = random_bay(seed, rooms=False)
    record.pop("allowed_together", None)
    return record, check(record, safe_anywhere=False, covers="combined", seek="verdict")


@pytest.mark.parametrize("seed", range(90_000, 90_000 + COUNT))
def test_no_pose_in_the_box_breaches(seed):
    record, result = boxed(seed)
    box = result.safe_box
    bay = load(record)
    pairs = pairs_of(bay).values()
    if not box.travels:
        home = bay.row()
        at_home = any(bay.nearer(pair, home, pair.sure + 1e-5).any() for pair in pairs)
        assert at_home if box.code == "home-breaches" else any(check.verdict == "undecided" for check in result.checks)
        return
    low, high = (np.array([travel[place] for travel in box.travels]) for place in (1, 2))
    spans = bay.drives.spans()
    assert np.all(np.diff(np.stack([spans[:, 0], low, bay.row()[0], high, spans[:, 1]]), axis=0) >= 0)
    if result.verdict == "clear":
        assert np.array_equal(np.stack([low, high], axis=1), spans)
    values = corners_and_inside(np.random.default_rng(seed), low, high)
    for pair in pairs:
        near = bay.nearer(pair, values, pair.sure)
        assert not near.any(), f"{pair.key} nearer than {pair.sure} at {values[near][0].tolist()}"


def test_no_single_side_could_reach_farther():
    """Each side that ends before its travel: with that side longer by a step the same bay is no longer clear."""
    stopped, undecided = 0, 0
    for seed in range(91_000, 91_000 + 2 * COUNT):
        record, result = boxed(seed)
        undecided += any(check.verdict == "undecided" for check in result.checks)
        for name, end, longer in longer_sides(record, result.safe_box.travels):
            stopped += 1
            travels = {other: [low, high] for other, low, high in result.safe_box.travels}
            travels[name][end == "to"] = longer
            assert verdict_within(record, travels) == "breach", f"seed {seed}: {name} {end} {longer}"
    assert stopped >= COUNT // 10
    assert not undecided


def longer_sides(record, travels):
    """(drive, "from" or "to", where it would end) of the sides that end before their travel."""
    for (name, low, high), drive in zip(travels, record["drives"], strict=bool(travels)):
        if low > drive["from"]:
            yield name, "from", max(round(low - STEP, 6), drive["from"])
        if high < drive["to"]:
            yield name, "to", min(round(high + STEP, 6), drive["to"])


def verdict_within(record, travels):
    """The verdict of the same bay with other travels."""
    asked = project(record)
    drives = tuple(
        structs.replace(drive, start=travels[drive.name][0], end=travels[drive.name][1], drawn=drive.drawn_value) for drive in asked.drives
    )
    return check_project(
        structs.replace(asked, drives=drives), covers="combined", seek="verdict", safe_anywhere=False, safe_box=False
    ).verdict
