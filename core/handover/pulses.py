"""Drive values as the pulses of a hobby servo: the straight line through the two points that the user calibrated."""

import math

from core.model.project import Drive
from core.sweep.result import Span
from core.tolerances import DEFAULT_TOLERANCES


def pulse_at(drive: Drive, value: float) -> float | None:
    """The pulse at a drive value, microseconds; None where the drive has no two calibration points that differ in both."""
    if drive.pulse is None:
        return None
    (first, short), (second, long) = drive.pulse
    if first == second or short == long:
        return None
    return short + (value - first) * (long - short) / (second - first)


def value_at(drive: Drive, pulse: float) -> float | None:
    """The drive value at a pulse in microseconds; None as in `pulse_at`."""
    if drive.pulse is None:
        return None
    (first, short), (second, long) = drive.pulse
    if first == second or short == long:
        return None
    return first + (pulse - short) * (second - first) / (long - short)


def pulses_within(drive: Drive, span: Span) -> tuple[int, int] | None:
    """The least and the greatest whole microseconds that keep the drive inside `span`; None where there is no such pulse.

    The least pulse may belong to the higher end: units turn either way.
    """
    ends = [pulse_at(drive, value) for value in span]
    if ends[0] is None or ends[1] is None:
        return None
    low, high = sorted((ends[0], ends[1]))
    slack = DEFAULT_TOLERANCES.arithmetic
    inside = math.ceil(low - slack), math.floor(high + slack)
    return inside if inside[0] <= inside[1] else None
