"""Outlines of shapes against closed forms, and against an independent outline made of chords."""

import math

import msgspec
import pytest
from shapely.geometry import Point

from core.drawing.outline import outline
from core.drawing.path import Arc, Segment
from core.drawing.region import region
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from tests.checker.outline import material
from tests.unit.drawing.measure import area, is_joined, length

ELL = ((0, 0), (30, 0), (30, 10), (10, 10), (10, 25), (0, 25))
CLOSED_FORMS = [
    (Disc(centre=(3, -2), radius=5), math.pi * 25, 10 * math.pi),
    (Bar(start=(1, 2), end=(4, 6), radius=1.5), 5 * 3 + math.pi * 2.25, 10 + 3 * math.pi),
    (Box(centre=(0, 0), size=(20, 10), turn=30, corner_radius=2), 200 - (4 - math.pi) * 4, 60 - 16 + 4 * math.pi),
    (Box(centre=(5, 5), size=(20, 10)), 200, 60),
    (Box(centre=(5, 5), size=(20, 10), corner_radius=5), 10 * 10 + math.pi * 25, 20 + 10 * math.pi),
    (Bore(centre=(1, 1), radius=10, wall=2), math.pi * (144 - 100), 44 * math.pi),
    (Frame(centre=(0, 0), size=(80, 50), wall=2, turn=12), 84 * 54 - 80 * 50, 276 + 260),
    (Polygon(points=ELL), 30 * 10 + 10 * 15, 110),
    # Five corners of the L stick out and are rounded; the sixth stays sharp.
    (Polygon(points=ELL, corner_radius=2), 450 - 5 * (4 - math.pi), 110 - 5 * 4 + 5 * math.pi),
    (Polygon(points=((0, 0), (20, 0), (20, 20), (0, 20)), holes=(((5, 5), (15, 5), (15, 15), (5, 15)),)), 300, 120),
    # A hole's corners do not stick out of the material: they stay sharp.
    (
        Polygon(points=((0, 0), (20, 0), (20, 20), (0, 20)), holes=(((5, 5), (15, 5), (15, 15), (5, 15)),), corner_radius=2),
        300 - (4 - math.pi) * 4,
        80 - 16 + 4 * math.pi + 40,
    ),
]


@pytest.mark.parametrize(("shape", "wanted_area", "wanted_length"), CLOSED_FORMS)
def test_area_and_length_are_the_closed_forms(shape, wanted_area, wanted_length):
    path = outline(shape)
    assert area(path) == pytest.approx(wanted_area, abs=1e-9)
    assert length(path) == pytest.approx(wanted_length, abs=1e-9)


# The independent outline has no area left to grow from where the corners take a whole side.
@pytest.mark.parametrize("shape", [shape for shape, _, _ in CLOSED_FORMS if getattr(shape, "corner_radius", 0) < 5])
def test_edges_are_joined_and_agree_with_an_independent_outline(shape):
    path = outline(shape)
    assert is_joined(path)
    assert all(run.closed for run in path)
    other = material(msgspec.to_builtins(shape), error=0.001, outer=False)
    ours = region((path,), chord=0.001)
    assert ours.symmetric_difference(other).area < 0.002 * other.length


@pytest.mark.parametrize("clockwise", [False, True])
def test_a_polygon_drawn_either_way_round_gives_the_same_outline(clockwise):
    points = ELL[::-1] if clockwise else ELL
    assert area(outline(Polygon(points=points, corner_radius=1))) == pytest.approx(450 - 5 * (1 - math.pi / 4))


def test_a_bar_of_no_length_is_a_disc():
    assert outline(Bar(start=(2, 3), end=(2, 3), radius=4)) == outline(Disc(centre=(2, 3), radius=4))


def test_a_neck_thinner_than_the_corners_parts_the_outline():
    points = ((0, 0), (10, 0), (10, 4), (20, 4), (20, 0), (30, 0), (30, 10), (20, 10), (20, 6), (10, 6), (10, 10), (0, 10))
    runs = outline(Polygon(points=points, corner_radius=2))
    assert len(runs) == 2
    assert is_joined(runs)


def test_corners_wider_than_the_polygon_leave_nothing():
    assert outline(Polygon(points=((0, 0), (4, 0), (4, 4), (0, 4)), corner_radius=2.5)) == ()


def test_holes_run_clockwise():
    for shape in (Bore(centre=(0, 0), radius=5, wall=1), Frame(centre=(0, 0), size=(8, 8), wall=1)):
        outer, inner = outline(shape)
        assert area((outer,)) > 0 > area((inner,))


def test_a_rounded_corner_is_a_true_arc():
    (run,) = outline(Box(centre=(0, 0), size=(10, 10), corner_radius=3))
    arcs = [edge for edge in run.edges if isinstance(edge, Arc)]
    assert {(round(arc.centre[0], 9), round(arc.centre[1], 9), arc.radius) for arc in arcs} == {
        (x, y, 3.0) for x in (-2.0, 2.0) for y in (-2.0, 2.0)
    }
    assert len([edge for edge in run.edges if isinstance(edge, Segment)]) == 4


def test_a_disc_of_the_corner_radius_fits_into_every_rounded_corner():
    ours = region((outline(Polygon(points=ELL, corner_radius=2)),), chord=1e-4)
    assert ours.buffer(1e-3).contains(Point(2, 2).buffer(2))
