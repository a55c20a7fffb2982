"""Lines seen of bodies made of several shapes, against closed forms and against shapely's union."""

import math
import random

import pytest
import shapely

from core.drawing.outline import outline
from core.drawing.region import region
from core.drawing.union import union_edges
from core.model.shapes import Bar, Bore, Box, Disc
from tests.unit.drawing.measure import is_joined, length

STEP = 1e-4


def lines_of(*shapes):
    return union_edges([outline(shape) for shape in shapes], step=STEP)


def test_one_outline_comes_back_as_it_is():
    path = outline(Bore(centre=(0, 0), radius=5, wall=2))
    assert union_edges([path], step=STEP) == path
    assert union_edges([], step=STEP) == ()


def test_two_discs_lose_the_arcs_inside_each_other():
    # Radius 5, centres 6 apart: they meet at half angle acos(3/5).
    lines = lines_of(Disc(centre=(0, 0), radius=5), Disc(centre=(6, 0), radius=5))
    assert length(lines) == pytest.approx(2 * 5 * (2 * math.pi - 2 * math.acos(0.6)), abs=1e-9)
    assert is_joined(lines)
    assert not any(run.closed for run in lines)


def test_a_shape_inside_another_shows_no_line():
    lines = lines_of(Box(centre=(0, 0), size=(20, 20)), Disc(centre=(2, 3), radius=4))
    assert length(lines) == pytest.approx(80)
    assert [run.closed for run in lines] == [True]


def test_a_pin_in_the_middle_of_a_bore_keeps_its_own_line():
    lines = lines_of(Bore(centre=(0, 0), radius=10, wall=2), Disc(centre=(0, 0), radius=3))
    assert length(lines) == pytest.approx(2 * math.pi * (12 + 10 + 3))


def test_boxes_that_abut_show_no_line_between_them():
    lines = lines_of(Box(centre=(0, 0), size=(10, 10)), Box(centre=(10, 0), size=(10, 10)))
    assert length(lines) == pytest.approx(60)


def test_a_box_flush_with_part_of_another_shows_the_rest_of_the_edge():
    lines = lines_of(Box(centre=(0, 0), size=(10, 10)), Box(centre=(7, 0), size=(4, 4)))
    assert length(lines) == pytest.approx(40 + 8)


def test_the_same_shape_twice_is_drawn_once():
    box = Box(centre=(0, 0), size=(10, 6), turn=20)
    assert length(lines_of(box, box)) == pytest.approx(32)


def test_a_line_shared_from_inside_is_drawn_once():
    # The small box stands in the corner of the large one: two of its edges lie on the large one's.
    lines = lines_of(Box(centre=(0, 0), size=(10, 10)), Box(centre=(3, 3), size=(4, 4)))
    assert length(lines) == pytest.approx(40)


def test_random_bodies_have_the_length_of_their_union():
    rng = random.Random(7)
    for _ in range(40):
        shapes = []
        for _ in range(rng.randint(2, 4)):
            x, y = rng.uniform(-10, 10), rng.uniform(-10, 10)
            shapes.append(
                rng.choice(
                    [
                        Disc(centre=(x, y), radius=rng.uniform(2, 6)),
                        Box(centre=(x, y), size=(rng.uniform(3, 12), rng.uniform(3, 12)), turn=rng.uniform(0, 90), corner_radius=1),
                        Bar(start=(x, y), end=(rng.uniform(-10, 10), rng.uniform(-10, 10)), radius=rng.uniform(1, 4)),
                    ]
                )
            )
        outlines = [outline(shape) for shape in shapes]
        whole = shapely.union_all([region((path,), chord=1e-4) for path in outlines])
        assert length(union_edges(outlines, step=STEP)) == pytest.approx(whole.length, abs=0.02)
