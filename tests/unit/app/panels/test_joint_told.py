"""A joint in hand, in sentences: what it holds, what drives it, what moves with it."""

import pytest

from app.command_line import sample_files
from app.panels.joint_told import joint_kind, joint_sentences, moved_by
from core.model.edit_drives import delete_drives
from core.model.joints import Bolted
from core.model.lookup import joint_of
from core.motion.linkage import linkage_of
from core.motion.mobility import mobility
from core.project_file.read import read_project

ARM = read_project(sample_files()["barrier_arm"])


def told(project, name, *, known=True):
    (section,) = project.sections
    linkage = linkage_of(project)
    undriven = {joint for each in mobility(project, linkage) for left in each.undriven for joint in left.joints}
    return joint_sentences(project, section, joint_of(section, name), linkage if known else None, str, undriven=undriven)


def test_a_driven_joint_names_its_drive_and_all_that_moves():
    first, second = told(ARM, "hub pin")
    assert first == "<b>motor</b> turns on <b>housing</b> about <b>(0, 0)</b>."
    assert second == "Driven by <b>swing</b>; <b>motor</b>, <b>rod</b> and <b>sled</b> move."


def test_a_joint_that_carries_one_body_says_that_it_moves():
    lantern = read_project(sample_files()["signal_lantern"])
    assert told(lantern, "blue shaft")[1] == "Driven by <b>blue</b>; <b>blue flap</b> moves."


def test_a_joint_of_a_driven_loop_names_the_drive_that_it_follows():
    assert told(ARM, "rail")[1] == "It follows <b>swing</b>."
    assert told(ARM, "yoke slot")[1] == "It follows <b>swing</b>."


@pytest.mark.parametrize("name", ["hub pin", "rail", "yoke slot"])
def test_with_no_drive_every_joint_of_the_loop_says_so_though_the_sled_stands_at_its_dead_centre(name):
    without = delete_drives(ARM, ("swing",)).project
    assert told(without, name)[1] == "Nothing drives it yet; driven, it moves <b>motor</b>, <b>rod</b> and <b>sled</b>."


def test_bolted_bodies_and_a_project_with_faults_are_told_by_what_they_hold_alone():
    assert told(ARM, "horn") == ("<b>rod</b> and <b>motor</b> move as one.",)
    assert len(told(ARM, "hub pin", known=False)) == 1


def test_what_moves_with_a_joint_is_beyond_it_and_round_its_loops():
    (section,) = ARM.sections
    own = linkage_of(ARM).section(section.name)
    assert moved_by(own, joint_of(section, "rail")) == ("motor", "rod", "sled")


def test_on_an_open_chain_only_what_a_joint_carries_moves():
    lamp = read_project(sample_files()["petal_lamp"])
    section = lamp.sections[0]
    own = linkage_of(lamp).section(section.name)
    for joint in section.joints:
        moved = moved_by(own, joint)
        fixed = {body.name for body in section.bodies if body.fixed}
        assert fixed.isdisjoint(moved)
        if not isinstance(joint, Bolted):
            assert joint.between[1] in moved
            assert joint.between[0] not in moved


def test_names_are_data_and_cannot_be_markup():
    from core.model.edit import rename_body

    odd = rename_body(ARM, "Side", "motor", "<i>m")
    assert "<b>&lt;i&gt;m</b>" in told(odd, "hub pin")[0]


def test_every_kind_has_its_word():
    (section,) = ARM.sections
    assert [joint_kind(joint, str) for joint in section.joints] == ["pivot", "bolted", "slide", "pin in slot"]
