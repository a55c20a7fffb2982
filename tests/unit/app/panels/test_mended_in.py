"""Where a finding leads: the step in which it is mended, and what is picked there."""

import pytest

from app.panels.mended_in import Goal, goal_of
from core.model.finding import Finding, Place
from core.project_file.read import read_project
from tests.pictures import ROOT


@pytest.fixture(scope="module")
def arm():
    return read_project(ROOT / "sample_projects" / "barrier_arm.bay.json")


def error(code, place, **data):
    return Finding("error", place, code, data)


@pytest.mark.parametrize(
    ("finding", "goal"),
    [
        (
            error("outline-crosses-itself", Place("Side", "rib", path="sections[0].bodies[4].shapes[2].holes[0]")),
            Goal("Outline", "Side", ("rib",), shape=2),
        ),
        (error("depth-empty", Place("Side", "sled", path="sections[0].bodies[3].depth")), Goal("Outline", "Side", ("sled",))),
        (error("pin-off-bodies", Place("Side", joint="yoke slot")), Goal("Joints", "Side", joint="yoke slot")),
        (error("home-outside-travel", Place(drive="swing")), Goal("Joints", "Side", joint="hub pin", drive="swing")),
        (error("span-empty", Place(path="allowed_together[0].when")), Goal("rules")),
        (error("name-unknown", Place("Side", path="gap_rules[1]")), Goal("rules", "Side")),
        (error("number-negative", Place()), Goal("Outline")),
        (error("body-unheld", Place("Side", "rod"), bodies=("rod", "sled")), Goal("Joints", "Side", ("rod", "sled"))),
        (error("still-overlap", Place("Side", "rod"), first="rod", second="motor"), Goal("Outline", "Side", ("motor", "rod"))),
        (error("loop-slot-end", Place("Side", drive="swing"), joints=("rail",)), Goal("Joints", "Side", joint="hub pin", drive="swing")),
        (error("solo-unseen", Place("Side"), first="motor", second="rib"), Goal("Gaps", "Side", ("motor", "rib"))),
        (error("depth-empty", Place("Side", "gone")), Goal("Outline", "Side")),
        (error("depth-empty", Place("Gone", "rib")), Goal("Outline")),
        (error("pin-off-bodies", Place("Side", joint="gone")), Goal("Outline", "Side")),
    ],
    ids=lambda value: value.code if isinstance(value, Finding) else "",
)
def test_a_finding_leads_to_what_it_is_about_as_far_as_that_is_there(arm, finding, goal):
    assert goal_of(finding, arm) == goal
