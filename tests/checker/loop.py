"""Poses where joints close loops: least squares on all joints of the section, continued from the drawn pose in small steps."""

import math
from typing import Any

import numpy as np
from scipy.optimize import least_squares

from tests.checker.outline import Floats
from tests.checker.pose import Drives, Pose

Record = dict[str, Any]
ASSEMBLED = 1e-6
STEP = 2.0
LEVER = 20.0


class LoopPoser:
    """Solves a section with loops. Unknown: turn and shift of every body that is not fixed; angles are weighed by `LEVER` mm."""

    def __init__(self, section: Record, drives: Drives) -> None:
        self.section, self.drives = section, drives
        self.bodies = [b["name"] for b in section["bodies"]]
        self.free = [b["name"] for b in section["bodies"] if not b["fixed"]]
        self._states: dict[tuple[float, ...], Floats] = {}
        self._rungs: dict[tuple[float, ...], tuple[Floats, float]] = {}

    def _body(self, state: Floats, name: str) -> tuple[float, Floats]:
        if name not in self.free:
            return 0.0, np.zeros(2)
        k = 3 * self.free.index(name)
        return float(state[k]) / LEVER, state[k + 1 : k + 3]

    def _amount(self, joint: Record, values: Floats) -> float | None:
        if not self.drives.movers(self.section["name"], joint["name"]):
            return None
        return float(self.drives.joint_value(self.section["name"], joint["name"], values[None, :])[0])

    def misfits(self, state: Floats, values: Floats) -> Floats:
        """What every joint is off by, mm (angles times `LEVER`)."""
        off: list[float] = []
        for joint in self.section["joints"]:
            (turn_a, shift_a), (turn_b, shift_b) = (self._body(state, name) for name in joint["between"])
            amount = self._amount(joint, values)
            if joint["kind"] == "bolted":
                away = _turned(-turn_a, shift_b - shift_a)
                off += [(turn_b - turn_a) * LEVER, away[0], away[1]]
                continue
            at = np.asarray(joint["at"], float)
            if joint["kind"] == "pivot":
                off += list(_turned(turn_a, at) + shift_a - _turned(turn_b, at) - shift_b)
                if amount is not None:
                    off.append((turn_b - turn_a - math.radians(amount)) * LEVER)
                continue
            along = math.radians(joint["along"])
            direction, across = np.array([math.cos(along), math.sin(along)]), np.array([-math.sin(along), math.cos(along)])
            if joint["kind"] == "slide":
                moved = _turned(-turn_a, _turned(turn_b, at) + shift_b - shift_a) - at
                off += [(turn_b - turn_a) * LEVER, float(moved @ across)]
                if amount is not None:
                    off.append(float(moved @ direction) - amount)
                continue
            pin = _turned(-turn_b, _turned(turn_a, at) + shift_a - shift_b) - at
            off.append(float(pin @ across))
        return np.array(off)

    def solve(self, state: Floats, values: Floats) -> tuple[Floats, float]:
        """The nearest state that fits, and what it is off by at worst."""
        answer = least_squares(self.misfits, state, args=(values,), method="trf", xtol=1e-15, ftol=1e-15, gtol=1e-14, x_scale=1.0)
        return answer.x, float(np.max(np.abs(answer.fun), initial=0.0))

    def state_at(self, values: Floats) -> tuple[Floats, float]:
        """The state for one row of values, continued along the straight line from the drawn pose; nan where it stops short."""
        drawn = self.drives.drawn()
        away = values - drawn
        length = float(np.max(np.abs(away), initial=0.0))
        rungs = [STEP * k for k in range(1, math.ceil(length / STEP))]
        state, misfit = np.zeros(3 * len(self.free)), 0.0
        last = state
        for rung in (*rungs, length):
            row = drawn + away * (rung / length if length else 0.0)
            kept = self._rungs.get(tuple(np.round(row, 9)))
            if kept is None:
                kept = self.solve(2.0 * state - last if rung > STEP else state, row)
                if rung != length:
                    self._rungs[tuple(np.round(row, 9))] = kept
            last = state
            state, misfit = kept
            if misfit > ASSEMBLED:
                return np.full_like(state, math.nan), misfit
        return state, misfit

    def poses(self, values: Floats) -> dict[str, Pose]:
        """Poses of every body for values (n, drives)."""
        states = np.array([self._kept(tuple(row)) for row in values])
        poses: dict[str, Pose] = {}
        for name in self.bodies:
            if name in self.free:
                k = 3 * self.free.index(name)
                poses[name] = states[:, k] / LEVER, states[:, k + 1 : k + 3]
            else:
                poses[name] = np.zeros(len(values)), np.zeros((len(values), 2))
        return poses

    def _kept(self, row: tuple[float, ...]) -> Floats:
        if row not in self._states:
            self._states[row] = self.state_at(np.array(row))[0]
        return self._states[row]

    def columns_between(self, a: str, b: str) -> tuple[set[int], bool]:
        """Columns of the drives that move a against b, found by moving each a little; whether something leaves them loose."""
        drawn = self.drives.drawn()
        columns = set()
        spans = self.drives.spans()
        for k in range(len(drawn)):
            row = drawn.copy()
            row[k] += min(1.0, spans[k, 1] - drawn[k]) or -min(1.0, drawn[k] - spans[k, 0])
            poses = self.poses(row[None, :])
            (turn_a, shift_a), (turn_b, shift_b) = poses[a], poses[b]
            apart = np.abs(turn_a - turn_b)[0] + np.max(np.abs(_turned(float(-turn_a[0]), (shift_b - shift_a)[0])))
            if not apart <= 1e-7:
                columns.add(k)
        return columns, self._loose(a) != self._loose(b)

    def _loose(self, name: str) -> bool:
        """Whether a body can move with every drive held, by the rank of the joints at the drawn pose."""
        if name not in self.free:
            return False
        zero, drawn, h = np.zeros(3 * len(self.free)), self.drives.drawn(), 1e-6
        jacobian = np.array(
            [(self.misfits(zero + h * e, drawn) - self.misfits(zero - h * e, drawn)) / (2 * h) for e in np.eye(len(zero))]
        ).T
        _, sizes, rows = np.linalg.svd(jacobian)
        null = rows[int(np.sum(sizes > 1e-7)) :]
        k = 3 * self.free.index(name)
        return bool(np.max(np.abs(null[:, k : k + 3]), initial=0.0) > 1e-6)


def _turned(turn: float, point: Floats) -> Floats:
    c, s = math.cos(turn), math.sin(turn)
    return np.array([c * point[0] - s * point[1], s * point[0] + c * point[1]])
