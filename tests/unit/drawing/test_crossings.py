"""Which points lie inside which outlines, against shapely."""

import random

import numpy as np
import shapely

from core.drawing.crossings import covered, covered_by, pieces
from core.drawing.outline import outline
from core.drawing.region import region
from core.model.shapes import Bar, Bore, Box, Disc

SHAPES = (
    Disc(centre=(0, 0), radius=5),
    Box(centre=(4, 1), size=(9, 6), turn=30.0, corner_radius=1),
    Bar(start=(-6, -2), end=(2, 6), radius=1.5),
    Bore(centre=(1, 0), radius=7, wall=2),
)
NEAR = 1e-3
"""mm from an outline within which either answer may come."""


def test_points_inside_each_of_several_outlines_are_those_that_shapely_finds():
    rng = random.Random(7)
    points = np.array([(rng.uniform(-11, 11), rng.uniform(-11, 11)) for _ in range(2000)])
    paths = tuple(outline(shape) for shape in SHAPES)
    found = covered_by(pieces(paths), points)
    assert found.shape == (len(SHAPES), len(points))
    for path, inside in zip(paths, found, strict=True):
        whole = region([path], chord=NEAR / 10)
        clear = shapely.distance(shapely.boundary(whole), shapely.points(points)) > NEAR
        assert (inside[clear] == shapely.contains_xy(whole, points[clear])).all()
        assert inside.any()
        assert not inside.all()
    assert (covered(pieces(paths), points) == found.any(axis=0)).all()


def test_nothing_is_inside_no_outline():
    table = pieces(())
    assert covered_by(table, np.zeros((3, 2))).shape == (0, 3)
    assert covered(table, np.zeros((3, 2))).tolist() == [False] * 3
    assert covered(pieces((outline(SHAPES[0]),)), np.zeros((0, 2))).tolist() == []
