"""All drives together: verdicts, floors, what is left undecided, and that the same input gives the same answer."""

import json
import math

import pytest

from core.sweep.json_form import sweep_as_json
from tests.bays import bar, bay, body, bolted, box, check, check_of, disc, drive, only, pivot, polygon, rule, slid, turned
from tests.property.random_bays import random_bay


def written(result):
    """The answer as the bytes of its JSON, but for the seconds it took."""
    told = sweep_as_json(result, finding_text=repr, unchecked_reason=repr)
    told["work"].pop("seconds")
    return json.dumps(told).encode()


def two_arms(**keys):
    """Two arms whose tips meet only where both lean inward: pivots 60 apart, 32 long, r 1."""
    bodies = [
        body("bay", disc(0, 300, 1), fixed=True),
        body("left", bar((0, 0), (0, 32), 1)),
        body("right", bar((60, 0), (60, 32), 1)),
    ]
    joints = [pivot("left pin", "bay", "left", (0, 0)), pivot("right pin", "bay", "right", (60, 0))]
    return bay(bodies, joints, [drive("lean left", (-80, 10), "left pin"), drive("lean right", (-10, 80), "right pin")], **keys)


def test_breach_that_no_single_drive_sees_is_found_and_noted():
    result = check(two_arms())
    assert result.verdict == "breach"
    assert [found.verdict for found in result.of_sweep("solo")] == ["clear"] * 4
    found = check_of(result, "left", "right", sweep="combined")
    assert found.verdict == "breach"
    assert [finding.code for finding in result.findings] == ["solo-unseen"]
    # Bars that lie along each other would have to be pushed sideways: at most 2 deep at the least push, told exactly at the pose.
    assert found.lowest_gap < -1


def test_rule_of_what_is_allowed_together_keeps_the_breach_out():
    keep = {"while": {"drive": "lean left", "from": -80, "to": -10}, "keep": {"drive": "lean right", "from": -10, "to": 10}}
    result = check(two_arms(allowed_together=[{**keep, "reason": "one at a time"}]))
    # Closed form: left leaning 10 reaches x = 32 sin 10 + 1 = 6.6; right leaning 80 comes down to 60 - 32 sin 80 - 1 = 27.5.
    # Left leaning more keeps right within 10 of upright: 60 - 6.6 against at most 33.
    assert result.verdict == "clear"
    assert check_of(result, "left", "right", sweep="combined").floor > 20


def test_floor_is_proved_and_within_the_resolution_of_the_lowest_gap():
    # Closed form: arms of 20 with r 1 lean fully inward to 40 apart less 2 along a line: tips at (20, 0) and (40, 0): 18.
    bodies = [
        body("bay", disc(0, 300, 1), fixed=True),
        body("left", bar((0, 0), (0, 20), 1)),
        body("right", bar((60, 0), (60, 20), 1)),
    ]
    joints = [pivot("left pin", "bay", "left", (0, 0)), pivot("right pin", "bay", "right", (60, 0))]
    record = bay(bodies, joints, [drive("lean left", (-100, 10), "left pin"), drive("lean right", (-10, 100), "right pin")])
    for resolution in (0.1, 0.01):
        found = check_of(check(record, resolution=resolution), "left", "right", sweep="combined")
        assert found.verdict == "clear"
        assert 18 - resolution <= found.floor <= 18
        assert 18 - 1e-6 <= found.lowest_gap <= 18 + resolution


def test_pair_that_stays_far_apart_is_told_as_at_least_so_far():
    found = only(turned(disc(0, 300, 1), bar((0, 0), (30, 0), 1), travel=(-90, 90)), "combined")
    assert found.far
    assert 20 <= found.floor <= 268


@pytest.mark.parametrize("boxes", [1, 2, 5])
def test_budget_of_boxes_that_runs_out_leaves_undecided_and_never_clear(boxes):
    # Closed form: a tip at 30 passes a pin by 0.001; required 0.0005.
    record = turned(disc(0, 32.001, 1), bar((0, 0), (30, 0), 1), travel=(-170, 170), required_gap=0.0005)
    result = check(record, boxes=boxes)
    assert result.verdict == "undecided"
    assert all(found.verdict == "undecided" and found.open_share > 0 for found in result.checks)
    assert all(found.floor is None or found.floor <= 0.001 for found in result.checks)
    assert check(record).verdict == "clear"


def test_more_boxes_never_turn_clear_or_breach_round():
    for seed in range(12):
        record = random_bay(seed, rooms=False, kinds=("disc", "bar", "box"))
        full = {(found.sweep, found.between, found.drives, found.depth_gap): found for found in check(record).checks}
        for boxes in (1, 10, 100):
            for found in check(record, boxes=boxes).checks:
                whole = full[found.sweep, found.between, found.drives, found.depth_gap]
                assert found.verdict in (whole.verdict, "undecided")
                if found.floor is not None and whole.lowest_gap >= 0:
                    assert found.floor <= whole.lowest_gap + 1e-6


def test_same_input_gives_the_same_bytes():
    for record in (two_arms(), random_bay(3), random_bay(7)):
        first, second = (written(check(record)) for _ in range(2))
        assert first == second


def test_stopped_sweep_says_so_and_is_never_clear():
    record = turned(disc(0, 32.001, 1), bar((0, 0), (30, 0), 1), travel=(-170, 170), required_gap=0.0005)
    shares = []

    def stop(share):
        shares.append(share)
        return False

    result = check(record, progress=stop)
    assert result.stopped
    assert result.verdict == "undecided"
    assert shares
    assert all(0 <= share <= 1 for share in shares)


def test_time_budget_of_nothing_stops_at_once():
    result = check(two_arms(), budget=0.0)
    assert result.stopped
    assert result.verdict != "clear"


def test_stopped_sweep_keeps_the_breach_that_it_has():
    result = check(slid(box(0, 0, 4, 4), box(2, 0, 4, 4)), progress=lambda _: False)
    assert result.verdict == "breach"


def test_still_bodies_that_overlap_as_drawn_are_a_warning_outside_the_verdict():
    # Closed form: motors 20 wide with middles 19.6 apart overlap by 0.4.
    bodies = [
        body("bay", disc(0, 300, 1), fixed=True),
        body("hub", disc(0, 0, 3), depth=(10, 12)),
        body("motor 1", box(30, 0, 20, 10)),
        body("motor 2", box(49.6, 0, 20, 10)),
    ]
    joints = [pivot("pin", "bay", "hub"), bolted("screw 1", "hub", "motor 1"), bolted("screw 2", "hub", "motor 2")]
    record = bay(bodies, joints, [drive("swing", (-10, 10), "pin")])
    result = check(record)
    assert result.verdict == "clear"
    (finding,) = result.findings
    assert (finding.level, finding.code) == ("warning", "still-overlap")
    assert {finding.data["first"], finding.data["second"]} == {"motor 1", "motor 2"}
    assert finding.data["depth"] == pytest.approx(0.4, abs=1e-9)
    # Bodies bolted to each other may overlap: that is how a screw is drawn.
    joints[2] = bolted("screw 2", "motor 1", "motor 2")
    assert check(bay(bodies, joints, record["drives"])).findings == ()


def test_depth_of_a_still_overlap_of_concave_bodies_is_the_shortest_way_out():
    # Closed form: a pin r 3.5 in a slot 6 wide, freed by standing on the mouth's corners: 8 + sqrt(3.5^2 - 3^2) = 9.802776.
    slot = polygon((-8, -10), (8, -10), (8, 10), (3, 10), (3, -5), (-3, -5), (-3, 10), (-8, 10))
    bodies = [body("bay", slot, fixed=True), body("post", disc(0, 2, 3.5), fixed=True), body("arm", disc(0, 200, 1))]
    record = bay(bodies, [pivot("pin", "bay", "arm", (0, 250))], [drive("swing", (-10, 10), "pin")])
    (finding,) = check(record).findings
    assert finding.data["depth"] == pytest.approx(9.802776, abs=1e-5)


def test_exact_rule_beats_one_star_beats_two_beats_the_project():
    record = slid(box(0, 0, 4, 4), box(10, 0, 4, 4), travel=(-1, 0), required_gap=9)
    rules = [rule("*", "*", required_gap=8), rule("sled", "*", required_gap=7), rule("sled", "bay", required_gap=4)]
    for count, required in ((0, 9), (1, 8), (2, 7), (3, 4)):
        found = only({**record, "gap_rules": rules[:count]})
        assert found.required_gap == required
        assert found.verdict == ("clear" if required <= 5 else "breach")


def test_exempt_pair_is_listed_with_its_reason_and_a_closer_rule_takes_it_back():
    record = slid(box(0, 0, 4, 4), box(3, 0, 4, 4))
    exempt = {**record, "gap_rules": [rule("bay", "*", unchecked="printed in one piece")]}
    result = check(exempt)
    assert (result.verdict, result.checks) == ("clear", ())
    assert [(left.code, left.reason) for left in result.unchecked] == [("rule", "printed in one piece")]
    back = {**record, "gap_rules": [*exempt["gap_rules"], rule("sled", "bay", required_gap=0)]}
    assert check(back).verdict == "breach"


def test_undriven_freedom_is_undecided():
    record = turned(disc(0, 100, 1), bar((0, 0), (30, 0), 1), travel=(0, 10))
    record["drives"] = []
    assert check(record).verdict == "undecided"


def test_way_out_of_the_told_pose_separates_the_two():
    # Closed form: a disc r 3 driven 4 deep into a wall's face is pushed back along x.
    found = only(slid(box(25, 0, 10, 300), disc(0, 0, 3), travel=(0, 21)))
    assert found.lowest_gap == pytest.approx(-4, abs=1e-6)
    assert found.way_out == pytest.approx((-4, 0), abs=1e-6)
    assert found.floor == pytest.approx(-4, abs=0.01)
    assert found.floor <= -4 + 1e-6
    assert math.hypot(*found.way_out) == pytest.approx(-found.lowest_gap, abs=1e-6)


@pytest.mark.parametrize("boxes", [3, 6, 12, 24])
def test_ends_that_the_boxes_did_not_suffice_for_are_told_as_not_sharp(boxes):
    # Closed form: box 40 x 20 about its centre, wall y = 15: from 15.565364 to 164.434636.
    for breach in only(turned(box(0, 20, 200, 10), box(0, 0, 40, 20), travel=(0, 180)), boxes=boxes).breaches:
        assert breach.start <= 15.565365 or breach.start > 90
        sharp = breach.start == pytest.approx(15.565364, abs=1e-3) and breach.end == pytest.approx(164.434636, abs=1e-3)
        assert sharp or breach.grazes
