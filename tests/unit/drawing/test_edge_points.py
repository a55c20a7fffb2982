"""Where edges meet and which of their points are nearest, square or touching: closed forms, and shapely as a check from outside."""

import math

import numpy as np
import pytest
import shapely

from core.drawing.edge_points import meeting_points, nearest_point, square_points, touching_points
from core.drawing.path import FULL_TURN, Arc, Segment

LEVEL = Segment((-10.0, 3.0), (10.0, 3.0))
RIM = Arc((0.0, 0.0), 5.0, 0.0, FULL_TURN)
UPPER = Arc((0.0, 0.0), 5.0, 0.0, math.pi)


def near(points):
    return sorted((pytest.approx(point, abs=1e-9) for point in points), key=lambda one: tuple(one.expected))


def test_a_line_crosses_a_circle_at_the_corners_of_the_3_4_5_triangle():
    assert sorted(meeting_points(LEVEL, RIM)) == near([(-4.0, 3.0), (4.0, 3.0)])
    assert sorted(meeting_points(RIM, LEVEL)) == near([(-4.0, 3.0), (4.0, 3.0)])


def test_only_what_lies_on_the_arc_counts():
    assert meeting_points(Segment((3.0, -9.0), (3.0, 9.0)), UPPER) == (pytest.approx((3.0, 4.0)),)
    assert meeting_points(Segment((3.0, -9.0), (3.0, 2.0)), UPPER) == ()


def test_a_line_that_touches_a_circle_meets_it_once():
    assert meeting_points(Segment((-8.0, 5.0), (8.0, 5.0)), RIM) == (pytest.approx((0.0, 5.0)),)
    assert meeting_points(Segment((-8.0, 5.001), (8.0, 5.001)), RIM) == ()


def test_two_circles_cross_where_pythagoras_says():
    """Centres 6 apart, radii 5: the common chord stands at 3, half of it is 4."""
    assert sorted(meeting_points(RIM, Arc((6.0, 0.0), 5.0, 0.0, FULL_TURN))) == near([(3.0, -4.0), (3.0, 4.0)])


@pytest.mark.parametrize(
    ("centre", "radius", "there"), [((8.0, 0.0), 3.0, (5.0, 0.0)), ((3.0, 0.0), 2.0, (5.0, 0.0)), ((-3.0, 0.0), 8.0, (5.0, 0.0))]
)
def test_circles_that_touch_from_outside_or_inside_meet_once(centre, radius, there):
    assert meeting_points(RIM, Arc(centre, radius, 0.0, FULL_TURN)) == (pytest.approx(there, abs=1e-9),)


@pytest.mark.parametrize("other", [Segment((-10.0, 4.0), (10.0, 4.0)), Segment((-4.0, 3.0), (20.0, 3.0)), Segment((0.0, 3.0), (0.0, 3.0))])
def test_edges_beside_or_along_each_other_meet_nowhere(other):
    assert meeting_points(LEVEL, other) == ()


def test_one_circle_laid_on_another_meets_it_nowhere_in_particular():
    assert meeting_points(RIM, UPPER) == ()


def test_lines_meet_at_an_end_of_one():
    assert meeting_points(LEVEL, Segment((2.0, 3.0), (2.0, 9.0))) == (pytest.approx((2.0, 3.0)),)


def test_the_point_square_to_a_line_is_the_foot_of_its_perpendicular():
    assert square_points(LEVEL, (2.5, -7.0)) == (pytest.approx((2.5, 3.0)),)
    assert square_points(LEVEL, (10.5, -7.0)) == ()
    assert square_points(LEVEL, (2.5, 3.0)) == ()


def test_the_points_square_to_a_circle_lie_on_the_line_through_its_centre():
    assert sorted(square_points(RIM, (6.0, 8.0))) == near([(-3.0, -4.0), (3.0, 4.0)])
    assert square_points(UPPER, (6.0, 8.0)) == (pytest.approx((3.0, 4.0)),)
    assert square_points(RIM, (0.0, 0.0)) == ()


def test_the_points_of_touch_stand_square_on_their_radii():
    """From 13 away at a circle of 5 the tangent is 12 long."""
    found = touching_points(RIM, (13.0, 0.0))
    assert len(found) == 2
    for x, y in found:
        assert math.dist((x, y), (13.0, 0.0)) == pytest.approx(12.0)
        assert x * (x - 13.0) + y * y == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("start", [(5.0, 0.0), (2.0, 1.0)])
def test_nothing_touches_from_on_or_inside_the_circle(start):
    assert touching_points(RIM, start) == ()


def test_a_straight_edge_is_not_touched():
    assert touching_points(LEVEL, (0.0, 0.0)) == ()


@pytest.mark.parametrize(
    ("edge", "to", "there"),
    [
        (LEVEL, (1.0, 9.0), (1.0, 3.0)),
        (LEVEL, (12.0, 9.0), (10.0, 3.0)),
        (UPPER, (6.0, 8.0), (3.0, 4.0)),
        (UPPER, (6.0, -8.0), (5.0, 0.0)),
        (UPPER, (0.0, 0.0), (5.0, 0.0)),
        (Segment((1.0, 1.0), (1.0, 1.0)), (4.0, 5.0), (1.0, 1.0)),
    ],
)
def test_the_nearest_point_lies_on_the_edge_or_is_an_end(edge, to, there):
    assert nearest_point(edge, to) == pytest.approx(there)


def _edge(rng):
    x, y, u, v = rng.uniform(-10.0, 10.0, 4).tolist()
    if rng.random() < 0.5:
        return Segment((x, y), (u, v))
    return Arc((x, y), abs(u) + 0.5, v, float(rng.uniform(-FULL_TURN, FULL_TURN)))


def _line(edge):
    return shapely.LineString([edge.point(float(share)) for share in np.linspace(0.0, 1.0, 2 if isinstance(edge, Segment) else 1501)])


def test_shapely_finds_the_same_meetings_on_polylines():
    """shapely's intersection of polylines of 1500 chords each: within 1e-4 mm of the arcs, so meetings agree where edges cross steeply."""
    rng = np.random.default_rng(11)
    seen = 0
    for _ in range(450):
        one, other = _edge(rng), _edge(rng)
        ours = meeting_points(one, other)
        theirs = [part for part in shapely.get_parts(_line(one).intersection(_line(other))) if not part.is_empty]
        for point in ours:
            assert _line(one).distance(shapely.Point(point)) < 1e-4
            assert _line(other).distance(shapely.Point(point)) < 1e-4
        for point in theirs:
            assert min(math.dist(point.coords[0], mine) for mine in ours) < 0.05
        seen += len(theirs)
    assert seen > 100


def test_shapely_finds_the_same_nearest_points():
    rng = np.random.default_rng(12)
    for _ in range(200):
        edge, to = _edge(rng), tuple(rng.uniform(-15.0, 15.0, 2).tolist())
        assert math.dist(nearest_point(edge, to), to) == pytest.approx(_line(edge).distance(shapely.Point(to)), abs=1e-4)


def test_shapely_sees_tangents_touch_and_not_enter():
    rng = np.random.default_rng(13)
    for _ in range(100):
        x, y, radius = (*rng.uniform(-10.0, 10.0, 2).tolist(), float(rng.uniform(0.5, 4.0)))
        start = tuple(rng.uniform(-20.0, 20.0, 2).tolist())
        disc = shapely.Point(x, y).buffer(radius * (1.0 - 1e-6), quad_segs=4096)
        for point in touching_points(Arc((x, y), radius, 0.3, FULL_TURN), start):
            beyond = tuple(2.0 * p - s for p, s in zip(point, start, strict=True))
            line = shapely.LineString([start, beyond])
            assert not line.intersects(disc)
            assert line.distance(disc) < 1e-5 * radius + 1e-6
