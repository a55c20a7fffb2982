"""What has come for what, where the bodies and joints of a section are still the same ones."""

import pytest
from msgspec.structs import replace

from app.board.swapped import swapped
from app.command_line import sample_files
from core.drawing.slabs import section_slabs
from core.model.edit_bodies import delete_bodies, reorder_body, set_depth, set_fixed, show_bodies
from core.model.edit_placing import duplicate_bodies, place_bodies
from core.model.edit_shapes import add_shape
from core.model.joints import Bolted
from core.model.placing import moving
from core.model.shapes import Disc
from core.project_file.read import read_project

PROJECT = read_project(sample_files()["barrier_arm"])
SECTION = PROJECT.sections[0]


def moved(project):
    return place_bodies(project, SECTION.name, ("motor",), moving(shift=(1.0, 0.5)))


def test_a_body_that_is_moved_stands_for_itself_with_the_joints_it_takes_along():
    after = moved(PROJECT).sections[0]
    swap = swapped(SECTION, after)
    assert [body.name for body in swap.bodies] == ["motor"]
    assert swap.bodies[0] is next(body for body in after.bodies if body.name == "motor")
    pairs = zip(SECTION.joints, after.joints, strict=True)
    assert swap.joints == tuple(new for old, new in pairs if old is not new)
    assert swap.joints


def test_the_slabs_that_come_stand_where_those_stood_that_go():
    before, after = section_slabs(SECTION), section_slabs(moved(PROJECT).sections[0])
    assert [(slab.body, slab.depth) for slab in before] == [(slab.body, slab.depth) for slab in after]


def test_a_state_that_is_the_same_swaps_nothing():
    swap = swapped(SECTION, replace(SECTION))
    assert (swap.bodies, swap.joints) == ((), ())


@pytest.mark.parametrize(
    "edit",
    [
        lambda project: set_depth(project, SECTION.name, ("motor",), (-3.0, 61.0)),
        lambda project: set_fixed(project, SECTION.name, ("motor",), fixed=True),
        lambda project: show_bodies(project, SECTION.name, ("motor",), hidden=True),
        lambda project: reorder_body(project, SECTION.name, "motor", to=0),
        lambda project: duplicate_bodies(project, SECTION.name, ("motor",)).project,
        lambda project: delete_bodies(project, SECTION.name, ("motor",)).project,
        lambda project: moved(set_fixed(project, SECTION.name, ("motor",), fixed=True)),
    ],
    ids=["deeper", "fixed", "hidden", "reordered", "duplicated", "deleted", "fixed and moved"],
)
def test_what_changes_more_than_outlines_of_moving_bodies_is_no_swap(edit):
    assert swapped(SECTION, edit(PROJECT).sections[0]) is None


def test_a_joint_that_joins_otherwise_is_no_swap():
    (joint, *_) = (one for one in SECTION.joints if isinstance(one, Bolted))
    turned = replace(joint, between=joint.between[::-1])
    joints = tuple(turned if one is joint else one for one in SECTION.joints)
    assert swapped(SECTION, replace(SECTION, joints=joints)) is None


def test_of_two_bodies_or_joints_of_one_name_none_can_be_told_which_has_come():
    double = replace(SECTION, bodies=(*SECTION.bodies, SECTION.bodies[-1]))
    assert (
        swapped(double, replace(double, bodies=moved(replace(PROJECT, sections=(SECTION,))).sections[0].bodies + double.bodies[-1:]))
        is None
    )
    twice = replace(SECTION, joints=(*SECTION.joints, SECTION.joints[-1]))
    assert swapped(twice, replace(twice)) is None


def test_a_body_of_other_shapes_in_the_same_depths_stands_for_itself():
    project = add_shape(PROJECT, SECTION.name, "motor", Disc(centre=(0.0, 0.0), radius=2.0))
    swap = swapped(SECTION, project.sections[0])
    assert [body.name for body in swap.bodies] == ["motor"]
    assert len(swap.bodies[0].shapes) == 1 + len(next(body for body in SECTION.bodies if body.name == "motor").shapes)
    deeper = add_shape(PROJECT, SECTION.name, "motor", Disc(centre=(0.0, 0.0), radius=2.0, depth=(90.0, 91.0)))
    assert swapped(SECTION, deeper.sections[0]) is None
