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


class _Known(NamedTuple):
    """A point that the drives alone place, with how far what carries it has turned; scalars where it does not move."""

    at: Complexes | complex
    turn: Floats | float


def dyad_turns(equations: Equations, dyad: Dyad, freedoms: Floats) -> Floats:
    """(2, n) radians of the dyad's pivots since drawn, reduced to half a turn each way; NaN where the circles do not meet.

    freedoms: (K, n) with the driven ones set.
    """
    start, end = (_carried(equations, steps, freedoms, point) for steps, point in zip(dyad.before, dyad.points, strict=True))
    arm, back = dyad.pin - dyad.points[0], dyad.pin - dyad.points[1]
    between = np.asarray(end.at - start.at)
    square = between.real**2 + between.imag**2
    along = 0.5 + (abs(arm) ** 2 - abs(back) ** 2) / (2 * square)
    with np.errstate(invalid="ignore"):
        across = np.sqrt(abs(arm) ** 2 / square - along**2)
    to_pin = between * (along + 1j * (dyad.side * across))
    first = np.angle(to_pin * arm.conjugate())
    second = np.angle((to_pin - between) * back.conjugate())
    turns = np.empty((2, freedoms.shape[1]))
    turns[0] = first - start.turn
    turns[1] = second - (first if dyad.carried else 0.0) - (end.turn if not dyad.carried else 0.0)
    return turns


def _carried(equations: Equations, steps: Item, freedoms: Floats, point: complex) -> _Known:
    angle: Floats | float = 0.0
    rotor: Complexes | complex = 1.0 + 0j
    shift: Complexes | complex = 0j
    for column in steps:
        step, value = equations.steps[column], freedoms[column]
        if step.kind == "slide":
            shift = shift + rotor * step.along * value
        else:
            pin = rotor * step.at + shift
            angle = angle + value
            rotor = np.exp(1j * angle)
            shift = pin - rotor * step.at
    return _Known(rotor * point + shift, angle)


def unwound(turns: Floats, near: Floats) -> Floats:
    """The turns (2, n) plus as many whole ones as bring each nearest to `near` (2, n)."""
    whole: Floats = turns + 2 * np.pi * np.round((near - turns) / (2 * np.pi))
    return whole
