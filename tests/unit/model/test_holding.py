"""How far a point lies outside a shape; distances by hand."""

from math import inf, sqrt

import pytest

from core.model.holding import distance_from_body, distance_from_shape
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from tests.unit.model.drawings import ELL, SQUARE

HOLE = ((4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0))


@pytest.mark.parametrize(
    ("shape", "point", "distance"),
    [
        (Disc(centre=(0, 0), radius=2), (5, 0), 3.0),
        (Disc(centre=(0, 0), radius=2), (2, 0), 0.0),
        (Bore(centre=(0, 0), radius=2, wall=1), (0, 0), 0.0),  # the free inside counts as held
        (Bore(centre=(0, 0), radius=2, wall=1), (0, 7), 4.0),
        (Bar(start=(0, 0), end=(10, 0), radius=1), (5, 3), 2.0),
        (Bar(start=(0, 0), end=(10, 0), radius=1), (13, 4), 4.0),
        (Box(centre=(0, 0), size=(8, 6)), (7, 7), 5.0),
        (Box(centre=(0, 0), size=(8, 6), turn=90), (0, 6), 2.0),
        (Box(centre=(0, 0), size=(8, 6), corner_radius=1), (4, 3), sqrt(2) - 1),  # the corner itself is rounded off
        (Frame(centre=(0, 0), size=(8, 6), wall=1), (0, 0), 0.0),
        (Frame(centre=(0, 0), size=(8, 6), wall=1), (0, 6), 2.0),
        (Polygon(points=SQUARE, holes=(HOLE,)), (5, 5), 0.0),  # the hole counts as held
        (Polygon(points=ELL), (7, 7), 3.0),
        (Polygon(points=SQUARE, corner_radius=2), (0, 0), 2 * sqrt(2) - 2),
        (Polygon(points=SQUARE, corner_radius=2), (-1, 5), 1.0),
    ],
)
def test_distance_outside_a_shape(shape, point, distance):
    assert distance_from_shape(shape, point) == pytest.approx(distance, abs=1e-12)


def test_distance_from_a_body_is_that_of_its_nearest_shape():
    body = Body(name="arm", fixed=True, depth=(0, 1), shapes=(Disc(centre=(0, 0), radius=1), Disc(centre=(10, 0), radius=1)))
    assert distance_from_body(body, (7, 0)) == 2.0


def test_a_body_without_shapes_holds_nothing():
    assert distance_from_body(Body(name="arm", fixed=True, depth=(0, 1), shapes=()), (0, 0)) == inf
