"""The mobility line: what it says, what of it is a link, and what it depends on."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from app.document.mobility_known import moves_by
from app.panels.joint_mobility import MOST_LINKS, Part, mobility_parts
from core.model.edit_bodies import add_body, set_depth
from core.model.edit_drives import change_drive, delete_drives, release_joint
from core.model.edit_joints import add_joint, change_joint
from core.model.edit_project import new_project, set_required
from core.model.joints import Pivot, Slide
from core.model.project import Body, Drive, Move
from core.model.shapes import Disc
from core.motion.linkage import linkage_of
from core.motion.mobility import mobility
from core.project_file.read import read_project


def body(name, *, fixed=False):
    return Body(name=name, fixed=fixed, depth=(0, 5), shapes=(Disc(centre=(0, 0), radius=3),))


@pytest.fixture
def arm():
    """A bay with an arm on a pivot and no drive."""
    project = add_body(add_body(new_project(), "Side", body("bay", fixed=True)), "Side", body("arm"))
    return add_joint(project, "Side", Pivot(name="pin", between=("bay", "arm"), at=(0, 0)))


def parts_of(project):
    links = linkage_of(project)
    (found,) = mobility(project, links)
    return mobility_parts(found, links.section("Side"), str)


def said(project):
    return "".join(part.text for part in parts_of(project))


def drive(*joints, name="swing"):
    return Drive(
        name=name, unit="deg", start=-1, end=1, home=0, speed=1, moves=tuple(Move(section="Side", joint=joint) for joint in joints)
    )


def test_an_undriven_joint_is_a_link(arm):
    assert said(arm) == "0 drives, 1 freedom undriven: pin."
    assert [part for part in parts_of(arm) if part.joint] == [Part("pin", joint="pin")]


def test_one_drive_for_one_freedom_is_well_driven(arm):
    assert said(replace(arm, drives=(drive("pin"),))) == "1 drive, 1 freedom: well driven."


def test_one_section_of_several_is_named_since_the_project_may_have_more_drives(arm):
    driven = replace(arm, drives=(drive("pin"),))
    links = linkage_of(driven)
    (found,) = mobility(driven, links)
    parts = mobility_parts(found, links.section("Side"), str, alone=False)
    assert "".join(part.text for part in parts) == "1 drive in Side, 1 freedom: well driven."


def test_a_drive_of_two_joints_drives_all(arm):
    two = add_joint(add_body(arm, "Side", body("tip")), "Side", Pivot(name="tip pin", between=("arm", "tip"), at=(9, 0)))
    assert said(replace(two, drives=(drive("pin", "tip pin"),))) == "1 drive, 2 freedoms, all driven."
    assert said(replace(two, drives=(drive("tip pin"),))) == "1 drive, 1 freedom undriven: pin."


def test_a_body_that_no_joint_holds_is_a_link_and_is_not_called_driven(arm):
    loose = add_body(replace(arm, drives=(drive("pin"),)), "Side", body("coin"))
    assert said(loose) == "1 drive. No joint holds coin."
    assert [part for part in parts_of(loose) if part.body] == [Part("coin", body="coin")]


def test_nothing_moves_where_all_is_fixed():
    assert said(add_body(new_project(), "Side", body("bay", fixed=True))) == "0 drives, no freedom: nothing moves."


def test_a_joint_between_bodies_that_move_as_one_is_without_effect(arm):
    both = add_joint(
        add_body(arm, "Side", body("wall", fixed=True)), "Side", Slide(name="rail", between=("bay", "wall"), at=(0, 0), along=0)
    )
    assert said(replace(both, drives=(drive("pin"),))) == "1 drive, 1 freedom: well driven. Without effect: rail."


def test_of_very_many_undriven_joints_the_last_are_counted(arm):
    project = arm
    for number in range(MOST_LINKS + 3):
        project = add_body(project, "Side", body(f"leaf {number}"))
        project = add_joint(project, "Side", Pivot(name=f"hinge {number}", between=("bay", f"leaf {number}"), at=(0, 0)))
    parts = parts_of(project)
    assert sum(part.joint is not None for part in parts) == MOST_LINKS - 1
    assert "".join(part.text for part in parts).endswith("and 5 more.")


def test_mobility_rests_on_joints_and_what_drives_move_alone():
    project = read_project(Path("sample_projects/barrier_arm.bay.json"))
    key = moves_by(project)
    for same in (
        set_required(project, gap=3.0),
        set_depth(project, "Side", ("motor",), (0, 9)),
        change_drive(project, "swing", lambda old: replace(old, start=-20.0, speed=7.0)),
    ):
        assert same != project
        assert moves_by(same) == key
    for other in (
        release_joint(project, "swing", "Side", "hub pin"),
        delete_drives(project, ("swing",)).project,
        change_joint(project, "Side", "hub pin", lambda old: replace(old, at=(1.0, 0.0))).project,
    ):
        assert moves_by(other) != key
