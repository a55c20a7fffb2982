"""A section seen from its other side gives the same gaps: x turns round, and with it the sense of every pivot."""

from copy import deepcopy

import numpy as np
import pytest

from core.sweep.at_pose import PoseGaps
from tests.bays import gaps, project
from tests.property.random_bays import random_bay

SEEDS = range(100, 130)
POSES = 4


def mirrored(record):
    record = deepcopy(record)

    def point(place):
        return [-place[0], place[1]]

    (section,) = record["sections"]
    for shape in (shape for body in section["bodies"] for shape in body["shapes"]):
        shape.update({key: point(shape[key]) for key in ("centre", "from", "to") if key in shape})
        if shape["kind"] in ("box", "frame"):
            shape["turn"] = -shape.get("turn", 0)
        if shape["kind"] == "polygon":
            shape["points"], *shape["holes"] = [[point(place) for place in ring[::-1]] for ring in (shape["points"], *shape["holes"])]
    for joint in section["joints"]:
        if "at" in joint:
            joint["at"] = point(joint["at"])
        if "along" in joint:
            joint["along"] = 180 - joint["along"]
    pivots = {joint["name"] for joint in section["joints"] if joint["kind"] == "pivot"}
    for move in (move for drive in record["drives"] for move in drive["moves"]):
        move["ratio"] *= -1 if move["joint"] in pivots else 1
    return record


@pytest.mark.parametrize("seed", SEEDS)
def test_gaps_do_not_depend_on_the_side_from_which_a_section_is_seen(seed):
    record, rng = random_bay(seed), np.random.default_rng(seed)
    # A round wall that a body is drawn across is swept as chords, which begin at the same side of it both times.
    rows = PoseGaps(project(record)).plan.rows
    chord = {row.pair.between: max(other.chord for other in rows if other.pair is row.pair) for row in rows}
    for _ in range(POSES):
        values = {drive["name"]: float(rng.uniform(drive["from"], drive["to"])) for drive in record["drives"]}
        for here, there in zip(gaps(record, **values), gaps(mirrored(record), **values), strict=True):
            assert there.gap == pytest.approx(here.gap, abs=1e-6 + 2 * chord[here.between])
            assert (there.way_out is None) == (here.way_out is None)
