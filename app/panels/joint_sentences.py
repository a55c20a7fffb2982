"""Joints and drives as sentences with numbers, what a change of each does, and how many ways a section can move. Pure."""

from collections.abc import Callable

from msgspec.structs import replace

from app.panels.adjustable import Adjustable, Change, Translator, of_drive
from app.panels.number_sentence import Number
from core.model.edit_drives import change_drive, move_joint
from core.model.edit_joints import change_joint
from core.model.joints import Bolted, Joint, PinSlot, Pivot, Slide
from core.model.lookup import joint_of, section_of
from core.model.names import BodyName, JointName, SectionName
from core.model.project import Drive, Move, Project
from core.model.shapes import Point
from core.motion.mobility import SectionMobility

LENGTH_STEP, TURN_STEP, PLAY_STEP, RATIO_STEP, SPEED_STEP = 0.5, 1.0, 0.05, 0.1, 10.0
"""What a notch of the wheel changes: mm, degrees, mm of play, of a ratio, of a speed."""


def new_joint(kind: str, between: tuple[BodyName, BodyName], at: Point) -> Joint:
    """A joint of a kind between a reference and what it moves, at a place, mm. KeyError for an unknown kind."""
    made: dict[str, Callable[[], Joint]] = {
        "pivot": lambda: Pivot(name=JointName("pin"), between=between, at=at),
        "slide": lambda: Slide(name=JointName("slide"), between=between, at=at, along=0.0),
        "pin in slot": lambda: PinSlot(name=JointName("slot"), between=between, at=at, along=0.0),
        "bolt": lambda: Bolted(name=JointName("bolt"), between=between),
    }
    return made[kind]()


def of_joint(section: SectionName, joint: Joint, tr: Translator) -> Adjustable:
    """Kind, place, direction, reach and play of a joint; its bodies stand in the text."""
    first, second = (name.replace("{", "").replace("}", "") for name in joint.between)
    name = joint.name.replace("{", "").replace("}", "")
    if isinstance(joint, Bolted):
        return Adjustable(tr("{name}: {first} and {second} are bolted together.").format(name=name, first=first, second=second))
    text, keys = _joint_text(joint, tr)
    text = text.replace("{name}", name).replace("{first}", first).replace("{second}", second)
    step = tr("Joint {joint}").format(joint=joint.name)
    numbers, changes = [], []
    for key in keys:
        unit = "deg" if key == "along" else "mm"
        notch = TURN_STEP if key == "along" else PLAY_STEP if key == "play" else LENGTH_STEP
        numbers.append(Number(key, _value(joint, key), f"{joint.name}: {tr(key)}", "deg" if unit == "deg" else "mm", notch))
        changes.append((key, Change(step, _edit(section, joint.name, key))))
    return Adjustable(text, tuple(numbers), tuple(changes), (section, joint.name, type(joint)))


def _joint_text(joint: Joint, tr: Translator) -> tuple[str, tuple[str, ...]]:
    if isinstance(joint, Pivot):
        return tr("{name}: {second} turns on {first} at ({x}, {y}), with {play} of play."), ("x", "y", "play")
    if isinstance(joint, Slide):
        return tr("{name}: {second} slides on {first} along {along}, at ({x}, {y}), with {play} of play."), ("along", "x", "y", "play")
    text = tr("{name}: a pin of {first} at ({x}, {y}) runs in a slot of {second} along {along}, with {play} of play.")
    keys: tuple[str, ...] = ("x", "y", "along", "play")
    if isinstance(joint, PinSlot) and joint.reach is not None:
        return f"{text} {tr('It reaches from {low} to {high}.')}", (*keys, "low", "high")
    return text, keys


_PLACES = {"x": ("at", 0), "y": ("at", 1), "low": ("reach", 0), "high": ("reach", 1)}


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


def of_whole_drive(drive: Drive, tr: Translator) -> Adjustable:
    """Travel, home and speed of a drive, and its ratio to each joint that it moves."""
    own = of_drive(drive, tr)
    speed = tr("Speed of {drive}").format(drive=drive.name)
    ratio = tr("Ratio of {drive}").format(drive=drive.name)
    unit = drive.unit
    text = f"{own.text} {tr('It runs {speed} a second.')}"
    numbers = [*own.numbers, Number("speed", drive.speed, speed, unit, SPEED_STEP)]
    changes = [*own.changes, ("speed", Change(speed, lambda v, p: change_drive(p, drive.name, lambda old: replace(old, speed=v))))]
    for place, move in enumerate(drive.moves):
        joint = move.joint.replace("{", "").replace("}", "")
        told = (
            tr("Each degree of it moves {joint} by {ratio}.") if unit == "deg" else tr("Each mm of it moves {joint} by {ratio}.")
        ).replace("{joint}", joint)
        text = f"{text} {told.replace('{ratio}', f'{{ratio{place}}}')}"
        numbers.append(Number(f"ratio{place}", move.ratio, f"{ratio}, {move.joint}", unit, RATIO_STEP))
        changes.append((f"ratio{place}", Change(ratio, _ratio(drive, move))))
    return Adjustable(text, tuple(numbers), tuple(changes), (drive.name, tuple(move.joint for move in drive.moves)))


def _ratio(drive: Drive, move: Move) -> Callable[[float, Project], Project]:
    return lambda value, project: move_joint(project, drive.name, move.section, move.joint, ratio=value)


def mobility_sentence(found: SectionMobility, tr: Translator) -> str:
    """How many drives and freedoms a section has, and which joints are undriven."""
    drives = _counted(found.drives, "1 drive", "{number} drives", tr)
    freedoms = _counted(found.real, "1 freedom", "{number} freedoms", tr)
    if found.undriven:
        count = sum(left.freedoms for left in found.undriven)
        joints = ", ".join(joint for left in found.undriven for joint in left.joints)
        told = _counted(count, "1 freedom undriven", "{number} freedoms undriven", tr)
        return tr("{drives}, {told}: {joints}.").format(drives=drives, told=told, joints=joints) if joints else f"{drives}, {told}."
    if found.blocked:
        return tr("{drives}, {freedoms}: blocked as drawn.").format(drives=drives, freedoms=freedoms)
    if not found.real:
        return tr("{drives}, no freedom: nothing moves.").format(drives=drives)
    return tr("{drives}, {freedoms}: {told}.").format(
        drives=drives, freedoms=freedoms, told=tr("well driven") if found.drives == found.real else tr("more drives than freedoms")
    )


def _counted(count: int, one: str, many: str, tr: Translator) -> str:
    return tr(one if count == 1 else many).format(number=count)
