"""A drive as sentences with numbers: travel, home, speed, every joint it moves, stops and pulses; and what a change of each does. Pure."""

from collections import Counter
from collections.abc import Callable

from msgspec.structs import replace

from app.panels.adjustable import SHIFT_STEP, TURN_STEP, Adjustable, Change, Translator, of_drive
from app.panels.number_sentence import Number
from core.model.edit_drives import change_drive, move_joint
from core.model.joints import Joint, Pivot, Slide
from core.model.names import JointName, SectionName
from core.model.project import Drive, Move, Project, Unit

RATIO_STEP, SPEED_STEP, PULSE_STEP = 0.1, 10.0, 10.0
"""What a notch of the wheel changes: of a ratio, of a speed, microseconds of a pulse."""

FIRST_PULSES = (1000.0, 2000.0)
"""Microseconds at both ends of travel when pulses are first told: common practice for model servos, no source; to be measured."""

JointKey = tuple[SectionName, JointName]


def of_whole_drive(drive: Drive, project: Project, tr: Translator) -> Adjustable:
    """Everything a drive has, in one paragraph."""
    own = of_drive(drive, tr)
    units = {key: joint_unit(joint) for key, joint in drivable(project).items()}
    texts, numbers, changes = [own.text], [*own.numbers], [*own.changes]
    for text, more, edits in (
        _speed(drive, tr),
        *(_move(drive, place, move, units, project, tr) for place, move in enumerate(drive.moves)),
        _drawn(drive, tr),
        _stops(drive, tr),
        _pulse(drive, tr),
    ):
        if text:
            texts.append(text)
            numbers += more
            changes += edits
    if not drive.moves:
        texts.append(tr("It moves nothing yet."))
    about = (drive.name, drive.unit, tuple((move.section, move.joint) for move in drive.moves))
    return Adjustable(" ".join(texts), tuple(numbers), tuple(changes), about)


def drivable(project: Project) -> dict[JointKey, Joint]:
    """The joints that a drive can move, in the file's order."""
    return {
        (section.name, joint.name): joint for section in project.sections for joint in section.joints if isinstance(joint, Pivot | Slide)
    }


def joint_unit(joint: Joint) -> Unit:
    """What a joint's own value is counted in."""
    return "deg" if isinstance(joint, Pivot) else "mm"


def movable_by(drive: Drive, project: Project, tr: Translator) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Under each section the joints that a drive does not move yet, keyed by their place among those of `drivable`.

    Of one that another drive moves it is told that this takes it over.
    """
    moved = {(move.section, move.joint): other.name for other in project.drives for move in other.moves}
    under: dict[str, list[tuple[str, str]]] = {}
    for number, ((section, name), joint) in enumerate(drivable(project).items()):
        by = moved.get((section, name))
        if by == drive.name:
            continue
        told = tr("{joint}: {second} on {first}").format(joint=name, first=joint.between[0], second=joint.between[1])
        if by is not None:
            told = tr("{told}; taken over from {drive}").format(told=told, drive=by)
        under.setdefault(section, []).append((str(number), told))
    return tuple((section, tuple(entries)) for section, entries in under.items())


def with_stops(drive: Drive) -> Drive:
    """The drive with stops of its unit where its travel ends."""
    return replace(drive, stops=(drive.start, drive.end))


def with_pulses(drive: Drive) -> Drive:
    """The drive with pulses at both ends of its travel."""
    return replace(drive, pulse=((drive.start, FIRST_PULSES[0]), (drive.end, FIRST_PULSES[1])))


def joint_name(move: Move, project: Project, tr: Translator) -> str:
    """A joint by its name, with its section where the project has several."""
    if len(project.sections) < 2:
        return move.joint
    return tr("{joint} of {section}").format(joint=move.joint, section=move.section)


def moved_joints(drive: Drive, here: SectionName, tr: Translator) -> str:
    """The joints that a drive moves: by name those of the section `here`; those of others are counted, but for an only one."""
    if len(drive.moves) == 1 and drive.moves[0].section != here:
        return tr("{joint} of {section}").format(joint=drive.moves[0].joint, section=drive.moves[0].section)
    told: list[str] = [move.joint for move in drive.moves if move.section == here]
    for section, number in Counter(move.section for move in drive.moves if move.section != here).items():
        text = tr("1 joint of {section}") if number == 1 else tr("{number} joints of {section}")
        told.append(text.format(number=number, section=section))
    return ", ".join(told)


_Told = tuple[str, list[Number], list[tuple[str, Change]]]
_NOTHING: _Told = ("", [], [])


def _speed(drive: Drive, tr: Translator) -> _Told:
    step = tr("Speed of {drive}").format(drive=drive.name)
    change = Change(step, _put(drive, lambda old, value: replace(old, speed=value)))
    return tr("It runs {speed} a second."), [Number("speed", drive.speed, step, drive.unit, SPEED_STEP)], [("speed", change)]


def _move(drive: Drive, place: int, move: Move, units: dict[JointKey, Unit], project: Project, tr: Translator) -> _Told:
    step, key = tr("Ratio of {drive}").format(drive=drive.name), f"ratio{place}"
    told = tr("Each degree of it moves {joint} by {ratio}.") if drive.unit == "deg" else tr("Each mm of it moves {joint} by {ratio}.")
    text = told.replace("{joint}", _no_braces(joint_name(move, project, tr))).replace("{ratio}", f"{{{key}}}")
    number = Number(key, move.ratio, f"{step}, {move.joint}", units.get((move.section, move.joint), drive.unit), RATIO_STEP)
    change = Change(step, lambda value, old: move_joint(old, drive.name, move.section, move.joint, ratio=value))
    return text, [number], [(key, change)]


def _drawn(drive: Drive, tr: Translator) -> _Told:
    if drive.drawn is None:
        return _NOTHING
    step = tr("Drawn value of {drive}").format(drive=drive.name)
    number = Number("drawn", drive.drawn, step, drive.unit, _notch(drive))
    return (
        tr("It is drawn at {drawn}."),
        [number],
        [("drawn", Change(step, _put(drive, lambda old, value: replace(old, drawn=value))))],
    )


def _stops(drive: Drive, tr: Translator) -> _Told:
    if drive.stops is None:
        return _NOTHING
    step = tr("Stops of {drive}").format(drive=drive.name)
    low, high = drive.stops
    numbers = [
        Number("stop_low", low, tr("{drive}: lower stop").format(drive=drive.name), drive.unit, _notch(drive)),
        Number("stop_high", high, tr("{drive}: upper stop").format(drive=drive.name), drive.unit, _notch(drive)),
    ]
    changes = [
        ("stop_low", Change(step, _put(drive, lambda old, value: replace(old, stops=(value, (old.stops or (low, high))[1]))))),
        ("stop_high", Change(step, _put(drive, lambda old, value: replace(old, stops=((old.stops or (low, high))[0], value))))),
    ]
    return tr("The unit itself can be driven from {stop_low} to {stop_high}."), numbers, changes


def _pulse(drive: Drive, tr: Translator) -> _Told:
    if drive.pulse is None:
        return _NOTHING
    step = tr("Pulses of {drive}").format(drive=drive.name)
    numbers: list[Number] = []
    changes: list[tuple[str, Change]] = []
    for point, (value, width) in enumerate(drive.pulse):
        named = (tr("first"), tr("second"))[point]
        told = tr("{drive}: {which} point of its pulses").format(drive=drive.name, which=named)
        numbers += [
            Number(f"at{point}", value, told, drive.unit, _notch(drive)),
            Number(f"pulse{point}", width, tr("{drive}: {which} pulse").format(drive=drive.name, which=named), "us", PULSE_STEP),
        ]
        changes += [(f"{key}{point}", Change(step, _put_pulse(drive, point, part))) for part, key in enumerate(("at", "pulse"))]
    return tr("Its pulse is {pulse0} at {at0} and {pulse1} at {at1}."), numbers, changes


def _put(drive: Drive, change: Callable[[Drive, float], Drive]) -> Callable[[float, Project], Project]:
    return lambda value, project: change_drive(project, drive.name, lambda old: change(old, value))


def _put_pulse(drive: Drive, point: int, part: int) -> Callable[[float, Project], Project]:
    def put(old: Drive, value: float) -> Drive:
        if old.pulse is None:
            return old
        changed = [list(each) for each in old.pulse]
        changed[point][part] = value
        (low, first), (high, second) = changed
        return replace(old, pulse=((low, first), (high, second)))

    return _put(drive, put)


def _notch(drive: Drive) -> float:
    return TURN_STEP if drive.unit == "deg" else SHIFT_STEP


def _no_braces(text: str) -> str:
    return text.replace("{", "").replace("}", "")
