import pytest

from core.drawing.display_list import Text
from core.handover.figures import breach_figure
from core.motion.linkage import linkage_of
from core.sweep.at_pose import PoseGaps
from tests.bays import bar, bay, body, disc, drive, pivot, project


def magnified(apart):
    """How many times the detail enlarges an arm of 40 at `apart` mm from a disc, and what it tells of the gap."""
    bodies = [
        body("bay", disc(0, -60, 2), fixed=True),
        body("post", disc(44 + apart, 0, 2), fixed=True),
        body("arm", bar((0, 0), (40, 0), 2)),
    ]
    found = project(bay(bodies, [pivot("pin", "bay", "arm")], [drive("swing", (-10, 10), "pin")], required_gap=1.0))
    poses = PoseGaps(found, linkage=linkage_of(found))
    (gap,) = (each for each in poses.at({}) if set(each.between) == {"post", "arm"})
    sheet = breach_figure(found, found.sections[0], {}, gap, linkage=poses.linkage)
    words = [item.words for item in sheet.everything if isinstance(item, Text)]
    head = next(each for each in words if each.startswith("A, "))
    return float(head.removeprefix("A, ").split()[0]), words


def test_the_detail_comes_closer_to_a_small_gap_so_that_it_is_seen():
    usual, _ = magnified(5.0)
    close, words = magnified(0.1)
    assert close > 4 * usual
    assert "0.10 mm" in words


def test_the_detail_comes_closer_to_a_small_overlap_and_no_closer_than_shows_a_shape():
    usual, _ = magnified(5.0)
    close, words = magnified(-0.1)
    closest, _ = magnified(-0.0001)
    assert "0.10 mm deep" in words
    assert close > 2 * usual
    assert closest == pytest.approx(7.4 * 40, rel=0.02)
