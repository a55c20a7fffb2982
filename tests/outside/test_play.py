"""What play leaves open, against scipy's optimisation with every pin within half its play of the other."""

import json
import math
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from core.motion.linkage import linkage_of
from core.motion.play_left import left_by_play
from core.motion.pose import poses
from core.project_file.write import project_to_bytes
from core.tolerances import DEFAULT_TOLERANCES
from tests.loose_pins import LEVER, LoosePins
from tests.mechanisms import four_bar, polar, push_pull

PLAYS = (0.1, 0.15, 0.3)
"""mm, diametral; 0.15 for wire and 0.3 for printed pins is common practice, no source."""


def left(project: Any, value: float) -> tuple[float, float]:
    linkage = linkage_of(project)
    (section,) = linkage.sections
    (loop,) = section.loops
    (told,) = left_by_play(section, linkage, loop, np.array([value]), DEFAULT_TOLERANCES)
    return told.low, told.high


@pytest.mark.parametrize("play", PLAYS)
@pytest.mark.parametrize("servo", [45, -45, 20, 0])
def test_the_lever_of_two_unequal_rods_goes_as_far_as_both_rods_allow(play, servo):
    # closed form: each rod, 0.1 off at both its ends, may be as much longer or shorter as its play; D = 60, horn 12, hub 16
    def off(lever: float, angle: float) -> float:
        return abs(60 + polar(16, lever + angle) - polar(12, servo + angle)) - abs(60 + 16j - 12j)

    middle = {45: 32.0, -45: -32.0, 20: 14.8, 0: 0.0}[servo]
    ends = [
        brentq(lambda lever, a=angle, s=side: off(lever, a) - s * play, middle - 4, middle + 4) for angle in (90, -90) for side in (1, -1)
    ]
    inside = [end for end in ends if all(abs(off(end, angle)) <= play + 1e-9 for angle in (90, -90))]
    assert left(push_pull(play=play), servo) == pytest.approx((min(inside), max(inside)), abs=1e-6)


def record_of(project: Any) -> dict[str, Any]:
    return json.loads(project_to_bytes(project))["sections"][0]


def by_scipy(project: Any, driven: str, moved: float, body: str, start: float) -> tuple[float, float]:
    """Degrees, the least and the most that scipy finds for the turn of a body."""
    pins = LoosePins(record_of(project), {driven: moved})
    linkage = linkage_of(project)
    posed = poses(linkage.sections[0], linkage, np.array([[start]]))
    state = np.concatenate(
        [
            [posed.shift[0, group].real, posed.shift[0, group].imag, posed.turn[0, group] * LEVER]
            for group in (linkage.sections[0].group_of(name) for name in pins.free)
        ]
    )
    place = 3 * pins.free.index(body) + 2
    ends = []
    for way in (1.0, -1.0):
        found = pins.least(lambda at, way=way: way * at[place], state)
        assert found is not None
        ends.append(math.degrees(found[place] / LEVER))
    return ends[0], ends[1]


@pytest.mark.parametrize("play", PLAYS)
def test_the_lever_against_scipy_with_every_pin_free_in_its_play(play):
    project = push_pull(play=play)
    expected = by_scipy(project, "horn pivot", 45, "hub", 45)
    found = left(project, 45)
    assert found == pytest.approx(expected, abs=2e-4)
    # what scipy reaches is never outside what is told
    assert found[0] <= expected[0] + 1e-5
    assert expected[1] <= found[1] + 1e-5


@pytest.mark.parametrize("moved", [0, 35, -50, 150])
def test_the_follower_of_a_four_bar_against_scipy(moved):
    project = four_bar((40, 120, 80, 100), drawn=40, play=0.2, travel=(-100, 360))
    expected = by_scipy(project, "crank pivot", moved, "follower", 40 + moved)
    found = left(project, 40 + moved)
    assert found == pytest.approx(expected, abs=2e-4)
    assert found[0] <= expected[0] + 1e-5
    assert expected[1] <= found[1] + 1e-5
