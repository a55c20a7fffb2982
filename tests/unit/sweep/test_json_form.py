"""The JSON of a sweep's answer: keys and order are a promise to scripts."""

import json
from dataclasses import replace

import pytest

from core.model.finding import Finding, Place
from core.sweep.json_form import number, sweep_as_json
from core.sweep.result import Breach, Check, Knuckle, SweepResult, Unchecked, Work

BREACH = Breach(31.808, 45.0, ((36.401, 37.0), (38.0, 40.29)), -0.16, 38.0)
SOLO = Check(
    "solo", ("swing",), "Side", ("motor", "rib"), 1.0, 0.0, "breach", "bounded", (("swing", -45.0, 45.0),), -0.16, (("swing", 38.0),),
    (0.1, -0.12), None, (BREACH,),
)  # fmt: skip
COMBINED = replace(SOLO, sweep="combined", breaches=())
ANSWER = SweepResult(
    project="Barrier arm",
    verdict="breach",
    covers="all",
    checks=(SOLO, COMBINED),
    knuckles=(Knuckle("Side", "hub pin", ("housing", "motor"), (1, 1), 9.0),),
    unchecked=(Unchecked("Side", ("rod", "sled"), "rule", "printed in one piece"),),
    findings=(Finding("warning", Place(section="Side", joint="yoke slot"), "free-not-swept"),),
    work=Work(poses=1, boxes=2, gap_queries=3, seconds=0.12345),
    resolution=0.01,
)


def written(answer):
    return sweep_as_json(answer, finding_text=lambda finding: f"words of {finding.code}", unchecked_reason=lambda pair: pair.reason)


def test_the_whole_answer_has_the_promised_keys_in_order():
    told = json.loads(json.dumps(written(ANSWER)))
    assert list(told) == ["project", "verdict", "covers", "checks", "knuckles", "unchecked", "findings", "work"]
    solo, combined = told["checks"]
    keys = ["sweep", "drives", "section", "between", "required_gap", "verdict", "proof", "reached", "lowest_gap", "at", "way_out", "floor"]
    assert list(solo) == [*keys, "breaches"]
    assert list(combined) == keys
    assert told["knuckles"] == [{"section": "Side", "joint": "hub pin", "between": ["housing", "motor"], "shapes": [1, 1], "relief": 9.0}]
    assert told["unchecked"] == [{"section": "Side", "between": ["rod", "sled"], "reason": "printed in one piece"}]
    assert told["findings"] == [
        {
            "level": "warning",
            "place": {"section": "Side", "joint": "yoke slot"},
            "code": "free-not-swept",
            "text": "words of free-not-swept",
        }
    ]
    assert told["work"] == {"poses": 1, "boxes": 2, "gap_queries": 3, "seconds": 0.123}


def test_a_breach_has_its_first_and_last_contact_and_all_of_them():
    assert written(ANSWER)["checks"][0]["breaches"] == [
        {
            "from": 31.808,
            "to": 45.0,
            "contact": [36.401, 40.29],
            "contacts": [[36.401, 37.0], [38.0, 40.29]],
            "lowest_gap": -0.16,
            "at": 38.0,
        }
    ]


def test_a_breach_without_contact_has_null_for_it():
    answer = replace(ANSWER, checks=(replace(SOLO, breaches=(replace(BREACH, contacts=(), grazes=True),)),))
    (breach,) = written(answer)["checks"][0]["breaches"]
    assert breach["contact"] is None
    assert breach["contacts"] == []
    assert breach["grazes"] is True


def test_keys_that_say_nothing_are_left_out_and_come_where_they_say_something():
    odd = replace(SOLO, tolerance=0.2, depth_gap=0.1, step=0.05, open_share=0.25, far=True)
    answer = replace(
        ANSWER, checks=(odd,), knuckles=(Knuckle("Side", "pin", ("a", "b"), (0, 0), 0.15, running=True, left=False),), stopped=True
    )
    told = written(answer)
    row = told["checks"][0]
    assert (row["tolerance"], row["depth_gap"], row["step"], row["open_share"], row["far"]) == (0.2, 0.1, 0.05, 0.25, True)
    assert told["knuckles"][0]["running"] is True
    assert told["knuckles"][0]["left"] is False
    assert told["stopped"] is True


def test_numbers_have_six_decimals_and_no_minus_zero():
    assert number(1 / 3) == 0.333333
    assert str(number(-1e-9)) == "0.0"
    for impossible in (float("nan"), float("inf")):
        with pytest.raises(ValueError, match="cannot be written"):
            number(impossible)
