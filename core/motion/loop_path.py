"""How far a loop can be followed from the drawn pose along straight lines of drive values, and where it is on the way.

The curve of closed poses is followed by its own length (a step on along the cubic through the last two knots, Newton's method back
to the curve), so that it may come to a turning point: beyond that the mechanism cannot be assembled. A step holds where the
derivative changes by less than it takes to lose its rank on the way, and where Newton's method starts well inside the ball in which
its answer is the only one (Kantorovich); so no step lands on another branch. Where steps come to nothing branches cross, and the
mechanism is at a dead centre. After Allgower and Georg, "Introduction to Numerical Continuation Methods" (from memory).
"""

from dataclasses import dataclass

import numpy as np

from core.motion.linkage import Floats
from core.motion.loop_local import Bools, Closure, Ints, Lines, Local, freedoms_at, local

GOAL, TURNING_POINT, DEAD_CENTRE = 0, 1, 2
"""How a path ends."""

SURE = 0.5
"""Share of the radius of certain rank that a first step takes."""
CHANGE = 0.5
"""How much the derivative may change in a step, relative to itself: at 1 it may have lost its rank on the way."""
ONLY_ONE = 0.25
"""Newton's first step over the radius of certain rank; up to 0.5 the answer is the only one nearby (Kantorovich)."""
SWING = 0.5
"""No pivot turns by more in a step, radians."""
GROWTH, CUT = 2.0, 0.2
"""Bounds of how much longer or shorter the next step is."""
EASE = 0.7
SHORTEST = 2e-4
"""Steps shorter than this share of the loop's size mean that branches cross: 0.01 degrees on the largest arm."""
FARTHEST_GUESS = 0.02
"""How far, as a share of the loop's size, beyond the last sure place a dead centre may be told."""
LONGEST = 0.2
STEPS = 5000
CORRECTIONS = 8
REFINEMENTS = 8
LEVEL = 1e-7
"""Slope along the line at which a turning point is found; its place is then off by about the square."""
NEAR_THE_TURN = (0.5, 0.8, 0.95)
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
        self._lengths = np.full(n, np.inf)
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
        now, last = _some(self._now, active), self._last.of(active)
        inverse = inverted(bordered_by(now.change, last.tangents))
        if first:
            last = Knots(last.places, inverse[:, :, -1].T / np.linalg.norm(inverse[:, :, -1], axis=1))
            self._last.tangents[:, active] = last.tangents
            self._record(active)
            inverse = inverted(bordered_by(now.change, last.tangents))
        firm = np.linalg.norm(inverse, axis=(1, 2))
        certain = np.divide(1.0, firm, out=np.zeros_like(firm), where=firm > 0)
        self._remember(active, certain)
        radius = certain / (now.curvature + np.finfo(float).tiny)
        wanted = SURE * radius if first else self._lengths[active]
        swing = _fastest_swing(self._closure, self._lines.of(active), last.tangents)
        lengths = np.minimum(np.minimum(wanted, LONGEST * self._size), SWING / (swing + np.finfo(float).tiny))
        stuck = lengths < SHORTEST * self._size
        self._stop(active[stuck], DEAD_CENTRE, self._vanishing(active[stuck]))
        going = np.flatnonzero(~stuck)
        return self._tried(active[going], lengths[going], inverse[going], radius[going]) if len(going) else active[going]

    def _tried(self, active: Ints, lengths: Floats, inverse: Floats, radius: Floats) -> Ints:
        """Try a step of `lengths`; those that go on, from where they were if the step did not hold."""
        last = self._last.of(active)
        found = corrected(self._closure, self._lines.of(active), ahead(self._before.of(active), last, lengths), last.tangents)
        after = np.concatenate([self._now.seen(active, found.now), last.tangents.T[:, None, :]], axis=1)
        change = np.linalg.norm(np.eye(inverse.shape[1]) - inverse @ after, axis=(1, 2))
        only_one = found.first / np.maximum(radius, np.finfo(float).tiny)
        good = found.good & (change < CHANGE) & (only_one < ONLY_ONE)
        grow = EASE * np.minimum(CHANGE / (change + 1e-12), np.cbrt(ONLY_ONE / (only_one + 1e-12)))
        grow = np.where(np.isfinite(grow), grow, CUT)
        self._lengths[active] = lengths * np.clip(grow, CUT, np.where(good, GROWTH, EASE))
        going = self._moved(active[good], found.places[:, good], last.tangents[:, good], _some(found.now, good))
        left: Ints = np.sort(np.concatenate([active[~good], going]))
        return left

    def _remember(self, active: Ints, certain: Floats) -> None:
        """Keep the last three knots' certain rank, once a knot."""
        places = self._last.places[-1, active]
        new = (self._where[2, active] != places) | ~np.isfinite(self._sure[2, active])
        fresh = active[new]
        self._sure[:, fresh] = [*self._sure[1:, fresh], certain[new]]
        self._where[:, fresh] = [*self._where[1:, fresh], places[new]]

    def _moved(self, moved: Ints, places: Floats, tangents: Floats, now: Local) -> Ints:
        """Take over new knots of the lines `moved`; those that go on."""
        onward = tangents_at(now, tangents)
        self._take(moved, Knots(places, onward))
        self._now.take(moved, now)
        turned = onward[-1] <= 0
        if turned.any():
            self._turn(moved[turned])
        self._record(moved)
        going: Ints = moved[~turned & (places[-1] < self._goals[moved])]
        return going

    def _turn(self, turned: Ints) -> None:
        """Narrow the turning point between the last two knots, and end the lines there, with knots close before it."""
        lines = self._lines.of(turned)
        start = self._before.of(turned)
        low, high = start, self._last.of(turned)
        for _ in range(REFINEMENTS):
            top = self._knots(lines, low, high, turning_share(low, high))
            rising = top.tangents[-1] > 0
            low, high = either(rising, top, low), either(rising, high, top)
            if np.abs(top.tangents[-1]).max() < LEVEL:
                break
        # without a history the last two knots must stay around a goal that was passed in this step
        for share in NEAR_THE_TURN if self._keep else ():
            self._take(turned, self._knots(lines, start, top, np.full(len(turned), share)))
            self._record(turned)
        self._take(turned, top)
        if not self._keep:
            self._before.places[:, turned], self._before.tangents[:, turned] = start.places, start.tangents
        self._stop(turned, TURNING_POINT, top.places[-1])

    def _knots(self, lines: Lines, low: Knots, high: Knots, share: Floats) -> Knots:
        """Knots at `share` of the way between two others."""
        guess, aim = between(low, high, share)
        found = corrected(self._closure, lines, guess, aim)
        return Knots(found.places, tangents_at(found.now, aim))

    def _take(self, which: Ints, knots: Knots) -> None:
        last = self._last.of(which)
        self._before.places[:, which], self._before.tangents[:, which] = last.places, last.tangents
        self._last.places[:, which], self._last.tangents[:, which] = knots.places, knots.tangents

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


def _some(now: Local, which: Bools | Ints) -> Local:
    return Local(now.missing[which], now.change[which], now.curvature[which], now.every[which], now.basis[which])


def either(which: Bools, one: Knots, other: Knots) -> Knots:
    """`one` where `which`, else `other`."""
    return Knots(np.where(which, one.places, other.places), np.where(which, one.tangents, other.tangents))


def _fastest_swing(closure: Closure, lines: Lines, tangents: Floats) -> Floats:
    """(n,) radians a mm of the curve by which the fastest pivot turns."""
    pivots = [index for index, step in enumerate(closure.equations.steps) if step.kind == "pivot"]
    fastest: Floats = np.abs(freedoms_at(closure, lines, tangents)[pivots]).max(axis=0, initial=0.0)
    return fastest


def ahead(before: Knots, last: Knots, lengths: Floats) -> Floats:
    """(m + 1, n): places `lengths` mm on from `last`, along the cubic through both knots; on the tangent where they are one."""
    way = arc(before, last)
    alone = way == 0
    farther = between(before, last, 1.0 + lengths / np.where(alone, 1.0, way))[0]
    return np.where(alone, last.places + lengths * last.tangents, farther)


def bordered_by(change: Floats, tangents: Floats) -> Floats:
    """(n, m + 1, m + 1): the change with the tangent as its last row."""
    bordered: Floats = np.concatenate([change, tangents.T[:, None, :]], axis=1)
    return bordered


def inverted(square: Floats) -> Floats:
    """The inverses of (n, k, k); all zero where there is none, so that Newton's method stays and is seen not to arrive."""
    found: Floats = np.zeros(square.shape)
    try:
        found[:] = np.linalg.inv(square)
    except np.linalg.LinAlgError:
        regular = np.linalg.det(square) != 0
        found[regular] = np.linalg.inv(square[regular])
    return found


def tangents_at(now: Local, along: Floats) -> Floats:
    """(m + 1, n): unit tangents of the curve, on the side of `along`."""
    found = inverted(bordered_by(now.change, along))[:, :, -1]
    length = np.linalg.norm(found, axis=1)
    tangents: Floats = (found / np.where(length > 0, length, 1.0)[:, None]).T
    return tangents


@dataclass(frozen=True, slots=True)
class Corrected:
    """Places (m + 1, n) found by Newton's method, what is there, (n,) mm the length of its first step, and whether it got there."""

    places: Floats
    now: Local
    first: Floats
    good: Bools


def corrected(closure: Closure, lines: Lines, guess: Floats, aim: Floats) -> Corrected:
    """Newton's method from `guess` (m + 1, n) to the curve, across `aim`."""
    places, first = guess.copy(), np.zeros(guess.shape[1])
    size = closure.equations.size
    now = local(closure, lines, places)
    for turn in range(CORRECTIONS):
        if np.abs(now.missing).max(initial=0.0) < ON_CURVE * size:
            break
        wanted = np.concatenate([-now.missing, np.zeros((len(places.T), 1))], axis=1)
        step = (inverted(bordered_by(now.change, aim)) @ wanted[:, :, None])[:, :, 0].T
        places = places + step
        first = np.linalg.norm(step, axis=0) if turn == 0 else first
        now = local(closure, lines, places)
    good = np.abs(now.missing).max(axis=1, initial=0.0) < ON_CURVE * size
    good &= np.abs(places - guess).max(axis=0, initial=0.0) < LONGEST * size
    return Corrected(places, now, first, good)


def arc(low: Knots, high: Knots) -> Floats:
    """(n,) mm: about how long the curve is between two knots; the chord, and what an arc of a circle is longer by."""
    chord = np.linalg.norm(high.places - low.places, axis=0)
    way: Floats = chord * (1.0 + np.sum((high.tangents - low.tangents) ** 2, axis=0) / 24.0)
    return way


def between(low: Knots, high: Knots, share: Floats) -> tuple[Floats, Floats]:
    """Places and unit tangents on the cubic through two knots, at `share` (n,) of the way."""
    way = arc(low, high)
    one, two = low.tangents * way, high.tangents * way
    rise = high.places - low.places
    square, cube = 3 * rise - 2 * one - two, one + two - 2 * rise
    places = low.places + share * (one + share * (square + share * cube))
    slope = one + share * (2 * square + share * 3 * cube)
    length = np.linalg.norm(slope, axis=0)
    return places, slope / np.where(length > 0, length, 1.0)


def turning_share(low: Knots, high: Knots) -> Floats:
    """(n,) share of the way between two knots at which the cubic goes farthest along the line."""
    way = arc(low, high)
    one, two = (low.tangents * way)[-1], (high.tangents * way)[-1]
    rise = (high.places - low.places)[-1]
    square, cube = 3 * rise - 2 * one - two, one + two - 2 * rise
    root = np.sqrt(np.maximum(square**2 - 3 * cube * one, 0.0))
    share: Floats = np.clip(np.divide(one, root - square, out=np.full_like(one, 0.5), where=root - square > 0), 0.0, 1.0)
    return share
