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
    assert overlaid.told(lambda _: DRAWN, ()) == {0: True, 1: False, 2: False}


def test_none_is_covered_where_there_is_none():
    assert Overlaid([]).told(lambda _: DRAWN, ()) == {}


def test_what_moves_over_another_covers_it_and_uncovers_it():
    poses = [DRAWN, Pose(0.0, 1.01, 0.0)]
    overlaid = Overlaid([(0.0, 0.0, 5.0), (8.0, 0.0, 4.0)])
    assert overlaid.told(poses.__getitem__, ()) == {0: False, 1: False}
    assert overlaid.told(lambda _: DRAWN, (1,)) == {0: True}
    assert overlaid.told(lambda _: DRAWN, (1,)) == {}, "nothing of it is new"
    assert overlaid.told(poses.__getitem__, (1,)) == {0: False}


def test_another_circle_counts_though_nothing_moved():
    overlaid = Overlaid([(0.0, 0.0, 5.0), (8.0, 0.0, 4.0)])
    overlaid.told(lambda _: DRAWN, ())
    overlaid.put(0, (0.0, 0.0, 3.0))
    assert overlaid.told(lambda _: DRAWN, ()) == {0: False}


def test_those_that_have_not_moved_are_not_asked_for():
    overlaid = Overlaid([(0.0, 0.0, 5.0), (8.0, 0.0, 4.0), (3.0, 0.0, 1.0)])
    overlaid.told(lambda _: DRAWN, ())
    asked = []

    def pose_of(number):
        asked.append(number)
        return DRAWN

    overlaid.told(pose_of, (1,))
    assert asked == [1]


def test_many_moves_tell_what_each_pair_by_itself_tells():
    chance = random.Random(7)
    discs = [(chance.uniform(-40, 40), chance.uniform(-40, 40), chance.uniform(1, 9)) for _ in range(30)]
    poses = [DRAWN] * 30
    overlaid = Overlaid(discs)
    covered, seen = {}, set()
    for _ in range(60):
        moved = chance.sample(range(30), chance.randrange(4))
        for number in moved:
            poses[number] = Pose(chance.uniform(-180, 180), chance.uniform(-9, 9), chance.uniform(-9, 9))
        told = overlaid.told(poses.__getitem__, moved)
        assert all(covered.get(number) is not now for number, now in told.items()), "only what is new is told"
        covered |= told
        assert [covered[number] for number in range(30)] == brute(discs, poses)
        seen.add(tuple(covered[number] for number in range(30)))
    assert len(seen) > 10
