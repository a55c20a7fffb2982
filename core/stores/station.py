"""A motor station, set down in one go: motor, horn, pivot and drive, to be put on the bay or on a body that it rides on.

Two builds are common. Where the *motor turns*, its horn is screwed to what carries it and the motor swings about its own
shaft, case, ears, lead and all: one body. Where the *horn turns*, the motor stands still on what carries it.
"""

from typing import Literal

from core.model.edit_project import new_project
from core.model.fragment import Fragment
from core.model.joints import Bolted, Joint, Pivot
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Body, Drive, Move, Section
from core.model.rounding import rounded
from core.stores.horns import MICRO_HORN, STANDARD_HORN, HornForm, HornSize, horn_shapes
from core.stores.marked import typical
from core.stores.motors import MOTORS, MotorClass, MotorSize, band_of, motor_shapes

Turns = Literal["motor", "horn"]

CARRIER = BodyName("carrier")
"""Stands in a station for the body that it is put on."""

SECTION = SectionName("Stores")
"""The section of every fragment from the stores."""

TRAVEL, STOPS = (-45.0, 45.0), (-95.0, 95.0)
"""Degrees: common practice, no source. Units differ widely; travel is always the user's own number."""

SPEED = 400.0
"""Degrees a second under load: common practice, no source."""


def motor_station(
    kind: MotorClass = "micro",
    *,
    size: MotorSize | None = None,
    horn: HornSize | None = None,
    form: HornForm = "arm",
    turns: Turns = "motor",
    on_fixed: bool = True,
    lead: bool = True,
    plug: bool = True,
    name: str = "motor",
    travel: tuple[float, float] = TRAVEL,
) -> Fragment:
    """A fragment with the station about the origin, to be pasted `onto` what carries it (named `CARRIER` in it).

    `turns` "motor": one body on a pivot of the carrier. "horn": motor and horn are two bodies, the motor a part of the bay
    where the carrier is (`on_fixed`), bolted to it otherwise. `travel` degrees, with home and the drawn pose in the middle
    where 0 is not in it.
    """
    size = size or MOTORS[kind]
    horn = horn or (STANDARD_HORN if kind == "standard" else MICRO_HORN)
    motor = motor_shapes(size, lead=lead, plug=plug)
    arm = horn_shapes(horn, form, low=size.top)
    pin = JointName(f"{name} shaft")
    if turns == "motor":
        bodies: tuple[Body, ...] = (typical(name, (*motor, *arm), band_of((*motor, *arm))),)
        joints: tuple[Joint, ...] = (Pivot(name=pin, between=(CARRIER, BodyName(name)), at=(0.0, 0.0)),)
    else:
        still, turning = typical(name, motor, band_of(motor), fixed=on_fixed), typical(f"{name} horn", arm, band_of(arm))
        bodies = (still, turning)
        joints = (Pivot(name=pin, between=(still.name, turning.name), at=(0.0, 0.0)),)
        if not on_fixed:
            joints += (Bolted(name=JointName(f"{name} screws"), between=(CARRIER, still.name)),)
    return fragment_from(bodies, joints, (_drive(name, pin, travel),))


def fragment_from(bodies: tuple[Body, ...], joints: tuple[Joint, ...] = (), drives: tuple[Drive, ...] = ()) -> Fragment:
    """A fragment of these records."""
    section = Section(name=SECTION, bodies=bodies, joints=joints)
    start = new_project("Stores")
    return rounded(type(start)(format=start.format, name=start.name, required_gap=start.required_gap, sections=(section,), drives=drives))


def _drive(name: str, pin: JointName, travel: tuple[float, float]) -> Drive:
    low, high = travel
    home = 0.0 if low <= 0.0 <= high else (low + high) / 2
    return Drive(
        name=DriveName(f"{name} drive"),
        unit="deg",
        start=low,
        end=high,
        home=home,
        speed=SPEED,
        stops=(min(low, STOPS[0]), max(high, STOPS[1])),
        moves=(Move(section=SECTION, joint=pin),),
        notes="Typical travel, stops and speed. Measure your own.",
    )
