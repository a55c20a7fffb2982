"""The told way out separates two concave shapes, and no shorter translation does: both asked of shapely on whole outlines.

Nothing is cut into convex pieces here and no curve is made of chords: outlines with rounded corners overlap where their
inner outlines come nearer than both radii.
"""

import math

import numpy as np
import pytest
import shapely
from shapely.affinity import translate

from core.clearance.overlap import way_out, ways_out
from core.clearance.rounded import Piece, Rounded
from core.tolerances import DEFAULT_TOLERANCES
from tests.bays import SIDE, bar, bay, body, check, drive, gap, pivot
from tests.checker import load
from tests.property.random_bays import random_bay

SEEDS = 60
DIRECTIONS, LENGTHS = 180, 24
NEAR = 0.02
"""Radians to either side of the told way, searched more finely."""
CHORDS = 0.004
"""What the checker's chords leave open of the gap of two clipped knuckles, mm."""


def star(rng, *, middle, holed):
    """A star-shaped outline of 5 to 14 corners, sometimes with a hole of its own form; complex points, mm."""
    count = int(rng.integers(5, 15))
    turns = (np.arange(count) + rng.uniform(-0.3, 0.3, count)) * 2 * np.pi / count
    ring = rng.uniform(3, 12, count) * np.exp(1j * turns)
    return (middle + ring, middle + 0.6 * ring[::-1]) if holed else (middle + ring,)


def pair(seed):
    rng = np.random.default_rng(seed)
    radii = (0.0, 0.0) if seed % 3 == 0 else tuple(rng.uniform(0.1, 2, 2))
    middles = (0j, rng.uniform(2, 16) * np.exp(2j * np.pi * rng.random()))
    return [Rounded(star(rng, middle=middle, holed=rng.random() < 0.3), radius) for middle, radius in zip(middles, radii, strict=True)]


def whole(shape):
    shell, *holes = (np.column_stack([ring.real, ring.imag]) for ring in shape.rings)
    return shapely.Polygon(shell, holes)


def free(first, second, moves, radius):
    """Whether the second outline, moved by each of the complex numbers, leaves the first alone."""
    points = shapely.get_coordinates(second)
    moved = np.array([second] * len(moves))
    shifts = np.repeat(np.column_stack([moves.real, moves.imag]), len(points), axis=0)
    moved = shapely.set_coordinates(moved, np.tile(points, (len(moves), 1)) + shifts)
    if radius > 0:
        return shapely.distance(first, moved) >= radius
    return shapely.area(shapely.intersection(first, moved)) <= 1e-12


def shorter(told):
    """Translations shorter than the told one by at least a thousandth of a millimetre: all round, and finely beside it."""
    around = np.arange(DIRECTIONS) * 2 * np.pi / DIRECTIONS
    beside = np.angle(told.move) + np.linspace(-NEAR, NEAR, 81)
    longest = told.depth - 1e-3
    wide = np.multiply.outer(np.linspace(0, longest, LENGTHS), np.exp(1j * around))
    close = np.multiply.outer(longest * np.array([0.9, 0.99, 1.0]), np.exp(1j * beside))
    return np.concatenate([wide.ravel(), close.ravel()])


@pytest.mark.parametrize("seed", range(SEEDS))
def test_the_way_out_of_concave_shapes_separates_them_and_none_shorter_does(seed):
    shapes = pair(seed)
    first, second = map(whole, shapes)
    if not (first.is_valid and second.is_valid):
        pytest.fail("stars do not cross themselves")
    radius = sum(shape.radius for shape in shapes)
    told = way_out(shapes[0].pieces, shapes[1].pieces, tolerances=DEFAULT_TOLERANCES)
    if told.depth == 0:
        assert free(first, second, np.zeros(1, complex), radius - 1e-9)[0]
        return
    outward = told.move * (1 + 1e-7 / told.depth)
    separated = translate(second, outward.real, outward.imag)
    assert first.intersection(separated).area < 1e-6
    assert first.distance(separated) >= radius - 1e-6
    if told.depth > 1e-3:
        assert not free(first, second, shorter(told), radius).any()


def test_most_random_concave_pairs_overlap():
    depths = [way_out(*(shape.pieces for shape in pair(seed)), tolerances=DEFAULT_TOLERANCES).depth for seed in range(SEEDS)]
    assert sum(depth > 0.1 for depth in depths) > SEEDS / 2


def test_a_knuckle_s_overlap_lies_between_those_of_the_relief_disc_and_of_the_circle_inside_its_polygon():
    # The relief is clipped as an inscribed polygon of 24 sides, so up to r (1 - cos 7.5 degrees) more is left to be checked.
    record = random_bay(80, rooms=False, depths=False, knuckles=False)
    row = next(
        row for row in check(record, safe_anywhere=False, safe_box=False).of_sweep("combined") if set(row.between) == {"arm 1", "arm 2"}
    )
    pin = next(joint for joint in record["sections"][0]["joints"] if set(joint["between"]) == {"arm 1", "arm 2"})
    relief = max(part.relief for part in load(record).find("Side", "arm 1", "arm 2")[0].parts if part.joint is not None)
    gaps = []
    for radius in (relief, relief * math.cos(math.pi / 24)):
        pin["relief"] = radius
        gaps.append(load(record).gap("Side", "arm 1", "arm 2", dict(row.at)))
    assert gaps[1].high - CHORDS - 1e-6 <= row.lowest_gap <= gaps[0].high + 1e-6
    assert row.lowest_gap < gaps[0].high - CHORDS
    assert gaps[0].low - 1e-6 <= row.lowest_gap


@pytest.mark.parametrize("value", [-3, 0, 5])
def test_a_core_along_the_edge_of_the_relief_is_left_whole_by_its_polygon_and_lies_within_the_checker_s_bracket(value):
    # The bay's core runs 9.92 from the pin along a side of the polygon, 9.914 from it: the disc takes 2.5 mm out of the core,
    # the polygon nearly nothing, so that the overlap deepens by more than relief x (1 - cos 7.5 degrees).
    out = np.exp(1j * math.radians(97.5))
    ends = [[place.real, place.imag] for place in (out * (9.92 - 30j), out * (9.92 + 30j), 30 * out)]
    bodies = [body("bay", bar(*ends[:2], 10.5), fixed=True), body("arm", bar((0, 0), ends[2], 0.5))]
    record = bay(bodies, [pivot("pin", "bay", "arm", relief=10)], [drive("swing", (-20, 20), "pin", drawn=0)])
    told, seen = gap(record, swing=value).gap, load(record).gap(SIDE, "bay", "arm", {"swing": value})
    assert seen.low - 1e-6 <= told <= seen.high + 1e-6
    assert told < seen.high - 10 * (1 - math.cos(math.pi / 24))


def test_ways_out_measured_in_one_go_are_those_of_each_pair_by_itself():
    pairs = [(first.pieces, second.pieces) for first, second in map(pair, range(SEEDS))]
    apart = ((Piece(np.array([0j]), 1.0),), (Piece(np.array([9 + 0j]), 2.0),))
    asked = [apart, *pairs, ((), pairs[0][1]), apart]
    together = ways_out(asked, tolerances=DEFAULT_TOLERANCES)
    alone = [way_out(*sides, tolerances=DEFAULT_TOLERANCES) for sides in asked]
    assert [told.depth for told in together] == pytest.approx([told.depth for told in alone], abs=1e-12)
    assert np.abs([one.move - other.move for one, other in zip(together, alone, strict=True)]).max() < 1e-12
    assert together[0] == together[-1] == together[-2] == (0.0, 0j)


def test_parts_of_many_pairs_leave_none_out(monkeypatch):
    pairs = [(first.pieces, second.pieces) for first, second in map(pair, range(12))]
    whole = ways_out(pairs, tolerances=DEFAULT_TOLERANCES)
    monkeypatch.setattr("core.clearance.overlap.MOST_CORES", 1)
    assert [told.depth for told in ways_out(pairs, tolerances=DEFAULT_TOLERANCES)] == pytest.approx([told.depth for told in whole])
