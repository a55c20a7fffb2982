"""The words for what is wrong with a project: code -> fault and remedy. The one home of these words.

A fault continues a sentence whose subject is the place; a remedy is a sentence of its own, without its full stop.
Both are templates over the finding's `data`; lengths mm, angles degrees.
"""

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from core.model.finding import Finding, Place


class Fault(NamedTuple):
    """Templates (`str.format`) for what is wrong and for what to do."""

    fault: str
    remedy: str


FAULTS: Mapping[str, Fault] = MappingProxyType(
    {
        "number-not-finite": Fault("is {value}", "Write a number that is finite"),
        "number-negative": Fault("is {value:g}, below zero", "Write zero or more"),
        "name-unfit": Fault("gives a {what} the name {name!r}, which {fault}", "Choose another name"),
        "name-repeated": Fault("is another {what} called {name}; the first is `{first}`", "Rename one of them"),
        "name-unknown": Fault("names the {what} {name}, which there is not", "Correct the name, or draw that {what}"),
        "name-misspelt": Fault("names the {what} {name}, which there is not", "Write {nearest}, if that is meant"),
        "body-without-shapes": Fault("has no shapes", "Draw one, or delete the body"),
        "depth-empty": Fault(
            "has a depth band from {low:g} to {high:g} mm, which is empty", "Write the lower end first, the higher second"
        ),
        "radius-not-positive": Fault("has radius {radius:g} mm", "Write a radius above zero"),
        "size-not-positive": Fault("measures {width:g} x {height:g} mm", "Write two lengths above zero"),
        "wall-not-positive": Fault("has a wall of {wall:g} mm", "Write a wall above zero"),
        "bar-without-length": Fault("begins and ends at one point", "Use a disc, or move one of its ends"),
        "corner-radius-too-large": Fault(
            "has corners of radius {corner_radius:g} mm, more than its edges leave room for", "Write at most {largest:g} mm"
        ),
        "outline-too-few-points": Fault("has {count} points", "Give it three or more, or delete it"),
        "outline-without-area": Fault("encloses no area", "Move its points apart, or delete it"),
        "outline-crosses-itself": Fault("crosses itself near ({x:.1f}, {y:.1f})", "Uncross those two edges"),
        "hole-outside": Fault("lies outside the outline it is a hole of", "Move it inside, or delete it"),
        "hole-meets-outline": Fault("meets the outline it is a hole of near ({x:.1f}, {y:.1f})", "Leave material between the two"),
        "holes-meet": Fault("meets hole {other} near ({x:.1f}, {y:.1f})", "Leave material between the two, or join them into one hole"),
        "hole-in-hole": Fault("lies in hole {other}, or the other way round", "Delete the inner one"),
        "joint-with-itself": Fault("joins {body} to itself", "Name two bodies"),
        "joint-across-sections": Fault("names the body {body}, which is in section {other}", "Name two bodies of one section"),
        "pin-off-bodies": Fault(
            "has its pin at ({x:.1f}, {y:.1f}), outside {first} and {second}, {distance:.2f} mm from the nearer",
            "Move the pin, or the bodies",
        ),
        "reach-empty": Fault("has a slot that reaches from {low:g} to {high:g} mm", "Write the lower end first, the higher second"),
        "reach-excludes-pin": Fault(
            "has a slot that reaches from {low:g} to {high:g} mm, so that the pin as drawn (0) is not in it",
            "Write ends on either side of 0",
        ),
        "travel-empty": Fault(
            "has travel from {start:g} to {end:g} {unit}, which is empty", "Write the lower end first, the higher second"
        ),
        "home-outside-travel": Fault(
            "has its home at {home:g} {unit}, outside its travel from {start:g} to {end:g}", "Move home, or widen the travel"
        ),
        "drawn-outside-travel": Fault(
            "is drawn at {drawn:g} {unit}, outside its travel from {start:g} to {end:g}", "Correct `drawn`, or widen the travel"
        ),
        "stops-inside-travel": Fault(
            "has stops at {low:g} and {high:g} {unit}, which do not enclose its travel from {start:g} to {end:g}",
            "Move the stops out, or shorten the travel",
        ),
        "pulse-flat": Fault("gives two pulses with the same {of}, {number:g}", "Write two pulses that differ in both numbers"),
        "speed-not-positive": Fault("has speed {speed:g} {unit} a second", "Write a speed above zero"),
        "drive-moves-nothing": Fault("moves no joint", "Name the joints it moves, or delete the drive"),
        "drive-on-still-joint": Fault("moves {joint}, a joint of kind {kind}", "Name a pivot or a slide"),
        "ratio-zero": Fault("moves {joint} by ratio 0, that is not at all", "Write another ratio, or take the joint out"),
        "joint-moved-twice": Fault("moves {joint} twice", "Take one of the two out"),
        "joint-of-two-drives": Fault("moves {joint}, which {other} moves too", "Leave the joint to one of the two drives"),
        "unit-unlike-joint": Fault(
            "moves {joint}, a {kind}, by ratio 1, so that 1 {unit} of the drive is 1 {joint_unit} of the joint",
            "Check the ratio, or the unit",
        ),
        "rule-with-itself": Fault("is about {body} and itself", "Name two bodies"),
        "rule-empty": Fault("asks for nothing", "Give it a required gap, or a reason why the pair is not checked"),
        "rule-with-both": Fault("asks for a gap and says that the pair is not checked", "Keep one of the two"),
        "reason-empty": Fault("takes a pair out of the check without a reason", "Write the reason"),
        "rule-repeated": Fault("is another rule for {first} and {second}; the other is `{other}`", "Delete one of them"),
        "rules-equal": Fault(
            "and `{other}` both cover {first} and {second}, with equal right", "Add a rule for these two bodies, or change one of the rules"
        ),
        "together-one-drive": Fault("names {drive} twice", "Name two drives"),
        "span-empty": Fault("is from {start:g} to {end:g}, which is empty", "Write the lower end first, the higher second"),
        "span-outside-travel": Fault(
            "is from {start:g} to {end:g} {unit}, outside the travel of {drive} from {low:g} to {high:g}", "Keep within the travel"
        ),
    }
)


def _as_it_is(text: str) -> str:
    return text


def fault_of(finding: Finding, *, translate: Callable[[str], str] = _as_it_is) -> Fault:
    """The two templates of a finding's code with its data filled in. A code that is not in the table is a KeyError."""
    fault, remedy = FAULTS[finding.code]
    return Fault(translate(fault).format_map(finding.data), translate(remedy).format_map(finding.data))


def place_text(place: Place) -> str:
    """The place as a subject: "`sections[0].bodies[4].shapes[0]`, of petal 2,"; empty where the place is."""
    names = {"bodies": place.body, "joints": place.joint, "drives": place.drive, "sections": place.section}
    holder, name = next(((key, name) for key, name in names.items() if name), ("", ""))
    path = f"`{place.path}`" if place.path else ""
    if not name or not path:
        return path or name
    return f"{path}, {name}," if re.search(rf"{holder}\[\d+\]$", place.path) else f"{path}, of {name},"


def fault_text(finding: Finding, *, translate: Callable[[str], str] = _as_it_is) -> str:
    """Place, fault and remedy: "`sections[0].bodies[4]`, petal 2, has no shapes. Draw one, or delete the body"."""
    fault, remedy = fault_of(finding, translate=translate)
    return f"{place_text(finding.place) or 'it'} {fault}. {remedy}"
