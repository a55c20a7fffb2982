"""How every pair stands to the check: listed once each, and told like the answer tells it."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.clearance.pairs import SeenPairs
from core.model.edit_bodies import set_depth
from core.model.edit_rules import ask_gap, change_asked, exempt_pair
from core.model.joints import Bolted
from core.model.project import GapRule
from core.motion.linkage import linkage_of
from core.project_file.read import read_project
from core.sweep.pair_stands import pair_stand, pair_stands
from core.sweep.run import check_project
from core.tolerances import DEFAULT_TOLERANCES

SAMPLES = Path("sample_projects")


@pytest.fixture(scope="module")
def arm():
    return read_project(Path("tests/fixtures/barrier_arm.bay.json"))


def stands_of(project, laid_of=None):
    """The stands of all pairs by their bodies; asked one by one and in the other order, each is the same."""
    before = laid_of or project
    moving, links = SeenPairs(DEFAULT_TOLERANCES).of(before, linkage_of(before)).moving, linkage_of(project)
    found = {stand.between: stand for stand in pair_stands(project, links, moving)}
    for pair, stand in found.items():
        assert pair_stand(project, links, moving, stand.section, pair[::-1]) == stand
    return found


def test_every_pair_of_the_barrier_arm_is_listed_once_with_its_reason(arm):
    found = stands_of(arm)
    assert {pair: stand.standing for pair, stand in found.items()} == {
        ("housing", "motor"): "checked",
        ("housing", "rod"): "exempt",
        ("housing", "sled"): "checked",
        ("housing", "rib"): "fixed",
        ("motor", "rod"): "bolted",
        ("motor", "sled"): "passes-over",
        ("motor", "rib"): "checked",
        ("rod", "sled"): "exempt",
        ("rod", "rib"): "exempt",
        ("sled", "rib"): "passes-over",
    }
    assert (found["motor", "rib"].asked.gap, found["housing", "motor"].asked.gap) == (1.0, 0.5)
    assert found["rod", "sled"].asked.unchecked == "printed in one piece"


@pytest.mark.parametrize("sample", ["petal_lamp", "owl_head", "lock_gate", "hard_kinds", "signal_lantern"])
def test_what_is_listed_as_unchecked_and_checked_is_what_the_answer_says(sample):
    project = read_project(SAMPLES / f"{sample}.bay.json")
    moving = SeenPairs(DEFAULT_TOLERANCES).of(project, linkage_of(project)).moving
    found = pair_stands(project, linkage_of(project), moving)
    result = check_project(project, seek="verdict", safe_anywhere=False, safe_box=False)
    assert tuple(stand.unchecked for stand in found if stand.unchecked) == result.unchecked
    checked = {(stand.section, stand.between) for stand in found if stand.standing == "checked"}
    assert checked == {(check.section, check.between) for check in result.checks}
    bodies = [len(section.bodies) for section in project.sections]
    assert len(found) == sum(count * (count - 1) // 2 for count in bodies)


def test_pairs_of_a_state_before_are_told_by_the_rules_of_this_one(arm):
    section = arm.sections[0].name
    exempt = exempt_pair(arm, section, ("rib", "motor"), reason="soft rib")
    assert stands_of(exempt, laid_of=arm)["motor", "rib"].unchecked.reason == "soft rib"
    deeper = ask_gap(arm, section, ("motor", "sled"), depth_gap=30.0)
    assert stands_of(arm, laid_of=arm)["motor", "sled"].standing == "passes-over"
    assert stands_of(deeper, laid_of=arm)["motor", "sled"].standing == "checked"


def test_a_pair_that_is_not_laid_out_is_unknown_and_one_of_no_drive_still(arm):
    found = {stand.between: stand.standing for stand in pair_stands(arm, linkage_of(arm), ())}
    assert found["motor", "rib"] == "unknown"
    assert found["rod", "rib"] == "exempt"
    old = arm.sections[0]
    tied = replace(arm, sections=(replace(old, joints=(*old.joints, Bolted(name="screw", between=("rod", "sled")))),), drives=())
    tied = replace(tied, sections=(replace(tied.sections[0], joints=tuple(j for j in tied.sections[0].joints if j.name != "yoke slot")),))
    assert stands_of(replace(tied, gap_rules=()))["motor", "sled"].standing == "still"


def test_rules_are_told_strongest_first(arm):
    section = arm.sections[0].name
    both = replace(arm, gap_rules=(*arm.gap_rules, GapRule(section=section, between=("rod", "rib"), required_gap=0.25)))
    stand = stands_of(both)["rod", "rib"]
    assert [rule.between for rule in stand.rules] == [("rod", "rib"), ("rod", "*")]
    assert stand.standing in ("checked", "passes-over")
    assert stand.asked == with_asked(stand.asked, 0.25)


def with_asked(asked, gap):
    return asked._replace(gap=gap, unchecked=None)


def test_another_gap_of_a_pair_keeps_its_depth_gap_and_its_notes(arm):
    section = arm.sections[0].name
    ruled = replace(
        arm, gap_rules=(GapRule(section=section, between=("rib", "motor"), required_gap=1.0, required_depth_gap=2.0, notes="felt"),)
    )
    (rule,) = change_asked(ruled, section, ("motor", "rib"), gap=0.75).gap_rules
    assert (rule.required_gap, rule.required_depth_gap, rule.notes) == (0.75, 2.0, "felt")
    exempt = exempt_pair(ruled, section, ("motor", "rib"), reason="soft")
    (again,) = change_asked(exempt, section, ("motor", "rib"), depth_gap=0.5).gap_rules
    assert (again.unchecked, again.required_gap, again.required_depth_gap) == (None, None, 0.5)


def test_two_knuckled_bodies_with_nothing_left_are_told_so(arm):
    section = arm.sections[0]
    pin = next(joint for joint in section.joints if joint.name == "hub pin")
    wide = replace(section, joints=tuple(replace(joint, relief=500.0) if joint is pin else joint for joint in section.joints))
    shapes = {"housing": 1, "motor": 1}
    bodies = tuple(replace(body, shapes=body.shapes[-1:]) if body.name in shapes else body for body in wide.bodies)
    found = stands_of(set_depth(replace(arm, sections=(replace(wide, bodies=bodies),)), section.name, ("motor",), (4, 16)))
    assert found["housing", "motor"].standing == "knuckle"


def test_one_body_or_one_that_is_not_there_is_no_pair(arm):
    section = arm.sections[0].name
    for bodies in (("rod",), ("rod", "rod"), ("rod", "ghost"), ("rod", "rib", "sled")):
        assert pair_stand(arm, linkage_of(arm), (), section, bodies) is None
    assert pair_stand(arm, linkage_of(arm), (), "Top", ("rod", "rib")) is None
