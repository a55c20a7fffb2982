import pytest

from core.drawing.display_list import Text
from core.drawing.lines import UNIT_ON_PAPER
from core.handover.figures import breach_figure
from core.model.edit import rename_section
from core.motion.linkage import linkage_of
from core.sweep.at_pose import PoseGaps
from tests.bays import bar, bay, body, disc, drive, pivot, project
from tests.unit.handover.sheets import FONTS


def figure(apart, section="Side"):
    """The figure of an arm of 40 at `apart` mm from a disc."""
    bodies = [
        body("bay", disc(0, -60, 2), fixed=True),
        body("post", disc(44 + apart, 0, 2), fixed=True),
        body("arm", bar((0, 0), (40, 0), 2)),
    ]
    found = project(bay(bodies, [pivot("pin", "bay", "arm")], [drive("swing", (-10, 10), "pin")], required_gap=1.0))
    found = rename_section(found, "Side", section)
    poses = PoseGaps(found, linkage=linkage_of(found))
    (gap,) = (each for each in poses.at({}) if set(each.between) == {"post", "arm"})
    return breach_figure(found, found.sections[0], {}, gap, linkage=poses.linkage, fonts=FONTS)


def magnified(apart):
    """How many times the detail enlarges an arm of 40 at `apart` mm from a disc, and what it tells of the gap."""
    words = [item.words for item in figure(apart).everything if isinstance(item, Text)]
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


@pytest.mark.parametrize("section", ["Side", "Plan through the upper deck, seen from below", "w" * 120])
def test_the_name_of_the_section_ends_before_the_scale_bar(section):
    words = [item for item in figure(-0.5, section).everything if isinstance(item, Text)]
    told = next(item for item in words if item.anchor == "left" and item.at[0] == 0.0)
    zero = next(item for item in words if item.words == "0")
    assert told.words.removesuffix("…")
    assert section.startswith(told.words.removesuffix("…"))
    assert FONTS.width(told.words, size=told.size * UNIT_ON_PAPER) < zero.at[0]
