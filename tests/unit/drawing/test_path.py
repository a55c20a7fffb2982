"""Poses, and paths as strokes of a pen."""

import cmath
import math

import pytest

from core.drawing.path import DRAWN, Arc, Pose, Run, Segment, circle, commands, moved, polyline, reversed_run
from tests.unit.drawing.measure import area, length


def test_a_pose_turns_counter_clockwise_about_the_origin_and_then_shifts():
    # Complex numbers say the same: p exp(i turn) + shift.
    found = Pose(37.0, 4.0, -9.0).place((3.0, 5.0))
    wanted = complex(3, 5) * cmath.exp(1j * math.radians(37)) + complex(4, -9)
    assert found == pytest.approx((wanted.real, wanted.imag), abs=1e-12)


def test_unplace_undoes_place():
    pose = Pose(-123.0, 7.5, 2.25)
    assert pose.unplace(pose.place((-3.0, 11.0))) == pytest.approx((-3.0, 11.0), abs=1e-12)


def test_a_full_circle_is_drawn_in_two_arcs_that_end_where_it_began():
    strokes = list(commands((circle((1, 2), 3),)))
    assert [stroke.kind for stroke in strokes] == ["move", "arc", "arc", "close"]
    assert strokes[0].point == pytest.approx((4, 2))
    assert strokes[1].point == pytest.approx((-2, 2))
    assert strokes[2].point == pytest.approx((4, 2))


def test_strokes_follow_the_edges_in_order():
    run = Run((Segment((0, 0), (4, 0)), Arc((4, 2), 2, -math.pi / 2, math.pi)), closed=False)
    assert [(stroke.kind, tuple(round(c, 9) for c in stroke.point)) for stroke in commands((run,))] == [
        ("move", (0, 0)),
        ("line", (4, 0)),
        ("arc", (4, 4)),
    ]


def test_an_empty_path_and_an_empty_run_draw_nothing():
    assert list(commands(())) == []
    assert list(commands((Run(()), polyline((1, 1))))) == []


def test_moving_keeps_lengths_and_scaling_multiplies_them():
    path = (circle((3, 0), 2), polyline((0, 0), (5, 0), (5, 5), closed=True))
    there = moved(path, Pose(30, 10, -4))
    assert length(there) == pytest.approx(length(path))
    assert area(moved(path, Pose(30, 10, -4), 2.5)) == pytest.approx(2.5**2 * area(path))
    assert there[0].edges[0].start == pytest.approx(Pose(30, 10, -4).place((5, 0)))


def test_the_drawn_pose_moves_nothing():
    path = (circle((3, 0), 2), polyline((0, 0), (5, 0), (5, 5)))
    assert moved(path, DRAWN) == path


def test_a_reversed_run_bounds_the_negative_area():
    run = Run((Segment((0, 0), (4, 0)), Arc((2, 0), 2, 0, math.pi)))
    assert area((run,)) == pytest.approx(2 * math.pi)
    assert area((reversed_run(run),)) == pytest.approx(-2 * math.pi)


def test_parts_of_an_arc_add_up():
    arc = Arc((0, 0), 4, 1.0, -2.0)
    assert arc.part(0, 0.25).end == pytest.approx(arc.part(0.25, 1).start)
    assert arc.part(0, 0.25).length + arc.part(0.25, 1).length == pytest.approx(arc.length)
    assert arc.heading(0) == pytest.approx(1.0 - math.pi / 2)
