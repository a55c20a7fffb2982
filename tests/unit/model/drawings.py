"""Named drawings that the tests of the model and of its file share."""

from pathlib import Path

from msgspec.structs import replace

from core.model.joints import Pivot, Slide
from core.model.project import Body, Drive, Move, Project, Section
from core.model.shapes import Box, Disc
from core.project_file.read import read_project

FIXTURES = Path(__file__).parents[2] / "fixtures"
BARRIER_ARM = FIXTURES / "barrier_arm.bay.json"
EVERY_KEY = FIXTURES / "version_1_full.bay.json"

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
ELL = ((0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (4.0, 4.0), (4.0, 10.0), (0.0, 10.0))
BOW_TIE = ((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0))
DUMBBELL = (
    (0.0, 0.0),
    (6.0, 0.0),
    (6.0, 2.5),
    (14.0, 2.5),
    (14.0, 0.0),
    (20.0, 0.0),
    (20.0, 6.0),
    (14.0, 6.0),
    (14.0, 3.5),
    (6.0, 3.5),
    (6.0, 6.0),
    (0.0, 6.0),
)
"""Two squares joined by a neck 1 mm wide and 8 mm long."""


LEAF = (Box(centre=(10.0, 0.0), size=(24.0, 4.0)),)


def gate(*, shapes=LEAF, **leaf) -> Project:
    """A lock gate of one leaf on a post; `leaf` changes fields of the leaf's record."""
    post = Body(name="post", fixed=True, depth=(0.0, 10.0), shapes=(Disc(centre=(0.0, 0.0), radius=3.0),))
    moving = replace(Body(name="leaf", fixed=False, depth=(2.0, 8.0), shapes=shapes), **leaf)
    paddle = Body(name="paddle", fixed=False, depth=(8.5, 9.5), shapes=(Box(centre=(12.0, 0.0), size=(4.0, 3.0)),))
    joints = (
        Pivot(name="heel", between=("post", "leaf"), at=(0.0, 0.0)),
        Slide(name="rack", between=("leaf", "paddle"), at=(12.0, 0.0), along=90.0),
    )
    return Project(
        format=1,
        name="Lock gate",
        required_gap=0.5,
        sections=(Section(name="Plan", bodies=(post, moving, paddle), joints=joints),),
        drives=(swing(),),
    )


def swing(**changes) -> Drive:
    """The drive of the gate's leaf."""
    drive = Drive(name="swing", unit="deg", start=0.0, end=70.0, home=0.0, speed=5.0, moves=(Move(section="Plan", joint="heel"),))
    return replace(drive, **changes)


def with_joint(**changes) -> Project:
    """The gate with its heel pin changed."""
    return in_plan(joints=(replace(gate().sections[0].joints[0], **changes), gate().sections[0].joints[1]))


def in_plan(**changes) -> Project:
    """The gate with fields of its section changed."""
    project = gate()
    return replace(project, sections=(replace(project.sections[0], **changes),))


def every_key() -> Project:
    """A valid project in which every key of the format is used."""
    return read_project(EVERY_KEY)
