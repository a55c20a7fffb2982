"""Detail A: what it enlarges, how much, and what stands in it."""

import math

import pytest
import shapely

from core.drawing.detail import CORNERS, Look, Spot, _foot_note, detail_view, free_corner, least_spot, magnification, spot_circle, spot_of
from core.drawing.dimension import word_boxes
from core.drawing.display_list import Fill, Group, Stroke, Text
from core.drawing.gap_mark import GapMark
from core.drawing.path import Arc, Pose, moved
from core.drawing.region import overlap, region, widest_place
from core.drawing.slabs import section_slabs
from core.model.project import Body, Section
from core.model.shapes import Bore, Box, Disc
from tests.unit.drawing.measure import area

LOOK = Look(lambda slab: "board" if slab.fixed else "ink")


def two_discs(apart, *, depths=((0, 5), (3, 9))):
    """Discs of radius 5 about (0, 0) and, at its pose, (apart, 0)."""
    bodies = [
        Body(name=name, fixed=name == "a", depth=depth, shapes=(Disc(centre=(0, 0), radius=5),))
        for name, depth in zip("ab", depths, strict=True)
    ]
    return section_slabs(Section(name="s", bodies=tuple(bodies))), {"b": Pose(90, apart, 0)}


def slabs_of(*shapes):
    return section_slabs(Section(name="s", bodies=(Body(name="b", fixed=False, depth=(0, 1), shapes=shapes),)))


def lens_mark(apart):
    gap = apart - 10
    way = (-gap, 0.0) if gap < 0 else None
    return GapMark(((5, 0), (apart - 5, 0)), gap, 1.0, ("a", "b"), way)


def texts(items):
    return [item.words for item in items if isinstance(item, Text)]


def test_overlap_of_two_discs_is_their_lens():
    slabs, poses = two_discs(6)
    path, band = overlap(slabs[:1], slabs[1:], poses=(Pose(), poses["b"]), near=(3, 0), chord=1e-4)
    # Circles of radius 5 whose centres are 6 apart: 2 r^2 acos(d / 2r) - d / 2 sqrt(4 r^2 - d^2).
    assert area(path) == pytest.approx(2 * 25 * math.acos(0.6) - 3 * 8, abs=5e-3)
    assert band == (3, 5)


def test_bodies_that_pass_over_each_other_do_not_overlap():
    slabs, poses = two_discs(6, depths=((0, 5), (5, 9)))
    assert overlap(slabs[:1], slabs[1:], poses=(Pose(), poses["b"]), near=(3, 0), chord=1e-3) is None


def test_of_several_patches_the_nearest_counts():
    ring = slabs_of(Bore(centre=(0, 0), radius=8, wall=2))
    bar = slabs_of(Box(centre=(0, 0), size=(30, 2)))
    for side in (-9.0, 9.0):
        path, _ = overlap(ring, bar, poses=(Pose(), Pose()), near=(side, 0), chord=1e-3)
        assert all(edge.start[0] * side > 0 for run in path for edge in run.edges)


def test_the_spot_holds_the_whole_overlap():
    slabs, poses = two_discs(6)
    spot = spot_of(lens_mark(6), slabs, poses, unit=0.1, radius=108)
    assert spot.centre == pytest.approx((3, 0), abs=0.01)
    assert spot.radius > 4
    assert spot.band == (3, 5)
    assert all(math.dist(edge.start, spot.centre) <= spot.radius for run in spot.overlap for edge in run.edges)


def test_a_gap_is_enlarged_about_the_middle_of_its_points():
    slabs, poses = two_discs(10.5)
    spot = spot_of(lens_mark(10.5), slabs, poses, unit=0.1, radius=108)
    assert spot.overlap is None
    assert spot.centre == pytest.approx((5.25, 0))
    assert spot.radius == pytest.approx(1.4)  # 14 drawing units of 0.1 mm


@pytest.mark.parametrize(("apart", "unit"), [(6, 0.1), (9.9, 0.1), (10.5, 0.4), (9.0, 0.01)])
def test_magnification_is_a_whole_half_and_keeps_the_spot_inside(apart, unit):
    slabs, poses = two_discs(apart)
    spot = spot_of(lens_mark(apart), slabs, poses, unit=unit, radius=108)
    times = magnification(spot, unit=unit, radius=108)
    assert times >= 1
    assert 2 * times == round(2 * times)
    assert spot.radius * times <= 108 * unit + 1e-9


def test_detail_shows_true_shapes_enlarged_about_its_middle():
    slabs, poses = two_discs(9)
    mark, unit, at = lens_mark(9), 0.1, (50.0, 20.0)
    spot = spot_of(mark, slabs, poses, unit=unit, radius=108)
    times = magnification(spot, unit=unit, radius=108)
    items = detail_view(mark, spot, slabs, poses, at=at, radius=108, unit=unit, look=LOOK)
    group = next(item for item in items if isinstance(item, Group))
    arcs = [item.path[0].edges[0] for item in group.items if isinstance(item, Stroke) and isinstance(item.path[0].edges[0], Arc)]
    assert {round(arc.radius, 9) for arc in arcs} == {5 * times}
    centres = sorted(arc.centre[0] for arc in arcs)
    assert centres[1] - centres[0] == pytest.approx(9 * times)
    assert (centres[0] + centres[1]) / 2 == pytest.approx(at[0] + times * (4.5 - spot.centre[0]))
    assert {round(edge.radius, 9) for run in group.clip for edge in run.edges} == {10.8}


def test_the_arrow_has_the_true_length_of_the_way_out():
    slabs, poses = two_discs(9)
    mark, at = lens_mark(9), (50.0, 20.0)
    spot = spot_of(mark, slabs, poses, unit=0.1, radius=108)
    times = magnification(spot, unit=0.1, radius=108)
    items = detail_view(mark, spot, slabs, poses, at=at, radius=108, unit=0.1, look=LOOK)
    group = next(item for item in items if isinstance(item, Group))
    head = [item for item in group.items if isinstance(item, Fill) and item.paint == "ink"][-1]
    assert head.outlines[0][0].edges[0].start == pytest.approx((at[0] + times * 1.0, at[1]), abs=0.02 * times)


def test_captions_tell_depth_scale_and_way_out():
    slabs, poses = two_discs(6)
    mark = lens_mark(6)
    spot = spot_of(mark, slabs, poses, unit=0.1, radius=108)
    times = magnification(spot, unit=0.1, radius=108)
    found = texts(detail_view(mark, spot, slabs, poses, at=(0, 0), radius=108, unit=0.1, look=LOOK))
    assert found == ["A", f"{times:g} : 1 of the board", "4.00 mm deep", "shortest way out: move b by (4.00, 0.00) mm"]


@pytest.mark.parametrize(
    ("apart", "note"), [(10.96, "short by 0.04 mm of 1.00 mm"), (11.5, "required gap 1.00 mm"), (11.0, "required gap 1.00 mm")]
)
def test_captions_of_gaps_tell_what_they_are_measured_against(apart, note):
    slabs, poses = two_discs(apart)
    mark = GapMark(((5, 0), (apart - 5, 0)), apart - 10, 1.0, ("a", "b"))
    spot = spot_of(mark, slabs, poses, unit=0.1, radius=108)
    assert texts(detail_view(mark, spot, slabs, poses, at=(0, 0), radius=108, unit=0.1, look=LOOK))[-1] == note


def test_names_keep_off_the_other_body():
    slabs, poses = two_discs(9)
    mark = lens_mark(9)
    spot = spot_of(mark, slabs, poses, unit=0.02, radius=108)
    items = detail_view(mark, spot, slabs, poses, at=spot.centre, radius=108, unit=0.02, look=LOOK)
    group = next(item for item in items if isinstance(item, Group))
    names = {item.words: item.at for item in group.items if isinstance(item, Text)}
    assert names["a"][0] < spot.centre[0] < names["b"][0]


def test_the_spot_carries_its_letter():
    slabs, poses = two_discs(6)
    items = spot_circle(spot_of(lens_mark(6), slabs, poses, unit=0.1, radius=108), unit=0.1)
    assert texts(items) == ["A"]


def test_widest_place_of_a_box_is_its_middle():
    slabs = section_slabs(
        Section(name="s", bodies=(Body(name="b", fixed=False, depth=(0, 1), shapes=(Box(centre=(3, 4), size=(10, 10)),)),))
    )
    place, radius = widest_place(slabs[0].fills, within=0.01)
    assert place == pytest.approx((3, 4), abs=0.05)
    assert radius == pytest.approx(5, abs=0.01)
    assert widest_place(slabs[0].fills, within=0.01, without=slabs[0].fills) is None
    assert widest_place([], within=0.01) is None


def test_a_region_keeps_holes_and_joins_shapes():
    slabs = slabs_of(Bore(centre=(0, 0), radius=8, wall=2), Disc(centre=(0, 0), radius=3))
    there = [moved(path, Pose(40, 7, 7)) for path in slabs[0].fills]
    assert region(there, chord=1e-5).area == pytest.approx(math.pi * (100 - 64 + 9), abs=0.01)


@pytest.mark.parametrize(
    ("gap", "taken", "said"),
    [
        (2.0, 0.0, "required gap 1.20 mm"),
        (2.0, 0.2, "required gap 1.00 mm and 0.20 mm for tolerances"),
        (1.1, 0.2, "short by 0.10 mm of 1.00 mm and 0.20 mm for tolerances"),
        (1.1, 0.0, "short by 0.10 mm of 1.20 mm"),
    ],
)
def test_what_tolerances_take_is_told_apart_from_what_is_asked(gap, taken, said):
    mark = GapMark(((0.0, 0.0), (gap, 0.0)), gap, 1.2, ("a", "b"), taken=taken)
    assert _foot_note(mark) == said


def test_the_letter_stands_at_the_first_corner_that_is_clear_of_joints():
    spot = Spot((0.0, 0.0), 2.0, None, None)
    assert free_corner(spot, [], unit=0.1) == CORNERS[0] == (-1.0, -1.0)
    letters = {corner: next(item.at for item in spot_circle(spot, unit=0.1, corner=corner) if isinstance(item, Text)) for corner in CORNERS}
    assert len({*letters.values()}) == len(CORNERS)
    taken = [letters[corner] for corner in CORNERS]
    assert free_corner(spot, taken[:1], unit=0.1) == CORNERS[1]
    assert free_corner(spot, taken[:3], unit=0.1) == CORNERS[3]
    # None is clear: the one with the most room.
    near = [taken[0], taken[1], (taken[2][0] + 0.5, taken[2][1]), taken[3]]
    assert free_corner(spot, near, unit=0.1) == CORNERS[2]


def test_the_letter_stands_over_no_outline_where_there_is_a_place_about_the_circle():
    spot = Spot((0.0, 0.0), 2.0, None, None)

    def corner(crosses, off=()):
        return free_corner(spot, off, unit=0.1, crosses=crosses)

    assert corner(lambda _: False) == CORNERS[0]
    assert corner(lambda box: box[0] < 0.0) == CORNERS[2]
    # A level and an upright line, each too near to all four corners.
    between = corner(lambda box: min(abs(box[1]), abs(box[3])) > 1.0)
    assert abs(between[1]) < 0.5
    assert math.hypot(*between) == pytest.approx(math.hypot(*CORNERS[0]))
    # Symbols are kept free; and where all lie over outlines, the corner farthest from symbols.
    letter = next(item.at for item in spot_circle(spot, unit=0.1, corner=CORNERS[2]) if isinstance(item, Text))
    assert corner(lambda box: box[0] < 0.0, [letter]) == CORNERS[3]
    assert corner(lambda _: True) == CORNERS[0]


@pytest.mark.parametrize(("gap", "least"), [(3.0, 14.0), (-0.9, 14.0), (-0.1, 6.0), (0.1, 6.0), (0.0, 2.0)])
def test_what_is_small_is_enlarged_until_it_is_seen_or_as_far_as_allowed(gap, least):
    # A circle of 108 units in which 1.8 mm of 0.1 mm a unit are to fill 18: 108 / 18 = 6 times the gap in units.
    assert least_spot(gap, unit=0.1, radius=108, seen=18, closer=7) == pytest.approx(least)


def inside(slabs, poses, mark, *, unit=0.02):
    """The words in the circle, and what is drawn there as lines, as an independent polygon library has them."""
    spot = spot_of(mark, slabs, poses, unit=unit, radius=108)
    items = detail_view(mark, spot, slabs, poses, at=(0.0, 0.0), radius=108, unit=unit, look=LOOK)
    group = next(item for item in items if isinstance(item, Group))
    strokes = [item.path for item in group.items if isinstance(item, Stroke) and item.line in ("wide", "selected")]
    runs = [run for path in strokes for run in path]
    points = [[edge.point(share / 40) for edge in run.edges for share in range(41)] for run in runs]
    return group, shapely.union_all(
        [shapely.LineString([*one, one[0]] if run.closed else one) for run, one in zip(runs, points, strict=True)]
    )


@pytest.mark.parametrize("apart", [10.3, 11.0, 12.0])
def test_words_in_the_circle_lie_over_no_outline_and_within_it(apart):
    discs, poses = two_discs(apart)
    bar = Body(name="a", fixed=True, depth=(6, 7), shapes=(Box(centre=(0.0, 0.0), size=(2.0, 30.0)),))
    slabs = (*discs, *section_slabs(Section(name="s", bodies=(bar,))))
    mark = GapMark(((5, 0), (apart - 5, 0)), apart - 10, 1.0, ("a", "b"))
    group, lines = inside(slabs, poses, mark)
    boxes = {word: shapely.box(*box) for word, box in zip(texts(group.items), word_boxes(group.items, unit=0.02), strict=True)}
    assert set(boxes) == {"a", "b", mark.words}
    for word, box in boxes.items():
        assert not box.intersects(lines), word
        assert max(math.hypot(x, y) for x, y in box.exterior.coords) <= 108 * 0.02, word


def test_a_name_that_has_room_nowhere_off_the_lines_stands_in_the_widest_place():
    strips = [Box(centre=(-4.0 + 0.5 * place, 0.0), size=(0.4, 9.0)) for place in range(12)]
    one = Body(name="a", fixed=True, depth=(0, 5), shapes=tuple(strips))
    other = Body(name="b", fixed=False, depth=(3, 9), shapes=(Disc(centre=(10.0, 0.0), radius=5),))
    slabs = section_slabs(Section(name="s", bodies=(one, other)))
    mark = GapMark(((1.7, 0.0), (5.0, 0.0)), 3.3, 1.0, ("a", "b"))
    group, _ = inside(slabs, {}, mark, unit=0.2)
    assert "b" in texts(group.items)


def test_of_a_gap_over_the_depth_the_circle_shows_names_alone_and_its_foot_the_number():
    slabs, poses = two_discs(6, depths=((0, 5), (5.4, 9)))
    mark = GapMark(((5, 0), (1, 0)), 0.4, 0.0, ("a", "b"), over_depth=True)
    spot = spot_of(mark, slabs, poses, unit=0.1, radius=108)
    items = detail_view(mark, spot, slabs, poses, at=(0.0, 0.0), radius=108, unit=0.1, look=LOOK)
    group = next(item for item in items if isinstance(item, Group))
    assert set(texts(group.items)) <= {"a", "b"}
    assert not any(isinstance(item, Fill) and item.paint == "ink" and len(item.outlines[0][0].edges) == 3 for item in group.items)
    assert "0.40 mm, depth counted" in texts(items)


def test_of_two_bodies_of_which_nothing_is_drawn_the_circle_shows_the_gap_alone():
    mark = GapMark(((5, 0), (6, 0)), 1.0, 1.0, ("a", "b"))
    group, lines = inside((), {}, mark)
    assert lines.is_empty
    assert texts(group.items) == [mark.words]
