"""A loop followed once along a line of drive values, both ways, and read off wherever it is asked for."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.motion.linkage import Floats, Loop
from core.motion.loop_local import Bools, Closure, Ints, Lines, closure_of, lines_along
from core.motion.loop_path import DEAD_CENTRE, GOAL, Knots, between, corrected, either, follow, tangents_at
from core.tolerances import Tolerances

STEEP = 0.3
"""Where the curve goes on by less than this share along the line, the place is sought on the curve, not read off the line."""
HALVINGS = 45
NARROWINGS = 2


@dataclass(frozen=True, slots=True)
class Track:
    """Knots in the order along a line, places counted from the drawn pose; low, high: mm along it, where it ends (or +-inf)."""

    knots: Knots
    low: float
    high: float
    low_end: int
    high_end: int


@lru_cache(maxsize=128)
def known_closure(loop: Loop, tolerances: Tolerances) -> Closure:
    """The closure of a loop, kept for loops seen before."""
    return closure_of(loop, tolerances)


@lru_cache(maxsize=256)
def track(loop: Loop, direction: tuple[float, ...], goals: tuple[float, float], tolerances: Tolerances) -> Track:
    """Follow `loop` along `direction` (drive units for one unit of the line) to goals > 0, mm backwards and forwards."""
    closure = known_closure(loop, tolerances)
    lines = lines_along(closure, np.array([direction, direction]) * [[-1.0], [1.0]])
    path = follow(closure, lines, np.array(goals), keep=True)
    sides = [[knots.of(which == side) for which, knots in path.history if side in which] for side in (0, 1)]
    if not sides[0]:
        sides = [[Knots(path.last.places[:, :1], path.last.tangents[:, :1])]] * 2
    ordered = [*(_mirrored(knot) for knot in reversed(sides[0][1:])), *sides[1]]
    knots = Knots(np.hstack([knot.places for knot in ordered]), np.hstack([knot.tangents for knot in ordered]))
    return Track(knots, -float(path.reach[0]), float(path.reach[1]), int(path.end[0]), int(path.end[1]))


def _mirrored(knot: Knots) -> Knots:
    """A knot of the way backwards as one of the way forwards."""
    back = np.ones_like(knot.places)
    back[-1] = -1.0
    return Knots(knot.places * back, -knot.tangents * back)


def tracked(loop: Loop, places: Floats, direction: Floats, tolerances: Tolerances) -> tuple[Floats, Ints]:
    """Where the curve is at `places` (n,) mm along `direction`, and how each place ends.

    The answer is near (m + 1, n): passive freedoms, scaled, then the way along, for places that are not reached at the last knot.
    """
    found = track_to(loop, places, direction, tolerances)
    end = np.where(places > found.high, found.high_end, np.where(places < found.low, found.low_end, GOAL))
    along = found.knots.places[-1]
    if len(along) == 1:
        return np.zeros((len(found.knots.places), len(places))), np.where(places == 0, GOAL, DEAD_CENTRE)
    inside = np.where(end == GOAL, places, np.clip(places, along[0], along[-1]))
    after = np.clip(np.searchsorted(along, inside), 1, len(along) - 1)
    line = lines_along(known_closure(loop, tolerances), direction[None, :]).of(np.zeros(len(inside), dtype=np.int64))
    low, high = narrowed(known_closure(loop, tolerances), line, (found.knots.of(after - 1), found.knots.of(after)), inside)
    return np.vstack([read_off(low, high, inside), inside]), end


def track_to(loop: Loop, places: Floats, direction: Floats, tolerances: Tolerances) -> Track:
    """The loop followed along `direction` as far as all `places` (n,) mm, or as it goes; n may not be 0."""
    goals = tuple(_goal(float(farthest)) for farthest in (-places.min(), places.max()))
    return track(loop, tuple(direction.tolist()), (goals[0], goals[1]), tolerances)


def _goal(farthest: float) -> float:
    """A power of the root of two, so that nearby questions share a track."""
    return float(2.0 ** (np.ceil(2 * np.log2(max(farthest, 1.0))) / 2))


def led(closure: Closure, lines: Lines) -> tuple[Floats, Ints]:
    """Places (m + 1, n) near the ends of n lines, each followed by itself, and how each ends; short ones at their last knot."""
    path = follow(closure, lines, lines.pace, keep=False)
    end = np.where(path.reach < lines.pace, path.end, GOAL)
    inside = np.where(end == GOAL, lines.pace, np.minimum(lines.pace, path.last.places[-1]))
    low, high = narrowed(closure, lines, (path.before, path.last), inside)
    return np.vstack([read_off(low, high, inside), inside]), end


def narrowed(closure: Closure, lines: Lines, around: tuple[Knots, Knots], places: Floats) -> tuple[Knots, Knots]:
    """Knots closer around `places` (n,) where the curve is steep: there what the cubic is off by may be more than Newton's method mends."""
    low, high = around
    steep = np.flatnonzero(_steep(low, high) & (low.places[-1] < places) & (places < high.places[-1]))
    if not len(steep):
        return around
    lines, places = lines.of(steep), places[steep]
    near, far = low.of(steep), high.of(steep)
    for _ in range(NARROWINGS):
        guess, aim = between(near, far, _share(near, far, places))
        found = corrected(closure, lines, guess, aim)
        knot = Knots(found.places, tangents_at(found.now, aim))
        short = knot.places[-1] < places
        near, far = either(found.good & short, knot, near), either(found.good & ~short, knot, far)
    return _with(low, steep, near), _with(high, steep, far)


def _with(knots: Knots, which: Ints, other: Knots) -> Knots:
    places, tangents = knots.places.copy(), knots.tangents.copy()
    places[:, which], tangents[:, which] = other.places, other.tangents
    return Knots(places, tangents)


def _steep(low: Knots, high: Knots) -> Bools:
    """(n,) where the curve between two knots goes on, and slowly, along the line."""
    steep: Bools = (high.places[-1] > low.places[-1]) & (np.minimum(low.tangents[-1], high.tangents[-1]) < STEEP)
    return steep


def read_off(low: Knots, high: Knots, places: Floats) -> Floats:
    """(m, n): the cubic through two knots at `places` (n,) mm along the line; beyond the second on its tangent."""
    rise = high.places[-1] - low.places[-1]
    flat = rise <= 0
    rise = np.where(flat, 1.0, rise)
    share = (places - low.places[-1]) / rise
    slopes = [knots.tangents[:-1] / np.where(np.abs(knots.tangents[-1]) < STEEP, 1.0, knots.tangents[-1]) for knots in (low, high)]
    one, two = (slope * rise for slope in slopes)
    apart = high.places[:-1] - low.places[:-1]
    inner = low.places[:-1] + share * (one + share * (3 * apart - 2 * one - two + share * (one + two - 2 * apart)))
    found = np.where(share > 1, high.places[:-1] + (share - 1) * two, np.where(share < 0, low.places[:-1] + share * one, inner))
    found = np.where(flat, high.places[:-1], found)
    steep = _steep(low, high)
    if steep.any():
        ends = low.of(steep), high.of(steep)
        found[:, steep] = between(*ends, _share(*ends, places[steep]))[0][:-1]
    return found


def _share(low: Knots, high: Knots, places: Floats) -> Floats:
    """(n,) share of the way, by the length of the curve, where the cubic passes `places`, by halving."""
    near, far = np.zeros(len(places)), np.ones(len(places))
    for _ in range(HALVINGS):
        middle = (near + far) / 2
        short = between(low, high, middle)[0][-1] < places
        near, far = np.where(short, middle, near), np.where(short, far, middle)
    return np.asarray((near + far) / 2)
