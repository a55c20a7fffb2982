"""The table of pairs in words: which lines are shown and in which order."""

from pathlib import Path

import pytest

from app.panels.pairs_words import KINDS, count_of, pair_lines, shown_lines
from core.clearance.pairs import SeenPairs
from core.motion.linkage import linkage_of
from core.project_file.read import read_project
from core.sweep.pair_stands import pair_stands
from core.sweep.run import check_project
from core.sweep.timeline import timeline
from core.tolerances import DEFAULT_TOLERANCES


@pytest.fixture(scope="module")
def lines():
    project = read_project(Path("sample_projects/barrier_arm.bay.json"))
    links = linkage_of(project)
    stands = pair_stands(project, links, SeenPairs(DEFAULT_TOLERANCES).of(project, links).moving)
    return pair_lines(stands, timeline(project, (), check_project(project)).rows, str)


def names(lines):
    return [line.pair for line in lines]


def test_by_what_is_found_breaches_come_first_then_clear_ones_tightest_first_then_what_is_not_checked(lines):
    shown = shown_lines(lines, kind="all", order="found", words="")
    assert names(shown)[:3] == ["motor and rib", "housing and sled", "housing and motor"]
    assert [line.checked for line in shown] == ["checked"] * 3 + ["not checked"] * 7
    assert names(shown_lines(lines, kind="all", order="found", words="", backward=True)) == names(shown)[::-1]


def test_kinds_other_than_all_share_out_every_pair(lines):
    assert count_of(lines, "all") == len(lines) == 10
    assert sum(count_of(lines, kind) for kind in KINDS if kind != "all") == 10


def test_words_find_both_names_and_reasons_in_any_case_and_order(lines):
    assert names(shown_lines(lines, kind="all", order="pair", words="RIB mot")) == ["motor and rib"]
    assert len(shown_lines(lines, kind="all", order="pair", words="one piece")) == 3
    assert shown_lines(lines, kind="checked", order="pair", words="one piece") == ()


def test_by_gap_exempt_pairs_come_last(lines):
    shown = shown_lines(lines, kind="all", order="gap", words="")
    gaps = [line.stand.asked.gap for line in shown if line.stand.asked.unchecked is None]
    assert gaps == sorted(gaps)
    assert all(line.stand.asked.unchecked for line in shown[len(gaps) :])


def test_nothing_is_told_of_rows_of_a_state_before_but_their_order_stays(lines):
    project = read_project(Path("sample_projects/barrier_arm.bay.json"))
    stands = [line.stand for line in lines]
    old = pair_lines(stands, timeline(project, (), check_project(project)).rows, str, outdated=True)
    assert names(shown_lines(old, kind="all", order="found", words="")) == names(shown_lines(lines, kind="all", order="found", words=""))
    assert {line.told for line in old if line.checked == "checked"} == {""}
    assert not any(line.short for line in old)
    assert {line.told for line in old if line.stand.standing == "exempt"} == {"printed in one piece"}
