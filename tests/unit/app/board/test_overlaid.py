"""A slab is covered where the circle around a higher one meets its own; what has not moved is not looked at again, and need not be."""

import math
import random

from app.board.overlaid import Overlaid
from core.drawing.path import DRAWN, Pose


def brute(discs, poses):
    """Every pair by itself."""
    at = [(*pose.place((left, low)), radius) for (left, low, radius), pose in zip(discs, poses, strict=True)]
    return [any(math.dist(one[:2], other[:2]) < one[2] + other[2] for other in at[place + 1 :]) for place, one in enumerate(at)]


def test_only_the_lower_of_two_that_meet_is_covered():
    overlaid = Overlaid([(0.0, 0.0, 5.0), (8.0, 0.0, 4.0), (30.0, 0.0, 2.0)])
    assert overlaid.covered([DRAWN] * 3, ()) == [True, False, False]


def test_none_is_covered_where_there_is_none():
    assert Overlaid([]).covered([], ()) == []


def test_what_moves_over_another_covers_it_and_uncovers_it():
    overlaid = Overlaid([(0.0, 0.0, 5.0), (8.0, 0.0, 4.0)])
    assert overlaid.covered([DRAWN, Pose(0.0, 1.01, 0.0)], ()) == [False, False]
    assert overlaid.covered([DRAWN, DRAWN], (1,)) == [True, False]


def test_another_circle_counts_though_nothing_moved():
    overlaid = Overlaid([(0.0, 0.0, 5.0), (8.0, 0.0, 4.0)])
    overlaid.covered([DRAWN, DRAWN], ())
    overlaid.put(0, (0.0, 0.0, 3.0))
    assert overlaid.covered([DRAWN, DRAWN], ()) == [False, False]


def test_many_moves_tell_what_each_pair_by_itself_tells():
    chance = random.Random(7)
    discs = [(chance.uniform(-40, 40), chance.uniform(-40, 40), chance.uniform(1, 9)) for _ in range(30)]
    poses = [DRAWN] * 30
    overlaid = Overlaid(discs)
    seen = set()
    for _ in range(60):
        moved = chance.sample(range(30), chance.randrange(4))
        for number in moved:
            poses[number] = Pose(chance.uniform(-180, 180), chance.uniform(-9, 9), chance.uniform(-9, 9))
        told = overlaid.covered(poses, moved)
        assert told == brute(discs, poses)
        seen.add(tuple(told))
    assert len(seen) > 10
