"""Hatches and the crossings that they stand on: Cavalieri's principle, closed forms, shapely."""

import math

import numpy as np
import pytest
import shapely

from core.drawing.crossings import covered, pieces
from core.drawing.hatch import hatch, hatch_path
from core.drawing.outline import outline
from core.drawing.region import region
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon

SHAPES = [
    Disc(centre=(3, -2), radius=8),
    Bar(start=(-4, 1), end=(9, 5), radius=3),
    Box(centre=(1, 1), size=(20, 9), turn=33, corner_radius=2),
    Bore(centre=(0, 0), radius=10, wall=3),
    Frame(centre=(0, 0), size=(30, 20), wall=2, turn=45),
    Polygon(points=((0, 0), (30, 0), (30, 10), (10, 10), (10, 25), (0, 25)), corner_radius=2),
]


def total(lines):
    return float(np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1).sum())


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("angle", [0.0, 45.0, 135.0])
def test_lines_times_their_pitch_are_the_area(shape, angle):
    path = outline(shape)
    lines = hatch((path,), angle=angle, pitch=0.02)
    assert total(lines) * 0.02 == pytest.approx(region((path,), chord=1e-4).area, rel=2e-3)


def test_ends_lie_on_the_arc_and_lines_at_the_angle():
    lines = hatch((outline(Disc(centre=(3, -2), radius=8)),), angle=45, pitch=1.3)
    assert np.linalg.norm(lines - np.array([3, -2]), axis=2) == pytest.approx(8.0, abs=1e-12)
    along = lines[:, 1] - lines[:, 0]
    assert along[:, 0] == pytest.approx(along[:, 1], abs=1e-9)
    # Neighbours stand a pitch apart, and the section's origin lies on a line's way.
    across = np.sort(lines[:, 0] @ np.array([-1, 1]) / math.sqrt(2))
    assert np.diff(across) == pytest.approx(1.3)
    assert across / 1.3 == pytest.approx(np.round(across / 1.3), abs=1e-9)


def test_no_line_runs_through_the_free_inside_of_a_bore():
    lines = hatch((outline(Bore(centre=(0, 0), radius=10, wall=3)),), angle=45, pitch=0.5)
    middles = lines.mean(axis=1)
    radii = np.linalg.norm(middles, axis=1)
    assert radii.min() > 9.9
    assert radii.max() <= 13 + 1e-9


def test_shapes_that_overlap_are_hatched_once():
    discs = [Disc(centre=(0, 0), radius=5), Disc(centre=(6, 0), radius=5), Disc(centre=(3, 1), radius=1)]
    paths = tuple(outline(disc) for disc in discs)
    lens = 2 * 25 * math.acos(0.6) - 6 * 4  # two circles of radius 5, 6 apart
    assert total(hatch(paths, angle=45, pitch=0.02)) * 0.02 == pytest.approx(2 * 25 * math.pi - lens, rel=2e-3)


def test_lines_through_corners_are_neither_lost_nor_doubled():
    # Lines at 0 degrees with pitch 5 pass exactly through corners of this diamond and along edges of this square.
    diamond = Polygon(points=((-10, 0), (0, -10), (10, 0), (0, 10)))
    assert [round(float(line[1, 0] - line[0, 0]), 9) for line in hatch((outline(diamond),), angle=0, pitch=5)] == [10, 20, 10]
    square = Box(centre=(0, 0), size=(20, 20))
    assert all(math.isclose(math.dist(*line), 20) for line in hatch((outline(square),), angle=0, pitch=5))


def test_nothing_gives_no_line():
    assert hatch((), angle=45, pitch=1).shape == (0, 2, 2)
    assert hatch(((),), angle=45, pitch=1).shape == (0, 2, 2)
    assert len(hatch((outline(Disc(centre=(3.3, 0.1), radius=0.01)),), angle=45, pitch=5)) == 0
    assert hatch_path(np.empty((0, 2, 2))) == ()


@pytest.mark.parametrize("shape", SHAPES)
def test_points_are_inside_as_shapely_says(shape):
    path = outline(shape)
    points = np.random.default_rng(3).uniform(-20, 35, (3000, 2))
    material = region((path,), chord=1e-4)
    clear_of_line = shapely.distance(material.boundary, shapely.points(points)) > 1e-3
    assert (covered(pieces((path,)), points) == shapely.contains_xy(material, points))[clear_of_line].all()


def test_a_turned_table_covers_the_same_points():
    path = outline(SHAPES[2])
    points = np.random.default_rng(5).uniform(-15, 15, (500, 2))
    assert (covered(pieces((path,), angle=30), points) == covered(pieces((path,)), points)).all()


def test_points_level_with_corners_are_judged_rightly():
    square = outline(Box(centre=(0, 0), size=(2, 2)))
    points = np.array([(0, 0), (-3, 1), (-3, -1), (3, 1), (0, 0.999), (-3, 0)], float)
    assert covered(pieces((square,)), points).tolist() == [True, False, False, False, True, False]
