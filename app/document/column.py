"""A column of the interference timeline: the place that the pointer or the keys are at."""

from dataclasses import dataclass

from core.model.names import DriveName


@dataclass(frozen=True, slots=True)
class Column:
    """What the pointer or the keys are at in the timeline: a row and a drive's value; no drive: the row's combined sweep."""

    row: int
    drive: DriveName | None
    value: float
