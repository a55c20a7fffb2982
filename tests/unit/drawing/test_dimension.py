"""Dimensions of lengths, angles and radii: where their arrows point, where the words stand, and which way is the clearest."""

import math

import pytest
import shapely

from core.drawing.dimension import (
    ARC_RADII,
    ARROW_LENGTH,
    INSIDE_FROM,
    LETTER_WIDTH,
    angles,
    clearest,
    length_words,
    lengths,
    line_boxes,
    radii,
    straight_lines,
    word_boxes,
)
from core.drawing.display_list import Fill, Stroke, Text
from core.drawing.path import Arc, Segment, polyline

UNIT = 0.25


def heads(items):
    """Tip and the middle of the base of each head."""
    corners = [[edge.start for edge in item.outlines[0][0].edges] for item in items if isinstance(item, Fill)]
    return [(tip, ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)) for tip, a, b in corners]


def words(items):
    (text,) = [item for item in items if isinstance(item, Text)]
    return text


def arcs(items):
    return [edge for item in items if isinstance(item, Stroke) for run in item.path for edge in run.edges if isinstance(edge, Arc)]


def off_line(point, first, last):
    along = (last[0] - first[0], last[1] - first[1])
    return abs(along[0] * (point[1] - first[1]) - along[1] * (point[0] - first[0])) / math.hypot(*along)


def test_a_length_has_its_heads_at_its_points_and_inside_where_there_is_room():
    first = next(lengths((0.0, 0.0), (30.0, 0.0), "30.00 mm", unit=UNIT))
    assert [tip for tip, _ in heads(first)] == [(0.0, 0.0), (30.0, 0.0)]
    assert [base for _, base in heads(first)] == [
        pytest.approx((ARROW_LENGTH * UNIT, 0.0)),
        pytest.approx((30.0 - ARROW_LENGTH * UNIT, 0.0)),
    ]
    assert words(first).at == pytest.approx((15.0, 9.0 * UNIT))


@pytest.mark.parametrize("turn", [0.0, 0.9, math.pi / 2.0, 2.5, math.pi, 4.0])
def test_words_and_heads_of_a_short_length_stand_outside_it(turn):
    length = (INSIDE_FROM - 1.0) * UNIT
    last = (length * math.cos(turn), length * math.sin(turn))
    for way in lengths((0.0, 0.0), last, "5.75 mm", unit=UNIT):
        ((_, first_base), (_, last_base)) = heads(way)
        assert math.dist(first_base, last_base) == pytest.approx(length + 2.0 * ARROW_LENGTH * UNIT)
        middle = (last[0] / 2.0, last[1] / 2.0)
        assert math.dist(words(way).at, middle) > length / 2.0 + ARROW_LENGTH * UNIT


def test_a_length_may_stand_aside_on_extension_lines():
    ways = list(lengths((0.0, 0.0), (30.0, 40.0), "50.00 mm", unit=UNIT))
    away = sorted({round(off_line(heads(way)[0][0], (0.0, 0.0), (30.0, 40.0)), 6) for way in ways})
    assert away == [0.0, 16.0 * UNIT, 32.0 * UNIT]
    for way in ways:
        (start, _), (end, _) = heads(way)
        assert math.dist(start, end) == pytest.approx(50.0)


def test_points_that_coincide_are_told_by_words_alone():
    assert [[type(item) for item in way] for way in lengths((1.0, 1.0), (1.0, 1.0), "0.00 mm", unit=UNIT)] == [[Text]]


@pytest.mark.parametrize(
    ("last", "sweep"), [((0.0, 20.0), 90.0), ((0.0, -20.0), -90.0), ((-10.0, 17.320508), 120.0), ((-20.0, -0.1), -179.71)]
)
def test_an_angle_is_drawn_the_way_that_is_less_than_half_a_turn(last, sweep):
    for radius, way in zip(ARC_RADII, angles((0.0, 0.0), (20.0, 0.0), last, "90.00", unit=UNIT), strict=True):
        (arc,) = arcs(way)
        assert (arc.centre, arc.radius) == ((0.0, 0.0), radius * UNIT)
        assert math.degrees(arc.sweep) == pytest.approx(sweep, abs=0.01)


def test_the_heads_of_an_angle_lie_along_its_arc():
    way = next(angles((0.0, 0.0), (20.0, 0.0), (0.0, 20.0), "90.00", unit=UNIT))
    for tip, base in heads(way):
        assert math.hypot(*tip) == pytest.approx(30.0 * UNIT)
        assert math.hypot(*base) == pytest.approx(30.0 * UNIT, rel=1e-3)
        assert min(base) > 0.0


def test_a_narrow_angle_has_its_heads_outside_its_rays():
    narrow = math.radians(8.0)
    way = next(angles((0.0, 0.0), (20.0, 0.0), (20.0 * math.cos(narrow), 20.0 * math.sin(narrow)), "8.00", unit=UNIT))
    turns = sorted(math.degrees(math.atan2(base[1], base[0])) for _, base in heads(way))
    assert turns[0] < -5.0
    assert turns[1] > 13.0


def test_rays_reach_their_points_or_the_arc_if_that_is_farther():
    way = next(angles((0.0, 0.0), (20.0, 0.0), (0.0, 1.0), "90.00", unit=UNIT))
    ends = [line.end for line in straight_lines(way)]
    assert ends == [pytest.approx((20.0, 0.0)), pytest.approx((0.0, 33.0 * UNIT))]


def test_a_point_in_the_corner_makes_no_angle():
    assert list(angles((0.0, 0.0), (0.0, 0.0), (1.0, 0.0), "", unit=UNIT)) == []


def test_a_large_radius_has_its_words_inside_and_its_one_head_at_the_rim():
    way = next(radii((0.0, 0.0), (40.0, 0.0), "R 40.00 mm", unit=UNIT))
    ((tip, base),) = heads(way)
    assert (tip, base) == ((40.0, 0.0), pytest.approx((40.0 - ARROW_LENGTH * UNIT, 0.0)))
    assert words(way).at[0] == pytest.approx(20.0)


def test_a_small_radius_has_its_words_outside_and_its_head_points_at_the_rim_from_there():
    way = next(radii((0.0, 0.0), (3.0, 0.0), "R 3.00 mm", unit=UNIT))
    ((tip, base),) = heads(way)
    assert (tip, base) == ((3.0, 0.0), pytest.approx((3.0 + ARROW_LENGTH * UNIT, 0.0)))
    assert word_boxes(way, unit=UNIT)[0][0] > 3.0


def test_nothing_round_has_no_radius():
    assert list(radii((1.0, 1.0), (1.0, 1.0), "", unit=UNIT)) == []


def test_of_the_ways_the_first_that_leaves_the_words_there_free_is_taken():
    ways = list(lengths((0.0, 0.0), (60.0, 0.0), "60.00 mm", unit=UNIT))
    assert clearest(ways, [], unit=UNIT) is ways[0]
    above = word_boxes(ways[0], unit=UNIT)
    chosen = clearest(ways, above, unit=UNIT)
    assert chosen is ways[1]
    assert words(chosen).at[1] < 0.0
    below = word_boxes(ways[1], unit=UNIT)
    aside = clearest(ways, [*above, *below], unit=UNIT)
    (box,) = word_boxes(aside, unit=UNIT)
    assert all(box[1] >= other[3] or box[3] <= other[1] for other in (*above, *below))


def test_words_keep_off_the_lines_of_others_too():
    ways = list(lengths((0.0, 0.0), (60.0, 0.0), "60.00 mm", unit=UNIT))
    line = Segment((25.0, 9.0 * UNIT), (80.0, 9.0 * UNIT))
    assert words(clearest(ways, [], unit=UNIT, lines=[line])).at[1] < 0.0


def test_no_way_at_all_draws_nothing():
    assert clearest([], [], unit=UNIT) == ()


def test_words_stay_in_sight_where_they_can():
    ways = list(lengths((0.0, 0.0), (60.0, 0.0), "60.00 mm", unit=UNIT))
    low = clearest(ways, [], unit=UNIT, window=(-5.0, -50.0, 65.0, 1.0))
    assert words(low).at[1] < 0.0
    assert clearest(ways, [], unit=UNIT, window=(-5.0, -50.0, 65.0, 50.0)) is ways[0]


def test_a_dimension_does_not_lie_upon_the_line_of_another():
    ways = list(lengths((0.0, 0.0), (60.0, 0.0), "60.00 mm", unit=UNIT))
    chosen = clearest(ways, [], unit=UNIT, lines=[Segment((10.0, 0.1), (90.0, 0.1))])
    assert [tip[1] for tip, _ in heads(chosen)] == pytest.approx([16.0 * UNIT, 16.0 * UNIT])
    beyond = [Segment((61.0, 0.0), (90.0, 0.0)), Segment((30.0, -20.0), (30.0, -1.0))]
    assert clearest(ways, [], unit=UNIT, lines=beyond) is ways[0]


@pytest.mark.parametrize("turn", range(0, 360, 5))
@pytest.mark.parametrize("second", [False, True])
def test_the_line_of_a_length_never_runs_through_its_own_words(turn, second):
    end = (40.0 * UNIT * math.cos(math.radians(turn)), 40.0 * UNIT * math.sin(math.radians(turn)))
    words = length_words((0.0, 0.0), end, "12.26 mm", unit=UNIT, paint="ink", second=second)
    wide, half = 8 * words.size * LETTER_WIDTH * UNIT, words.size / 2.0 * UNIT
    left = {"left": words.at[0], "middle": words.at[0] - wide / 2.0, "right": words.at[0] - wide}[words.anchor]
    box = shapely.box(left, words.at[1] - half, left + wide, words.at[1] + half)
    line = shapely.LineString([(0.0, 0.0), end])
    assert not box.intersects(line)
    # And it stands by the line, not far off.
    assert box.distance(line) < 12.0 * UNIT


def test_boxes_of_lines_hold_every_point_of_them_and_little_else():
    unit, slanting = 0.5, Stroke((polyline((0.0, 0.0), (60.0, 30.0)),), "narrow")
    boxes = line_boxes((slanting, Text((0.0, 0.0), "no line", 12.0)), unit=unit)
    for share in range(101):
        x, y = 0.6 * share, 0.3 * share
        assert any(box[0] <= x <= box[2] and box[1] <= y <= box[3] for box in boxes)
    far = [(x, y) for x, y in ((20.0, 20.0), (40.0, 10.0)) if any(box[0] <= x <= box[2] and box[1] <= y <= box[3] for box in boxes)]
    assert far == []
