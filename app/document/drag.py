"""A hand on a body: the value of its drive that brings the point held nearest to the pointer."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from app.document.choice import body_named, section_named
from app.document.mechanism import Mechanism
from core.model.names import BodyName, DriveName, SectionName
from core.model.project import Drive

COARSE = 145
FINE = 33
ROUNDS = 2
"""The travel is looked at in `COARSE` places, then twice in `FINE` between the neighbours of the best."""


@dataclass(frozen=True, slots=True)
class Grip:
    """A body held at a point: `point` is where, on the body as drawn, mm; `at` are all drive values at the press.

    tried: (`COARSE`,) float, the places of the whole travel that are looked at first; places: (`COARSE`,) complex, mm, where the
    point held is there in `mechanism`, not a number where that is not reached. Found once a mechanism: the other drives stand still
    while the body is held.
    """

    section: SectionName
    body: BodyName
    drive: DriveName
    point: complex
    at: Mapping[DriveName, float]
    mechanism: Mechanism
    tried: NDArray[np.float64]
    places: NDArray[np.complex128]


def take_hold(mechanism: Mechanism, section: SectionName, body: BodyName, at: Mapping[DriveName, float], pointer: complex) -> Grip | None:
    """Hold `body` at the pointer, mm, section frame as posed; None where no drive moves it."""
    name = mechanism.drive_of(section, body, at, pointer)
    drive = next((record for record in mechanism.project.drives if record.name == name), None)
    if drive is None:
        return None
    turn, x, y = mechanism.body_poses(section, at)[body]
    point = (pointer - complex(x, y)) * np.exp(-1j * np.radians(turn))
    return _looked_at(Grip(section, body, drive.name, complex(point), dict(at), mechanism, np.empty(0), np.empty(0, complex)), drive)


def held_still(mechanism: Mechanism, grip: Grip) -> Grip | None:
    """The same hold where the project has been edited meanwhile; None where what is held, or its drive, has gone."""
    if mechanism is grip.mechanism:
        return grip
    section = section_named(mechanism.project, grip.section)
    drive = next((record for record in mechanism.project.drives if record.name == grip.drive), None)
    if drive is None or section is None or body_named(section, grip.body) is None:
        return None
    return _looked_at(replace(grip, mechanism=mechanism), drive)


def _looked_at(grip: Grip, drive: Drive) -> Grip:
    tried = np.linspace(drive.start, drive.end, COARSE)
    return replace(grip, tried=tried, places=_places(grip, tried))


def value_toward(grip: Grip, pointer: complex) -> float:
    """The value within travel at which the point held is nearest to the pointer; positions that are not reached are passed over.

    Where nothing is reached the value at the press stays.
    """
    tried, places, best = grip.tried, grip.places, grip.at[grip.drive]
    for left in reversed(range(1 + ROUNDS)):
        apart = np.where(np.isnan(places), np.inf, np.abs(places - pointer))
        place = int(apart.argmin())
        if not np.isfinite(apart[place]):
            return best
        best = float(tried[place])
        if left:
            tried = np.linspace(tried[max(place - 1, 0)], tried[min(place + 1, len(tried) - 1)], FINE)
            places = _places(grip, tried)
    return best


def _places(grip: Grip, tried: NDArray[np.float64]) -> NDArray[np.complex128]:
    """(n,) complex, mm: where the point held is with the drive at `tried`, (n,); not a number where that is not reached."""
    mechanism = grip.mechanism
    at = np.tile(mechanism.values(grip.at), (len(tried), 1))
    at[:, mechanism.linkage.drives.index(grip.drive)] = tried
    turn, shift, reached = mechanism.path_of(grip.section, grip.body, at)
    return np.where(reached, np.exp(1j * turn) * grip.point + shift, complex(np.nan, np.nan))


def with_detent(value: float, stops: Sequence[float], *, within: float) -> float:
    """`value`, or the nearest of `stops` where that is no farther than `within`: a light catch, never a block."""
    nearest = min(stops, key=lambda stop: abs(stop - value), default=value)
    return nearest if abs(nearest - value) <= within else value
