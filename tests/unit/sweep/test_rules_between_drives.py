"""Rules between drives: combined sweeps leave out what they forbid, and tell the other answer too."""

import msgspec
import numpy as np
import pytest

from app.command_line import sample_files
from core.model.names import DriveName
from core.model.project import AllowedTogether, DriveSpan, Project
from core.project_file.read import read_project
from core.sentences import plain, verdict_sentence
from core.sweep.allowed import allowed_cells
from core.sweep.at_pose import PoseGaps
from core.sweep.run import check_project
from tests.arms import SECTION, mirrored_arms


def span(name: str, start: float, end: float) -> DriveSpan:
    return DriveSpan(drive=DriveName(name), start=start, end=end)


def ruled(*rules: AllowedTogether) -> Project:
    return msgspec.structs.replace(mirrored_arms(), allowed_together=rules)


def test_a_rule_that_keeps_one_arm_back_clears_the_two():
    project = ruled(AllowedTogether(when=span("left", 20, 70), keep=span("right", 0, 10), reason="one at a time"))
    free, kept = check_project(mirrored_arms()), check_project(project)
    assert free.verdict == "breach"
    (without,) = kept.without_rules
    (with_rule,) = kept.of_sweep("combined")
    assert without.verdict == "breach"
    assert without.lowest_gap == pytest.approx(free.of_sweep("combined")[0].lowest_gap, abs=0.02)
    assert with_rule.lowest_gap > without.lowest_gap


def test_no_allowed_pose_lies_below_the_floor_and_the_lowest_is_allowed():
    """A direct search over a fine grid of both drives."""
    project = ruled(
        AllowedTogether(when=span("left", 20, 70), keep=span("right", 0, 30)),
        AllowedTogether(when=span("right", 25, 70), keep=span("left", 0, 15)),
    )
    (check,) = check_project(project).of_sweep("combined")
    values = np.array([(left, right) for left in np.linspace(0, 70, 71) for right in np.linspace(0, 70, 71)])
    left, right = values[:, 0], values[:, 1]
    forbidden = ((left > 20) & (right > 30)) | ((right > 25) & (left > 15))
    gaps = PoseGaps(project).all_over(SECTION, values, cap=100.0)[:, -1]
    seen = gaps[~forbidden].min()
    assert check.floor is not None
    assert check.floor <= seen + 1e-9
    assert check.lowest_gap <= seen + 0.01  # the resolution
    at = dict(check.at)
    assert not (at["left"] > 20 and at["right"] > 30)
    assert not (at["right"] > 25 and at["left"] > 15)
    assert gaps[forbidden].min() < check.lowest_gap


def test_the_sentence_gives_both_answers():
    project = ruled(
        AllowedTogether(when=span("left", 1, 70), keep=span("right", 0, 1)),
        AllowedTogether(when=span("right", 1, 70), keep=span("left", 0, 1)),
    )
    project = msgspec.structs.replace(
        project,
        drives=tuple(msgspec.structs.replace(drive, end=55.0) for drive in project.drives),
        allowed_together=tuple(
            msgspec.structs.replace(rule, when=msgspec.structs.replace(rule.when, end=55.0)) for rule in project.allowed_together
        ),
    )
    result = check_project(project)
    assert result.verdict == "clear"
    told = verdict_sentence(result, project, plain)
    assert "in every position that your 2 rules allow" in told
    assert told.endswith("Without your 2 rules: breach, 1 pair.")


def test_cells_are_cut_at_the_rules_ends():
    project = ruled(AllowedTogether(when=span("left", 20, 70), keep=span("right", 5, 5)))
    cells = allowed_cells(project, (0, 1), low=np.array([0.0, 0.0]), high=np.array([70.0, 70.0]))
    assert ((20.0, 5.0), (70.0, 5.0)) in cells
    assert ((0.0, 0.0), (20.0, 5.0)) in cells
    assert all(not (low[0] >= 20 and (low[1], high[1]) != (5.0, 5.0)) for low, high in cells)


def test_a_rule_on_a_drive_that_is_not_on_the_path_binds_only_where_it_always_holds():
    rule = AllowedTogether(when=span("left", 0, 70), keep=span("right", 0, 10))
    sometimes = AllowedTogether(when=span("left", 5, 70), keep=span("right", 0, 10))
    low, high = np.array([0.0]), np.array([70.0])
    assert allowed_cells(ruled(rule), (1,), low=low, high=high) == [((0.0,), (10.0,))]
    assert allowed_cells(ruled(sometimes), (1,), low=low, high=high) == [((0.0,), (70.0,))]


def test_safe_travel_with_the_others_anywhere_keeps_to_the_rules():
    project = ruled(AllowedTogether(when=span("left", 1, 70), keep=span("right", 0, 1)))
    free = {safe.drive: safe for safe in check_project(mirrored_arms()).safe_travel if safe.others == "any"}
    kept = {safe.drive: safe for safe in check_project(project).safe_travel if safe.others == "any"}
    assert free["left"].end is not None
    assert kept["left"].end is not None
    assert kept["left"].end > free["left"].end


@pytest.mark.parametrize("name", ["signal_lantern", "petal_lamp"])
def test_without_its_rules_a_sample_has_the_answer_of_the_same_project_that_has_none(name):
    """Rows that no rule binds are swept once for both answers, the others twice."""
    project = read_project(sample_files()[name])
    ruled_answer = check_project(project, safe_anywhere=False, safe_box=False)
    free = check_project(msgspec.structs.replace(project, allowed_together=()), safe_anywhere=False, safe_box=False)
    assert ruled_answer.without_rules == free.of_sweep("combined")
    same = [
        with_rules == without for with_rules, without in zip(ruled_answer.of_sweep("combined"), ruled_answer.without_rules, strict=True)
    ]
    assert any(same)
    assert not all(same)
