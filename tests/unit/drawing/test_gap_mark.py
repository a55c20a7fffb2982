"""The gap dimension: its words, its arrows and where both stand."""

import math

import pytest

from app.command_line import sample_files
from core.drawing.dimension import INSIDE_FROM, lengths, straight_lines, word_boxes
from core.drawing.display_list import Fill, Stroke, Text
from core.drawing.gap_mark import SYMBOL_ROOM, GapMark, around_symbols, gap_dimension, mark_of
from core.drawing.outline import outline
from core.model.shapes import Box, Disc
from core.motion.linkage import linkage_of
from core.project_file.read import read_project
from core.sweep.at_pose import PoseGap
from core.sweep.gap_between import gap_between

PAIR = ("motor", "rib")


def mark(length, *, gap=None, required=1.0, way_out=None, start=(10.0, 5.0), turn=0.0):
    end = (start[0] + length * math.cos(turn), start[1] + length * math.sin(turn))
    return GapMark((start, end), length if gap is None else gap, required, PAIR, way_out)


def words(items):
    (text,) = [item for item in items if isinstance(item, Text)]
    return text


def tips(items):
    return [item.outlines[0][0].edges[0].start for item in items if isinstance(item, Fill)]


def test_the_number_is_the_marks_own_and_not_the_drawings():
    assert words(gap_dimension(mark(3.0, gap=2.1234), unit=0.1)).words == "2.12 mm"
    assert words(gap_dimension(mark(3.0, gap=-3.65), unit=0.1)).words == "3.65 mm deep"


@pytest.mark.parametrize(("gap", "paint"), [(0.96, "breach"), (1.0, "ink"), (1.0 - 2e-6, "ink"), (-1.0, "breach")])
def test_short_gaps_are_written_in_breach_colour(gap, paint):
    assert words(gap_dimension(mark(2.0, gap=gap), unit=0.1)).paint == paint


def test_arrow_heads_stand_at_both_points():
    found = tips(gap_dimension(mark(3.0, turn=0.7), unit=0.01))
    assert found == [pytest.approx(point) for point in mark(3.0, turn=0.7).points]


@pytest.mark.parametrize("turn", [0.0, 0.3, 1.2, math.pi / 2, math.pi, 4.0])
def test_text_goes_outside_where_the_gap_is_drawn_shorter_than_24_units(turn):
    unit = 0.1
    room = mark(INSIDE_FROM * unit + 1e-6, turn=turn)
    inside = words(gap_dimension(room, unit=unit))
    middle = [(a + b) / 2 for a, b in zip(*room.points, strict=True)]
    assert math.dist(inside.at, middle) < 12 * unit
    tight = mark(INSIDE_FROM * unit - 1e-6, turn=turn)
    outside = words(gap_dimension(tight, unit=unit))
    assert min(math.dist(outside.at, point) for point in tight.points) > 10 * unit
    # The line passes its arrows, whose bodies lie outside the gap.
    line = next(item for item in gap_dimension(tight, unit=unit) if isinstance(item, Stroke))
    assert line.path[0].edges[0].length > math.dist(*tight.points) + 20 * unit


def test_an_overlap_is_dimensioned_along_its_way_out():
    overlap = GapMark(((0, 0), (0.3, -3.4)), -3.41, 1.0, PAIR, (0.3, -3.4))
    assert math.dist(*tips(gap_dimension(overlap, unit=0.05))) == pytest.approx(math.hypot(0.3, 3.4))


def test_a_dimension_beside_an_overlap_lies_clear_of_it_with_extension_lines():
    lens = outline(Disc(centre=(0, -1), radius=4))
    items = gap_dimension(GapMark(((0, 0), (0, -2)), -2.0, 1.0, PAIR, (0, -2)), unit=0.05, beside=lens)
    assert all(x > 4 for x, _ in tips(items))
    assert [y for _, y in tips(items)] == pytest.approx([0, -2])
    extensions = items[0]
    assert isinstance(extensions, Stroke)
    assert [run.edges[0].start[1] for run in extensions.path] == pytest.approx([0, -2])


def test_points_that_coincide_are_told_by_words_alone():
    items = gap_dimension(mark(0.0, gap=0.0), unit=0.1)
    assert [type(item) for item in items] == [Text]
    assert words(items).words == "0.00 mm"


def test_the_words_of_an_open_gap_stand_off_a_joints_symbol_and_else_where_they_are_likeliest():
    room, unit = mark(10.0), 0.1
    likeliest = words(gap_dimension(room, unit=unit))
    far = gap_dimension(room, unit=unit, off=around_symbols([(likeliest.at[0], likeliest.at[1] + 50.0)], unit=unit))
    assert words(far) == likeliest
    moved = words(gap_dimension(room, unit=unit, off=around_symbols([likeliest.at], unit=unit)))
    assert math.dist(moved.at, likeliest.at) > SYMBOL_ROOM * unit
    all_about = [(likeliest.at[0] + dx * unit, likeliest.at[1] + dy * unit) for dx in range(-300, 301, 12) for dy in range(-300, 301, 12)]
    assert words(gap_dimension(room, unit=unit, off=around_symbols(all_about, unit=unit))) == likeliest


def text_boxes(items, unit):
    return word_boxes([item for item in items if isinstance(item, Text)], unit=unit)


def test_the_words_of_an_open_gap_lie_over_no_outline_where_there_is_room_between_the_usual_places():
    room, unit = mark(10.0), 0.1
    usual = [box for way in lengths(*room.points, room.words, unit=unit) for box in text_boxes(way, unit)]

    def crosses(box):
        return box in usual

    (box,) = text_boxes(gap_dimension(room, unit=unit, crosses=crosses), unit)
    assert not crosses(box)
    assert math.dist(((box[0] + box[2]) / 2, (box[1] + box[3]) / 2), (15.0, 5.0)) < 24 * unit
    # Over an outline rather than over a symbol; where all lie over outlines, the likeliest.
    assert gap_dimension(room, unit=unit, crosses=lambda _: True) == gap_dimension(room, unit=unit)


def test_the_words_of_an_overlap_move_farther_off_it_where_an_outline_passes_close_by():
    unit, lens = 0.05, outline(Disc(centre=(0, -1), radius=4))
    overlap = GapMark(((0, 0), (0, -0.5)), -0.5, 1.0, PAIR, (0, -0.5))
    (close,) = text_boxes(gap_dimension(overlap, unit=unit, beside=lens), unit)

    def crosses(box):
        return box[0] < close[0] + 12.0 * unit

    (off,) = text_boxes(gap_dimension(overlap, unit=unit, beside=lens, crosses=crosses), unit)
    assert close[0] + 12.0 * unit <= off[0] <= close[0] + 20.0 * unit
    # What small bodies and symbols take is kept free first.
    kept = gap_dimension(overlap, unit=unit, beside=lens, off=[close], crosses=lambda _: True)
    assert not any(a[0] < close[2] and close[0] < a[2] and a[1] < close[3] and close[1] < a[3] for a in text_boxes(kept, unit))


def test_the_line_of_an_open_gap_does_not_move_aside_through_a_symbol_for_the_sake_of_outlines():
    gap, unit = mark(0.5), 0.1
    usual = [box for way in list(lengths(*gap.points, gap.words, unit=unit))[:2] for box in text_boxes(way, unit)]
    symbol = (gap.points[0][0], 6.2, gap.points[1][0], 6.8)

    def level(off):
        (box,) = text_boxes(gap_dimension(gap, unit=unit, off=off, crosses=lambda box: box in usual), unit)
        return (box[1] + box[3]) / 2 - 5.0

    assert level([]) == pytest.approx(16.0 * unit)
    assert level([symbol]) == pytest.approx(-16.0 * unit)


def test_the_words_of_an_overlap_stand_away_from_it_on_either_side():
    unit, lens = 0.05, outline(Box(centre=(0, -1), size=(8, 8)))
    overlap = GapMark(((0, 0), (0, -0.5)), -0.5, 1.0, PAIR, (0.01, -0.5))
    (right,) = text_boxes(gap_dimension(overlap, unit=unit, beside=lens), unit)
    (left,) = text_boxes(gap_dimension(overlap, unit=unit, beside=lens, crosses=lambda box: box[2] > -4.0), unit)
    assert right[0] > 4.0
    assert -4.0 - 30.0 * unit < left[2] < -4.0


def leaders(items):
    """The lines that begin at an end of another, and lead on from there."""
    lines = straight_lines(items)
    ends = [end for line in lines for end in (line.start, line.end)]
    return [line for line in lines if ends.count(line.start) > 1]


@pytest.mark.parametrize("gap", [2.0, 0.5])
def test_the_words_of_a_gap_amid_outlines_stand_at_the_end_of_a_leader(gap):
    unit, room = 0.1, mark(gap)

    def crosses(box):
        middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        return math.dist(middle, room.points[0]) < 9.0

    items = gap_dimension(room, unit=unit, crosses=crosses)
    (box,) = text_boxes(items, unit)
    assert not crosses(box)
    assert leaders(items)
    # Without outlines there is no need of one.
    assert not leaders(gap_dimension(room, unit=unit, crosses=lambda _: False))


def test_the_words_of_an_overlap_amid_outlines_stand_at_the_end_of_a_leader():
    unit, lens = 0.05, outline(Disc(centre=(0, -1), radius=4))
    overlap = GapMark(((0, 0), (0, -0.5)), -0.5, 1.0, PAIR, (0, -0.5))

    def crosses(box):
        return box[3] < 2.5

    items = gap_dimension(overlap, unit=unit, beside=lens, crosses=crosses)
    (box,) = text_boxes(items, unit)
    assert box[3] >= 2.5
    assert leaders(items)


def test_points_that_coincide_have_no_leader():
    touching = GapMark(((0, 0), (0, 0)), 0.0, 1.0, PAIR)
    assert gap_dimension(touching, unit=0.1, crosses=lambda _: True) == gap_dimension(touching, unit=0.1)


def found(length, gap, depth_gap=None):
    """A gap as it is found at a pose, its nearest points `length` apart."""
    return PoseGap("Plan", PAIR, gap, ((0.0, 0.0), (length, 0.0)), None, 1.0, 0.2, depth_gap=depth_gap)


def test_a_gap_in_the_section_is_as_long_as_its_points_are_apart():
    mark = mark_of(found(0.5, 0.5))
    assert (mark.over_depth, mark.words, mark.required, mark.taken, mark.short) == (False, "0.50 mm", 1.2, 0.2, True)
    assert len(tips(gap_dimension(mark, unit=0.1))) == 2


def test_depths_that_touch_leave_a_gap_in_the_section_its_dimension():
    assert not mark_of(found(2.0, 2.0, 0.0)).over_depth


def test_a_gap_over_the_depth_is_no_length_of_the_drawing_and_has_a_number_alone():
    """Two bars that cross each other, 0.4 mm between their depths: wherever they are nearest, no line there is 0.4 mm long."""
    for length, gap, depth in ((5.0, 0.4, 0.4), (0.0, 0.4, 0.4), (3.0, 5.0, 4.0), (3.0, 3.0, 3.0), (2.0, 0.0, 0.0)):
        mark = mark_of(found(length, gap, depth))
        assert mark.over_depth
        assert mark.words == f"{gap:.2f} mm, depth counted"
        for items in (gap_dimension(mark, unit=0.1), gap_dimension(mark, unit=0.1, crosses=lambda _: True)):
            assert [type(item) for item in items] == [Text]
            assert abs(words(items).at[0] - length / 2.0) < 2.0


def test_the_number_of_a_gap_over_the_depth_stands_at_the_end_of_a_leader_where_outlines_are_about_it():
    mark = mark_of(found(5.0, 0.4, 0.4))
    lines, text = gap_dimension(mark, unit=0.1, crosses=lambda box: box[0] < 6.0)
    assert words([text]).at[0] > 6.0
    (leader,) = straight_lines([lines])
    assert leader.start == (2.5, 0.0)


def test_a_gap_that_two_passing_bodies_keep_is_drawn_as_one_over_the_depth():
    """The turntable's arm of the owl passes over the base ring by 6.4 less 6.0 mm (its own file)."""
    project = read_project(sample_files()["owl_head"])
    linkage = linkage_of(project)
    gaps = gap_between(project, linkage, "Top", ("base ring", "turntable"))
    mark = mark_of(gaps.at({}))
    assert (mark.over_depth, mark.gap) == (True, pytest.approx(0.4))
