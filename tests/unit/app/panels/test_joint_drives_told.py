"""What a drive moves, in the few words of a line to press."""

from app.panels.joint_drive_sentences import moved_joints
from core.model.project import Drive, Move


def moving(*joints):
    moves = tuple(Move(section=section, joint=joint) for section, joint in joints)
    return Drive(name="gaze", unit="deg", start=-1, end=1, home=0, speed=1, moves=moves)


def test_joints_of_the_section_shown_go_by_their_names():
    assert moved_joints(moving(("Front", "left slide"), ("Front", "right slide")), "Front", str) == "left slide, right slide"


def test_a_joint_of_another_section_is_told_with_it_and_more_of_them_are_counted():
    gaze = moving(("Front", "left slide"), ("Front", "right slide"), ("Top", "horn shaft"))
    assert moved_joints(gaze, "Front", str) == "left slide, right slide, horn shaft of Top"
    assert moved_joints(gaze, "Top", str) == "horn shaft, 2 joints of Front"
