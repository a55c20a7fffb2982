"""What the list says of each mark."""

import math

import pytest

from app.board.marks import Angle, Arm, Distance, Gap, Held, Mark, Radius, Reading
from app.panels.marks import told
from core.drawing.gap_mark import GapMark
from core.model.names import BodyName
from core.sentences.numbers import plain

PAIR = (BodyName("hub"), BodyName("ring"))
CORNER, FAR, HIGH = Held((0.0, 0.0), "pin of elbow"), Held((9.0, 0.0), "end of arm"), Held((3.0, 4.0), "middle of wall")


def gap(length: float, value: float, required: float = 1.0) -> Reading:
    over_depth = value >= 0.0 and value != length
    return Reading(Gap(PAIR), {}, GapMark(((0.0, 0.0), (length, 0.0)), value, required, PAIR, over_depth=over_depth))


@pytest.mark.parametrize(
    ("mark", "number", "what"),
    [
        (Distance(CORNER, HIGH), "5.00 mm", "from pin of elbow to middle of wall; 3.00 mm across, 4.00 mm up"),
        (Distance(CORNER, FAR), "9.00 mm", "from pin of elbow to end of arm"),
        (
            Angle(Arm(CORNER, FAR, FAR), Arm(CORNER, HIGH, HIGH)),
            "53.13\N{DEGREE SIGN}",
            "at pin of elbow, from end of arm to middle of wall",
        ),
        (Angle(Arm(FAR, CORNER, CORNER), Arm(HIGH, CORNER, CORNER)), "53.13\N{DEGREE SIGN}", "between pin of elbow and pin of elbow"),
        (Radius(CORNER, HIGH), "R 5.00 mm", "middle of wall; 10.00 mm across"),
    ],
)
def test_a_mark_is_told_with_its_number_and_what_it_is_of(mark: Mark, number: str, what: str) -> None:
    assert math.degrees(math.atan2(4.0, 3.0)) == pytest.approx(53.13, abs=5e-3)
    assert told(Reading(mark, {}), plain) == (number, what)


def test_a_gap_short_of_what_was_asked_tells_that_too() -> None:
    assert told(gap(0.966, 0.966), plain) == ("0.96 mm", "gap of hub to ring; asked for 1.00 mm")
    assert told(gap(2.5, 2.5), plain) == ("2.50 mm", "gap of hub to ring")
    assert told(gap(2.5, 2.5, required=0.0), plain) == ("2.50 mm", "gap of hub to ring")


def test_a_gap_over_the_depth_says_that_one_passes_over_the_other() -> None:
    assert told(gap(4.0, 5.0), plain) == ("5.00 mm, depth counted", "gap of hub to ring: one passes over the other")
    assert told(gap(4.0, 0.0), plain)[0] == "0.00 mm, depth counted"


def test_a_gap_that_there_is_not_says_so() -> None:
    assert told(Reading(Gap(PAIR), {}), plain) == ("no gap", "hub to ring: nothing of them can be measured here")
