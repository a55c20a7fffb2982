"""What is wrong with the joints: two bodies of a section, a pin that one of them holds, a slot that holds the pin."""

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from functools import lru_cache

from core.model.finding import Finding, Place
from core.model.holding import distance_from_body
from core.model.joints import Bolted, Joint, PinSlot
from core.model.judge import error, inside, negative, not_finite, unfit_name, warning
from core.model.names import BodyName
from core.model.project import Body, Project
from core.model.shapes import Point
from core.tolerances import Tolerances

KEPT_JOINTS = 8192
"""Joints, and pins with their two bodies, of which it is kept what is found of them."""


def is_sound(joint: Joint, bodies: Mapping[BodyName, Body]) -> bool:
    """Whether `judge_joint` has nothing to say, told without a place."""
    return joint.between[0] in bodies and joint.between[1] in bodies and _is_sound_alone(joint)


@lru_cache(maxsize=KEPT_JOINTS)
def _is_sound_alone(joint: Joint) -> bool:
    """Whether nothing is to be said of it but what its bodies may ask for; kept, since of many joints an edit changes a few."""
    return joint.between[0] != joint.between[1] and next(_judge_alone(joint, Place()), None) is None


def judge_joint(joint: Joint, bodies: Mapping[BodyName, Body], project: Project, place: Place) -> Iterator[Finding]:
    """Every error of a joint of a section with these bodies."""
    yield from unfit_name(place, "joint", joint.name)
    for index, name in enumerate(joint.between):
        if name not in bodies:
            yield _unknown_body(name, list(bodies), project, inside(place, f"between[{index}]"))
    if joint.between[0] == joint.between[1]:
        yield error(place, "joint-with-itself", body=joint.between[0])
    yield from _judge_numbers(joint, place)


def _judge_alone(joint: Joint, place: Place) -> Iterator[Finding]:
    yield from unfit_name(place, "joint", joint.name)
    yield from _judge_numbers(joint, place)


def _judge_numbers(joint: Joint, place: Place) -> Iterator[Finding]:
    broken = tuple(not_finite(joint, place))
    yield from broken
    if broken or isinstance(joint, Bolted):
        return
    yield from negative(place, relief=joint.relief, play=joint.play)
    if isinstance(joint, PinSlot) and joint.reach is not None:
        yield from _judge_reach(*joint.reach, inside(place, "reach"))


def judge_pin(joint: Joint, bodies: Mapping[BodyName, Body], place: Place, tolerances: Tolerances) -> Iterator[Finding]:
    """A warning where the pin, as drawn, is held by neither body. Asked only of sections without errors."""
    if isinstance(joint, Bolted):
        return
    first, second = joint.between
    distance = _from_bodies(joint.at, bodies[first], bodies[second])
    if distance > tolerances.on_outline:
        x, y = joint.at
        yield warning(inside(place, "at"), "pin-off-bodies", first=first, second=second, x=x, y=y, distance=distance)


def is_held(joint: Joint, bodies: Mapping[BodyName, Body], tolerances: Tolerances) -> bool:
    """Whether `judge_pin` has nothing to say, told without a place."""
    first, second = joint.between
    return isinstance(joint, Bolted) or _from_bodies(joint.at, bodies[first], bodies[second]) <= tolerances.on_outline


@lru_cache(maxsize=KEPT_JOINTS)
def _from_bodies(pin: Point, first: Body, second: Body) -> float:
    """Distance in mm from a pin to the nearer of two bodies."""
    return min(distance_from_body(first, pin), distance_from_body(second, pin))


def unknown_name(what: str, name: str, known: list[str], place: Place) -> Finding:
    """A reference to nothing, with the known name most like it where there is one."""
    near = get_close_matches(name, known, n=1)
    return (
        error(place, "name-misspelt", what=what, name=name, nearest=near[0]) if near else error(place, "name-unknown", what=what, name=name)
    )


def _unknown_body(name: BodyName, bodies: list[BodyName], project: Project, place: Place) -> Finding:
    home = next((section.name for section in project.sections for body in section.bodies if body.name == name), None)
    if home is not None:
        return error(place, "joint-across-sections", body=name, other=home)
    return unknown_name("body", name, list(bodies), place)


def _judge_reach(low: float, high: float, place: Place) -> Iterator[Finding]:
    if high <= low:
        yield error(place, "reach-empty", low=low, high=high)
    elif not low <= 0 <= high:
        yield error(place, "reach-excludes-pin", low=low, high=high)
