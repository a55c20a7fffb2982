"""How far the play of a loop's joints lets a body go at given drive values: the least and the most, and the shifts that take it there.

With diametral plays p the two sides of joint j stand off by a vector of up to p_j / 2. Over all such vectors that let every loop
close, a freedom is made as small, or as large, as it can be. Each round solves the problem with the equations made linear where the
last one ended; its dual has one unknown for each redundant equation. (Lagrange duality of a linear aim over discs, closed form but
for these unknowns, which Newton's method finds on smoothed lengths; sequential convex programming, from memory.)
"""

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from core.motion.linkage import Floats, Loop, Step
from core.motion.loop_equations import Complexes, Equations, derivative, equations_of, residual, walked

ROUNDS = 8
SMOOTHINGS = (1e-1, 1e-2, 1e-4, 1e-6)
"""Shares of a length by which lengths are smoothed, one after the other."""
NEWTON_STEPS = 40
OVERSTEP = 1e-7
"""mm by which rounding may take a joint beyond its play."""
NEAR = 1e-9
"""Share of the smoothing at which a step is small enough."""
ROUNDING = 1e-14
SETTLED = 1e-8
"""mm; rounds end where shifts and freedoms move by no more."""
TURNED = 1e-9
"""Share of its largest by which a direction of the equations counts as free."""


Disc = tuple[Floats, Floats, float]
"""What shifts a joint feels of forces on the equations: (2, R), and besides (2,), N a mm; how far it can shift, mm."""


class Taken(NamedTuple):
    """A configuration: value of the aim, freedoms (K,) of the loop's steps, radians and mm, shifts (J,) complex mm of its tree's joints."""

    value: float
    freedoms: Floats
    shifts: tuple[complex, ...]
    settled: bool


@dataclass(frozen=True, slots=True)
class Loosened:
    """A loop whose tree has a step along x and y before each joint with play.

    own: places of the loop's own freedoms among those of `equations`. shifts: the places of each such pair. radii: (J,) mm.
    discs: for each closing joint that gives way its rows, and by how much, mm.
    """

    equations: Equations
    own: tuple[int, ...]
    shifts: tuple[tuple[int, int], ...]
    radii: tuple[float, ...]
    discs: tuple[tuple[tuple[int, ...], float], ...]


def loosened(loop: Loop) -> Loosened:
    """Lay out a loop so that its joints may stand off."""
    steps, own, shifts, radii = [], [], [], []
    number = 0
    for group in loop.steps:
        steps_here: list[Step] = []
        for step in group:
            if step.play > 0:
                along_x = Step(step.joint, "slide", 0j, 1 + 0j, (), free=False, passive=True)
                steps_here += [along_x, replace(along_x, along=1j)]
                shifts.append((number, number + 1))
                radii.append(step.play / 2)
                number += 2
            steps_here.append(step)
            own.append(number)
            number += 1
        steps.append(tuple(steps_here))
    # Turns and drives of closing joints count by the size of the loop itself.
    wider = replace(equations_of(replace(loop, steps=tuple(steps))), size=equations_of(loop).size)
    return Loosened(wider, tuple(own), tuple(shifts), tuple(radii), tuple(_discs(loop)))


def _discs(loop: Loop) -> list[tuple[tuple[int, ...], float]]:
    found: list[tuple[tuple[int, ...], float]] = []
    row = 0
    for closing in loop.closing:
        rows: tuple[int, ...] = (row, row + 1) if closing.kind == "pivot" else (row,)
        row += 1 if closing.kind == "pin_slot" else 2
        if closing.ratios:
            rows = (*rows, row) if closing.kind == "slide" else rows
            row += 1
        if closing.play > 0:
            found.append((rows, closing.play / 2))
    return found


def farthest(loop: Loosened, freedoms: Floats, drives: Floats, aim: Floats) -> Taken:
    """Make `aim` (K,) times the freedoms as small as play allows.

    freedoms: (K,) of the loop's steps where it stands at first, driven ones set. drives: (C,) mm, of driven closing joints.
    settled: the rounds came to rest with every joint within its play.
    """
    return pulled(loop, freedoms, drives, aim, np.zeros(len(loop.shifts), dtype=complex))


def pulled(loop: Loosened, freedoms: Floats, drives: Floats, aim: Floats, pull: Complexes) -> Taken:
    """The same with an aim on the shifts of the tree's joints too: pull (J,), its real part times x and imaginary part times y."""
    equations = loop.equations
    place = np.zeros(len(equations.steps))
    place[list(loop.own)] = freedoms
    passive = [index for index in loop.own if equations.steps[index].passive]
    cost = np.zeros(len(equations.steps))
    cost[list(loop.own)] = aim
    rest = False
    for _ in range(ROUNDS):
        at = walked(equations, place[:, None])
        missing = residual(equations, at, drives[:, None])[:, 0]
        change = derivative(equations, at, tuple(range(len(place))))[:, :, 0]
        step = _linear(loop, missing, change, cost[passive], passive, pull, place)
        place = place + step
        rest = bool(np.abs(step).max(initial=0.0) <= SETTLED * max(1.0, equations.size))
        if rest:
            break
    shifts = tuple(complex(place[x], place[y]) for x, y in loop.shifts)
    value = float(cost @ place + sum((back.conjugate() * shift).real for back, shift in zip(pull.tolist(), shifts, strict=True)))
    return Taken(value, place[list(loop.own)], shifts, rest and _holds(loop, place, drives))


def _holds(loop: Loosened, place: Floats, drives: Floats) -> bool:
    """Whether every joint is within its play, and what does not give way is closed."""
    missing = residual(loop.equations, walked(loop.equations, place[:, None]), drives[:, None])[:, 0]
    held = all(math.hypot(place[x], place[y]) <= radius + OVERSTEP for (x, y), radius in zip(loop.shifts, loop.radii, strict=True))
    for rows, radius in loop.discs:
        held = held and float(np.linalg.norm(missing[list(rows)])) <= radius + OVERSTEP
    stiff = [row for row in range(len(missing)) if not any(row in rows for rows, _ in loop.discs)]
    return held and float(np.abs(missing[stiff]).max(initial=0.0)) <= OVERSTEP


def _linear(loop: Loosened, missing: Floats, change: Floats, cost: Floats, passive: list[int], pull: Complexes, place: Floats) -> Floats:
    """(K',) the step from `place` to the best of the problem made linear there."""
    scale = np.maximum(np.abs(change[:, passive]).max(axis=0), 1e-300)
    by_passive = change[:, passive] / scale
    columns = [change[:, list(pair)] for pair in loop.shifts]
    still = missing - sum((column @ place[list(pair)] for column, pair in zip(columns, loop.shifts, strict=True)), np.zeros(len(missing)))
    first = -np.linalg.lstsq(by_passive.T, cost / scale, rcond=None)[0]
    null = _free(by_passive)
    discs = [(column.T, np.array([back.real, back.imag]), radius) for column, back, radius in zip(columns, pull, loop.radii, strict=True)]
    discs += [(np.eye(len(missing))[list(rows)], np.zeros(len(rows)), radius) for rows, radius in loop.discs]
    vectors = _balanced(first, null, still, discs)
    step = np.zeros(len(place))
    given = still.copy()
    for (pair, column), vector in zip(zip(loop.shifts, columns, strict=True), vectors, strict=False):
        step[list(pair)] = -vector - place[list(pair)]
        given += column @ -vector
    for (rows, _), vector in zip(loop.discs, vectors[len(columns) :], strict=True):
        given[list(rows)] -= vector
    step[passive] = -np.linalg.lstsq(by_passive, given, rcond=None)[0] / scale
    return step


def _free(matrix: Floats) -> Floats:
    """(R, s) orthonormal: what (R, P) has no say in."""
    left, sizes, _ = np.linalg.svd(matrix)
    rank = int(np.count_nonzero(sizes > sizes.max(initial=0.0) * TURNED))
    return np.asarray(left[:, rank:])


def _balanced(first: Floats, null: Floats, still: Floats, discs: list[Disc]) -> list[Floats]:
    """The vector of each disc along the forces that make the most of the dual; short of the rim where that joint does not bear.

    forces = first + null m, and the most is that of  still.forces - sum of radius |matrix forces + offset|.
    """
    sharp = max(float(np.linalg.norm(first)), *(float(np.linalg.norm(offset)) for _, offset, _ in discs), 1e-9)
    m = np.zeros(null.shape[1])
    smooth = 0.0
    for share in SMOOTHINGS if len(m) else ():
        smooth = share * sharp
        for _ in range(NEWTON_STEPS):
            value, slope, bend = _dual(m, first, null, still, discs, smooth)
            step = np.linalg.lstsq(bend, -slope, rcond=None)[0]
            least = value + ROUNDING * abs(value)
            while _dual(m + step, first, null, still, discs, smooth)[0] > least and np.abs(step).max() > NEAR * smooth:
                step = step / 2
            m = m + step
            if np.abs(step).max() <= NEAR * smooth:
                break
    found = []
    for matrix, offset, radius in discs:
        force = matrix @ (first + null @ m) + offset
        length = math.sqrt(float(force @ force) + smooth**2)
        found.append(force * (radius / length) if length > 0 else np.zeros(len(force)))
    return found


def _dual(m: Floats, first: Floats, null: Floats, still: Floats, discs: list[Disc], smooth: float) -> tuple[float, Floats, Floats]:
    """The negative of what `_balanced` makes largest, lengths smoothed, with slope and bend."""
    forces = first + null @ m
    value, slope, bend = -float(still @ forces), -(null.T @ still), np.zeros((len(m), len(m)))
    for matrix, offset, radius in discs:
        force, ways = matrix @ forces + offset, matrix @ null
        length = math.sqrt(float(force @ force) + smooth**2)
        along = ways.T @ force / length
        value += radius * length
        slope += radius * along
        bend += radius * (ways.T @ ways - np.outer(along, along)) / length
    return value, slope, bend
