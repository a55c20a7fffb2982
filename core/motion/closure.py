"""Where a loop is at given drive values: its passive freedoms, whether they can be reached, and what joints miss each other by."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.motion.dyad import HALF_TURN, dyad_turns, unwound
from core.motion.linkage import Floats, Loop
from core.motion.loop_equations import Complexes, Equations, derivative, residual, walked
from core.motion.loop_local import Bools, Closure, Ints, Lines, freedoms_at, lines_along, local
from core.motion.loop_path import DEAD_CENTRE, GOAL, ON_CURVE, Knots
from core.motion.loop_track import known_closure, led, track_to, tracked
from core.motion.play import has_reach, inside_slots, parted, taken_up
from core.tolerances import Tolerances

POLISHES = 12
SETTLED = 1e-7
"""A last Newton step below this share of the loop's size leaves an error of about its square."""
DRIFT = 0.02
"""How far from the followed curve, as a share of the loop's size, the closed pose may be found."""
BATCH = 4096
"""Positions closed at a time, so that the arrays stay near the processor."""


@dataclass(frozen=True, slots=True)
class Closed:
    """A loop at n positions.

    freedoms: (K, n) float, radians and mm, of the loop's steps. end: (n,) int, GOAL where the position was reached along the
    straight line from the drawn pose, else why not; the freedoms, driven ones too, are then those of the last place reached.
    misfit: (n,) mm, what joints miss each other by, 0 where the loop closes, and at the last place reached. fits: where it
    closes within the tolerance `misfit` or within what the joints' play takes up. in_slots: where every pin is inside the reach
    of its slot. rotors: for each freedom exp(i turn), (n,), of what it carries in the frame of the loop's root, None where nothing
    turns that; empty where they were not met on the way, and for more than `BATCH` positions.
    """

    freedoms: Floats
    end: Ints
    misfit: Floats
    fits: Bools
    in_slots: Bools
    rotors: Sequence[Complexes | None] = ()

    @property
    def reached(self) -> Bools:
        """(n,) where the loop can be brought to the position."""
        reached: Bools = (self.end == GOAL) & self.fits & self.in_slots
        return reached


def closed(loop: Loop, moved: Floats, tolerances: Tolerances) -> Closed:
    """The loop at n positions; `moved` is (n, D) float, drive values less drawn values, drive units; n may be 0."""
    parts = [_closed(loop, moved[first : first + BATCH], tolerances) for first in range(0, max(len(moved), 1), BATCH)]
    if len(parts) == 1:
        return parts[0]
    return Closed(
        np.concatenate([part.freedoms for part in parts], axis=1),
        np.concatenate([part.end for part in parts]),
        np.concatenate([part.misfit for part in parts]),
        np.concatenate([part.fits for part in parts]),
        np.concatenate([part.in_slots for part in parts]),
    )


def _closed(loop: Loop, moved: Floats, tolerances: Tolerances) -> Closed:
    found = _by_circles(loop, moved, tolerances)
    return _by_newton(loop, moved, tolerances) if found is None else found


def _by_circles(loop: Loop, moved: Floats, tolerances: Tolerances) -> Closed | None:
    """A loop that a dyad closes, along one direction of drive values; None where it is none, or not all of that is reached."""
    closure = known_closure(loop, tolerances)
    equations, dyad = closure.equations, closure.dyad
    if dyad is None or closure.redundant or closure.held.size or not moved[:, equations.drives].any():
        return None
    direction = _common_direction(moved, equations.drives)
    if direction is None:
        return None
    pace = lines_along(closure, direction[None, :]).pace
    if not pace[0]:
        return None
    places = moved @ direction * pace
    known = track_to(loop, places, direction, tolerances)
    if places.max() > known.high or places.min() < known.low or known.knots.places.shape[1] < 2:
        return None
    freedoms = np.zeros((len(equations.steps), len(moved)))
    for column in equations.driven:
        step = equations.steps[column]
        for drive, ratio in step.ratios:
            freedoms[column] += moved[:, drive] * (ratio if step.kind == "slide" else math.radians(ratio))
    turns, rotors = dyad_turns(equations, dyad, freedoms)
    if np.isnan(turns).any():
        return None
    freedoms[list(dyad.columns)] = _turns_near(turns, known.knots, equations, places)
    end = np.full(len(moved), GOAL)
    if has_reach(loop):
        return replace(_judged(closure, freedoms, np.zeros((0, len(moved))), end, tolerances), rotors=rotors)
    closes = np.ones(len(moved), dtype=bool)
    return Closed(freedoms, end, np.zeros(len(moved)), closes, closes, rotors)


def _turns_near(turns: Floats, knots: Knots, equations: Equations, places: Floats) -> Floats:
    """Turns (2, n) as often round as the followed curve is at `places` (n,)."""
    curve = knots.places[:-1] / equations.arms[list(equations.passive), None]
    if np.abs(curve).max() < HALF_TURN:
        return unwound(turns, np.zeros((2, 1)))
    along = knots.places[-1]
    return unwound(turns, np.stack([np.interp(places, along, row) for row in curve]))


def _by_newton(loop: Loop, moved: Floats, tolerances: Tolerances) -> Closed:
    closure = known_closure(loop, tolerances)
    lines = lines_along(closure, moved)
    places = np.zeros((len(closure.equations.passive) + 1, len(moved)))
    places[-1] = lines.pace
    end = np.full(len(moved), GOAL)
    if len(places) > 1 and lines.pace.any():
        direction = _common_direction(moved, closure.equations.drives)
        if direction is None:
            near, end = led(closure, lines)
        else:
            pace = lines_along(closure, direction[None, :]).pace
            near, end = tracked(loop, moved @ direction * pace, direction, tolerances)
        places[:-1] = near[:-1]
        places[-1] = np.where(end == GOAL, lines.pace, np.abs(near[-1]))
        places, settled = polished(closure, lines, places, end == GOAL)
        end = np.where(settled | (end != GOAL), end, DEAD_CENTRE)
    return _judged(closure, freedoms_at(closure, lines, places), lines.rows * places[-1], end, tolerances)


def _common_direction(moved: Floats, drives: tuple[int, ...]) -> Floats | None:
    """(D,) unit direction of the loop's drives that all positions lie on, from the drawn values; None where they lie apart."""
    if len(drives) == 1:
        alone = np.zeros(moved.shape[1])
        alone[drives[0]] = 1.0
        return alone
    own = np.zeros_like(moved)
    own[:, drives] = moved[:, drives]
    longest = own[np.argmax(np.abs(own).sum(axis=1))]
    direction: Floats = longest / np.linalg.norm(longest) * math.copysign(1.0, longest[np.flatnonzero(longest)[0]])
    off = own - np.outer(own @ direction, direction)
    together = bool(np.abs(off).max() <= np.finfo(float).eps * 8 * np.abs(longest).max())
    return direction if together else None


def polished(closure: Closure, lines: Lines, places: Floats, wanted: Bools) -> tuple[Floats, Bools]:
    """Newton's method in the passive freedoms alone, from places near closure; where it settled. Unwanted ones stay."""
    size = closure.equations.size
    found, active = places.copy(), np.flatnonzero(wanted)
    settled, near = ~wanted, np.zeros(len(wanted), dtype=bool)
    for turn in range(POLISHES):
        if not len(active):
            break
        step, missing = _newton_step(closure, lines if len(active) == len(wanted) else lines.of(active), found[:, active])
        if turn == 0:
            near[active] = missing <= ON_CURVE * size
        found[:-1, active] += step
        length = np.abs(step).max(axis=0)
        settled[active[length <= SETTLED * size]] = True
        active = active[(length > SETTLED * size) & np.isfinite(length)]
    settled &= np.abs(found - places).max(axis=0) <= DRIFT * size
    return np.where(settled, found, places), settled | near


def _newton_step(closure: Closure, lines: Lines, places: Floats) -> tuple[Floats, Floats]:
    """(m, n) the next step of the passive freedoms, scaled, and (n,) mm, what is missing before it; inf where there is none."""
    equations = closure.equations
    if closure.redundant or closure.held.size:
        here = local(closure, lines, places)
        change, missing = here.change[:, :, :-1].transpose(1, 2, 0), here.missing.T
    else:
        at = walked(equations, freedoms_at(closure, lines, places))
        missing = residual(equations, at, lines.rows * places[-1])
        change = derivative(equations, at, equations.passive) / equations.arms[list(equations.passive), None]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        step = _solved(change, -missing)
    return np.where(np.isfinite(step), step, np.inf), np.abs(missing).max(axis=0)


def _solved(change: Floats, wanted: Floats) -> Floats:
    """(m, n): change (m, m, n) times it is `wanted`; not finite where the change is singular."""
    found: Floats = np.full(wanted.shape, np.inf)
    if len(wanted) == 1:
        np.divide(wanted, change[0], out=found)
        return found
    if len(wanted) == 2:
        # what most loops have, and ten times faster than the library's way
        (a, b), (c, d) = change
        one, other = wanted
        np.divide([d * one - b * other, a * other - c * one], a * d - b * c, out=found)
        return found
    square, right = change.transpose(2, 0, 1), wanted.T[:, :, None]
    try:
        found[:] = np.linalg.solve(square, right)[:, :, 0].T
    except np.linalg.LinAlgError:
        regular = np.linalg.det(square) != 0
        found[:, regular] = np.linalg.solve(square[regular], right[regular])[:, :, 0].T
    return found


def _judged(closure: Closure, freedoms: Floats, rows: Floats, end: Ints, tolerances: Tolerances) -> Closed:
    """What a position is worth: only loops that may miss and slots that may end are looked at again."""
    equations = closure.equations
    n = freedoms.shape[1]
    misfit, fits, in_slots = np.zeros(n), np.ones(n, dtype=bool), np.ones(n, dtype=bool)
    some = np.arange(n) if closure.redundant else np.flatnonzero(end != GOAL)
    if len(some):
        apart = parted(equations, walked(equations, freedoms[:, some]), rows[:, some])
        misfit[some] = apart.max(axis=0)
        fits[some] = (apart <= np.maximum(taken_up(equations, np.array(equations.loop.plays)), tolerances.misfit)[:, None]).all(axis=0)
    if has_reach(equations.loop):
        in_slots = inside_slots(equations, freedoms, walked(equations, freedoms), slack=tolerances.touch) >= 0
    return Closed(freedoms, end, misfit, fits, in_slots)
