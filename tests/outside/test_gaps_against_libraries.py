"""Gaps and depths of random shapes, held to general-purpose libraries that compute them by other ways. Lengths mm."""

import math

import coal
import numpy as np
import pymunk
import pytest
import shapely

from tests.bays import bar, bay, body, box, disc, drive, gaps, polygon, slide

PAIRS = 300


def convex_points(rng, middle, size):
    """Corners of a random convex polygon, rounded as the file rounds."""
    angles = np.sort(rng.uniform(0, 2 * math.pi, rng.integers(5, 12)))
    cloud = np.column_stack([np.cos(angles), np.sin(angles)]) * rng.uniform(0.3, 1, (len(angles), 1)) * size + middle
    hull = shapely.convex_hull(shapely.multipoints(np.round(cloud, 6)))
    return shapely.get_coordinates(hull)[:-1]


def pairs_bay(pairs):
    """A bay in which each fixed shape is checked against its own moving shape alone: each pair has a depth of its own."""
    bodies, joints = [], []
    for number, (fixed, moving) in enumerate(pairs):
        depth = (10 * number, 10 * number + 5)
        bodies += [body(f"bay {number}", fixed, fixed=True, depth=depth), body(f"sled {number}", moving, depth=depth)]
        joints.append(slide(f"rail {number}", f"bay {number}", f"sled {number}"))
    return bay(bodies, joints, [drive("push", (-1, 1), *(joint["name"] for joint in joints), unit="mm")])


def gaps_of(pairs):
    told = {found.between: found for found in gaps(pairs_bay(pairs))}
    return [told[f"bay {number}", f"sled {number}"] for number in range(len(pairs))]


def in_batches(pairs, size=20):
    """Every pair passes over all others of its bay, so small bays keep the work small."""
    return [found for start in range(0, len(pairs), size) for found in gaps_of(pairs[start : start + size])]


def random_convex(seed, *, spread):
    rng = np.random.default_rng(seed)
    return [
        (convex_points(rng, (0, 0), rng.uniform(3, 15)), convex_points(rng, rng.uniform(-spread, spread, 2), rng.uniform(3, 15)))
        for _ in range(PAIRS)
    ]


def coal_gap(first, second):
    """Signed gap by coal: prisms 1000 deep, so that the way out never leads across the section."""
    result = coal.DistanceResult()
    request = coal.DistanceRequest()
    request.gjk_tolerance = request.epa_tolerance = 1e-10
    return coal.distance(prism(first), coal.Transform3s(), prism(second), coal.Transform3s(), request, result)


def prism(points):
    corners = np.array([[x, y, z] for z in (-500.0, 500.0) for x, y in points])
    cloud = coal.StdVec_Vec3s()
    cloud.extend(corners)
    return coal.Convex.convexHull(cloud, False, "")


def test_gaps_of_random_convex_polygons_are_those_of_coal():
    drawn = random_convex(1, spread=25)
    found = in_batches([(polygon(*first), polygon(*second)) for first, second in drawn])
    for (first, second), told in zip(drawn, found, strict=True):
        assert told.gap == pytest.approx(coal_gap(first, second), abs=1e-6)
    assert sum(told.gap < 0 for told in found) > PAIRS // 8
    assert sum(told.gap > 0 for told in found) > PAIRS // 8


def test_gaps_of_random_polygons_apart_are_those_of_shapely():
    rng, drawn = np.random.default_rng(2), []
    while len(drawn) < PAIRS:
        first, second = star(rng, (0, 0)), star(rng, rng.uniform(-40, 40, 2))
        if shapely.Polygon(first).disjoint(shapely.Polygon(second)):
            drawn.append((first, second))
    found = in_batches([(polygon(*first), polygon(*second)) for first, second in drawn])
    for (first, second), told in zip(drawn, found, strict=True):
        assert told.gap == pytest.approx(shapely.Polygon(first).distance(shapely.Polygon(second)), abs=1e-9)


def star(rng, middle):
    """A star-shaped outline, mostly concave."""
    count = int(rng.integers(5, 12))
    angles = (np.arange(count) + rng.uniform(-0.3, 0.3, count)) * 2 * math.pi / count
    ring = np.column_stack([np.cos(angles), np.sin(angles)]) * rng.uniform(4, 14, (count, 1)) + middle
    return np.round(ring, 6)


def test_gaps_of_rounded_shapes_are_those_of_their_cores_in_shapely():
    # Closed form on top of the library: a rounded shape is all points within its radius of its core.
    rng, drawn, expected = np.random.default_rng(3), [], []
    while len(drawn) < PAIRS:
        (first, core_a, radius_a), (second, core_b, radius_b) = rounded(rng, (0, 0)), rounded(rng, rng.uniform(-30, 30, 2))
        distance = core_a.distance(core_b)
        if distance > 0:
            drawn.append((first, second))
            expected.append(distance - radius_a - radius_b)
    found = in_batches(drawn)
    for told, true in zip(found, expected, strict=True):
        assert told.gap == pytest.approx(true, abs=1e-6)


def rounded(rng, middle):
    """(shape, core, radius) of a disc, a bar or a box with rounded corners."""
    x, y = np.round(middle, 6).tolist()
    radius = round(float(rng.uniform(0.5, 4)), 6)
    kind = rng.integers(3)
    if kind == 0:
        return disc(x, y, radius), shapely.Point(x, y), radius
    angle = float(rng.uniform(-180, 180))
    if kind == 1:
        far = np.round([x + 12 * math.cos(angle), y + 12 * math.sin(angle)], 6).tolist()
        return bar((x, y), far, radius), shapely.LineString([(x, y), far]), radius
    core = shapely.affinity.rotate(shapely.box(x - 5, y - 2, x + 5, y + 2), angle, origin=(x, y))
    return box(x, y, 10 + 2 * radius, 4 + 2 * radius, angle, radius), core, radius


def test_depths_of_random_convex_polygons_are_those_of_pymunk():
    drawn = random_convex(4, spread=10)
    found = in_batches([(polygon(*first), polygon(*second)) for first, second in drawn])
    space, compared = pymunk.Space(), 0
    for (first, second), told in zip(drawn, found, strict=True):
        if shapely.Polygon(first).intersection(shapely.Polygon(second)).area < 0.1:
            continue  # the library tells nothing of pairs that are apart
        shapes = [pymunk.Poly(space.static_body, points.tolist()) for points in (first, second)]
        for shape in shapes:
            shape.cache_bb()
        depth = min(point.distance for point in shapes[0].shapes_collide(shapes[1]).points)
        assert told.gap == pytest.approx(depth, abs=1e-4)
        compared += 1
    assert compared > PAIRS // 3


def test_way_out_frees_concave_shapes_and_no_shorter_way_does():
    # Held to a direct search with shapely: translations in 720 directions, up to just short of the depth told, all still overlap.
    rng, drawn = np.random.default_rng(5), []
    while len(drawn) < 60:
        first, second = star(rng, (0, 0)), star(rng, rng.uniform(-9, 9, 2))
        if shapely.Polygon(first).intersection(shapely.Polygon(second)).area > 1:
            drawn.append((first, second))
    found = in_batches([(polygon(*first), polygon(*second)) for first, second in drawn])
    angles = np.arange(720) * math.pi / 360
    for (first, second), told in zip(drawn, found, strict=True):
        fixed, moving = shapely.Polygon(first), shapely.Polygon(second)
        assert fixed.intersection(shapely.affinity.translate(moving, *told.way_out)).area < 1e-6
        assert math.hypot(*told.way_out) == pytest.approx(-told.gap, abs=1e-9)
        for share in (0.5, 0.9, 0.998):
            moves = -share * told.gap * np.column_stack([np.cos(angles), np.sin(angles)])
            pushed = shapely.polygons(second[None, :, :] + moves[:, None, :])
            assert np.all(shapely.area(shapely.intersection(pushed, fixed)) > 0)
