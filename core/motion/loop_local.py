"""A loop's equations made square, along straight lines of drive values: what is missing to closure, and how that changes."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from core.motion.dyad import Dyad, dyad_of
from core.motion.linkage import Floats, Loop
from core.motion.loop_equations import Equations, derivative, equations_of, residual, walked
from core.motion.loop_freedom import LoopFreedom, loop_freedom, null_space, scaled_change
from core.tolerances import Tolerances

Bools = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Closure:
    """A loop with what its closure needs to know of it: equations, ranks, and the passive freedoms to hold.

    held: (m, d) float, orthonormal, scaled: undriven freedoms, held as drawn, since nothing settles them. bend: (K,) float, per
    mm squared, how strongly each freedom turns what lies beyond it. dyad: what closes it in closed form, if anything does.
    """

    equations: Equations
    freedom: LoopFreedom
    held: Floats
    bend: Floats
    at_dead_centre: bool
    dyad: Dyad | None

    @property
    def redundant(self) -> bool:
        """Whether there are more equations than they settle freedoms."""
        return self.equations.rows > self.freedom.settled


def closure_of(loop: Loop, tolerances: Tolerances) -> Closure:
    """The closure of `loop`, ready to be followed from the drawn pose."""
    equations = equations_of(loop)
    freedom = loop_freedom(loop, tolerances)
    passive = scaled_change(equations, np.zeros(len(equations.steps)))[:, equations.passive]
    free = null_space(passive, tolerances)
    stuck = free.shape[1] > len(equations.passive) - freedom.settled
    return Closure(equations, freedom, free[:, :0] if stuck else free, _bend(equations), at_dead_centre=stuck, dyad=dyad_of(equations))


def _bend(equations: Equations) -> Floats:
    """Second derivatives are swings of a deeper freedom over the arm of a pivot before it (twice: both ways), or its own."""
    square = np.array([step.kind == "pivot" for step in equations.steps], dtype=np.float64) / equations.arms**2
    bend = np.zeros(len(square))
    for path in equations.paths.values():
        for place, column in enumerate(path):
            bend[column] = square[column] + 2 * sum(square[before] for before in path[:place])
    slanting = any(closing.kind != "pivot" for closing in equations.loop.closing)
    return bend * (4.0 if slanting else 1.0)


@dataclass(frozen=True, slots=True)
class Lines:
    """n straight lines in drive space from the drawn values. What a mm of each adds to freedoms (K, n) and driven rows (C, n).

    pace: (n,) float, mm that the driven joints move for one unit of the line (turns along their arms); 0 where they do not.
    """

    freedoms: Floats
    rows: Floats
    pace: Floats

    def of(self, which: Ints | Bools) -> "Lines":
        """Some of the lines."""
        return Lines(self.freedoms[:, which], self.rows[:, which], self.pace[which])


def lines_along(closure: Closure, directions: Floats) -> Lines:
    """Lines for `directions`, (n, D) float, drive units for one unit of the line."""
    equations = closure.equations
    freedoms = np.zeros((len(equations.steps), len(directions)))
    rows = np.zeros((len(equations.drive_rows), len(directions)))
    for drive, (steps, closings) in equations.speeds.items():
        freedoms += steps[:, None] * directions[:, drive]
        rows += closings[:, None] * directions[:, drive]
    pace = np.sqrt(np.sum((freedoms * equations.arms[:, None]) ** 2, axis=0) + np.sum(rows**2, axis=0))
    unit = np.where(pace > 0, pace, 1.0)
    return Lines(freedoms / unit, rows / unit, pace)


def freedoms_at(closure: Closure, lines: Lines, places: Floats) -> Floats:
    """(K, n) float, radians and mm, at `places` (m + 1, n): passive freedoms (scaled, mm), then the way along the line, mm."""
    equations = closure.equations
    freedoms = lines.freedoms * places[-1]
    passive = list(equations.passive)
    freedoms[passive] += places[:-1] / equations.arms[passive, None]
    return np.asarray(freedoms)


@dataclass(frozen=True, slots=True)
class Local:
    """The loop at n places: what is missing (n, m), its change (n, m, m + 1), and the curvature bound (n,) per mm.

    every: (n, R, m + 1) the change of all equations, redundant ones too. basis: (n, s, R) the directions of them that `change`
    tells of, before held ones.
    """

    missing: Floats
    change: Floats
    curvature: Floats
    every: Floats
    basis: Floats

    def take(self, which: Ints, other: "Local") -> None:
        """Take over what `other` says of the places `which`."""
        self.missing[which], self.change[which], self.curvature[which] = other.missing, other.change, other.curvature
        self.every[which], self.basis[which] = other.every, other.basis

    def seen(self, which: Ints, other: "Local") -> Floats:
        """(k, m, m + 1): the change at `other`, in the directions that this one tells of at its places `which`."""
        if not self.basis.size:
            return other.change
        held = other.change[:, self.basis.shape[1] :]
        return np.concatenate([self.basis[which] @ other.every, held], axis=1)


def local(closure: Closure, lines: Lines, places: Floats) -> Local:
    """As many equations as passive freedoms: redundant ones projected on the directions that they settle, held ones added."""
    equations = closure.equations
    at = walked(equations, freedoms_at(closure, lines, places))
    missing = residual(equations, at, lines.rows * places[-1]).T
    every = derivative(equations, at, tuple(range(len(equations.steps)))) / equations.arms[:, None]
    along = np.einsum("rkn,kn->rn", every, lines.freedoms * equations.arms[:, None])
    along[list(equations.drive_rows)] -= lines.rows
    change = np.concatenate([every[:, equations.passive], along[:, None]], axis=1).transpose(2, 0, 1)
    curvature = np.sqrt(np.einsum("rkn,k->n", every**2, closure.bend))
    whole = change
    settled = np.zeros((len(change), 0, equations.rows))
    if closure.redundant:
        settled = np.linalg.svd(change[:, :, :-1], full_matrices=False)[0][:, :, : closure.freedom.settled].transpose(0, 2, 1)
        missing, change = np.einsum("nsr,nr->ns", settled, missing), settled @ change
    if closure.held.size:
        fixed = np.concatenate([closure.held.T, np.zeros((closure.held.shape[1], 1))], axis=1)
        missing = np.concatenate([missing, (closure.held.T @ places[:-1]).T], axis=1)
        change = np.concatenate([change, np.broadcast_to(fixed, (len(change), *fixed.shape))], axis=1)
    return Local(missing, change, curvature, whole, settled)
