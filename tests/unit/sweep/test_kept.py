"""Kept results: what an edit re-proves, and what it leaves alone."""

import copy

import pytest
from msgspec.structs import replace

from core.model.names import BodyName, DriveName
from core.model.project import GapRule, Project, View
from core.sweep.at_pose import PoseGaps
from core.sweep.kept import Kept
from core.sweep.result import SweepResult
from core.sweep.run import check_project
from core.tolerances import DEFAULT_TOLERANCES
from tests.bench.ring_bay import SECTION, ring_bay

BAY = ring_bay(3)
SECTION_OF_BAY = BAY.sections[0]


def asked(project: Project, kept: Kept, **options: object) -> SweepResult:
    return check_project(project, seek="verdict", safe_anywhere=False, safe_box=False, kept=kept, **options)


@pytest.fixture
def kept() -> Kept:
    """With the answer of the bay in it."""
    full = Kept()
    asked(BAY, full)
    return full


def fresh(project: Project, kept: Kept) -> int:
    """How many rows are swept for a project that were not before."""
    before = len(kept)
    asked(project, kept)
    return len(kept) - before


def rows_of(*, body: str = "", drive: str = "") -> int:
    """Pairs of a body, or with a drive on their path, that are swept together in the bay."""
    checks = check_project(BAY, covers="combined", seek="verdict", safe_anywhere=False, safe_box=False).checks
    return sum(body in check.between or drive in check.drives for check in checks)


def with_body(of: str, **changes: object) -> Project:
    bodies = tuple(replace(body, **changes) if body.name == of else body for body in SECTION_OF_BAY.bodies)
    return replace(BAY, sections=(replace(SECTION_OF_BAY, bodies=bodies),))


def with_drive(of: str, **changes: object) -> Project:
    return replace(BAY, drives=tuple(replace(drive, **changes) if drive.name == of else drive for drive in BAY.drives))


def test_nothing_is_swept_again_where_nothing_has_changed(kept):
    again = asked(copy.deepcopy(BAY), kept)
    assert (again.work.boxes, again.work.gap_queries, again.work.poses) == (0, 0, 0)
    assert again.checks == asked(BAY, Kept()).checks


def test_changed_depth_of_a_body_sweeps_its_pairs_alone(kept):
    assert fresh(with_body("flap 1", depth=(0, 9)), kept) == rows_of(body="flap 1") > 0


def test_changed_travel_sweeps_the_pairs_that_the_drive_moves(kept):
    assert fresh(with_drive("fold 2", end=50.0), kept) == rows_of(drive="fold 2") > 0


def test_rule_for_one_pair_sweeps_that_pair(kept):
    rule = GapRule(section=SECTION, between=(BodyName("flap 1"), BodyName("flap 2")), required_gap=2.0)
    assert fresh(replace(BAY, gap_rules=(rule,)), kept) == 1


def test_name_colour_notes_and_speed_sweep_nothing(kept):
    assert fresh(with_body("flap 1", view=View(colour="#123456"), notes="brass"), kept) == 0
    assert fresh(with_drive("fold 1", speed=20.0, notes="slow"), kept) == 0
    assert fresh(replace(BAY, name="other", notes="none"), kept) == 0


def test_renamed_bodies_and_drives_keep_everything_and_are_told_by_their_new_names(kept):
    renamed = with_drive("fold 1", name=DriveName("lift"))
    section = renamed.sections[0]
    wall = section.bodies[0].name
    bodies = tuple(replace(body, name=BodyName("drum")) if body.name == wall else body for body in section.bodies)
    joints = tuple(
        replace(joint, between=tuple(BodyName("drum") if name == wall else name for name in joint.between)) for joint in section.joints
    )
    renamed = replace(renamed, sections=(replace(section, bodies=bodies, joints=joints),))
    assert fresh(renamed, kept) == 0
    told = asked(renamed, kept)
    assert told.checks == asked(renamed, Kept()).checks
    assert any("drum" in check.between and "lift" in check.drives for check in told.checks)


def test_edit_taken_back_sweeps_nothing(kept):
    asked(with_body("flap 1", depth=(0, 9)), kept)
    assert fresh(BAY, kept) == 0


def test_answers_for_other_settings_are_kept_apart(kept):
    rows = len(kept)
    asked(BAY, kept, resolution=0.1)
    assert len(kept) == 2 * rows
    assert asked(BAY, kept, covers="solo").checks == asked(BAY, Kept(), covers="solo").checks
    assert len(kept) == 3 * rows


def test_those_not_asked_for_the_longest_are_dropped():
    small = Kept(most=20)
    first = asked(BAY, small)
    assert len(small) == 20
    assert asked(BAY, small).checks == first.checks


def test_stopped_answer_is_not_kept():
    stopped = Kept()
    assert asked(BAY, stopped, progress=lambda _share: False).stopped
    assert len(stopped) == 0
    assert asked(BAY, stopped).checks == asked(BAY, Kept()).checks


def test_gaps_at_poses_stand_on_the_pairs_that_the_sweep_laid_out(kept):
    laid = kept.laid_out(BAY, DEFAULT_TOLERANCES)
    poses = kept.poses(copy.deepcopy(BAY), DEFAULT_TOLERANCES)
    # Pairs are equal where they are the same object.
    assert list(poses.plan.pairs) == laid.moving
    for at in ({}, {DriveName("fold 1"): 40.0}):
        assert poses.at(at) == PoseGaps(BAY).at(at)


def test_gaps_at_poses_after_an_edit_are_those_of_the_edited_bay(kept):
    kept.poses(BAY, DEFAULT_TOLERANCES)
    edited = with_body("flap 1", depth=(0, 9), outline_tolerance=0.2)
    before = {id(pair) for pair in kept.laid_out(BAY, DEFAULT_TOLERANCES).moving}
    poses = kept.poses(edited, DEFAULT_TOLERANCES)
    assert poses.at({}) == PoseGaps(edited).at({})
    assert all((id(pair) in before) == ("flap 1" not in pair.between) for pair in poses.plan.pairs)
