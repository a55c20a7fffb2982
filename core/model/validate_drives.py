"""What is wrong with the drives: travel, home, stops and pulses, and the joints they move.

A drive may move pivots and slides alike, whatever its unit: the ratio converts (a rack moves mm a degree). Only a
ratio of exactly 1 between deg and mm is doubtful, since it is also what stands there when nobody thought of it.
"""

from collections.abc import Iterator, Mapping
from functools import lru_cache

from core.model.finding import Finding, Place
from core.model.joints import Joint, Pivot, Slide
from core.model.judge import error, inside, not_finite, unfit_name, warning
from core.model.names import DriveName, JointName, SectionName
from core.model.project import Drive, Move, Project
from core.model.validate_joints import unknown_name

KEPT_DRIVES = 2048
"""Drives of which it is kept that nothing is to be said."""

JointKey = tuple[SectionName, JointName]


def judge_drives(project: Project) -> Iterator[Finding]:
    """Every finding of the project's drives, one by one and together."""
    joints = {(section.name, joint.name): joint for section in project.sections for joint in section.joints}
    movers: dict[JointKey, DriveName] = {}
    for index, drive in enumerate(project.drives):
        place = Place(drive=drive.name, path=f"drives[{index}]")
        if not _is_sound_alone(drive):
            yield from _judge_alone(drive, place)
        seen: set[JointKey] = set()
        for number, move in enumerate(drive.moves):
            key = (move.section, move.joint)
            if key not in movers and _moves_well(move, drive, joints.get(key)):
                seen.add(key)
                movers[key] = drive.name
                continue
            here = inside(place, f"moves[{number}]")
            yield from _judge_move(move, drive, joints, project, here)
            yield from _judge_mover(move, drive.name, seen, movers, here)


@lru_cache(maxsize=KEPT_DRIVES)
def _is_sound_alone(drive: Drive) -> bool:
    """Whether nothing is to be said of it but what its joints may ask for; kept, since an edit changes few of many drives."""
    return next(_judge_alone(drive, Place()), None) is None


def _judge_alone(drive: Drive, place: Place) -> Iterator[Finding]:
    yield from unfit_name(place, "drive", drive.name)
    broken = tuple(not_finite(drive, place))
    yield from broken or _judge_numbers(drive, place)
    if not drive.moves:
        yield warning(place, "drive-moves-nothing")


def _judge_numbers(drive: Drive, place: Place) -> Iterator[Finding]:
    travel = {"start": drive.start, "end": drive.end, "unit": drive.unit}
    if drive.start >= drive.end:
        yield error(inside(place, "from"), "travel-empty", **travel)
    else:
        if not drive.start <= drive.home <= drive.end:
            yield error(inside(place, "home"), "home-outside-travel", home=drive.home, **travel)
        if drive.drawn is not None and not drive.start <= drive.drawn <= drive.end:
            yield error(inside(place, "drawn"), "drawn-outside-travel", drawn=drive.drawn, **travel)
        if drive.stops is not None and not drive.stops[0] <= drive.start < drive.end <= drive.stops[1]:
            low, high = drive.stops
            yield error(inside(place, "stops"), "stops-inside-travel", low=low, high=high, **travel)
    if drive.speed <= 0:
        yield error(inside(place, "speed"), "speed-not-positive", speed=drive.speed, unit=drive.unit)
    if drive.pulse is not None:
        yield from _judge_pulse(*drive.pulse, inside(place, "pulse"))


def _judge_pulse(one: tuple[float, float], other: tuple[float, float], place: Place) -> Iterator[Finding]:
    if one[0] == other[0]:
        yield error(place, "pulse-flat", of="value", number=one[0])
    if one[1] == other[1]:
        yield error(place, "pulse-flat", of="width", number=one[1])
    for index, width in enumerate((one[1], other[1])):
        if width < 0:
            yield error(inside(place, f"[{index}][1]"), "number-negative", key="pulse", value=width)


def _moves_well(move: Move, drive: Drive, joint: Joint | None) -> bool:
    """Whether `_judge_move` has nothing to say, told without a place."""
    if move.ratio == 0 or not isinstance(joint, Pivot | Slide):
        return False
    return abs(move.ratio) != 1 or drive.unit == ("deg" if isinstance(joint, Pivot) else "mm")


def _judge_move(move: Move, drive: Drive, joints: Mapping[JointKey, Joint], project: Project, place: Place) -> Iterator[Finding]:
    if move.ratio == 0:
        yield error(inside(place, "ratio"), "ratio-zero", joint=move.joint)
    joint = joints.get((move.section, move.joint))
    sections = [section.name for section in project.sections]
    if move.section not in sections:
        yield unknown_name("section", move.section, list(sections), inside(place, "section"))
    elif joint is None:
        known: list[str] = [name for section, name in joints if section == move.section]
        yield unknown_name("joint", move.joint, known, inside(place, "joint"))
    elif not isinstance(joint, Pivot | Slide):
        yield error(place, "drive-on-still-joint", joint=move.joint, kind=str(joint.__struct_config__.tag))
    else:
        joint_unit = "deg" if isinstance(joint, Pivot) else "mm"
        if joint_unit != drive.unit and abs(move.ratio) == 1:
            kind = str(joint.__struct_config__.tag)
            yield warning(place, "unit-unlike-joint", unit=drive.unit, joint_unit=joint_unit, joint=move.joint, kind=kind)


def _judge_mover(move: Move, drive: DriveName, seen: set[JointKey], movers: dict[JointKey, DriveName], place: Place) -> Iterator[Finding]:
    key = (move.section, move.joint)
    if key in seen:
        yield error(place, "joint-moved-twice", section=move.section, joint=move.joint)
    elif key in movers:
        yield error(place, "joint-of-two-drives", section=move.section, joint=move.joint, other=movers[key])
    seen.add(key)
    movers.setdefault(key, drive)
