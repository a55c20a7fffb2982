"""Gaps of drawn shapes, held to closed forms worked out beside each number. Lengths mm."""

import math

import pytest

from tests.bays import bar, bore, box, disc, frame, gap, polygon, slid

ROOT = math.sqrt(2)


def segment(start, end):
    """A bar so thin that its radius only shows as the 0.001 that is added back."""
    return bar(start, end, 0.001)


@pytest.mark.parametrize(
    ("point", "ends", "expected"),
    [
        ((3, 4), ((0, 0), (10, 0)), 4),  # closed form: over the inside of the segment
        ((13, 4), ((0, 0), (10, 0)), 5),  # closed form: 3-4-5 from its end
        ((6, 2), ((1, 2), (9, 8)), 3),  # closed form: |8 x 0 - 6 x 5| / 10
    ],
)
def test_gap_of_a_point_and_a_segment(point, ends, expected):
    assert gap(slid(segment(*ends), disc(*point, 0.001))).gap == pytest.approx(expected - 0.002, abs=1e-9)


@pytest.mark.parametrize(
    ("fixed", "moving", "expected"),
    [
        (box(0, 0, 10, 10), box(20, 0, 10, 10, 45), 15 - 5 * ROOT),  # closed form, 7.928932: half diagonal 5 sqrt 2
        (box(0, 0, 10, 10), box(13, 14, 10, 10), 5),  # closed form: corner to corner, 3-4-5
        (box(0, 0, 10, 10), disc(9, 9, 3), 4 * ROOT - 3),  # closed form, 2.656854: corner (5, 5) to the centre
        (bar((0, 0), (10, 0), 2), bar((5, 6), (15, 16), 2), 2),  # closed form: centre lines 6 apart
        (box(0, 0, 10, 10), box(10, 0, 10, 10), 0),  # closed form: touching squares
        (bore(0, 0, 10), disc(3.5, 0, 4), 2.5),  # closed form: 10 - 3.5 - 4
        (bore(0, 0, 10), disc(2.1, -2.8, 4), 2.5),  # closed form: the same off at a slant
        (box(0, 14, 60, 4), polygon(*[(10 * math.cos(a), 10 * math.sin(a)) for a in (math.pi / 3 * k for k in range(6))]), 3.339746),
        # closed form: a hexagon's flat lies 10 cos 30 from its centre, 12 - 8.660254
        (frame(0, 0, 40, 20), box(5, 2, 6, 6), 5),  # closed form: top, 10 - (2 + 3)
    ],
)
def test_gap_of_shapes_apart(fixed, moving, expected):
    for first, second in ((fixed, moving), (moving, fixed)):
        assert gap(slid(first, second)).gap == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("fixed", "moving", "expected", "way"),
    [
        (box(0, 0, 10, 10), disc(4, 0, 3), -4, (4, 0)),  # closed form: 5 - 4 + 3
        (box(0, 0, 20, 10), box(12, 6, 8, 8), -2, (2, 0)),  # closed form: 10 - (12 - 4) in x, 3 in y
        (box(0, 0, 10, 10), box(10, 0, 10, 10, 45), 5 - 5 * ROOT, (5 * ROOT - 5, 0)),  # closed form, -2.071068
        (box(0, 0, 40, 20), box(5, 2, 6, 6), -11, (0, 11)),  # closed form: inside, shortest out at the top: 10 - 2 + 3
    ],
)
def test_depth_and_way_out_of_shapes_that_overlap(fixed, moving, expected, way):
    found = gap(slid(fixed, moving))
    assert found.gap == pytest.approx(expected, abs=1e-6)
    assert found.way_out == pytest.approx(way, abs=1e-6)


def test_depth_of_bars_whose_centre_lines_stay_apart():
    # Closed form: the end (12, 3) lies hypot(2, 3) = 3.605551 from the end (10, 0), 2 + 2 less makes -0.394449.
    found = gap(slid(bar((0, 0), (10, 0), 2), bar((12, 3), (20, 10), 2)))
    assert found.gap == pytest.approx(math.hypot(2, 3) - 4, abs=1e-6)
    assert found.way_out == pytest.approx((0.394449 * 2 / 3.605551, 0.394449 * 3 / 3.605551), abs=1e-5)


U_SLOT = polygon((-8, -10), (8, -10), (8, 10), (3, 10), (3, -5), (-3, -5), (-3, 10), (-8, 10))


def test_pin_off_centre_in_a_slot_keeps_its_play():
    # Closed form: half slot 3, less pin 2.5, less 0.2; the convex hull of the outline would call it a hit.
    assert gap(slid(U_SLOT, disc(0.2, 2, 2.5))).gap == pytest.approx(0.3, abs=1e-6)


def test_pin_too_wide_for_its_slot_is_freed_by_the_slot_alone():
    # Closed form: a pin r 3.5 at (0, 2) overlaps both sides by 0.5; it gets out upwards, where the least way is to stand on the
    # two mouth corners (+-3, 10): centre at y = 10 + sqrt(3.5^2 - 3^2) = 11.802776.
    found = gap(slid(U_SLOT, disc(0, 2, 3.5)))
    assert found.gap == pytest.approx(2 - 10 - math.sqrt(3.5**2 - 3**2), abs=1e-6)
    assert found.way_out == pytest.approx((0, 9.802776), abs=1e-5)


def test_nearest_points_lie_on_both_outlines():
    # Closed form: along the diagonal from the corner (5, 5) to the disc's rim.
    found = gap(slid(box(0, 0, 10, 10), disc(9, 9, 3)))
    assert found.points[0] == pytest.approx((5, 5), abs=1e-9)
    assert found.points[1] == pytest.approx((9 - 3 / ROOT, 9 - 3 / ROOT), abs=1e-9)
    assert math.dist(*found.points) == pytest.approx(found.gap, abs=1e-9)
