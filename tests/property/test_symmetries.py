"""What must not change an answer: where the section lies, the order of bodies, and names."""

import cmath
import math
from copy import deepcopy

import numpy as np
import pytest

from core.sweep.at_pose import PoseGaps
from tests.bays import check, gaps, project
from tests.property.random_bays import random_bay

SEEDS = range(30)
BOXES = 300
POSES = 6


def moved(record, turn, shift):
    """The whole section turned by `turn` degrees about the origin and shifted."""
    record = deepcopy(record)

    def point(place):
        there = cmath.rect(1, math.radians(turn)) * complex(*place) + shift
        return [there.real, there.imag]

    (section,) = record["sections"]
    for body in section["bodies"]:
        for shape in body["shapes"]:
            shape |= {key: point(shape[key]) for key in ("centre", "from", "to") if key in shape}
            if shape["kind"] in ("box", "frame"):
                shape["turn"] = shape.get("turn", 0) + turn
            if shape["kind"] == "polygon":
                shape["points"], *shape["holes"] = [[point(place) for place in ring] for ring in (shape["points"], *shape["holes"])]
    for joint in section["joints"]:
        if "at" in joint:
            joint["at"] = point(joint["at"])
        if "along" in joint:
            joint["along"] += turn
    return record


def turned_round(record):
    """The same bay with its bodies in the opposite order; shapes too."""
    record = deepcopy(record)
    (section,) = record["sections"]
    section["bodies"].reverse()
    for body in section["bodies"]:
        body["shapes"].reverse()
    for rule in record["gap_rules"]:
        rule["between"].reverse()
    return record


def renamed(record):
    """Every name replaced by one that sorts the other way."""
    record = deepcopy(record)
    (section,) = record["sections"]
    names: dict[str, str] = {"*": "*"}

    def new(name):
        return names.setdefault(name, f"{chr(ord('z') - len(names) % 26)}{len(names)} {name[::-1]}")

    for body in section["bodies"]:
        body["name"] = new(body["name"])
    for joint in section["joints"]:
        joint["name"], joint["between"] = new(joint["name"]), [new(name) for name in joint["between"]]
    for drive in record["drives"]:
        drive["name"] = new(drive["name"])
        for move in drive["moves"]:
            move["joint"] = new(move["joint"])
    for rule in record["gap_rules"]:
        rule["between"] = [new(name) for name in rule["between"]]
    for rule in record["allowed_together"]:
        for span in (rule["while"], rule["keep"]):
            span["drive"] = new(span["drive"])
    return record, names


def poses_of(record, seed):
    rng = np.random.default_rng(seed)
    return [{drive["name"]: float(rng.uniform(drive["from"], drive["to"])) for drive in record["drives"]} for _ in range(POSES)]


def told(record, names=None):
    """Verdict and numbers of every check by who and what, names taken back."""
    back = {new: old for old, new in (names or {}).items()}
    answer = check(record, boxes=BOXES)
    rows = {
        (
            row.sweep,
            tuple(back.get(drive, drive) for drive in row.drives),
            frozenset(back.get(name, name) for name in row.between),
            row.depth_gap,
            row.required_gap,
            row.lowest_gap if row.required_gap == 0 and row.depth_gap is None else None,
        ): row
        for row in answer.checks
    }
    return answer, rows


@pytest.mark.parametrize("seed", SEEDS)
def test_gaps_do_not_depend_on_where_the_section_lies(seed):
    # Knuckles are clipped, and round walls that a body is drawn across are swept, as polygons that lie as the section does.
    record = random_bay(seed, knuckles=False)
    there = moved(record, 37.5, complex(120, -60))
    chord = {row.pair.between: row.chord for row in PoseGaps(project(record)).plan.rows}
    for values in poses_of(record, seed):
        for here, found in zip(gaps(record, **values), gaps(there, **values), strict=True):
            assert found.gap == pytest.approx(here.gap, abs=1e-6 + 2 * chord[here.between])


@pytest.mark.parametrize("seed", SEEDS)
def test_gaps_do_not_depend_on_the_order_of_bodies(seed):
    record = random_bay(seed)
    for values in poses_of(record, seed):
        here = {frozenset(found.between): found for found in gaps(record, **values)}
        there = {frozenset(found.between): found for found in gaps(turned_round(record), **values)}
        assert here.keys() == there.keys()
        for pair, found in here.items():
            assert there[pair].gap == pytest.approx(found.gap, abs=1e-9)
            assert sorted(there[pair].between) == sorted(found.between)


@pytest.mark.parametrize("seed", SEEDS)
def test_answer_does_not_depend_on_names(seed):
    record = random_bay(seed)
    other, names = renamed(record)
    (here, rows), (there, found) = told(record), told(other, names)
    assert there.verdict == here.verdict
    assert found.keys() == rows.keys()
    for key, row in rows.items():
        same = found[key]
        assert (same.verdict, same.lowest_gap, same.floor, same.tolerance) == (row.verdict, row.lowest_gap, row.floor, row.tolerance)
        assert [value for _, value in same.at] == [value for _, value in row.at]
        assert same.breaches == row.breaches
    assert len(there.knuckles) == len(here.knuckles)
    assert [left.code for left in there.unchecked] == [left.code for left in here.unchecked]


@pytest.mark.parametrize("seed", SEEDS[:15])
def test_verdicts_do_not_depend_on_the_order_of_bodies(seed):
    record = random_bay(seed)
    here, there = check(record, boxes=BOXES), check(turned_round(record), boxes=BOXES)
    assert there.verdict == here.verdict

    def breaches(answer):
        spans = [(sorted(row.between), row.drives, span.start, span.end) for row in answer.of_sweep("solo") for span in row.breaches]
        return sorted(spans)

    first, second = breaches(here), breaches(there)
    assert [span[:2] for span in first] == [span[:2] for span in second]
    if not any(span.grazes for answer in (here, there) for row in answer.checks for span in row.breaches):
        for one, other in zip(first, second, strict=True):
            assert other[2:] == pytest.approx(one[2:], abs=2e-3)
