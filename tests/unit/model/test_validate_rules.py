"""Faults of gap rules and of drives allowed together."""

from math import inf

import pytest
from msgspec.structs import replace

from core.model.project import AllowedTogether, DriveSpan, GapRule, Move
from core.model.validate import validate
from tests.unit.model.drawings import gate, swing


def rule(first, second, **changes):
    asked = changes or {"required_gap": 1.0}
    return GapRule(section="Plan", between=(first, second), **asked)


def found(*rules):
    return validate(replace(gate(), gap_rules=rules))


@pytest.mark.parametrize(
    ("changes", "path", "code"),
    [
        ({"notes": "thinking"}, "", "rule-empty"),
        ({"required_gap": 1.0, "unchecked": "glued"}, "", "rule-with-both"),
        ({"required_depth_gap": 0.0, "unchecked": "glued"}, "", "rule-with-both"),
        ({"unchecked": "  "}, ".unchecked", "reason-empty"),
        ({"required_gap": -1.0}, ".required_gap", "number-negative"),
        ({"required_depth_gap": -1.0}, ".required_depth_gap", "number-negative"),
        ({"required_gap": inf}, ".required_gap", "number-not-finite"),
    ],
)
def test_a_rule_must_ask_for_one_thing(changes, path, code):
    (finding,) = found(rule("leaf", "post", **changes))
    assert (finding.level, finding.code, finding.place.path) == ("error", code, f"gap_rules[0]{path}")


def test_negative_gaps_of_the_project_are_refused():
    project = replace(gate(), required_gap=-1.0, required_depth_gap=inf)
    assert [(f.code, f.place.path) for f in validate(project)] == [
        ("number-negative", "required_gap"),
        ("number-not-finite", "required_depth_gap"),
    ]


def test_unknown_names_of_a_rule_are_told():
    findings = found(rule("leaf", "pots"), GapRule(section="Plane", between=("leaf", "post"), required_gap=0.0))
    assert [(f.code, f.place.path, f.data["nearest"]) for f in findings] == [
        ("name-misspelt", "gap_rules[0].between[1]", "post"),
        ("name-misspelt", "gap_rules[1].section", "Plan"),
    ]


def test_a_rule_of_a_body_and_itself_is_refused_but_of_every_body_is_not():
    assert [f.code for f in found(rule("leaf", "leaf"))] == ["rule-with-itself"]
    assert found(rule("*", "*")) == ()


@pytest.mark.parametrize(("one", "other"), [(("leaf", "post"), ("post", "leaf")), (("leaf", "*"), ("*", "leaf")), (("*", "*"), ("*", "*"))])
def test_two_rules_of_one_pair_are_refused_in_either_order(one, other):
    (finding,) = found(rule(*one), rule(*other))
    assert (finding.code, finding.place.path, finding.data["other"]) == ("rule-repeated", "gap_rules[1]", "gap_rules[0]")


def test_two_starred_rules_have_equal_right_to_the_pair_of_their_bodies():
    (finding,) = found(rule("leaf", "*"), rule("*", "paddle", unchecked="runs in it"))
    assert (finding.code, finding.place.path) == ("rules-equal", "gap_rules[1]")
    assert finding.data == {"first": "leaf", "second": "paddle", "other": "gap_rules[0]"}


def test_a_rule_that_names_both_bodies_decides_between_starred_ones():
    assert found(rule("leaf", "*"), rule("*", "paddle"), rule("paddle", "leaf"), rule("*", "*")) == ()


def test_starred_rules_of_two_fixed_bodies_do_not_meet():
    plan = gate().sections[0]
    bodies = (*plan.bodies, replace(plan.bodies[0], name="wall"))
    project = replace(gate(), sections=(replace(plan, bodies=bodies),), gap_rules=(rule("post", "*"), rule("wall", "*")))
    assert validate(project) == ()


def test_rules_of_two_sections_do_not_meet():
    project = replace(gate(), sections=(*gate().sections, replace(gate().sections[0], name="Side")))
    rules = (rule("leaf", "post"), replace(rule("leaf", "post"), section="Side"))
    assert validate(replace(project, gap_rules=rules)) == ()


def together(when, keep):
    drives = (swing(), swing(name="raise", unit="mm", end=9.0, moves=(Move(section="Plan", joint="rack"),)))
    return validate(replace(gate(), drives=drives, allowed_together=(AllowedTogether(when=when, keep=keep, reason="they would meet"),)))


def test_spans_within_travel_are_valid_and_one_value_may_be_kept():
    assert together(DriveSpan(drive="swing", start=20, end=70), DriveSpan(drive="raise", start=0, end=0)) == ()


@pytest.mark.parametrize(
    ("when", "keep", "path", "code"),
    [
        (("swing", 70, 70), ("raise", 0, 1), "while", "span-empty"),
        (("swing", 20, 70), ("raise", 2, 1), "keep", "span-empty"),
        (("swing", -1, 70), ("raise", 0, 1), "while", "span-outside-travel"),
        (("swing", 20, 70), ("raise", 0, 10), "keep", "span-outside-travel"),
        (("swnig", 20, 70), ("raise", 0, 1), "while.drive", "name-misspelt"),
        (("swing", 20, inf), ("raise", 0, 1), "while.to", "number-not-finite"),
    ],
)
def test_a_span_that_cannot_be_kept_is_refused(when, keep, path, code):
    spans = [DriveSpan(drive=drive, start=start, end=end) for drive, start, end in (when, keep)]
    first = together(*spans)[0]
    assert (first.level, first.code, first.place.path) == ("error", code, f"allowed_together[0].{path}")


def test_one_drive_cannot_be_allowed_together_with_itself():
    (finding,) = together(DriveSpan(drive="swing", start=20, end=70), DriveSpan(drive="swing", start=0, end=1))
    assert (finding.code, finding.place.path, finding.data) == ("together-one-drive", "allowed_together[0]", {"drive": "swing"})
