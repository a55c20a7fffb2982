"""What a controller may be told: travels that are proved together, and which values of two drives are allowed at once.

Never the safe travel with the other drives at home: it is not safe for the drives together.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from core.errors import UsageError
from core.handover.pulses import pulse_at, pulses_within
from core.model.names import DriveName
from core.model.project import Project, Unit
from core.sentences.cover import caution
from core.sentences.numbers import plain
from core.sweep.drive_map import DriveMap
from core.sweep.result import SafeTravel, Span, SweepResult

NOT_A_SAFETY_FUNCTION = (
    "These limits come from a drawing check. They are not a safety function: they do not stop a motor that stalls, slips, "
    "is wired the other way round or is driven past them."
)

_WHY_NONE = {
    "home-breaches": "a pair is too close at home already",
    "undecided": "a pair that this drive moves is not decided",
}
_WHY_NO_BOX = {"home-breaches": "a pair is too close at home already", "undecided": "a pair is not decided"}
_NOT_LOOKED_FOR = "it was not looked for"


class Origin(NamedTuple):
    """What a file was made from. digest: SHA-256 of the project file, hexadecimal. program: name and version."""

    digest: str
    program: str


@dataclass(frozen=True, slots=True)
class DriveLimits:
    """One drive. Spans are in its unit, to 0.001, rounded inward; None where there is none, with the reason in words.

    alone: proved for this drive with the others anywhere in their travel. together: its side of the joint safe box.
    pulses: whole microseconds that keep the drive inside `together`, else inside `alone`; home_pulse is not rounded.
    """

    drive: DriveName
    unit: Unit
    home: float
    alone: Span | None
    why_not_alone: str
    together: Span | None
    pulses_alone: tuple[int, int] | None
    pulses_together: tuple[int, int] | None
    home_pulse: float | None


@dataclass(frozen=True, slots=True)
class Limits:
    """All that is handed to a controller. why_no_box: in words, empty where there is a box."""

    project: str
    origin: Origin
    drives: tuple[DriveLimits, ...]
    why_no_box: str
    tables: tuple[DriveMap, ...]
    rules: int

    @property
    def cautions(self) -> tuple[str, ...]:
        """The sentences that stand at the head of every file."""
        told = [NOT_A_SAFETY_FUNCTION, caution(plain)]
        if self.rules:
            told.insert(
                1,
                "The travels with the others anywhere, and the tables, hold only while the project's rules between drives are kept "
                f"({self.rules} of them); the travels of the joint box hold without them.",
            )
        return tuple(told)


def limits_of(project: Project, result: SweepResult, *, origin: Origin, tables: Sequence[DriveMap] = ()) -> Limits:
    """The limits that `result` proves. Raises UsageError where a table is of drives with the others at home."""
    for table in tables:
        if table.others != "any":
            msg = f"A table of {table.drives[0]} and {table.drives[1]} with the others at home is not safe to hand over; map them anywhere."
            raise UsageError(msg)
    anywhere = {safe.drive: safe for safe in result.safe_travel if safe.others == "any"}
    box = _box(result)
    drives = tuple(_drive_limits(project, number, anywhere, box) for number in range(len(project.drives)))
    return Limits(project.name, origin, drives, _why_no_box(result), tuple(tables), len(project.allowed_together))


def _box(result: SweepResult) -> dict[DriveName, Span]:
    return {name: (low, high) for name, low, high in result.safe_box.travels} if result.safe_box is not None else {}


def _why_no_box(result: SweepResult) -> str:
    if result.safe_box is None:
        return _NOT_LOOKED_FOR
    return _WHY_NO_BOX.get(result.safe_box.code, "")


def _drive_limits(project: Project, number: int, anywhere: dict[DriveName, SafeTravel], box: dict[DriveName, Span]) -> DriveLimits:
    drive = project.drives[number]
    safe = anywhere.get(drive.name)
    alone = (safe.start, safe.end) if safe is not None and safe.start is not None and safe.end is not None else None
    together = box.get(drive.name)
    why = "" if alone else _WHY_NONE.get(safe.code if safe else "", _NOT_LOOKED_FOR)
    return DriveLimits(
        drive=drive.name,
        unit=drive.unit,
        home=drive.home,
        alone=alone,
        why_not_alone=why,
        together=together,
        pulses_alone=None if alone is None else pulses_within(drive, alone),
        pulses_together=None if together is None else pulses_within(drive, together),
        home_pulse=pulse_at(drive, drive.home),
    )
