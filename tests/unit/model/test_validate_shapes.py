"""Faults of bodies and shapes, each with its code, place and numbers."""

from math import inf, nan

import pytest

from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from core.model.validate import is_valid, validate
from tests.unit.model.drawings import BOW_TIE, DUMBBELL, ELL, SQUARE, gate

HOLE = ((2.0, 2.0), (4.0, 2.0), (4.0, 4.0), (2.0, 4.0))


def shifted(ring, dx, dy=0.0):
    return tuple((x + dx, y + dy) for x, y in ring)


def errors_of(*shapes, **leaf):
    return [finding for finding in validate(gate(shapes=shapes, **leaf)) if finding.level == "error"]


def test_the_gate_is_valid():
    assert validate(gate()) == ()


@pytest.mark.parametrize(
    "shape",
    [
        Box(centre=(0, 0), size=(10, 4), corner_radius=2),  # half the shorter side: a bar
        Polygon(points=SQUARE[::-1], holes=(HOLE,), corner_radius=0.9),
        Polygon(points=ELL, corner_radius=1.9),
        Polygon(points=DUMBBELL, corner_radius=0.4),
        Frame(centre=(0, 0), size=(10, 4), wall=0.1),
        Bore(centre=(0, 0), radius=10, wall=0.1),
    ],
)
def test_shapes_at_their_limits_are_valid(shape):
    assert errors_of(shape) == []


@pytest.mark.parametrize(
    ("shape", "code", "path", "data"),
    [
        (Disc(centre=(0, 0), radius=0), "radius-not-positive", "", {"radius": 0}),
        (Bar(start=(0, 0), end=(1, 0), radius=-1), "radius-not-positive", "", {"radius": -1}),
        (Bar(start=(2, 3), end=(2, 3), radius=1), "bar-without-length", "", {}),
        (Bore(centre=(0, 0), radius=0, wall=1), "radius-not-positive", "", {"radius": 0}),
        (Bore(centre=(0, 0), radius=2, wall=0), "wall-not-positive", "", {"wall": 0}),
        (Frame(centre=(0, 0), size=(4, 4), wall=-1), "wall-not-positive", "", {"wall": -1}),
        (Frame(centre=(0, 0), size=(4, 0), wall=1), "size-not-positive", "", {"width": 4, "height": 0}),
        (Box(centre=(0, 0), size=(-4, 3)), "size-not-positive", "", {"width": -4, "height": 3}),
        (Box(centre=(0, 0), size=(4, 3), corner_radius=-1), "number-negative", ".corner_radius", {"key": "corner_radius", "value": -1}),
        (Box(centre=(0, 0), size=(4, 3), corner_radius=1.6), "corner-radius-too-large", "", {"corner_radius": 1.6, "largest": 1.5}),
        (Disc(centre=(0, 0), radius=1, depth=(3, 3)), "depth-empty", ".depth", {"low": 3, "high": 3}),
        (Polygon(points=SQUARE[:2]), "outline-too-few-points", "", {"count": 2}),
        (Polygon(points=()), "outline-too-few-points", "", {"count": 0}),
        (Polygon(points=((0, 0), (5, 0), (9, 0))), "outline-without-area", "", {}),
        (Polygon(points=(*BOW_TIE[:3], (0.0, 8.0))), "outline-crosses-itself", "", {"x": 40 / 9, "y": 40 / 9}),
        (Polygon(points=SQUARE, corner_radius=-0.5), "number-negative", ".corner_radius", {"key": "corner_radius", "value": -0.5}),
        (Polygon(points=SQUARE, holes=(HOLE[:2],)), "outline-too-few-points", ".holes[0]", {"count": 2}),
        (Polygon(points=SQUARE, holes=(shifted(HOLE, 20),)), "hole-outside", ".holes[0]", {"hole": 0}),
        (Polygon(points=SQUARE, holes=(shifted(HOLE, -2),)), "hole-meets-outline", ".holes[0]", {"hole": 0, "x": 0, "y": 2}),
        (Polygon(points=SQUARE, holes=(HOLE, shifted(HOLE, 1, 1))), "holes-meet", ".holes[1]", {"hole": 1, "other": 0, "x": 4, "y": 3}),
        (
            Polygon(points=SQUARE, holes=(HOLE, ((2.5, 2.5), (3, 2.5), (3, 3)))),
            "hole-in-hole",
            ".holes[1]",
            {"hole": 1, "other": 0},
        ),
    ],
)
def test_a_fault_of_a_shape_is_told_with_its_place_and_numbers(shape, code, path, data):
    (finding,) = errors_of(Disc(centre=(0, 0), radius=3), shape)
    assert (finding.code, finding.place.path) == (code, f"sections[0].bodies[1].shapes[1]{path}")
    assert (finding.place.section, finding.place.body) == ("Plan", "leaf")
    assert finding.data == pytest.approx(data) if "x" in data else finding.data == data


def test_a_bow_tie_of_equal_lobes_encloses_no_area():
    (finding,) = errors_of(Polygon(points=BOW_TIE))
    assert finding.code == "outline-without-area"


@pytest.mark.parametrize(
    ("polygon", "largest"),
    [
        (Polygon(points=SQUARE, corner_radius=5), 5.0),
        (Polygon(points=ELL, corner_radius=3), 2.0),  # the arms of the L are 4 wide
        (Polygon(points=DUMBBELL, corner_radius=0.6), 0.5),  # the neck is 1 wide
        (Polygon(points=SQUARE, holes=(HOLE,), corner_radius=2), 1.0),  # 2 mm between hole and outline
        (Polygon(points=SQUARE, holes=(HOLE, shifted(HOLE, 2.6)), corner_radius=2), 0.3),  # 0.6 mm between the holes
        (Polygon(points=SQUARE, holes=(shifted(HOLE, 1, 1),), corner_radius=40), 1.5),
        # walls of 2: at 4.5 the grown hole has swallowed the shrunk outline whole and meets it nowhere
        (Polygon(points=SQUARE, holes=(((2, 2), (8, 2), (8, 8), (2, 8)),), corner_radius=4.5), 1.0),
    ],
)
def test_a_corner_radius_too_large_tells_the_largest_that_fits(polygon, largest):
    (finding,) = errors_of(polygon)
    assert finding.code == "corner-radius-too-large"
    assert finding.data["largest"] <= largest
    assert finding.data["largest"] == pytest.approx(largest, abs=polygon.corner_radius / 4096 + 0.001)


def test_the_largest_corner_radius_told_is_accepted():
    (finding,) = errors_of(Polygon(points=ELL, corner_radius=3))
    assert errors_of(Polygon(points=ELL, corner_radius=finding.data["largest"])) == []


def test_a_body_without_shapes_and_with_an_empty_band_and_a_negative_tolerance_gets_three_findings():
    found = errors_of(depth=(8.0, 2.0), outline_tolerance=-0.1)
    assert [(f.code, f.place.path) for f in found] == [
        ("depth-empty", "sections[0].bodies[1].depth"),
        ("number-negative", "sections[0].bodies[1].outline_tolerance"),
        ("body-without-shapes", "sections[0].bodies[1]"),
    ]


@pytest.mark.parametrize(("bad", "value"), [(nan, "not a number"), (inf, "infinite"), (-inf, "infinite")])
def test_a_number_that_is_not_finite_is_told_and_hides_nothing_elsewhere(bad, value):
    found = errors_of(Box(centre=(bad, 0), size=(4, 4)), Polygon(points=((0, 0), (bad, 1), (2, 2))), depth=(2.0, bad))
    assert [(f.code, f.place.path, f.data["value"]) for f in found] == [
        ("number-not-finite", "sections[0].bodies[1].depth[1]", value),
        ("number-not-finite", "sections[0].bodies[1].shapes[0].centre[0]", value),
        ("number-not-finite", "sections[0].bodies[1].shapes[1].points[1][0]", value),
    ]


def test_only_errors_make_a_project_invalid():
    assert is_valid(validate(gate()))
    assert not is_valid(validate(gate(shapes=())))
