"""Is a project valid? Every finding at once, each with its place; the words for the codes are in `core.model.faults`.

Level error unless marked (w), a warning. Codes with the keys of their data; lengths mm, angles degrees:

anywhere   number-not-finite key value | number-negative key value | name-unfit what name fault
           name-repeated what name first | name-unknown what name | name-misspelt what name nearest
bodies     body-without-shapes | depth-empty low high
shapes     radius-not-positive radius | size-not-positive width height | wall-not-positive wall | bar-without-length
           corner-radius-too-large corner_radius largest
outlines   outline-too-few-points count | outline-without-area | outline-crosses-itself x y
           hole-outside hole | hole-meets-outline hole x y | holes-meet hole other x y | hole-in-hole hole other
joints     joint-with-itself body | joint-across-sections body other | reach-empty low high | reach-excludes-pin low high
           pin-off-bodies (w) first second x y distance
drives     travel-empty start end unit | home-outside-travel home start end unit | drawn-outside-travel drawn start end unit
           stops-inside-travel low high start end unit | speed-not-positive speed unit | pulse-flat of number
           drive-moves-nothing (w) | drive-on-still-joint joint kind | ratio-zero joint | joint-moved-twice section joint
           joint-of-two-drives section joint other | unit-unlike-joint (w) unit joint_unit joint kind
gap rules  rule-with-itself body | rule-empty | rule-with-both | reason-empty | rule-repeated first second other
           rules-equal first second other
together   together-one-drive drive | span-empty start end | span-outside-travel drive unit start end low high

`what` is section, body, joint, drive or project; `first` of name-repeated and `other` of the rules are paths in the file.
"""

from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from math import isfinite, isnan

from core.model.finding import Finding, Place
from core.model.judge import error, inside, negative, repeated_names, unfit_name
from core.model.project import Body, Project, Section
from core.model.validate_drives import judge_drives
from core.model.validate_joints import is_held, is_sound, judge_joint, judge_pin
from core.model.validate_rules import judge_allowed_together, judge_gap_rules
from core.model.validate_shapes import judge_body
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

KEPT_BODIES = 4096
"""Bodies of which it is kept that nothing is to be said."""


def validate(project: Project, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> tuple[Finding, ...]:
    """Every finding of the project, in the order of the file; empty where there is nothing to say.

    A record that holds a NaN or infinity is told for that and judged no further. Sections, drives and bodies may be
    few or none: that is an early drawing, not a fault.
    """
    return tuple(_findings(project, tolerances))


def is_valid(findings: tuple[Finding, ...]) -> bool:
    """Whether a project with these findings can be swept: none of them is an error."""
    return all(finding.level != "error" for finding in findings)


def _findings(project: Project, tolerances: Tolerances) -> Iterator[Finding]:
    yield from unfit_name(Place(), "project", project.name)
    for key, value in (("required_gap", project.required_gap), ("required_depth_gap", project.required_depth_gap)):
        if isfinite(value):
            yield from negative(Place(), **{key: value})
        else:
            told = "not a number" if isnan(value) else "infinite"
            yield error(inside(Place(), key), "number-not-finite", key=key, value=told)
    sections, drives = project.sections, project.drives
    yield from repeated_names([section.name for section in sections], "section", lambda i: _section_place(sections[i], i))
    for index, section in enumerate(project.sections):
        yield from _judge_section(section, project, _section_place(section, index), tolerances)
    yield from repeated_names([d.name for d in drives], "drive", lambda i: Place(drive=drives[i].name, path=f"drives[{i}]"))
    yield from judge_drives(project)
    yield from judge_gap_rules(project)
    yield from judge_allowed_together(project)


@cache
def _soundness(tolerances: Tolerances) -> Callable[[Body], bool]:
    """Tells whether nothing is to be said of a body; kept, since of many bodies an edit changes a few."""
    return lru_cache(maxsize=KEPT_BODIES)(lambda body: next(judge_body(body, Place(), tolerances), None) is None)


def _section_place(section: Section, index: int) -> Place:
    return Place(section=section.name, path=f"sections[{index}]")


def _judge_section(section: Section, project: Project, place: Place, tolerances: Tolerances) -> Iterator[Finding]:
    yield from unfit_name(place, "section", section.name)
    all_bodies, joints = section.bodies, section.joints
    bodies = {body.name: body for body in all_bodies}
    is_sound_body = _soundness(tolerances)

    def at_body(index: int) -> Place:
        return Place(section=section.name, body=all_bodies[index].name, path=f"{place.path}.bodies[{index}]")

    def at_joint(index: int) -> Place:
        return Place(section=section.name, joint=joints[index].name, path=f"{place.path}.joints[{index}]")

    found = [
        *repeated_names([body.name for body in all_bodies], "body", at_body),
        *(
            found
            for index, body in enumerate(all_bodies)
            if not is_sound_body(body)
            for found in judge_body(body, at_body(index), tolerances)
        ),
        *repeated_names([joint.name for joint in joints], "joint", at_joint),
        *(
            found
            for index, joint in enumerate(joints)
            if not is_sound(joint, bodies)
            for found in judge_joint(joint, bodies, project, at_joint(index))
        ),
    ]
    yield from found
    if is_valid(tuple(found)):
        for index, joint in enumerate(joints):
            if not is_held(joint, bodies, tolerances):
                yield from judge_pin(joint, bodies, at_joint(index), tolerances)
