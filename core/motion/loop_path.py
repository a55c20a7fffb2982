"""How far a loop can be followed from the drawn pose along straight lines of drive values, and where it is on the way.

The curve of closed poses is followed by its own length (a step along the tangent, Newton's method back to the curve), so that it
may come to a turning point: beyond that the mechanism cannot be assembled. No step is longer than half the radius within which
the derivative keeps its rank, so that no step lands on another branch. Where that radius goes to nothing branches cross, and the
mechanism is at a dead centre. After Allgower and Georg, "Introduction to Numerical Continuation Methods" (from memory).
"""

from dataclasses import dataclass

import numpy as np

from core.motion.linkage import Floats
from core.motion.loop_local import Bools, Closure, Ints, Lines, Local, local

GOAL, TURNING_POINT, DEAD_CENTRE = 0, 1, 2
"""How a path ends."""

SURE = 0.5
"""Share of the radius of certain rank that a step takes."""
SHORTEST = 2e-4
"""Steps shorter than this share of the loop's size mean that branches cross: 0.01 degrees on the largest arm."""
FARTHEST_GUESS = 0.02
"""How far, as a share of the loop's size, beyond the last sure place a dead centre may be told."""
LONGEST = 0.2
STEPS = 5000
CORRECTIONS = 8
REFINEMENTS = 3
ON_CURVE = 1e-9
"""Distance from closure, as a share of the loop's size, at which a step is done."""


@dataclass(frozen=True, slots=True)
class Knots:
    """Places on the curve of closed poses, (m + 1, n) float, mm, and unit tangents there, the way along the line last."""

    places: Floats
    tangents: Floats

    def of(self, which: Ints | Bools) -> "Knots":
        """Some of the knots."""
        return Knots(self.places[:, which], self.tangents[:, which])


@dataclass(frozen=True, slots=True)
class Path:
    """How n lines were followed.

    before, last: the last two knots of each. end: (n,) int, how it ended. reach: (n,) float, mm along the line, where it ended
    (inf where the goal was passed). history: every step's (indices of lines, knots), in order, the drawn pose first.
    """

    before: Knots
    last: Knots
    end: Ints
    reach: Floats
    history: tuple[tuple[Ints, Knots], ...]


def follow(closure: Closure, lines: Lines, goals: Floats, *, keep: bool) -> Path:
    """Follow n lines from the drawn pose until each has passed its goal (n,), mm, or cannot go on. `keep`: with history."""
    return _Walk(closure, lines, goals, keep=keep).path()


class _Walk:
    """The state of `follow`: where each line is, how sure the last steps were."""

    def __init__(self, closure: Closure, lines: Lines, goals: Floats, *, keep: bool) -> None:
        n = len(goals)
        self._closure, self._lines, self._goals, self._keep = closure, lines, goals, keep
        self._size = closure.equations.size
        places = np.zeros((len(closure.equations.passive) + 1, n))
        tangents = np.zeros_like(places)
        tangents[-1] = 1.0
        self._now = local(closure, lines, places)
        self._last = Knots(places, tangents)
        self._before = Knots(places.copy(), tangents.copy())
        self._end = np.full(n, GOAL)
        self._reach = np.full(n, np.inf)
        self._ease = np.ones(n)
        self._sure = np.full((3, n), np.inf)
        self._where = np.zeros((3, n))
        self._history: list[tuple[Ints, Knots]] = []

    def path(self) -> Path:
        """Take steps until no line is left."""
        active = np.flatnonzero(self._goals > 0)
        if self._closure.at_dead_centre:
            self._end[active], self._reach[active] = DEAD_CENTRE, 0.0
            active = active[:0]
        for step in range(STEPS):
            if not len(active):
                break
            active = self._step(active, first=step == 0)
        self._stop(active, DEAD_CENTRE, self._last.places[-1, active])
        return Path(self._before, self._last, self._end, self._reach, tuple(self._history))

    def _step(self, active: Ints, *, first: bool) -> Ints:
        """One step for the lines `active`; those that go on."""
        bordered = bordered_by(self._now.change[active], self._last.tangents[:, active])
        inverse = np.linalg.inv(bordered)
        tangents = inverse[:, :, -1].T / np.linalg.norm(inverse[:, :, -1], axis=1)
        if first:
            self._last.tangents[:, active] = tangents
            self._record(active)
        certain = 1.0 / np.linalg.norm(inverse, axis=(1, 2))
        lengths = np.minimum(SURE * certain / (self._now.curvature[active] + 1e-300), LONGEST * self._size) * self._ease[active]
        self._sure[:, active] = [*self._sure[1:, active], certain]
        self._where[:, active] = [*self._where[1:, active], self._last.places[-1, active]]
        stuck = lengths < SHORTEST * self._size
        self._stop(active[stuck], DEAD_CENTRE, self._vanishing(active[stuck]))
        active, tangents, lengths = active[~stuck], tangents[:, ~stuck], lengths[~stuck]
        start = self._last.places[:, active]
        places, now, good = corrected(self._closure, self._lines.of(active), start + lengths * tangents, tangents)
        self._ease[active] = np.where(good, np.minimum(1.0, 2 * self._ease[active]), self._ease[active] / 4)
        going = self._moved(active[good], places[:, good], tangents[:, good], _some(now, good))
        left: Ints = np.sort(np.concatenate([active[~good], going]))
        return left

    def _moved(self, moved: Ints, places: Floats, tangents: Floats, now: Local) -> Ints:
        """Take over new knots of the lines `moved`; those that go on."""
        ahead = tangents_at(now, tangents)
        self._before.places[:, moved], self._before.tangents[:, moved] = self._last.of(moved).places, self._last.of(moved).tangents
        self._last.places[:, moved], self._last.tangents[:, moved] = places, ahead
        self._now.missing[moved], self._now.change[moved], self._now.curvature[moved] = now.missing, now.change, now.curvature
        turned = ahead[-1] <= 0
        if turned.any():
            self._turn(moved[turned])
        self._record(moved)
        going: Ints = moved[~turned & (places[-1] < self._goals[moved])]
        return going

    def _turn(self, turned: Ints) -> None:
        """Narrow the turning point between the last two knots, and end the lines there."""
        lines = self._lines.of(turned)
        low, high = self._before.of(turned), self._last.of(turned)
        for _ in range(REFINEMENTS):
            share = turning_share(low, high)
            guess, aim = between(low, high, share)
            places, now, _ = corrected(self._closure, lines, guess, aim)
            middle = Knots(places, tangents_at(now, aim))
            rising = middle.tangents[-1] > 0
            low = Knots(np.where(rising, middle.places, low.places), np.where(rising, middle.tangents, low.tangents))
            high = Knots(np.where(rising, high.places, middle.places), np.where(rising, high.tangents, middle.tangents))
        self._last.places[:, turned], self._last.tangents[:, turned] = low.places, low.tangents
        self._stop(turned, TURNING_POINT, between(low, high, turning_share(low, high))[0][-1])

    def _stop(self, which: Ints, end: int, reach: Floats) -> None:
        self._end[which], self._reach[which] = end, reach

    def _vanishing(self, which: Ints) -> Floats:
        """Where the radius of certain rank would be nothing, mm along the line: the parabola through its last three values."""
        sure, where = self._sure[:, which], self._where[:, which]
        falling = np.isfinite(sure[0]) & (sure[0] > sure[1]) & (sure[1] > sure[2])
        found = np.zeros(len(which))
        for own, one, other in ((0, 1, 2), (1, 0, 2), (2, 0, 1)):
            gaps = np.where(falling, (sure[one] - sure[own]) * (sure[other] - sure[own]), 1.0)
            found += where[own] * np.where(falling, sure[one] * sure[other], float(own == 2)) / gaps
        vanishing: Floats = np.clip(found, where[2], where[2] + FARTHEST_GUESS * self._size)
        return vanishing

    def _record(self, which: Ints) -> None:
        if self._keep:
            self._history.append((which, self._last.of(which)))


def _some(now: Local, which: Bools) -> Local:
    return Local(now.missing[which], now.change[which], now.curvature[which])


def bordered_by(change: Floats, tangents: Floats) -> Floats:
    """(n, m + 1, m + 1): the change with the tangent as its last row."""
    bordered: Floats = np.concatenate([change, tangents.T[:, None, :]], axis=1)
    return bordered


def tangents_at(now: Local, along: Floats) -> Floats:
    """(m + 1, n): unit tangents of the curve, on the side of `along`."""
    last = np.zeros((len(along.T), len(along), 1))
    last[:, -1] = 1.0
    found = np.linalg.solve(bordered_by(now.change, along), last)[:, :, 0]
    tangents: Floats = (found / np.linalg.norm(found, axis=1)[:, None]).T
    return tangents


def corrected(closure: Closure, lines: Lines, guess: Floats, aim: Floats) -> tuple[Floats, Local, Bools]:
    """Newton's method from `guess` (m + 1, n) to the curve, across `aim`; with what is there, and whether it got there."""
    places = guess.copy()
    size = closure.equations.size
    now = local(closure, lines, places)
    for _ in range(CORRECTIONS):
        if np.abs(now.missing).max(initial=0.0) < ON_CURVE * size:
            break
        wanted = np.concatenate([-now.missing, np.zeros((len(places.T), 1))], axis=1)
        places = places + np.linalg.solve(bordered_by(now.change, aim), wanted[:, :, None])[:, :, 0].T
        now = local(closure, lines, places)
    good = np.abs(now.missing).max(axis=1, initial=0.0) < ON_CURVE * size
    good &= np.abs(places - guess).max(axis=0, initial=0.0) < LONGEST * size
    return places, now, good


def between(low: Knots, high: Knots, share: Floats) -> tuple[Floats, Floats]:
    """Places and unit tangents on the cubic through two knots, at `share` (n,) of the way."""
    chord = np.linalg.norm(high.places - low.places, axis=0)
    one, two = low.tangents * chord, high.tangents * chord
    rise = high.places - low.places
    square, cube = 3 * rise - 2 * one - two, one + two - 2 * rise
    places = low.places + share * (one + share * (square + share * cube))
    slope = one + share * (2 * square + share * 3 * cube)
    length = np.linalg.norm(slope, axis=0)
    return places, slope / np.where(length > 0, length, 1.0)


def turning_share(low: Knots, high: Knots) -> Floats:
    """(n,) share of the way between two knots at which the cubic goes farthest along the line."""
    chord = np.linalg.norm(high.places - low.places, axis=0)
    one, two = (low.tangents * chord)[-1], (high.tangents * chord)[-1]
    rise = (high.places - low.places)[-1]
    square, cube = 3 * rise - 2 * one - two, one + two - 2 * rise
    root = np.sqrt(np.maximum(square**2 - 3 * cube * one, 0.0))
    share: Floats = np.clip(np.divide(one, root - square, out=np.full_like(one, 0.5), where=root - square > 0), 0.0, 1.0)
    return share
