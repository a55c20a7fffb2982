"""Grips of shapes: one dragged to its own place changes nothing, one dragged away ends where it was put, the rest stays."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from app.drawing.grips_of import AS_POINTS, LEAST, dragged, grips_of, led_by, measure_of, replace_at, same_grip, told_apart
from core.model.outline import signed_area
from core.model.rounding import rounded
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon

AWAY = 4.0
lengths = st.floats(-100, 100).map(lambda value: round(value, 3))
sizes = st.floats(1, 60).map(lambda value: round(value, 3))
points = st.tuples(lengths, lengths)
turns = st.floats(-300, 300).map(lambda value: round(value, 3))


@st.composite
def stars(draw, about=(0.0, 0.0), least=20.0, most=40.0):
    """Rings seen whole from their middle, so that they never cross themselves; either way round."""
    count = draw(st.integers(3, 9))
    radii = draw(st.lists(st.floats(least, most), min_size=count, max_size=count))
    ring = tuple(
        (about[0] + radius * math.cos(2 * math.pi * place / count), about[1] + radius * math.sin(2 * math.pi * place / count))
        for place, radius in enumerate(radii)
    )
    return ring[::-1] if draw(st.booleans()) else ring


discs = st.builds(lambda at, r: Disc(centre=at, radius=r), points, sizes)
bores = st.builds(lambda at, r, wall: Bore(centre=at, radius=r, wall=wall), points, sizes, sizes)
bars = st.builds(lambda one, two, r: Bar(start=one, end=two, radius=r), points, points, sizes).filter(
    lambda bar: math.dist(bar.start, bar.end) > 1.0
)
boxes = st.builds(
    lambda at, size, turn, share: Box(centre=at, size=size, turn=turn, corner_radius=round(share * min(size) / 2, 3)),
    points,
    st.tuples(sizes, sizes),
    turns,
    st.floats(0, 0.9),
)
frames = st.builds(
    lambda at, size, turn, wall: Frame(centre=at, size=size, turn=turn, wall=wall), points, st.tuples(sizes, sizes), turns, sizes
)
polygons = st.builds(
    lambda ring, hole, r: rounded(Polygon(points=ring, holes=(hole,), corner_radius=r)), stars(), stars(least=3, most=6), st.floats(0, 1)
)
shapes = st.one_of(discs, bores, bars, boxes, frames, polygons)


def grip_of(shape, kind, place=0, hole=None):
    return next(grip for grip in grips_of(shape, away=AWAY) if (grip.kind, grip.place, grip.hole) == (kind, place, hole))


def near(one, two, within=1e-7):
    return one == pytest.approx(two, abs=within)


@given(shapes)
def test_a_grip_dragged_to_its_own_place_changes_nothing(shape):
    for grip in grips_of(shape, away=AWAY):
        after = dragged(shape, grip, grip.at)
        if grip.kind == "middle":
            ring = after.points if grip.hole is None else after.holes[grip.hole]
            before = shape.points if grip.hole is None else shape.holes[grip.hole]
            assert len(ring) == len(before) + 1
            assert signed_area(ring) == pytest.approx(signed_area(before))
        else:
            assert rounded(after) == shape, grip


@given(shapes, st.data())
def test_a_grip_ends_at_the_pointer_or_has_its_number(shape, data):
    grip = data.draw(st.sampled_from(grips_of(shape, away=AWAY)))
    to = data.draw(points)
    after = dragged(shape, grip, to)
    measure = measure_of(shape, grip)
    if measure is None:
        assert grip.kind in AS_POINTS
        held = led_by(grip, to)
        assume(not (isinstance(shape, Bar) and grip.kind == "end" and near(shape.start if grip.place else shape.end, to, LEAST)))
        wanted = [one for one in grips_of(after, away=AWAY) if one.kind == held.kind and one.hole == held.hole]
        missed = min(math.dist(one.at, to) for one in wanted)
        # A corner pulled over the one that stays becomes another of the four; a size of next to nothing is kept at the least.
        assert missed <= (1e-7 if min(getattr(after, "size", (1.0, 1.0))) > LEAST else 2 * LEAST)
        return
    number = measure.number(to)
    assume(abs(number) > LEAST)
    told = {
        "radius": lambda: (after.radius, abs(number)),
        "wall": lambda: (after.wall, max(number, LEAST)),
        "side": lambda: (after.size[grip.place % 2], abs(number)),
        "turn": lambda: (math.remainder(after.turn - number, 360), 0.0),
        "rounding": lambda: (after.corner_radius, min(max(number, 0.0), min(getattr(shape, "size", (math.inf,))) / 2)),
    }
    found, expected = told[grip.kind]()
    assert found == pytest.approx(expected, abs=1e-7)


@given(st.one_of(boxes, frames), st.integers(0, 3), points)
def test_a_box_pulled_by_a_corner_keeps_the_corner_over_against_it_and_its_turn(shape, place, to):
    after = dragged(shape, grip_of(shape, "corner", place), to)
    assert type(after) is type(shape)
    assert after.turn == shape.turn
    still = grip_of(shape, "corner", (place + 2) % 4).at
    assert min(math.dist(grip.at, still) for grip in grips_of(after, away=AWAY) if grip.kind == "corner") <= 1e-7


@given(st.one_of(boxes, frames), st.integers(0, 3), points)
def test_a_box_pulled_by_a_side_keeps_the_side_over_against_it_and_its_other_size(shape, place, to):
    after = dragged(shape, grip_of(shape, "side", place), to)
    still = grip_of(shape, "side", (place + 2) % 4).at
    assert min(math.dist(grip.at, still) for grip in grips_of(after, away=AWAY) if grip.kind == "side") <= 1e-7
    assert (after.turn, after.size[1 - place % 2]) == (shape.turn, shape.size[1 - place % 2])


@given(boxes, st.integers(0, 3), points)
def test_a_box_made_small_keeps_corners_that_fit(shape, place, to):
    after = dragged(shape, grip_of(shape, "corner", place), to)
    assert after.corner_radius <= min(after.size) / 2
    assert after.corner_radius <= shape.corner_radius


@given(shapes, st.data())
def test_where_a_number_is_wanted_the_grip_can_be_put(shape, data):
    grip = data.draw(st.sampled_from([one for one in grips_of(shape, away=AWAY) if one.kind not in AS_POINTS]))
    number, hint = data.draw(st.floats(1, 50)), data.draw(points)
    assume(math.dist(hint, getattr(shape, "centre", (1e3, 1e3))) > 1e-3)
    measure = measure_of(shape, grip)
    assert measure.number(measure.place(number, hint)) == pytest.approx(number, abs=1e-6)


@given(shapes)
def test_each_grip_of_a_shape_is_told_from_the_others(shape):
    grips = grips_of(shape, away=AWAY)
    assert len({(grip.kind, grip.place, grip.hole) for grip in grips}) == len(grips)


def test_a_turned_box_grows_along_its_own_width():
    box = Box(centre=(0, 0), size=(20, 10), turn=90)
    after = dragged(box, grip_of(box, "side", 0), (3, 25))
    assert after.size == pytest.approx((35, 10))
    assert after.centre == pytest.approx((0, 7.5))


def test_a_side_pulled_through_the_other_one_comes_out_beyond_it():
    box = Box(centre=(0, 0), size=(20, 10))
    after = dragged(box, grip_of(box, "side", 0), (-25, 0))
    assert (after.centre, after.size) == (pytest.approx((-17.5, 0)), pytest.approx((15, 10)))


def test_a_bar_keeps_its_other_end_and_never_loses_its_length():
    bar = Bar(start=(0, 0), end=(20, 0), radius=2)
    assert dragged(bar, grip_of(bar, "end", 0), (5, 5)) == replace(bar, start=(5, 5))
    assert dragged(bar, grip_of(bar, "end", 1), (0, 0)) == replace(bar, end=(LEAST, 0))
    assert dragged(bar, grip_of(bar, "radius"), (7, -3.5)) == replace(bar, radius=3.5)
    assert dragged(bar, grip_of(bar, "centre"), (10, 4)) == replace(bar, start=(0, 4), end=(20, 4))


def test_a_bore_has_a_grip_for_its_wall():
    bore = Bore(centre=(5, 5), radius=20, wall=2)
    assert dragged(bore, grip_of(bore, "wall"), (5, 30)) == replace(bore, wall=5)
    assert dragged(bore, grip_of(bore, "wall"), (5, 10)) == replace(bore, wall=LEAST)
    assert dragged(bore, grip_of(bore, "radius"), (15, 5)) == replace(bore, radius=10)


def test_a_frame_keeps_its_free_inside_while_its_wall_grows():
    frame = Frame(centre=(0, 0), size=(80, 50), wall=2)
    assert dragged(frame, grip_of(frame, "wall"), (3, 30)) == replace(frame, wall=5)


def test_the_middle_of_an_edge_becomes_a_point_after_the_first_of_its_ends():
    triangle = Polygon(points=((0, 0), (10, 0), (0, 10)))
    middle = grip_of(triangle, "middle", 2)
    assert middle.at == (0, 5)
    assert dragged(triangle, middle, (-3, 5)).points == ((0, 0), (10, 0), (0, 10), (-3, 5))
    assert same_grip(led_by(middle, (-3, 5)), replace_at(grip_of(dragged(triangle, middle, (-3, 5)), "point", 3), (0, 0)))


def test_points_of_a_hole_are_grips_alike():
    plate = Polygon(points=((0, 0), (30, 0), (30, 30), (0, 30)), holes=(((10, 10), (20, 10), (20, 20)),))
    after = dragged(plate, grip_of(plate, "point", 1, 0), (22, 9))
    assert after == replace(plate, holes=(((10, 10), (22, 9), (20, 20)),))


def test_the_rounding_of_a_polygon_begins_where_its_grip_says():
    """At a corner of 60 degrees a rounding of radius 2 begins 2 / tan 30 deg = 3.4641 from the corner."""
    high = 20 * math.sin(math.radians(60))
    triangle = Polygon(points=((0, 0), (20, 0), (10, high)), corner_radius=2)
    grip = grip_of(triangle, "rounding")
    corner = min(triangle.points, key=lambda point: math.dist(point, grip.at))
    assert math.dist(grip.at, corner) == pytest.approx(2 / math.tan(math.radians(30)) + AWAY)
    assert dragged(triangle, grip, corner).corner_radius == 0


def test_grips_that_stand_together_leave_the_first():
    disc = Disc(centre=(0, 0), radius=1)
    assert [grip.kind for grip in told_apart(grips_of(disc, away=AWAY), 2.0)] == ["centre"]
    assert len(told_apart(grips_of(disc, away=AWAY), 0.5)) == 2


def test_a_turn_goes_the_short_way_and_keeps_what_was_more_than_half_a_round():
    box = Box(centre=(0, 0), size=(20, 10), turn=270)
    after = dragged(box, grip_of(box, "turn"), (1, -14))
    assert after.turn == pytest.approx(270 + math.degrees(math.atan2(1, 14)))
