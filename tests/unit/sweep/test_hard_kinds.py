"""The sample of kinds that a look at single positions gets wrong, each held to its closed form within the default box cap."""

import itertools
import math
from functools import cache
from pathlib import Path

import pytest

from core.project_file.read import read_project
from core.sweep.at_pose import PoseGaps
from core.sweep.result import Check, SweepResult
from core.sweep.run import check_project

FILE = Path(__file__).parents[3] / "sample_projects" / "hard_kinds.bay.json"
RESOLUTION = 0.01
TOUCH = 3e-6


@cache
def answer() -> SweepResult:
    return check_project(read_project(FILE))


def check_of(sweep: str, *pair: str) -> Check:
    (found,) = [check for check in answer().of_sweep(sweep) if set(check.between) == set(pair)]
    return found


def gap(pair: tuple[str, str], **values: float) -> float:
    """The gap of two bodies at drive values, the other drives at home; names with _ for a space."""
    poses = PoseGaps(read_project(FILE))
    (found,) = [one for one in poses.at({name.replace("_", " "): v for name, v in values.items()}) if set(one.between) == set(pair)]
    return found.gap


def test_a_tip_in_a_concentric_pocket_keeps_its_hundredth_all_the_way():
    # room 32.51, tip at 30 + 2: 0.51 everywhere, of which 0.5 is asked
    found = check_of("solo", "pocket", "hand")
    assert (found.verdict, found.lowest_gap) == ("clear", pytest.approx(0.51, abs=1e-6))
    assert 0.5 - TOUCH <= found.floor <= 0.51
    assert check_of("combined", "pocket", "hand").verdict == "clear"


def test_a_blade_thinner_than_a_step_is_met():
    # blade of 0.02 mm at 120 + x, pin of radius 0.01 at 132.25: they touch while |x - 12.25| <= 0.02, up to 0.02 deep
    found = check_of("solo", "wire pin", "blade")
    (breach,) = found.breaches
    assert found.verdict == "breach"
    assert breach.start == pytest.approx(12.23, abs=0.001)
    assert breach.end == pytest.approx(12.27, abs=0.001)
    assert breach.contact == pytest.approx((12.23, 12.27), abs=0.001)
    assert -0.02 - 1e-6 <= found.lowest_gap <= -0.02 + RESOLUTION
    # 1 mm steps see nothing of it
    assert all(gap(("wire pin", "blade"), blade=float(x)) > 0.2 for x in range(-20, 21))


@pytest.mark.parametrize(("post", "moving", "asked"), [("gauge post", "lever", 1.0), ("rest post", "pallet", 0.0)])
def test_a_gap_that_grazes_exactly_what_is_asked_is_clear(post, moving, asked):
    # centres 36 or 35 and 30 mm from the pin, radii 3 and 2: the gap is 1 or 0 at 0 degrees and more elsewhere
    for sweep in ("solo", "combined"):
        found = check_of(sweep, post, moving)
        assert (found.verdict, found.breaches) == ("clear", ())
        assert found.lowest_gap == pytest.approx(asked, abs=RESOLUTION)
        assert asked - TOUCH - 1e-6 <= found.floor <= asked + 1e-6


def stop_gap(boom: float, jib: float, stop: float) -> float:
    """The stop's face at 154 - stop, above the jib's round tip: 120 + 20 sin boom + 20 sin (boom + jib) + 2."""
    return 154 - stop - (122 + 20 * math.sin(math.radians(boom)) + 20 * math.sin(math.radians(boom + jib)))


def test_a_breach_of_three_drives_that_no_two_of_them_see():
    found = check_of("combined", "jib", "stop")
    ends = {"boom": (0, 30), "jib": (0, 30), "stop": (0, 5)}
    assert found.verdict == "breach"
    assert found.lowest_gap == pytest.approx(stop_gap(30, 30, 5), abs=RESOLUTION)
    assert dict(found.at) == pytest.approx({"boom": 30, "jib": 30, "stop": 5}, abs=0.02)
    for still in ends:
        # the gap falls with each drive, so that the corners of the others are the lowest of any two
        corners = itertools.product(*((0,) if name == still else ends[name] for name in ends))
        assert min(stop_gap(*corner) for corner in corners) > 0.5 + 1
        assert gap(("jib", "stop"), **{name: end[1] for name, end in ends.items() if name != still}) > 0.5 + 1
    solo = [check for check in answer().of_sweep("solo") if set(check.between) == {"jib", "stop"}]
    assert [check.verdict for check in solo] == ["clear"] * 3
    assert [finding.code for finding in answer().findings] == ["solo-unseen"]


def test_the_lowest_gap_of_four_drives():
    # Each tip comes 20 sin 40 + 20 sin 80 towards the other; they stand 70 apart and have radii of 2.
    reach = 20 * (math.sin(math.radians(40)) + math.sin(math.radians(80)))
    found = check_of("combined", "left wrist", "right wrist")
    assert found.verdict == "clear"
    assert found.lowest_gap == pytest.approx(70 - 2 * reach - 4, abs=RESOLUTION)
    assert found.lowest_gap - RESOLUTION - 1e-6 <= found.floor <= 70 - 2 * reach - 4
    assert [abs(value) for _, value in found.at] == pytest.approx([40, 40, 40, 40], abs=0.2)
    for still in range(4):
        three = [0.0 if place == still else 40.0 for place in range(4)]
        names = ("left_arm", "left_wrist", "right_arm", "right_wrist")
        values = {name: -v if name.startswith("left") else v for name, v in zip(names, three, strict=True)}
        assert gap(("left wrist", "right wrist"), **values) > 5


def test_every_kind_is_decided_with_few_boxes():
    assert not [check for check in answer().checks if check.verdict == "undecided" or check.open_share or check.proof != "bounded"]
    # 5,000 or so of 50,000 allowed for each of the 160 rows
    assert answer().work.boxes < 20_000
