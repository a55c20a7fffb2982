"""What wiggles after an edit, and how far: never beyond travel, and back where it began."""

import pytest
from msgspec.structs import replace

from app.command_line import sample_files
from app.document.wiggle import MOST, SHARE, stirred, wiggled
from core.model.edit import rename_drive, rename_joint
from core.model.edit_drives import add_drive, change_drive
from core.model.edit_joints import change_joint, delete_joints
from core.model.project import Drive, Move
from core.project_file.read import read_project

SWING = Drive(name="swing", unit="deg", start=-45, end=45, home=0, speed=100, moves=())


@pytest.fixture
def arm():
    return read_project(sample_files()["barrier_arm"])


def names(drives):
    return [drive.name for drive in drives]


def test_a_new_drive_and_a_changed_one_stir_and_no_other(arm):
    added = add_drive(arm, Drive(name="push", unit="mm", start=0, end=5, home=0, speed=10, moves=(Move(section="Side", joint="rail"),)))
    assert names(stirred(arm, added)) == ["push"]
    assert names(stirred(added, change_drive(added, "swing", lambda old: replace(old, end=50.0)))) == ["swing"]
    assert stirred(added, added) == ()


def test_a_joint_that_changes_stirs_the_drives_that_move_it_and_one_that_nothing_drives_stirs_none(arm):
    moved = change_joint(arm, "Side", "hub pin", lambda old: replace(old, at=(1.0, 0.0))).project
    assert names(stirred(arm, moved)) == ["swing"]
    assert stirred(arm, change_joint(arm, "Side", "yoke slot", lambda old: replace(old, play=0.2)).project) == ()


def test_another_name_speed_or_note_stirs_nothing(arm):
    assert stirred(arm, rename_drive(arm, "swing", "sway")) == ()
    assert stirred(arm, rename_joint(arm, "Side", "hub pin", "shaft")) == ()
    assert stirred(arm, change_drive(arm, "swing", lambda old: replace(old, speed=9.0, notes="slow"))) == ()


def test_what_is_gone_or_moves_nothing_stirs_nothing(arm):
    assert stirred(arm, delete_joints(arm, "Side", ("hub pin",)).project) == ()
    assert stirred(arm, add_drive(arm, SWING)) == ()


@pytest.mark.parametrize("drawn", [-45, -40, 0, 44, 45])
def test_a_wiggle_stays_within_travel_and_ends_where_it_began(drawn):
    drive = replace(SWING, drawn=drawn)
    values = [wiggled(drive, share / 100) for share in range(101)]
    assert min(values) >= -45
    assert max(values) <= 45
    assert (values[0], values[-1]) == pytest.approx((drawn, drawn), abs=1e-12)
    assert max(values) - min(values) >= 9 - 1e-9


def test_a_wiggle_goes_a_share_of_travel_to_each_side_and_no_more_than_the_most():
    assert wiggled(SWING, 0.25) == pytest.approx(SHARE * 90)
    assert wiggled(SWING, 0.75) == pytest.approx(-SHARE * 90)
    assert wiggled(replace(SWING, start=-900, end=900), 0.25) == pytest.approx(MOST)
