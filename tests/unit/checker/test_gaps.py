"""Gaps that the checker finds, against closed forms computed here beside each number."""

import math

import numpy as np
import pytest
from shapely.geometry import Polygon

from tests.checker import Gap, load
from tests.checker.gap import depth, depth_by_directions
from tests.unit.checker.bays import bar, box, disc, polygon, two_bodies

HEXAGON = polygon([[10 * math.cos(k * math.pi / 3), 10 * math.sin(k * math.pi / 3)] for k in range(6)])
SQUARE = {"kind": "box", "centre": [0, 0], "size": [10, 10]}


def gap(a, b, **more) -> Gap:
    return load(two_bodies(a, b, **more)).gap("S", "bay", "sled")


def u_slot():
    """A slot 6 wide, open at the top, in a block 16 wide."""
    return polygon([[-8, -8], [8, -8], [8, 8], [3, 8], [3, -5], [-3, -5], [-3, 8], [-8, 8]])


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        (disc(3, 4, 0.5), bar([0, 0], [10, 0], 1), 4 - 1.5),
        (disc(13, 4, 0.5), bar([0, 0], [10, 0], 1), 5 - 1.5),
        (disc(6, 2, 0.5), bar([1, 2], [9, 8], 1), 3 - 1.5),
        (SQUARE, box(20, 0, 10, 10, 45), 15 - 5 * math.sqrt(2)),
        (SQUARE, box(13, 14, 10, 10), 5),
        (SQUARE, disc(9, 9, 3), 4 * math.sqrt(2) - 3),
        (SQUARE, disc(4, 0, 3), -4),
        (bar([0, 0], [10, 0], 2), bar([5, 6], [15, 16], 2), 2),
        (bar([0, 0], [10, 0], 2), bar([12, 3], [20, 10], 2), math.hypot(2, 3) - 4),
        (box(0, 0, 20, 10), box(12, 6, 8, 8), -2),
        (SQUARE, box(10, 0, 10, 10, 45), 5 - 5 * math.sqrt(2)),
        (box(0, 0, 40, 20), box(5, 2, 6, 6), -11),
        (SQUARE, box(10, 3, 10, 10), 0),
        ({"kind": "bore", "centre": [0, 0], "radius": 10, "wall": 2}, disc(3.5, 0, 4), 2.5),
        (u_slot(), disc(0.2, 0, 2.5), 0.3),
        (HEXAGON, box(0, 13, 60, 2), 12 - 5 * math.sqrt(3)),
    ],
    ids=["D1a", "D1b", "D1c", "D2", "D4", "D5 apart", "D5 deep", "D6 apart", "D6 deep", "D7", "D8", "D9", "D11", "D12", "D13", "D14"],
)  # fmt: skip
def test_gap_of_two_shapes_by_closed_form(a, b, expected):
    found = gap(a, b)
    assert found.low - 1e-9 <= expected <= found.high + 1e-9
    assert found.error < 1e-4


def test_pin_too_wide_for_its_slot_must_leave_through_the_mouth():
    # Closed form: a pin of radius 3.5 between walls 6 apart is free once its centre is sqrt(3.5^2 - 3^2) above the mouth.
    found = gap(u_slot(), disc(0, 6, 3.5))
    expected = -(2 + math.sqrt(3.5**2 - 3**2))
    assert found.low <= expected <= found.high
    assert found.error < 0.02


def test_depth_of_concave_shapes_equals_a_push_in_every_direction():
    rng = np.random.default_rng(5)
    for _ in range(4):
        turns = np.sort(rng.uniform(0, 2 * math.pi, 9))
        star = Polygon(np.column_stack([np.cos(turns), np.sin(turns)]) * rng.uniform(4, 10, 9)[:, None])
        fork = Polygon([[-6, -2], [6, -2], [6, 5], [3, 5], [3, 0], [-3, 0], [-3, 5], [-6, 5]])
        found, way = depth(star, fork)
        pushed = depth_by_directions(star, fork, directions=180, step=0.05)
        assert found <= pushed + 1e-6
        assert pushed - found < 0.25
        assert found == pytest.approx(math.hypot(*way))


def test_rounded_corners_stick_out_less_by_the_closed_form():
    # A corner of a square rounded by r draws back (sqrt(2) - 1) r along the diagonal.
    found = gap(box(0, 0, 10, 10, 0, 2), disc(9, 9, 3))
    expected = 4 * math.sqrt(2) - 3 + 2 * (math.sqrt(2) - 1)
    assert found.low <= expected <= found.high
    assert gap(polygon([[-5, -5], [5, -5], [5, 5], [-5, 5]], corner_radius=2), disc(9, 9, 3)).value == pytest.approx(expected, abs=1e-4)


def test_corners_that_point_inward_stay_sharp():
    slot = u_slot()
    rounded = {**slot, "corner_radius": 1}
    # A small disc in the corner of the slot's floor is as far from it as before.
    assert gap(rounded, disc(2, -4, 0.5)).value == pytest.approx(gap(slot, disc(2, -4, 0.5)).value, abs=1e-4)
    assert gap(rounded, disc(2, -4, 0.5)).value == pytest.approx(0.5, abs=1e-4)


def test_rounding_where_arcs_do_not_fit_is_the_opening_of_the_polygon():
    # The step of height 0.1 is shorter than its arc: the disc of radius 2 that rolls inside rests on the upper level and on the
    # step's foot (10, 9.9), its centre sqrt(2^2 - 1.9^2) to the right of it.
    step = polygon([[0, 0], [20, 0], [20, 10], [10, 10], [10, 9.9], [0, 9.9]], corner_radius=2)
    assert gap(step, disc(10, 13, 2)).value == pytest.approx(math.hypot(math.sqrt(2**2 - 1.9**2), 5) - 4, abs=1e-4)


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (disc(3, 0, 2), 10 - 2),
        (box(0, 0, 10, 6), 10 - 3),
        (disc(19, 0, 2), -1),
    ],
)
def test_frame_is_a_room_for_what_is_drawn_inside(content, expected):
    frame = {"kind": "frame", "centre": [0, 0], "size": [40, 20], "wall": 2, "turn": 0}
    bay = load(two_bodies(frame, content))
    # Drawn across the wall (the last case) it is an ordinary pair: out to the inside by 1 is the shortest way.
    assert bay.gap("S", "bay", "sled").value == pytest.approx(expected, abs=1e-4)
    if expected > 0:
        # Shifted through the wall it stays a room: the excess goes on growing.
        half = 2 if content["kind"] == "disc" else 5
        far = bay.gap("S", "bay", "sled", {"push": 30})
        assert far.value == pytest.approx(20 - (content["centre"][0] + 30) - half, abs=1e-4)


def test_turned_frame_measures_along_its_own_faces():
    frame = {"kind": "frame", "centre": [5, 5], "size": [40, 20], "wall": 2, "turn": 30}
    along = np.array([math.cos(math.radians(30)), math.sin(math.radians(30))])
    at = np.array([5, 5]) + 15 * along
    assert gap(frame, disc(*at, 1)).value == pytest.approx(4, abs=1e-4)


def test_bore_drawn_outside_is_solid():
    bore = {"kind": "bore", "centre": [0, 0], "radius": 10, "wall": 2}
    assert gap(bore, disc(20, 0, 3)).value == pytest.approx(5, abs=1e-4)
    bay = load(two_bodies(bore, disc(20, 0, 3)))
    # Pushed to the middle of the hole it is still judged from outside: 12 + 3 deep.
    assert bay.gap("S", "bay", "sled", {"push": -20}).value == pytest.approx(-15, abs=1e-3)


def test_bore_inside_a_bore_is_judged_by_its_outer_outline():
    outer = {"kind": "bore", "centre": [0, 0], "radius": 20, "wall": 2}
    inner = {"kind": "bore", "centre": [3, 0], "radius": 5, "wall": 1}
    assert gap(outer, inner).value == pytest.approx(20 - 3 - 6, abs=1e-4)


def test_passing_over_adds_the_depth_apart():
    a, b = SQUARE, disc(13, 0, 4)
    assert gap(a, b, depth_b=(8, 9)).value == pytest.approx(5, abs=1e-4)
    assert gap(a, disc(0, 0, 4), depth_b=(8, 9)).value == pytest.approx(3, abs=1e-9)
    assert gap(a, disc(0, 0, 4), depth_b=(5, 9)).value == 0.0


def test_pairs_that_pass_over_are_checked_only_within_the_required_depth_gap():
    apart = two_bodies(SQUARE, disc(13, 0, 4), depth_b=(8, 9))
    assert [(u.reason, u.apart) for u in load(apart).unchecked()] == [("passes over", 3.0)]
    near = load({**apart, "required_depth_gap": 3.5})
    assert [(p.need, p.passing) for p in near.pairs()] == [(3.5, True)]
    assert load({**apart, "required_depth_gap": 3.0}).pairs() == []


def test_shape_with_its_own_depth_makes_a_second_check():
    project = two_bodies(SQUARE, disc(13, 0, 4), depth_b=(8, 9), required_depth_gap=3.5)
    project["sections"][0]["bodies"][1]["shapes"].append({**disc(30, 0, 2), "depth": [2, 9]})
    assert sorted((p.need, p.passing, p.parts[0].indices) for p in load(project).pairs()) == [(1.0, False, (0, 1)), (3.5, True, (0, 0))]


def test_rules_rank_exact_before_one_star_before_two():
    rules = [
        {"section": "S", "between": ["*", "*"], "required_gap": 4},
        {"section": "S", "between": ["sled", "*"], "required_gap": 3},
        {"section": "S", "between": ["sled", "bay"], "required_gap": 2},
    ]
    project = two_bodies(SQUARE, disc(13, 0, 4))
    found = [load({**project, "gap_rules": rules[:n]}).pairs()[0].need for n in range(4)]
    assert found == [1, 4, 3, 2]
    left_out = load({**project, "gap_rules": [*rules[:2], {"section": "S", "between": ["bay", "sled"], "unchecked": "one print"}]})
    assert [u.reason for u in left_out.unchecked()] == ["one print"]


def test_outline_tolerances_of_both_bodies_add_up():
    project = two_bodies(SQUARE, disc(10.2, 0, 4))
    for body, tolerance in zip(project["sections"][0]["bodies"], (0.1, 0.15), strict=True):
        body["outline_tolerance"] = tolerance
    seen = next(iter(load(project).try_dense("push", 0.1).values()))
    # 1.2 apart at home, 0.2 at -1: nominal; judged less 0.25.
    assert seen.gap.value == pytest.approx(0.2, abs=1e-4)
    intervals = load(project).solo_intervals("push", seen.pair, 0.1)
    assert [(i.start, round(i.end, 3)) for i in intervals] == [(-1.0, 0.05)]


def test_nothing_met_over_touching_squares_with_no_gap_required():
    project = two_bodies(SQUARE, box(11, 0, 10, 10), required_gap=0)
    project["required_gap"] = 0
    pair = load(project).pairs()[0]
    assert load(project).solo_intervals("push", pair, 0.1) == []


def test_empty_bay_has_no_pairs():
    project = {"baysweep": 1, "name": "", "required_gap": 1, "sections": [{"name": "S", "bodies": []}]}
    assert load(project).pairs() == []
    assert load(project).try_random(3, 0) == {}
