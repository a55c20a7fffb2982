"""A hand on a body: the value of its drive that brings the point held nearest to the pointer."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from app.document.mechanism import Mechanism
from core.model.names import BodyName, DriveName, SectionName

COARSE = 145
FINE = 33
ROUNDS = 3
"""The travel is looked at in `COARSE` places, then three times in `FINE` between the neighbours of the best."""


@dataclass(frozen=True, slots=True)
class Grip:
    """A body held at a point: `point` is where, on the body as drawn, mm; `at` are all drive values at the press."""

    section: SectionName
    body: BodyName
    drive: DriveName
    point: complex
    at: Mapping[DriveName, float]


def take_hold(mechanism: Mechanism, section: SectionName, body: BodyName, at: Mapping[DriveName, float], pointer: complex) -> Grip | None:
    """Hold `body` at the pointer, mm, section frame as posed; None where no drive moves it."""
    drive = mechanism.drive_of(section, body, at, pointer)
    if drive is None:
        return None
    turn, x, y = mechanism.body_poses(section, at)[body]
    point = (pointer - complex(x, y)) * np.exp(-1j * np.radians(turn))
    return Grip(section, body, drive, complex(point), dict(at))


def value_toward(mechanism: Mechanism, grip: Grip, pointer: complex) -> float:
    """The value within travel at which the point held is nearest to the pointer; positions that are not reached are passed over.

    Where nothing is reached the value at the press stays.
    """
    drive = next(record for record in mechanism.project.drives if record.name == grip.drive)
    low, high, count = drive.start, drive.end, COARSE
    best = grip.at[grip.drive]
    for _ in range(1 + ROUNDS):
        tried = np.linspace(low, high, count)
        apart = _distances(mechanism, grip, tried, pointer)
        if not np.isfinite(apart).any():
            return best
        place = int(apart.argmin())
        best = float(tried[place])
        low, high, count = float(tried[max(place - 1, 0)]), float(tried[min(place + 1, count - 1)]), FINE
    return best


def _distances(mechanism: Mechanism, grip: Grip, tried: np.ndarray, pointer: complex) -> np.ndarray:
    at = np.tile(mechanism.values(grip.at), (len(tried), 1))
    at[:, mechanism.linkage.drives.index(grip.drive)] = tried
    turn, shift, reached = mechanism.path_of(grip.section, grip.body, at)
    return np.where(reached, np.abs(np.exp(1j * turn) * grip.point + shift - pointer), np.inf)


def with_detent(value: float, stops: Sequence[float], *, within: float) -> float:
    """`value`, or the nearest of `stops` where that is no farther than `within`: a light catch, never a block."""
    nearest = min(stops, key=lambda stop: abs(stop - value), default=value)
    return nearest if abs(nearest - value) <= within else value
