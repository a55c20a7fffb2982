"""Rings: closed forms, and shapely as an independent measure."""

from math import cos, pi, sqrt, tan
from random import Random

import pytest
from shapely import LinearRing, Polygon
from shapely import Point as ShapelyPoint

from core.model.outline import (
    distance_to_edge,
    distance_to_ring,
    edges,
    inset_ring,
    outline_of_box,
    ring_holds,
    rings_meet,
    self_crossing,
    signed_area,
)
from tests.unit.model.drawings import BOW_TIE, DUMBBELL, ELL, SQUARE


def star(seed, corners=9):
    """A random outline that does not cross itself: corners at rising angles about the origin."""
    random = Random(seed)
    angles = [2 * pi * (index + random.uniform(0, 0.8)) / corners for index in range(corners)]
    return tuple((r * cos(a), r * cos(a - pi / 2)) for a in angles for r in (random.uniform(5, 30),))


def test_area_is_positive_counter_clockwise_and_negative_clockwise():
    assert signed_area(SQUARE) == 100.0
    assert signed_area(SQUARE[::-1]) == -100.0
    assert signed_area(ELL) == 64.0


def test_area_of_fewer_than_three_corners_is_zero():
    assert [signed_area(SQUARE[:count]) for count in range(3)] == [0.0, 0.0, 0.0]


def test_area_far_from_the_origin_keeps_its_digits():
    assert signed_area(tuple((x + 1e8, y - 1e8) for x, y in ((0, 0), (0.25, 0), (0.25, 0.25)))) == 0.03125


@pytest.mark.parametrize("ring", [SQUARE, SQUARE[::-1], ELL, DUMBBELL, ()], ids=["square", "clockwise", "ell", "dumbbell", "empty"])
def test_a_simple_ring_does_not_cross_itself(ring):
    assert self_crossing(ring) is None


@pytest.mark.parametrize(
    ("ring", "near"),
    [
        (BOW_TIE, (5.0, 5.0)),
        ((*SQUARE[:2], SQUARE[1], *SQUARE[2:]), (10.0, 0.0)),  # a corner given twice in a row
        (((0, 0), (10, 0), (10, 10), (5, 0), (0, 10)), (5.0, 0.0)),  # a corner on another edge
        (((0, 0), (5, 5), (10, 0), (10, 10), (5, 5), (0, 10)), (5.0, 5.0)),  # a corner visited twice
        (((0, 0), (10, 0), (10, 10), (10, 4), (0, 4)), (10.0, 10.0)),  # a spike
        (((0, 0), (10, 0), (4, 0)), (10.0, 0.0)),  # three corners on a line
        (((1, 1), (1, 1)), (1.0, 1.0)),
    ],
    ids=["bow tie", "doubled corner", "corner on edge", "corner visited twice", "spike", "line", "one point twice"],
)
def test_a_ring_that_crosses_or_touches_itself_tells_where(ring, near):
    assert self_crossing(ring) == pytest.approx(near)


def test_a_corner_a_micrometre_from_another_edge_does_not_touch_it():
    assert self_crossing(((0, 0), (10, 0), (10, 10), (5, 0.001), (0, 10))) is None


@pytest.mark.parametrize("seed", range(60))
def test_crossing_agrees_with_shapely_on_random_rings(seed):
    random = Random(seed)
    ring = tuple((random.uniform(0, 10), random.uniform(0, 10)) for _ in range(random.choice((4, 5, 7))))
    point = self_crossing(ring)
    assert (point is None) == LinearRing(ring).is_simple
    if point is not None:
        touching = [edge for edge in edges(ring) if distance_to_edge(point, edge) < 1e-9]
        assert len(touching) >= 2


def test_rings_that_touch_meet_and_rings_one_in_the_other_do_not():
    inner = ((3, 3), (6, 3), (6, 6), (3, 6))
    assert rings_meet(SQUARE, inner) is None
    assert rings_meet(SQUARE, ((10, 2), (14, 2), (14, 6))) == (10, 2)
    assert rings_meet(SQUARE, ((8, 2), (14, 2), (14, 6))) == pytest.approx((10, 2))
    assert rings_meet(SQUARE, ()) is None


def test_distance_to_an_edge_without_length_is_the_distance_to_its_point():
    assert distance_to_edge((3, 4), ((0, 0), (0, 0))) == 5.0
    assert distance_to_edge((5, 2), ((0, 0), (10, 0))) == 2.0
    assert distance_to_edge((13, 4), ((0, 0), (10, 0))) == 5.0


@pytest.mark.parametrize("seed", range(20))
def test_inside_and_distance_agree_with_shapely(seed):
    ring, random = star(seed), Random(seed)
    for _ in range(20):
        point = (random.uniform(-30, 30), random.uniform(-30, 30))
        assert ring_holds(ring, point) == Polygon(ring).contains(ShapelyPoint(point))
        assert distance_to_ring(point, ring) == pytest.approx(LinearRing(ring).distance(ShapelyPoint(point)), abs=1e-9)


@pytest.mark.parametrize("turned", [SQUARE, SQUARE[::-1]], ids=["counter-clockwise", "clockwise"])
def test_inset_of_a_square_shifts_every_edge_inward(turned):
    assert set(inset_ring(turned, 2.0)) == {(2.0, 2.0), (8.0, 2.0), (8.0, 8.0), (2.0, 8.0)}


def test_inset_keeps_the_order_of_the_corners():
    assert inset_ring(ELL, 1.0) == ((1.0, 1.0), (9.0, 1.0), (9.0, 3.0), (3.0, 3.0), (3.0, 9.0), (1.0, 9.0))


def test_a_negative_inset_grows_a_hole():
    assert inset_ring(SQUARE, -1.5) == ((-1.5, -1.5), (11.5, -1.5), (11.5, 11.5), (-1.5, 11.5))


def test_inset_by_nothing_gives_the_same_corners():
    assert inset_ring(ELL, 0.0) == ELL


def test_a_corner_on_a_straight_edge_is_shifted_straight_inward():
    assert inset_ring(((0, 0), (5, 0), (10, 0), (10, 10), (0, 10)), 1.0)[1] == (5.0, 1.0)


@pytest.mark.parametrize("distance", [5.0, 5.1, 50.0])
def test_an_inset_that_eats_an_edge_up_is_none(distance):
    assert inset_ring(SQUARE, distance) is None


def test_an_inset_that_eats_up_only_one_edge_is_none():
    chamfered = ((0, 0), (9, 0), (10, 1), (10, 10), (0, 10))
    limit = sqrt(2) / (2 * tan(pi / 8))  # each mitre takes distance x tan(45/2 degrees) off the chamfer
    assert inset_ring(chamfered, limit - 0.001) is not None
    assert inset_ring(chamfered, limit + 0.001) is None


@pytest.mark.parametrize("ring", [(), SQUARE[:2], (*SQUARE, SQUARE[3]), ((0, 0), (10, 0), (4, 0))], ids=["empty", "two", "doubled", "flat"])
def test_inset_of_a_degenerate_ring_is_none(ring):
    assert inset_ring(ring, 0.5) is None


def test_the_inset_of_a_thin_neck_crosses_itself():
    assert self_crossing(inset_ring(DUMBBELL, 0.49)) is None
    assert self_crossing(inset_ring(DUMBBELL, 0.51)) is not None


def test_core_grown_back_is_the_square_with_rounded_corners():
    # closed form: a square of side a with corners of radius r has area a^2 - (4 - pi) r^2
    core = Polygon(inset_ring(SQUARE, 2.0))
    assert core.buffer(2.0, quad_segs=256).area == pytest.approx(100 - (4 - pi) * 4, abs=1e-3)


def test_core_grown_back_keeps_inward_corners_sharp():
    # closed form: five outward corners of the L are rounded, its inward one is not
    core = Polygon(inset_ring(ELL, 1.0))
    assert core.buffer(1.0, quad_segs=256).area == pytest.approx(64 - 5 * (1 - pi / 4), abs=1e-3)


@pytest.mark.parametrize("seed", range(30))
def test_inset_agrees_with_shapely_where_no_edge_is_eaten_up(seed):
    ring = star(seed)
    cores = {distance: inset_ring(ring, distance) for distance in (1.0, 0.3, 0.1, 0.03, 0.01)}
    distance = next(d for d, core in cores.items() if core is not None and self_crossing(core) is None)
    other = Polygon(ring).buffer(-distance, join_style="mitre", mitre_limit=1e6)
    assert Polygon(cores[distance]).symmetric_difference(other).area < 1e-6


@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0, -135.0])
def test_outline_of_a_box_runs_counter_clockwise_about_its_centre(turn):
    corners = outline_of_box(centre=(3.0, -2.0), size=(8.0, 6.0), turn=turn)
    assert signed_area(corners) == pytest.approx(48.0)
    assert all(abs(complex(x - 3.0, y + 2.0)) == pytest.approx(5.0) for x, y in corners)


def test_outline_of_a_box_turned_by_a_quarter():
    corners = outline_of_box(centre=(0.0, 0.0), size=(8.0, 6.0), turn=90.0)
    assert [pytest.approx(corner) for corner in corners] == [(3, -4), (3, 4), (-3, 4), (-3, -4)]
