"""Joints as sentences with numbers, what a change of each does, and how one kind of joint becomes another. Pure."""

from collections.abc import Callable

from msgspec.structs import replace

from app.panels.adjustable import Adjustable, Change, Translator
from app.panels.number_sentence import Number
from core.clearance.knuckles import usual_relief
from core.model.edit_joints import change_joint
from core.model.finding import Place
from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.lookup import joint_of, section_of
from core.model.names import BodyName, JointName, SectionName
from core.model.project import Project, Section, Unit
from core.model.shapes import Point
from core.model.validate_shapes import judge_body
from core.tolerances import DEFAULT_TOLERANCES

PAIR = 2
LENGTH_STEP, TURN_STEP, PLAY_STEP = 0.5, 1.0, 0.05
"""What a notch of the wheel changes: mm, degrees, mm of play."""

FIRST_REACH = (-10.0, 10.0)
"""mm along a slot, to be given its true ends at once."""


def new_joint(kind: str, between: tuple[BodyName, BodyName], at: Point) -> Joint:
    """A joint of a kind between a reference and what it moves, at a place, mm. KeyError for an unknown kind."""
    made: dict[str, Callable[[], Joint]] = {
        "pivot": lambda: Pivot(name=JointName("pin"), between=between, at=at),
        "slide": lambda: Slide(name=JointName("slide"), between=between, at=at, along=0.0),
        "pin in slot": lambda: PinSlot(name=JointName("slot"), between=between, at=at, along=0.0),
        "bolt": lambda: Bolted(name=JointName("bolt"), between=between),
    }
    return made[kind]()


def kind_of(joint: Joint) -> str:
    """The word that makes a joint like this."""
    return {Pivot: "pivot", Slide: "slide", PinSlot: "pin in slot", Bolted: "bolt"}[type(joint)]


def as_kind(joint: Joint, kind: str, at: Point) -> Joint:
    """A joint of another kind between the same bodies, with what both kinds have; `at`: where a pin comes that it had not."""
    made = new_joint(kind, joint.between, at if isinstance(joint, Bolted) else joint.at)
    made = replace(made, name=joint.name, notes=joint.notes)
    if isinstance(joint, Bolted) or isinstance(made, Bolted):
        return made
    made = replace(made, relief=joint.relief, play=joint.play)
    if isinstance(joint, Slide | PinSlot) and isinstance(made, Slide | PinSlot):
        made = replace(made, along=joint.along)
    return made


def of_joint(section: SectionName, joint: Joint, tr: Translator) -> Adjustable:
    """Kind, place, direction, reach, play and relief of a joint; its bodies stand in the text."""
    first, second = (name.replace("{", "").replace("}", "") for name in joint.between)
    about = (section, joint.name, type(joint))
    if isinstance(joint, Bolted):
        return Adjustable(tr("{first} and {second} are bolted together.").format(first=first, second=second), about=about)
    text, keys = _joint_text(joint, tr)
    text = text.replace("{first}", first).replace("{second}", second)
    step = tr("Joint {joint}").format(joint=joint.name)
    numbers, changes = [], []
    for key in keys:
        unit: Unit = "deg" if key == "along" else "mm"
        notch = TURN_STEP if key == "along" else PLAY_STEP if key == "play" else LENGTH_STEP
        numbers.append(Number(key, _value(joint, key), f"{joint.name}: {_told(key, tr)}", unit, notch))
        changes.append((key, Change(step, _edit(section, joint.name, key))))
    return Adjustable(text, tuple(numbers), tuple(changes), about)


def relief_of(section: Section, joint: Joint) -> float | None:
    """The relief that a joint has without one of its own, mm; None where nothing about its pin is left out.

    None, too, where one of its bodies is not there or has a fault: nothing is left out of what is not swept.
    """
    there = {body.name: body for body in section.bodies}
    bodies = [there[name] for name in joint.between if name in there]
    if len(bodies) != PAIR or any(any(judge_body(body, Place(), DEFAULT_TOLERANCES)) for body in bodies):
        return None
    first, second = bodies
    return usual_relief(joint, (first, second), tolerances=DEFAULT_TOLERANCES)


def _joint_text(joint: Pivot | Slide | PinSlot, tr: Translator) -> tuple[str, tuple[str, ...]]:
    """The sentence, and the keys of its numbers."""
    text, keys = tr("{second} turns on {first} at ({x}, {y}), with {play} of play."), ["x", "y", "play"]
    if isinstance(joint, Slide):
        text, keys = tr("{second} slides on {first} along {along}, at ({x}, {y}), with {play} of play."), ["along", "x", "y", "play"]
    elif isinstance(joint, PinSlot):
        text = tr("A pin of {first} at ({x}, {y}) runs in a slot of {second} along {along}, with {play} of play.")
        keys = ["x", "y", "along", "play"]
        if joint.reach is not None:
            text, keys = f"{text} {tr('It reaches from {low} to {high}.')}", [*keys, "low", "high"]
    if joint.relief is not None:
        text, keys = f"{text} {tr('Nothing is checked within {relief} of it.')}", [*keys, "relief"]
    return text, tuple(keys)


_PLACES = {"x": ("at", 0), "y": ("at", 1), "low": ("reach", 0), "high": ("reach", 1)}


def _told(key: str, tr: Translator) -> str:
    told = {"low": tr("the slot from here"), "high": tr("the slot to here"), "along": tr("direction")}
    return told.get(key, tr(key))


def _value(joint: Joint, key: str) -> float:
    name, at = _PLACES.get(key, (key, None))
    found = getattr(joint, name)
    return float(found if at is None else found[at])


def _edit(section: SectionName, name: JointName, key: str) -> Callable[[float, Project], Project]:
    field, at = _PLACES.get(key, (key, None))

    def put(value: float, project: Project) -> Project:
        old = joint_of(section_of(project, section), name)
        pair = getattr(old, field)
        new: object = value if at is None else ((value, pair[1]) if at == 0 else (pair[0], value))
        return change_joint(project, section, name, lambda joint: replace(joint, **{field: new})).project

    return put
