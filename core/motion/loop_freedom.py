"""Which freedoms a loop leaves: at the drawn pose, and as soon as it moves."""

from dataclasses import dataclass

import numpy as np

from core.model.names import JointName
from core.motion.linkage import Floats, Loop
from core.motion.loop_equations import Equations, derivative, drive_speeds, equations_of, residual, walked
from core.tolerances import Tolerances

NEIGHBOUR_STEP = 0.02
"""How far, as a share of the loop's size, the poses lie that tell a lasting freedom from one at a dead centre."""
NEIGHBOUR_TRIES = 8
NEIGHBOUR_ITERATIONS = 25


@dataclass(frozen=True, slots=True)
class Undriven:
    """Freedoms that remain with every drive locked, and the joints that then still move.

    lasting: False where they are there at the drawn pose only (a dead centre) and go as soon as the mechanism moves.
    """

    joints: tuple[JointName, ...]
    freedoms: int
    lasting: bool


@dataclass(frozen=True, slots=True)
class LoopFreedom:
    """The freedoms of one loop, driven joints let go: at the drawn pose `real`, `lasting` where it moves on.

    settled: how many of its passive freedoms the closure settles, where it moves on. blocked: drives that at the
    drawn pose cannot move without parting a joint. loose: groups on the loop that move with its drives locked, where they do so lastingly.
    """

    real: int
    lasting: int
    redundant: int
    settled: int
    blocked: tuple[int, ...]
    undriven: tuple[Undriven, ...]
    loose: frozenset[int]


def loop_freedom(loop: Loop, tolerances: Tolerances) -> LoopFreedom:
    """Ranks of the closure of `loop` at the drawn pose and at poses near it that close too."""
    equations = equations_of(loop)
    drawn = np.zeros(len(equations.steps))
    poses = [drawn, *_neighbours(equations, tolerances)]
    changes = [scaled_change(equations, pose) for pose in poses]
    joints_alone = [row for row in range(equations.rows) if row not in equations.drive_rows]
    every = [len(drawn) - rank_of(change[joints_alone], tolerances) for change in changes]
    passive = [change[:, equations.passive] for change in changes]
    left = [len(equations.passive) - rank_of(change, tolerances) for change in passive]
    least = int(np.argmin(left))
    undriven = []
    for index, lasting in ((least, True), (0, False)):
        number = left[index] - (0 if lasting else left[least])
        if number:
            moving = _moving_joints(equations, poses[index], null_space(passive[index], tolerances))
            undriven.append(Undriven(moving, freedoms=number, lasting=lasting))
    loose = _moving_groups(equations, poses[least], null_space(passive[least], tolerances))
    return LoopFreedom(
        real=every[0],
        lasting=min(every),
        redundant=min(every) - (len(drawn) - len(joints_alone)),
        settled=len(equations.passive) - left[least],
        blocked=_blocked(equations, changes[0], tolerances),
        undriven=tuple(undriven),
        loose=loose,
    )


def scaled_change(equations: Equations, freedoms: Floats) -> Floats:
    """(R, K) float, mm per mm: the derivative at one pose, turns measured along the arms of their pivots."""
    at = walked(equations, freedoms[:, None])
    change = derivative(equations, at, tuple(range(len(freedoms))))[:, :, 0]
    scaled: Floats = change / equations.arms
    return scaled


def rank_of(change: Floats, tolerances: Tolerances) -> int:
    """The rank of a scaled derivative; singular values below the tolerance `rank` count as nothing."""
    return int(np.count_nonzero(np.linalg.svd(change, compute_uv=False) > tolerances.rank)) if change.size else 0


def null_space(change: Floats, tolerances: Tolerances) -> Floats:
    """(k, f) float: an orthonormal basis of what a scaled derivative (R, k) leaves free."""
    if not change.size:
        return np.eye(change.shape[1])
    _, _, rows = np.linalg.svd(change)
    basis: Floats = rows[rank_of(change, tolerances) :].T
    return basis


def _blocked(equations: Equations, change: Floats, tolerances: Tolerances) -> tuple[int, ...]:
    """The drives that cannot move at the drawn pose, whatever the passive freedoms do."""
    passive = change[:, equations.passive]
    freely = rank_of(passive, tolerances)
    found = []
    for drive in equations.loop.drives:
        steps, closings = drive_speeds(equations, drive)
        push = change @ (steps * equations.arms)
        push[list(equations.drive_rows)] -= closings
        length = np.linalg.norm(push)
        if length > 0 and rank_of(np.column_stack([passive, push / length]), tolerances) > freely:
            found.append(drive)
    return tuple(found)


def _neighbours(equations: Equations, tolerances: Tolerances) -> list[Floats]:
    """Closed poses a little off the drawn one, with the driven joints let go; none where it cannot move."""
    joints_alone = [row for row in range(equations.rows) if row not in equations.drive_rows]
    basis = null_space(scaled_change(equations, np.zeros(len(equations.steps)))[joints_alone], tolerances)
    if not basis.shape[1]:
        return []
    away = NEIGHBOUR_STEP * equations.size
    ways = np.random.default_rng(1).normal(size=(NEIGHBOUR_TRIES, basis.shape[1]))
    tried = (_closed(equations, away * basis @ (way / np.linalg.norm(way)), joints_alone, tolerances) for way in ways)
    return [pose for pose in tried if pose is not None]


def _closed(equations: Equations, scaled: Floats, rows: list[int], tolerances: Tolerances) -> Floats | None:
    """A closed pose as far from the drawn one as `scaled` (K,), mm, and near it; None where Newton's method finds none.

    The distance is held by an equation of its own: at a dead centre the iteration would else creep back to the drawn pose.
    """
    no_drives = np.zeros((len(equations.drive_rows), 1))
    away = np.linalg.norm(scaled)
    for _ in range(NEIGHBOUR_ITERATIONS):
        pose = scaled / equations.arms
        missing = residual(equations, walked(equations, pose[:, None]), no_drives)[rows, 0]
        change = np.vstack([scaled_change(equations, pose)[rows], scaled / away])
        step = np.linalg.lstsq(change, -np.append(missing, (scaled @ scaled / away - away) / 2), rcond=tolerances.rank)[0]
        scaled = scaled + step
        if np.abs(step).max(initial=0.0) < tolerances.arithmetic:
            return pose if np.abs(missing).max(initial=0.0) < tolerances.misfit else None
    return None


def _moving_joints(equations: Equations, pose: Floats, free: Floats) -> tuple[JointName, ...]:
    """The joints of the loop that move along the passive freedoms `free` (k, f), in the order of the loop."""
    speeds = np.zeros((len(pose), free.shape[1]))
    speeds[list(equations.passive)] = free
    threshold = np.sqrt(np.finfo(float).eps)
    moving = {step.joint for step, speed in zip(equations.steps, speeds, strict=True) if np.abs(speed).max(initial=0.0) > threshold}
    motions = {group: _group_motion(equations, pose, speeds, group) for group in equations.paths}
    for closing in equations.loop.closing:
        apart = motions[closing.groups[0]] - motions[closing.groups[1]]
        if np.abs(apart).max(initial=0.0) > threshold:
            moving.add(closing.joint)
    return tuple(joint for joint in equations.loop.joints if joint in moving)


def _moving_groups(equations: Equations, pose: Floats, free: Floats) -> frozenset[int]:
    speeds = np.zeros((len(pose), free.shape[1]))
    speeds[list(equations.passive)] = free
    threshold = np.sqrt(np.finfo(float).eps)
    motions = {group: _group_motion(equations, pose, speeds, group) for group in equations.paths}
    return frozenset(group for group, motion in motions.items() if np.abs(motion).max(initial=0.0) > threshold)


def _group_motion(equations: Equations, pose: Floats, speeds: Floats, group: int) -> Floats:
    """(3, f) float: turn times the loop's size, and the shift at the root's origin, of a group for scaled `speeds` (K, f)."""
    at = walked(equations, pose[:, None])
    motion = np.zeros((3, speeds.shape[1]))
    for column in equations.paths[group]:
        speed, pin = speeds[column] / equations.arms[column], at.pins[column][0]
        pivots = equations.steps[column].kind == "pivot"
        shift = -1j * pin if pivots else pin
        motion += np.outer([equations.size * pivots, shift.real, shift.imag], speed)
    return motion
