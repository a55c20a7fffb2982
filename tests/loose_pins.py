"""A section of pivots whose pins may stand off by half their play, solved by scipy: of core's mechanics it has but where to start."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.optimize import minimize

from core.model.names import BodyName
from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.pose import poses

Floats = NDArray[np.float64]
Record = dict[str, Any]
LEVER = 20.0
"""mm that stand for a radian among the unknowns."""
SLACK = 1e-7
"""mm by which scipy may overstep a pin's play."""


class LoosePins:
    """Unknown are shift and turn of every moving body; each pivot holds its two points within half its play."""

    def __init__(self, section: Record, moved: dict[str, float]) -> None:
        """moved: degrees that the driven joints are turned by."""
        self.section, self.moved = section, moved
        self.free = [body["name"] for body in section["bodies"] if not body["fixed"] and self._jointed(body["name"])]
        self.tight = [joint for joint in section["joints"] if not joint.get("play")]
        self.loose = [joint for joint in section["joints"] if joint.get("play")]

    def _jointed(self, name: str) -> bool:
        return any(name in joint["between"] for joint in self.section["joints"])

    def place(self, state: Floats, name: str) -> tuple[complex, float]:
        """Shift, mm, and turn, radians, of a body."""
        if name not in self.free:
            return 0j, 0.0
        x, y, turn = state[3 * self.free.index(name) :][:3]
        return complex(x, y), turn / LEVER

    def apart(self, state: Floats, joint: Record) -> complex:
        """How far the two sides of a pivot stand off."""
        at = complex(*joint["at"])
        ends = [np.exp(1j * turn) * at + shift for shift, turn in (self.place(state, name) for name in joint["between"])]
        return complex(ends[0] - ends[1])

    def _equal(self, state: Floats) -> Floats:
        rows = [part for joint in self.tight for gap in (self.apart(state, joint),) for part in (gap.real, gap.imag)]
        for name, angle in self.moved.items():
            joint = next(joint for joint in self.section["joints"] if joint["name"] == name)
            one, other = (self.place(state, body)[1] for body in joint["between"])
            rows.append((other - one - math.radians(angle)) * LEVER)
        return np.array(rows)

    def _room(self, state: Floats) -> Floats:
        return np.array([(joint["play"] / 2) ** 2 - abs(self.apart(state, joint)) ** 2 for joint in self.loose]) * 10

    def least(self, aim: Callable[[Floats], float], start: Floats) -> Floats | None:
        """The state in which `aim` is least, near `start`; None where scipy ends outside what the pins allow."""
        limits = [{"type": "eq", "fun": self._equal}, {"type": "ineq", "fun": self._room}]
        found = minimize(aim, start, constraints=limits, method="SLSQP", options={"ftol": 1e-13, "maxiter": 400})
        return found.x if self.holds(found.x) else None

    def holds(self, state: Floats) -> bool:
        """Whether every pin is within its play."""
        within = all(abs(self.apart(state, joint)) <= joint["play"] / 2 + SLACK for joint in self.loose)
        return within and bool(np.abs(self._equal(state)).max(initial=0.0) <= SLACK)

    def somewhere(self, start: Floats, rng: np.random.Generator) -> Floats | None:
        """A state at the rim of what the pins allow, the farthest in a random direction."""
        way = rng.normal(size=len(start))
        return self.least(lambda state: float(way @ state), start)

    def gap(self, state: Floats, one: str, other: str) -> float:
        """Between two bodies made of bars and discs in depth bands that overlap, mm; their lines by shapely."""
        return min(
            float(first.distance(second)) - reach - far
            for first, reach in self._lines(state, one)
            for second, far in self._lines(state, other)
        )

    def _lines(self, state: Floats, name: str) -> list[tuple[shapely.Geometry, float]]:
        shift, turn = self.place(state, name)
        body = next(body for body in self.section["bodies"] if body["name"] == name)
        found = []
        for shape in body["shapes"]:
            points = [shape["from"], shape["to"]] if shape["kind"] == "bar" else [shape["centre"]] * 2
            moved = [np.exp(1j * turn) * complex(*point) + shift for point in points]
            line = shapely.LineString([(point.real, point.imag) for point in moved]) if moved[0] != moved[1] else None
            found.append((line or shapely.Point(moved[0].real, moved[0].imag), shape["radius"]))
        return found


def centred(project: Project, pins: LoosePins, value: float) -> Floats:
    """Where scipy starts: the pose that the program tells, so that both look at one branch."""
    linkage = linkage_of(project)
    (section,) = linkage.sections
    posed = poses(section, linkage, np.array([[value]]))
    groups = [section.group_of(BodyName(name)) for name in pins.free]
    return np.concatenate([[posed.shift[0, own].real, posed.shift[0, own].imag, posed.turn[0, own] * LEVER] for own in groups])
