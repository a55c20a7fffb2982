"""Two links between two known points, closed by where two circles meet: the passive pivots of a four-bar in closed form."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from core.motion.linkage import Floats
from core.motion.loop_equations import Complexes, Equations, Item

HALF_TURN = 2.6
"""Radians; turns that stay within it since drawn need no look at how often they went round."""


@dataclass(frozen=True, slots=True)
class Dyad:
    """Two links that hold on to known points and to each other.

    columns: the passive pivots, in the order of the loop's steps. before: for each known point the steps before it. points: both as
    drawn. pin: where the links meet, as drawn. carried: the second pivot is the pin itself, turning on the first link; else each
    pivot is one of the known points.
    """

    columns: tuple[int, int]
    before: tuple[Item, Item]
    points: tuple[complex, complex]
    pin: complex
    carried: bool

    @property
    def side(self) -> float:
        """1 where the pin lies left of the way from the first point to the second, as drawn, else -1: that stays so."""
        along = self.points[1] - self.points[0]
        return 1.0 if ((self.pin - self.points[0]) * along.conjugate()).imag > 0 else -1.0


def dyad_of(equations: Equations) -> Dyad | None:
    """The dyad that closes a loop, or None where something else does."""
    if len(equations.loop.closing) != 1 or len(equations.passive) != 2 or equations.rows != 2:
        return None
    (closing,) = equations.loop.closing
    if closing.kind != "pivot" or any(equations.steps[column].kind != "pivot" for column in equations.passive):
        return None
    one, other = sorted((equations.paths[group] for group in closing.groups), key=lambda path: path[-1:] != equations.passive[:1])
    first, second = equations.passive
    own = {first, second}
    if one[-1:] == (first,) and other[-1:] == (second,) and not own & {*one[:-1], *other[:-1]}:
        points = (equations.steps[first].at, equations.steps[second].at)
        return Dyad((first, second), (one[:-1], other[:-1]), points, closing.at, carried=False)
    long, short = (one, other) if second in one else (other, one)
    if long[-2:] == (first, second) and not own & {*long[:-2], *short}:
        return Dyad((first, second), (long[:-2], short), (equations.steps[first].at, closing.at), equations.steps[second].at, carried=True)
    return None


Rotors = list[Complexes | None]
"""exp(i turn) (n,) of what each freedom of a loop carries, in the frame of the loop's root; None where nothing turns it."""


class _Known(NamedTuple):
    """A point that the drives alone place, with how far what carries it has turned; scalars where it does not move."""

    at: Complexes | complex
    turn: Floats | float


class DyadTurns(NamedTuple):
    """turns: (2, n) radians of the dyad's pivots since drawn, reduced to half a turn each way; NaN where the circles do not meet.

    rotors: of all groups on the loop, which saves whoever poses them the sines.
    """

    turns: Floats
    rotors: Rotors


def dyad_turns(equations: Equations, dyad: Dyad, freedoms: Floats) -> DyadTurns:
    """Close the dyad. freedoms: (K, n) with the driven ones set."""
    rotors: Rotors = [None] * len(equations.steps)
    start, end = (_carried(equations, steps, freedoms, point, rotors) for steps, point in zip(dyad.before, dyad.points, strict=True))
    arm, back = dyad.pin - dyad.points[0], dyad.pin - dyad.points[1]
    # Arrays are used again where they can be: fetching fresh memory takes longer than the arithmetic.
    between = np.full(freedoms.shape[1], end.at - start.at, dtype=np.complex128)
    square = between.real**2
    square += between.imag**2
    to_pin = np.empty_like(between)
    np.divide((abs(arm) ** 2 - abs(back) ** 2) / 2, square, out=to_pin.real)
    to_pin.real += 0.5
    np.divide(abs(arm) ** 2, square, out=square)
    square -= to_pin.real**2
    with np.errstate(invalid="ignore"):
        np.multiply(np.sqrt(square, out=square), dyad.side, out=to_pin.imag)
    to_pin *= between
    back_to_pin = np.subtract(to_pin, between, out=between)
    # Both are as long as their links, but for rounding.
    first, second = np.multiply(to_pin, 1 / arm, out=to_pin), np.multiply(back_to_pin, 1 / back, out=back_to_pin)
    turns = np.empty((2, len(first)))
    np.arctan2(first.imag, first.real, out=turns[0])
    np.arctan2(second.imag, second.real, out=turns[1])
    turns[1] -= turns[0] if dyad.carried else end.turn
    turns[0] -= start.turn
    rotors[dyad.columns[0]], rotors[dyad.columns[1]] = first, second
    return DyadTurns(turns, rotors)


def _carried(equations: Equations, steps: Item, freedoms: Floats, point: complex, rotors: Rotors) -> _Known:
    """Where the drives take a point; the rotors after each of the steps are set."""
    angle: Floats | float = 0.0
    rotor: Complexes | None = None
    shift: Complexes | complex = 0j
    for column in steps:
        step, value = equations.steps[column], freedoms[column]
        if step.kind == "slide":
            shift = shift + value * step.along if rotor is None else shift + rotor * step.along * value
        else:
            pin = (step.at if rotor is None else rotor * step.at) + shift
            angle = angle + value
            rotor = np.exp(1j * angle)
            shift = pin - rotor * step.at
        rotors[column] = rotor
    return _Known((point if rotor is None else rotor * point) + shift, angle)


def unwound(turns: Floats, near: Floats) -> Floats:
    """The turns (2, n) plus as many whole ones as bring each nearest to `near` (2, n)."""
    whole: Floats = near - turns
    whole /= 2 * np.pi
    np.round(whole, out=whole)
    whole *= 2 * np.pi
    whole += turns
    return whole
