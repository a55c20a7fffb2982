"""What marks read at a pose, against closed forms."""

import math

import pytest

from app.board.marks import Angle, Arm, Distance, Gap, Held, Radius, Reading, bodies_of, points_of, with_points
from core.drawing.display_list import Stroke, Text
from core.drawing.gap_mark import GapMark
from core.drawing.path import Pose
from core.model.names import BodyName
from core.sentences.numbers import plain

ARM, WALL = BodyName("arm"), BodyName("wall")
QUARTER = {ARM: Pose(90.0, 0.0, 0.0)}


def at(x: float, y: float, body: BodyName | None = None) -> Held:
    return Held((x, y), "a place", body)


def corner_angle(corner: Held, first: Held, last: Held) -> Angle:
    return Angle(Arm(corner, first, first), Arm(corner, last, last))


def edge(x: float, y: float, u: float, v: float, share: float, body: BodyName | None = None) -> Arm:
    return Arm(at(x, y, body), at(u, v, body), at(x + share * (u - x), y + share * (v - y), body))


def test_a_distance_goes_with_the_bodies_of_its_ends() -> None:
    """From (3, 0) of the arm to (0, 4) of the section: 5 as drawn; a quarter turn takes the first to (0, 3)."""
    mark = Distance(at(3.0, 0.0, ARM), at(0.0, 4.0))
    assert Reading(mark, {}).value == pytest.approx(5.0)
    turned = Reading(mark, QUARTER)
    assert turned.value == pytest.approx(1.0)
    assert turned.words(plain) == "1.00 mm"
    assert turned.ends() == (pytest.approx((0.0, 3.0)), (0.0, 4.0))


@pytest.mark.parametrize(
    ("last", "degrees"), [((0.0, 5.0), 90.0), ((0.0, -5.0), 90.0), ((-5.0, 0.0), 180.0), ((3.0, 3.0), 45.0), ((7.0, 0.0), 0.0)]
)
def test_an_angle_of_three_points_is_less_than_half_a_turn(last: tuple[float, float], degrees: float) -> None:
    assert Reading(corner_angle(at(0.0, 0.0), at(9.0, 0.0), at(*last)), {}).value == pytest.approx(degrees)


def test_an_angle_follows_the_body_of_one_side() -> None:
    mark = corner_angle(at(0.0, 0.0), at(9.0, 0.0, ARM), at(9.0, 0.0))
    assert Reading(mark, {ARM: Pose(31.808, 0.0, 0.0)}).value == pytest.approx(31.808)
    assert Reading(mark, {ARM: Pose(-170.0, 0.0, 0.0)}).words(plain) == "170.00\N{DEGREE SIGN}"


def test_two_edges_make_the_angle_on_the_side_where_they_were_clicked() -> None:
    """A level edge from x = 1 and one that rises by 60 degrees from x = -1: their lines meet at the origin."""
    rising = (math.cos(math.radians(60.0)), math.sin(math.radians(60.0)))
    level = edge(1.0, 0.0, 9.0, 0.0, 0.5)
    up = edge(2.0 * rising[0], 2.0 * rising[1], 8.0 * rising[0], 8.0 * rising[1], 0.5)
    down = edge(-2.0 * rising[0], -2.0 * rising[1], -8.0 * rising[0], -8.0 * rising[1], 0.5)
    assert Reading(Angle(level, up), {}).value == pytest.approx(60.0)
    assert Reading(Angle(level, down), {}).value == pytest.approx(120.0)


def test_the_way_an_edge_was_drawn_does_not_matter() -> None:
    there, back = edge(1.0, 1.0, 9.0, 9.0, 0.3), edge(9.0, 9.0, 1.0, 1.0, 0.7)
    level = edge(1.0, 0.0, 9.0, 0.0, 0.5)
    assert Reading(Angle(there, level), {}).value == pytest.approx(45.0)
    assert Reading(Angle(back, level), {}).value == pytest.approx(45.0)


def test_parallel_edges_have_no_corner_and_say_so() -> None:
    reading = Reading(Angle(edge(0.0, 0.0, 9.0, 0.0, 0.5), edge(9.0, 4.0, 0.0, 4.0, 0.5)), {})
    assert reading.value == 0.0
    ((told,),) = reading.ways(0.1, plain)
    assert isinstance(told, Text)
    assert told.words == "0.00\N{DEGREE SIGN}, parallel"


def test_a_radius_is_the_same_wherever_its_body_is_and_begins_with_r() -> None:
    mark = Radius(at(20.0, 0.0, ARM), at(26.0, 8.0, ARM))
    for poses in ({}, QUARTER):
        assert Reading(mark, poses).words(plain) == "R 10.00 mm"
    assert Reading(mark, QUARTER).ends()[0] == pytest.approx((0.0, 20.0))


def test_a_gap_is_told_as_the_gap_dimension_tells_it_rounded_down() -> None:
    gap = GapMark(((0.0, 0.0), (2.0, 0.0)), 1.9999, 1.0, (ARM, WALL))
    assert Reading(Gap((ARM, WALL)), {}, gap).words(plain) == "1.99 mm"
    deep = GapMark(((0.0, 0.0), (0.0, 0.0)), -0.163, 1.0, (ARM, WALL), (0.1, 0.1))
    assert Reading(Gap((ARM, WALL)), {}, deep).words(plain) == "0.16 mm deep"


def test_a_gap_that_there_is_not_draws_nothing() -> None:
    reading = Reading(Gap((ARM, WALL)), {})
    assert (reading.value, list(reading.ways(0.1, plain))) == (None, [])


def test_every_mark_is_drawn_with_its_words() -> None:
    marks = [
        Distance(at(0.0, 0.0), at(9.0, 0.0)),
        Radius(at(0.0, 0.0), at(3.0, 0.0)),
        corner_angle(at(0.0, 0.0), at(9.0, 0.0), at(0.0, 9.0)),
    ]
    for mark in marks:
        reading = Reading(mark, {})
        for way in reading.ways(0.1, plain):
            assert [item.words for item in way if isinstance(item, Text)] == [reading.words(plain)]
            assert any(isinstance(item, Stroke) for item in way)


def test_a_mark_tells_its_bodies_once_and_takes_other_points() -> None:
    mark = corner_angle(at(0.0, 0.0, ARM), at(9.0, 0.0, WALL), at(0.0, 9.0))
    assert bodies_of(mark) == (ARM, WALL)
    assert bodies_of(Gap((ARM, WALL))) == (ARM, WALL)
    assert with_points(mark, points_of(mark)) == mark
    moved = with_points(Distance(at(0.0, 0.0), at(1.0, 0.0)), [at(0.0, 0.0), at(5.0, 0.0)])
    assert Reading(moved, {}).value == 5.0
