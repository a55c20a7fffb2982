"""Where the passive freedoms of a loop lie over whole boxes of drive values, proved.

Over a box with centre c the passive freedoms are y_c + V (q - c) + e with |e| <= E: e solves e = -A (F(c) + rest),
where A is the inverse of dF/dy at the centre and rest is bounded to second order. Where the bound of the right side is
below E (Brouwer) and its slope contracts, exactly one branch lies in the tube, the one through the centre.
Source: Krawczyk's operator, in the form of Neumaier, "Interval methods for systems of equations" (1990), from memory.

Where joints have play, F(q, y, d) = 0 with the shifts d of their two sides (`core.clearance.shifts`), which count like drives that run
over their whole range in every box: y_c + V (q - c) + W d + e. A is then any left inverse of dF/dy, since every configuration makes
A F vanish whatever the other rows say; so the tube holds each configuration that the play allows, on the branch through its centre.
With redundant rods there are many left inverses. Each leans on other rods, and each tube holds all configurations.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.loop_rows import LoopRows, Rows
from core.clearance.motion_in_box import Floats
from core.tolerances import Tolerances

Bools = NDArray[np.bool_]

ROUNDS = 4
WIDEN = 1.25
NEWTON_ROUNDS = 3

HEED = 0.01
"""How much a left inverse that leans on one closing joint heeds the others, where that joint alone settles a freedom."""

NEAR_INVERSE = 1e-9
"""How far a left inverse times its matrix may be from one, element by element."""


class Tube(NamedTuple):
    """N boxes: centre (N, P) radians and mm, slope (N, P, D + S) per drive unit and shift, half (N, P); sure (N,): proved."""

    centre: Floats
    slope: Floats
    half: Floats
    sure: Bools


@dataclass(frozen=True, slots=True, eq=False)
class Enclosing:
    """A loop ready to be enclosed. rows: which of the equations settle the passive freedoms; spare: the redundant ones.

    weights: (R,) of the equations in a left inverse of them all, for loops with play; None: `rows` alone are heeded.
    """

    equations: LoopRows
    drawn: Floats
    rows: tuple[int, ...]
    spare: tuple[int, ...]
    tolerances: Tolerances
    weights: Floats | None = None

    def over(self, guess: Floats, *, centre: Floats, half: Floats) -> Tube:
        """Enclose over boxes of the loop's drives, centre and half (N, D). guess: (N, P) passive freedoms at the centres."""
        shifts = self.equations.shifts
        if len(shifts):
            centre = np.concatenate([centre, np.zeros((len(centre), len(shifts)))], axis=1)
            half = np.concatenate([half, np.tile(shifts, (len(half), 1))], axis=1)
        with np.errstate(all="ignore"):
            at = _At(self, guess, centre)
            for _ in range(NEWTON_ROUNDS):
                at = _At(self, at.passive + at.correction, centre)
            return at.tube(half)

    @property
    def heeded(self) -> list[int]:
        """The equations that the inverse uses."""
        return list(self.rows) if self.weights is None else [*range(len(self.equations.sought))]

    def leaning(self) -> tuple["Enclosing", ...]:
        """The ways to enclose a loop with play: one, or where rods are redundant one that leans on each closing joint."""
        joint = np.array(self.equations.joint_of_row)
        if not self.spare or len(set(joint.tolist())) == 1:
            return (self if not self.spare else replace(self, weights=np.ones(len(joint))),)
        return tuple(replace(self, weights=np.where(joint == number, 1.0, HEED)) for number in range(joint.max() + 1))

    def misfit(self, guess: Floats, *, centre: Floats, half: Floats) -> Floats:
        """(N,) mm: proved bound of what the redundant equations miss over the boxes; inf where no tube is proved."""
        tube = self.over(guess, centre=centre, half=half)
        with np.errstate(all="ignore"):
            at = _At(self, tube.centre, centre)
            found = at.rows_over(np.concatenate([half, tube.half], axis=1))
            spare = list(self.spare)
            moves = np.einsum("nsj,nj->ns", np.abs(found.slope[:, spare]), np.concatenate([half, tube.half], axis=1))
            bound = np.max(np.abs(at.missed[:, spare]) + moves + found.rest[:, spare], axis=1, initial=0.0)
        return np.where(tube.sure, bound, np.inf)


class _At:
    """The loop at N places: what is missing, the inverse of its change with the passive freedoms, and how they follow."""

    def __init__(self, loop: Enclosing, passive: Floats, centre: Floats) -> None:
        own, equations = list(loop.equations.passive), loop.equations
        self.loop = loop
        self.passive = passive
        self.freedoms = (centre - loop.drawn) @ equations.moved.T
        self.freedoms[:, own] += passive
        count, every = self.freedoms.shape
        still, each = np.zeros((count, every)), np.broadcast_to(np.eye(every), (count, every, every))
        found = equations.over(self.freedoms, still, each)
        self.missed = found.value - (centre - loop.drawn) @ equations.sought.T
        chosen = loop.heeded
        matrices = found.slope[:, chosen][:, :, own]
        self.inverse, self.regular = _inverses(matrices) if loop.weights is None else _left_inverses(matrices, loop.weights)
        self.correction = -np.einsum("npr,nr->np", self.inverse, self.missed[:, chosen])
        by_drive = found.slope @ equations.moved - equations.sought
        self.slope = -np.einsum("npr,nrd->npd", self.inverse, by_drive[:, chosen])
        self._mix = self._followed(own)

    def _followed(self, own: list[int]) -> Floats:
        """(N, F, D + P): how the freedoms move with each drive, the passive ones following, and with each error."""
        moved = self.loop.equations.moved
        count, drives = len(self.freedoms), moved.shape[1]
        mix = np.zeros((count, len(moved), drives + len(own)))
        mix[:, :, :drives] = moved
        mix[:, own, :drives] += self.slope
        mix[:, own, range(drives, drives + len(own))] = 1.0
        return mix

    def rows_over(self, half: Floats) -> Rows:
        """The equations over drives and errors within half (N, D + P); slopes with what drives ask taken off."""
        found = self.loop.equations.over(self.freedoms, half, self._mix)
        found.slope[:, :, : self.slope.shape[2]] -= self.loop.equations.sought
        return found

    def tube(self, half: Floats) -> Tube:
        """Enclose over +- half (N, D) of the drives."""
        chosen = self.loop.heeded
        size, missed = np.abs(self.inverse), np.abs(self.missed[:, chosen])
        # Rods that conflict miss much while A F vanishes; where none are redundant both are nothing but rounding.
        kept = np.zeros_like(self.passive) if self.loop.weights is None else np.abs(self.correction)
        missed = missed if self.loop.weights is None else np.zeros_like(missed)

        def pushed(error: Floats) -> Floats:
            rest = self.rows_over(np.concatenate([half, error], axis=1)).rest[:, chosen]
            answer: Floats = np.einsum("npr,nr->np", size, missed + rest)
            return answer if self.loop.weights is None else answer + kept

        error = pushed(np.zeros_like(self.passive)) * WIDEN + self.loop.tolerances.arithmetic
        for _ in range(ROUNDS):
            error = np.maximum(error, pushed(error) * WIDEN)
        sure = self.regular & np.all(pushed(error) < error, axis=1) & _contracts(pushed, error)
        return Tube(self.passive, self.slope, error, sure & np.all(np.isfinite(error), axis=1))


def _contracts(pushed: Callable[[Floats], Floats], error: Floats) -> Bools:
    """Whether the map of the tube into itself contracts, in the norm weighted by `error` (N, P).

    The bound of the rest is convex in the half-widths, so a difference quotient bounds the derivative from above.
    """
    here, total = pushed(error), np.zeros_like(error)
    for column in range(error.shape[1]):
        wider = error.copy()
        wider[:, column] *= 2
        total += pushed(wider) - here
    contracts: Bools = np.all(total < error, axis=1)
    return contracts


def enclosing(equations: LoopRows, *, drawn: Floats, tolerances: Tolerances) -> Enclosing | None:
    """Ready a loop to be enclosed, or None where its freedoms are not settled at the drawn pose (a dead centre, or undriven).

    drawn: (D,) of the loop's drives.
    """
    count = len(equations.moved)
    still = np.zeros((1, count))
    slope = equations.over(still, still, np.eye(count)[None]).slope[0]
    by_passive = slope[:, list(equations.passive)]
    rows = _independent(by_passive, tolerances=tolerances)
    if len(rows) < len(equations.passive) or not rows:
        return None
    spare = tuple(row for row in range(len(slope)) if row not in rows)
    return Enclosing(equations, drawn, rows, spare, tolerances)


def _independent(matrix: Floats, *, tolerances: Tolerances) -> tuple[int, ...]:
    """Rows that span all, the strongest first taken (Gram-Schmidt with pivoting), told in order."""
    left, chosen = matrix.copy(), []
    floor = np.linalg.norm(matrix, axis=1).max(initial=0.0) * tolerances.touch
    for _ in range(min(matrix.shape)):
        sizes = np.linalg.norm(left, axis=1)
        row = int(np.argmax(sizes))
        if sizes[row] <= floor:
            break
        chosen.append(row)
        unit = left[row] / sizes[row]
        left = left - np.outer(left @ unit, unit)
    return tuple(sorted(chosen))


def _inverses(matrices: Floats, *, least: float = 1e-12) -> tuple[Floats, Bools]:
    """Inverses (N, P, P), and whether each matrix has one worth the name: a determinant, scaled, above `least`."""
    sizes = np.abs(matrices).max(axis=(1, 2), initial=1e-300)
    determinants = np.linalg.det(matrices / sizes[:, None, None])
    regular = np.isfinite(determinants) & (np.abs(determinants) > least)
    safe = np.where(regular[:, None, None], matrices, np.eye(matrices.shape[1]))
    return np.linalg.inv(safe), regular


def _left_inverses(matrices: Floats, weights: Floats) -> tuple[Floats, Bools]:
    """Left inverses (N, P, R) of (N, R, P), rows weighed by (R,), and whether each is one indeed."""
    sizes = np.maximum(np.linalg.norm(matrices, axis=1, keepdims=True), 1e-300)
    weighed = matrices / sizes * weights[:, None]
    squares, regular = _inverses(np.einsum("nrp,nrs->nps", weighed, weighed), least=1e-60)
    found = squares @ (weighed * weights[:, None]).transpose(0, 2, 1) / sizes.transpose(0, 2, 1)
    one = np.eye(matrices.shape[2])
    found = (2 * one - found @ matrices) @ found
    return found, regular & np.all(np.abs(found @ matrices - one) <= NEAR_INVERSE, axis=(1, 2))
