"""Following the curve of closed poses: how it ends, and what lies between its knots."""

import math

import numpy as np
import pytest

from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.loop_local import Closure, Lines, closure_of, lines_along
from core.motion.loop_path import DEAD_CENTRE, GOAL, ON_CURVE, TURNING_POINT, Knots, ahead, between, follow, inverted, turning_share
from core.motion.loop_track import Track, read_off, track
from core.tolerances import DEFAULT_TOLERANCES
from tests.mechanisms import four_bar, push_pull


def lines_of(project: Project, *directions: float) -> tuple[Closure, Lines]:
    closure = closure_of(linkage_of(project).sections[0].loops[0], DEFAULT_TOLERANCES)
    return closure, lines_along(closure, np.array(directions)[:, None])


def circle(*angles: float) -> Knots:
    """Knots of a unit circle that goes up the line first: places and tangents, one column an angle."""
    turned = np.array(angles)
    return Knots(np.array([1 - np.cos(turned), np.sin(turned)]), np.array([np.sin(turned), np.cos(turned)]))


def test_a_goal_that_is_reached_has_no_end():
    closure, lines = lines_of(four_bar((40, 120, 80, 100), drawn=40), 1.0)
    path = follow(closure, lines, lines.pace * 30, keep=False)
    assert (path.end.tolist(), path.reach.tolist(), path.history) == ([GOAL], [math.inf], ())
    assert path.last.places[-1, 0] >= 30 * lines.pace[0]


def test_turning_points_both_ways_are_found_to_a_millionth_of_a_degree():
    # closed form: the limits of 3, 4, 4, 6 are +-121.855431 degrees
    limit = math.degrees(math.acos((9 + 36 - 64) / 36))
    closure, lines = lines_of(four_bar((3, 4, 4, 6), drawn=60), 1.0, -1.0)
    path = follow(closure, lines, lines.pace * 360, keep=True)
    assert path.end.tolist() == [TURNING_POINT, TURNING_POINT]
    assert path.reach / lines.pace == pytest.approx([limit - 60, limit + 60], abs=1e-6)


def test_a_dead_centre_is_found_where_branches_cross():
    # closed form: a parallelogram drawn at 60 lies flat at -60
    closure, lines = lines_of(push_pull(hub=12, rods=(60,)), -1.0)
    path = follow(closure, lines, lines.pace * 90, keep=False)
    assert path.end.tolist() == [DEAD_CENTRE]
    assert path.reach[0] / lines.pace[0] == pytest.approx(60, abs=1e-3)


def test_a_mechanism_drawn_at_its_dead_centre_is_not_followed():
    closure, lines = lines_of(push_pull(hub=12, rods=(0,)), 1.0)
    path = follow(closure, lines, lines.pace, keep=True)
    assert (path.end.tolist(), path.reach.tolist()) == ([DEAD_CENTRE], [0.0])


def test_knots_come_in_order_along_the_line_and_close():
    loop = linkage_of(four_bar((3, 4, 4, 6), drawn=60)).sections[0].loops[0]
    found: Track = track(loop, (1.0,), (1000.0, 1000.0), DEFAULT_TOLERANCES)
    along = found.knots.places[-1]
    assert (np.diff(along) > 0).all()
    assert (found.low_end, found.high_end) == (TURNING_POINT, TURNING_POINT)
    assert found.low < 0 < found.high
    # closed form: the last knots stand where coupler and follower are in line, so that the slope along the line is nothing
    assert found.knots.tangents[-1, [0, -1]] == pytest.approx([0, 0], abs=1e-6)
    assert along[[0, -1]] == pytest.approx([found.low, found.high], abs=ON_CURVE)


def test_the_cubic_between_two_knots_of_a_circle_stays_on_it():
    low, high = circle(0.2), circle(0.6)
    places, tangents = between(low, high, np.array([0.5]))
    assert places[:, 0] == pytest.approx([1 - math.cos(0.4), math.sin(0.4)], abs=1e-3)
    assert tangents[:, 0] == pytest.approx([math.sin(0.4), math.cos(0.4)], abs=1e-3)


def test_a_first_guess_goes_along_the_tangent_and_later_ones_along_the_cubic():
    start = circle(0.0)
    assert ahead(start, start, np.array([0.3]))[:, 0].tolist() == [0.0, 0.3]
    further = ahead(circle(0.0), circle(0.3), np.array([0.3]))[:, 0]
    assert further == pytest.approx([1 - math.cos(0.6), math.sin(0.6)], abs=5e-3)


def test_the_turning_point_of_a_circle_is_its_top():
    low, high = circle(1.4), circle(1.8)
    share = turning_share(low, high)
    top = between(low, high, share)[0][-1, 0]
    assert top == pytest.approx(1, abs=1e-4)


def test_places_read_off_a_steep_curve_are_sought_on_it():
    # closed form: the place is 1 - cos where along is sin; what the cubic is off along the line counts eight times there
    low, high = circle(1.3), circle(math.pi / 2)
    along = math.sin(1.45)
    assert read_off(low, high, np.array([along]))[0, 0] == pytest.approx(1 - math.cos(1.45), abs=2e-4)


def test_a_singular_matrix_among_others_has_zeros_for_its_inverse():
    found = inverted(np.array([[[2.0, 0.0], [0.0, 4.0]], [[1.0, 1.0], [1.0, 1.0]]]))
    assert found.tolist() == [[[0.5, 0.0], [0.0, 0.25]], [[0.0, 0.0], [0.0, 0.0]]]
