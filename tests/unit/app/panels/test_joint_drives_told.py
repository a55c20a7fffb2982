"""What a drive moves, in the few words of a line to press."""

from app.panels.joint_drive_sentences import moved_joints
from core.model.project import Drive, Move


def moving(*joints):
    moves = tuple(Move(section=section, joint=joint) for section, joint in joints)
    return Drive(name="gaze", unit="deg", start=-1, end=1, home=0, speed=1, moves=moves)


def test_joints_of_the_section_shown_go_by_their_names():
    assert moved_joints(moving(("Front", "left slide"), ("Front", "right slide")), "Front", str) == "left slide, right slide"


def test_joints_of_other_sections_are_counted_but_for_an_only_one():
    gaze = moving(("Front", "left slide"), ("Front", "right slide"), ("Top", "horn shaft"))
    assert moved_joints(gaze, "Front", str) == "left slide, right slide, 1 joint of Top"
    assert moved_joints(gaze, "Top", str) == "horn shaft, 2 joints of Front"
    assert moved_joints(moving(("Plan", "crank shaft")), "Side", str) == "crank shaft of Plan"
