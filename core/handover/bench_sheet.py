"""What the bench needs to cut, set and plug in: rods, horns, channels, and which sizes were never measured."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from core.clearance.knuckles import depth_of_pin
from core.clearance.rounded import complex_of
from core.handover.pulses import pulse_at, value_at
from core.model.joints import Bolted, Joint, Pivot
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Body, Drive, Project, Section, Trust, Unit
from core.model.shapes import Bar, Shape
from core.sweep.result import Span
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

CENTRE_PULSE = 1500.0
"""Microseconds at which hobby servos stand in the middle of their travel. Common practice, no source."""

SPLINE_TEETH = (21, 23, 24, 25)
"""Teeth of usual servo splines: many micro ones have 21, standard ones 23 to 25. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Rod:
    """A body of bars between two pins on moving bodies, neither driven. joints, to, ends: in the order of the file.

    in_section: pin to pin, mm. offset: between the middles of the rod's depth bands at its two pins, mm. length: the
    two together, mm.
    """

    section: SectionName
    body: BodyName
    joints: tuple[JointName, JointName]
    to: tuple[BodyName, BodyName]
    ends: tuple[str, str]
    in_section: float
    offset: float
    length: float


@dataclass(frozen=True, slots=True)
class Hole:
    """A pin of a horn. distance: from the pivot, mm.

    angle: of the line from the pivot to it when the horn is set, degrees counter-clockwise from x, the reference body
    standing as drawn.
    """

    joint: JointName
    distance: float
    angle: float


@dataclass(frozen=True, slots=True)
class Spline:
    """step: of one tooth, degrees. trim: the most that is left to the nearest tooth, half a step; pulse: the same in us, where known."""

    teeth: int
    step: float
    trim: float
    pulse: float | None


@dataclass(frozen=True, slots=True)
class Horn:
    """A body that a drive turns about a pivot on the body `on`.

    value: of the drive, at which the horn is put on: where the centre pulse moves it, or home where no pulse is given
    (`at_centre` is False). turn: of the body then, from how it is drawn, degrees.
    """

    section: SectionName
    body: BodyName
    on: BodyName
    drive: DriveName
    unit: Unit
    value: float
    at_centre: bool
    turn: float
    holes: tuple[Hole, ...]
    splines: tuple[Spline, ...]


@dataclass(frozen=True, slots=True)
class Channel:
    """A drive at the controller. number: place among the drives of the file, from 1. Pulses in us, None where no two points are given."""

    number: int
    drive: DriveName
    unit: Unit
    home: float
    travel: Span
    home_pulse: float | None
    travel_pulses: Span | None


@dataclass(frozen=True, slots=True)
class Source:
    """Where a body's sizes come from; None: not said."""

    section: SectionName
    body: BodyName
    trust: Trust | None
    outline_tolerance: float


@dataclass(frozen=True, slots=True)
class BenchSheet:
    """All lists, each in the order of the file."""

    rods: tuple[Rod, ...]
    horns: tuple[Horn, ...]
    channels: tuple[Channel, ...]
    sources: tuple[Source, ...]


def bench_sheet(project: Project, *, tolerances: Tolerances = DEFAULT_TOLERANCES) -> BenchSheet:
    """The bench sheet of a valid project; all from what is drawn, nothing from a sweep."""
    return BenchSheet(
        rods=tuple(rod for section in project.sections for rod in _rods(project, section, tolerances)),
        horns=tuple(horn for drive in project.drives for horn in _horns(project, drive)),
        channels=tuple(_channel(number, drive) for number, drive in enumerate(project.drives, start=1)),
        sources=tuple(
            Source(section.name, body.name, body.trust, body.outline_tolerance) for section in project.sections for body in section.bodies
        ),
    )


def _rods(project: Project, section: Section, tolerances: Tolerances) -> Iterator[Rod]:
    driven = {move.joint for drive in project.drives for move in drive.moves if move.section == section.name}
    fixed = {body.name for body in section.bodies if body.fixed}
    for body in section.bodies:
        own = [joint for joint in section.joints if body.name in joint.between]
        pins = [joint for joint in own if not isinstance(joint, Bolted)]
        kinds = {joint.__struct_config__.tag for joint in pins}
        if body.fixed or len(own) != 2 or len(pins) != 2 or "slide" in kinds or driven & {joint.name for joint in pins}:
            continue
        one, other = pins
        partners = _partner(one, body.name), _partner(other, body.name)
        # What is pinned to the bay swings about that pin: a lever, not a rod.
        if partners[0] == partners[1] or one.at == other.at or fixed & set(partners):
            continue
        held = [_shape_at(body, complex_of(pin.at), tolerances) for pin in pins]
        if not all(isinstance(shape, Bar) for shape in held):
            continue
        flat = math.dist(one.at, other.at)
        middles = [sum(shape.depth or body.depth) / 2 for shape in held]
        offset = abs(middles[1] - middles[0])
        ends = _end(one), _end(other)
        yield Rod(section.name, body.name, (one.name, other.name), partners, ends, flat, offset, math.hypot(flat, offset))


def _partner(joint: Joint, body: BodyName) -> BodyName:
    return joint.between[1] if joint.between[0] == body else joint.between[0]


def _end(joint: Joint) -> str:
    kind = "pin in a hole" if isinstance(joint, Pivot) else "pin in a slot"
    play = getattr(joint, "play", 0.0)
    return f"{kind}, {play:g} mm of play" if play else kind


def _shape_at(body: Body, pin: complex, tolerances: Tolerances) -> Shape:
    """The shape in whose material the pin lies deepest."""
    return max(body.shapes, key=lambda shape: depth_of_pin(shape, pin, tolerances=tolerances))


def _horns(project: Project, drive: Drive) -> Iterator[Horn]:
    sections = {section.name: section for section in project.sections}
    centre = value_at(drive, CENTRE_PULSE)
    value = drive.home if centre is None else centre
    for move in drive.moves:
        section = sections[move.section]
        joint = next(joint for joint in section.joints if joint.name == move.joint)
        if not isinstance(joint, Pivot):
            continue
        reference, moved = joint.between
        turn = move.ratio * (value - drive.drawn_value)
        holes = tuple(_holes(section, joint, moved, turn))
        splines = tuple(_spline(drive, teeth, move.ratio) for teeth in SPLINE_TEETH)
        yield Horn(section.name, moved, reference, drive.name, drive.unit, value, centre is not None, turn, holes, splines)


def _holes(section: Section, pivot: Pivot, body: BodyName, turn: float) -> Iterator[Hole]:
    for joint in section.joints:
        if body not in joint.between or isinstance(joint, Bolted) or joint.name == pivot.name or joint.at == pivot.at:
            continue
        away = complex_of(joint.at) - complex_of(pivot.at)
        yield Hole(joint.name, abs(away), _turned(math.degrees(math.atan2(away.imag, away.real)) + turn))


def _turned(angle: float) -> float:
    """The same direction within (-180, 180]."""
    return 180.0 - (180.0 - angle) % 360.0


def _spline(drive: Drive, teeth: int, ratio: float) -> Spline:
    step = 360.0 / teeth
    start, end = pulse_at(drive, 0.0), pulse_at(drive, 1.0)
    pulse = None if start is None or end is None or not ratio else abs(end - start) * step / 2 / abs(ratio)
    return Spline(teeth, step, step / 2, pulse)


def _channel(number: int, drive: Drive) -> Channel:
    ends = pulse_at(drive, drive.start), pulse_at(drive, drive.end)
    pulses = None if ends[0] is None or ends[1] is None else (ends[0], ends[1])
    return Channel(number, drive.name, drive.unit, drive.home, (drive.start, drive.end), pulse_at(drive, drive.home), pulses)
