"""Play of joints in sweeps: over open chains, over loops, and where redundant rods fit by it alone. Lengths mm, angles degrees."""

import math

import pytest

from core.clearance.shifts import SEGMENTS, segments
from core.motion.linkage import linkage_of
from core.sweep.json_form import sweep_as_json
from core.sweep.looped import LoopSights
from core.sweep.plan import plan_of
from core.sweep.tables import with_loops
from core.tolerances import DEFAULT_TOLERANCES
from tests.bays import bar, bay, body, bore, box, check, check_of, disc, drive, only, pivot, project, slid, turned
from tests.loose_pins import LoosePins, centred

APART, HORN, HUB = 60, 12, 16


def loosened(record, **plays):
    """The record with the play of joints by name, spaces as underscores; `pins` for all that are called pins."""
    for joint in record["sections"][0]["joints"]:
        play = plays.get(joint["name"].replace(" ", "_"), plays.get("pins", 0) if "pin " in joint["name"] else 0)
        if play:
            joint["play"] = play
    return record


def rods(*, post, hub=HUB, arm=85, **plays):
    """Two push-pull rods at their neutral length, a lever with an arm that leads to x = `arm`, and a post."""
    bodies = [
        body("base", disc(0, 0, 3), fixed=True, depth=(-9, -8)),
        body("horn", bar((0, HORN), (0, -HORN), 2), depth=(5, 7)),
        body("lever", bar((APART, hub), (APART, -hub), 2), bar((APART, 0), (arm, 0), 2), depth=(5, 7)),
        body("rod 1", bar((0, HORN), (APART, hub), 2), depth=(10, 12)),
        body("rod 2", bar((0, -HORN), (APART, -hub), 2), depth=(10, 12)),
        body("post", disc(*post, 3), fixed=True, depth=(0, 30)),
    ]
    joints = [pivot("horn pivot", "base", "horn"), pivot("hub pivot", "base", "lever", (APART, 0))]
    for number, side in ((1, 1), (2, -1)):
        joints.append(pivot(f"horn pin {number}", "horn", f"rod {number}", (0, side * HORN)))
        joints.append(pivot(f"hub pin {number}", f"rod {number}", "lever", (APART, side * hub)))
    record = bay(bodies, joints, [drive("servo", (-45, 45), "horn pivot")], required_gap=0.5)
    return loosened(record, **plays)


@pytest.mark.parametrize(("play", "verdict"), [(0, "clear"), (0.18, "clear"), (0.22, "breach")])
def test_half_the_play_of_a_rail_is_taken_off(play, verdict):
    # closed form: 6 apart at home, up to 4.9 pushed in: 1.1 left, 1 required, play / 2 taken off
    record = loosened(slid(box(0, 0, 4, 4), box(10, 0, 4, 4), travel=(-4.9, 0), required_gap=1), rail=play)
    for sweep in ("solo", "combined"):
        found = only(record, sweep)
        assert (found.verdict, found.play) == (verdict, pytest.approx(play / 2))
        assert found.lowest_gap == pytest.approx(1.1, abs=1e-6)
        assert found.floor <= 1.1 - play / 2
    told = sweep_as_json(check(record), finding_text=str, unchecked_reason=str)["checks"][0]
    assert told.get("play", 0) == pytest.approx(play / 2)


def test_the_play_of_pins_along_a_chain_adds_up():
    bodies = [
        body("base", disc(0, 0, 1), fixed=True, depth=(-9, -8)),
        body("upper", bar((0, 0), (20, 0), 1), depth=(0, 5)),
        body("lower", bar((20, 0), (40, 0), 1), depth=(6, 9)),
        body("post", disc(60, 0, 1), fixed=True, depth=(6, 9)),
    ]
    joints = [pivot("shoulder", "base", "upper", play=0.2), pivot("elbow", "upper", "lower", (20, 0), play=0.3)]
    drives = [drive("lift", (-10, 10), "shoulder"), drive("bend", (-10, 10), "elbow")]
    found = check_of(check(bay(bodies, joints, drives)), "lower", "post", sweep="combined")
    # closed form: straight out the tip is 20 - 1 - 1 from the post
    assert (found.lowest_gap, found.play) == (pytest.approx(18, abs=1e-6), pytest.approx(0.25))
    assert found.floor == pytest.approx(17.75, abs=0.02)


def test_a_running_fit_is_not_asked_for_the_play_of_its_own_pin():
    record = loosened(turned(bore(0, 0, 3.1), disc(0, 0, 3), travel=(-10, 10)), pin=0.3)
    assert only(record).verdict == "clear"


def test_unequal_rods_without_play_conflict_and_stay_undecided():
    found = check_of(check(rods(post=(95, 0))), "lever", "post")
    assert found.verdict == "undecided"
    assert found.floor is None


@pytest.mark.parametrize("play", [0.1, 0.15, 0.3])
def test_unequal_rods_with_sensible_play_are_proved_clear(play):
    for found in check(rods(post=(95, 0), pins=play), covers="solo").checks:
        assert (found.verdict, found.proof) == ("clear", "bounded")
        assert found.reached == (("servo", -45, 45),)
        assert found.floor is not None


def test_unequal_rods_with_sensible_play_are_proved_to_breach():
    found = check_of(check(rods(post=(82, 12), pins=0.15), covers="solo"), "lever", "post")
    assert (found.verdict, found.proof, found.reached) == ("breach", "bounded", (("servo", -45, 45),))
    # closed form: an arm r 2 about (60, 0) meets a disc r 3 at 25.06 from there; of the servo's own angles the rods ask some more
    middle, half = math.degrees(math.atan2(12, 22)), math.degrees(math.asin(5 / math.hypot(12, 22)))
    assert found.breaches[0].contact[0] < 45 * (middle - half) / 31.66
    assert found.breaches[0].end == 45
    assert middle + half > 32


def test_too_little_play_leaves_undecided_what_lies_beyond_where_rods_fit():
    result = check(rods(post=(95, 0), pins=0.05), covers="solo")
    found = check_of(result, "lever", "post")
    assert found.verdict == "undecided"
    assert -45 < found.reached[0][1] < -30
    assert 30 < found.reached[0][2] < 45
    assert any(finding.code == "loop-conflict" for finding in result.findings)


def test_the_floor_of_rods_that_fit_counts_what_play_takes():
    tight, loose = (check_of(check(rods(post=(80, 26), hub=HORN, pins=play), covers="solo"), "lever", "post") for play in (0, 0.2))
    assert tight.play == 0
    # closed form: equal arms turn alike, and a rod that is 0.2 off turns the lever by 0.2 / (12 cos 45) at most at 45
    assert tight.floor - 0.2 / (HORN * math.cos(math.radians(45))) * 25 - 0.1 < loose.floor < tight.floor - 0.05
    assert loose.lowest_gap - loose.play == pytest.approx(loose.floor, abs=0.02)


def test_without_play_a_loop_is_looked_at_in_one_way_and_nothing_shifts():
    for play, ways, shifts in ((0, 1, 0), (0.1, 2, 4 * SEGMENTS)):
        drawn = project(rods(post=(95, 0), hub=HORN, pins=play))
        linkage = linkage_of(drawn)
        plan = plan_of(drawn, linkage, tolerances=DEFAULT_TOLERANCES)
        loops = with_loops(plan, LoopSights(linkage, low=plan.low, high=plan.high, home=plan.home, tolerances=DEFAULT_TOLERANCES))
        found = loops.together.table.sight.paths
        assert {(len(path.ways), len(path.shifts)) for path in found} == {(ways, shifts)}


def test_the_segments_of_a_pin_cover_its_disc_and_little_more():
    (loop,) = linkage_of(project(rods(post=(95, 0), pins=0.2))).sections[0].loops
    ways, half = segments(loop)
    assert ways.shape == (8, 4 * SEGMENTS)
    for angle in range(0, 180, 5):
        # closed form: the support of a sum of segments
        toward = [math.cos(math.radians(angle)), math.sin(math.radians(angle))]
        far = sum(abs(toward[0] * ways[0, k] + toward[1] * ways[1, k]) * half[k] for k in range(SEGMENTS))
        assert 0.1 - 1e-12 <= far <= 0.1 / math.cos(math.pi / (2 * SEGMENTS)) + 1e-12


def test_a_breach_that_only_play_makes_is_one_that_scipy_finds_too():
    record = rods(post=(80, 22.75), hub=HORN, pins=0.2)
    found = check_of(check(record, covers="solo"), "lever", "post")
    assert found.verdict == "breach"
    assert found.lowest_gap > 0.5 > found.lowest_gap - found.play
    ((_, value),) = found.at
    pins = LoosePins(record["sections"][0], {"horn pivot": value})
    start = centred(project(record), pins, value)
    least = pins.least(lambda state: pins.gap(state, "lever", "post"), start)
    assert least is not None
    # what is told to be attained is not less than the least there is, and that is not below what is proved
    assert found.floor - 3e-6 <= pins.gap(least, "lever", "post") <= found.lowest_gap - found.play + 1e-4
    assert pins.gap(least, "lever", "post") == pytest.approx(found.lowest_gap - found.play, abs=2e-3)
