"""Two mirrored arms on pivots 60 apart, a bay that several tests look at. Lengths mm, angles degrees."""

from core.model.joints import Pivot
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Body, Drive, Move, Project, Section
from core.model.shapes import Bar, Disc

SECTION = SectionName("Plan")
LENGTH, RADIUS, APART = 35.0, 3.0, 60.0


def mirrored_arms() -> Project:
    """The arms stand upright as drawn; they meet when both lean inward by more than about 50 degrees."""
    arms = [(BodyName(name), x) for name, x in (("left", 0.0), ("right", APART))]
    bodies = [Body(name=name, fixed=False, depth=(0, 2), shapes=(Bar(start=(x, 0), end=(x, LENGTH), radius=RADIUS),)) for name, x in arms]
    base = Body(name=BodyName("base"), fixed=True, depth=(-9, -8), shapes=(Disc(centre=(30, -30), radius=5),))
    joints = tuple(Pivot(name=JointName(f"{name} pin"), between=(base.name, name), at=(x, 0)) for name, x in arms)
    drives = tuple(
        Drive(
            name=DriveName(str(name)),
            unit="deg",
            start=0,
            end=70,
            home=0,
            speed=60,
            moves=(Move(section=SECTION, joint=JointName(f"{name} pin"), ratio=ratio),),
        )
        for (name, _), ratio in zip(arms, (-1.0, 1.0), strict=True)
    )
    section = Section(name=SECTION, bodies=(base, *bodies), joints=joints)
    return Project(format=1, name="arms", required_gap=0.5, sections=(section,), drives=drives)
