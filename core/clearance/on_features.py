"""Points near grown outlines put exactly on the features they lie on: corners and edges of cores, at their radius.

A grown outline is made of chords; the way out of an overlap is asked for without their error.
"""

from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from core.tolerances import Tolerances

Complexes = NDArray[np.complex128]
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROUNDS = 12
STRAY = 0.1
"""mm, how far from where it began a point may end, besides the chords' error: beyond, it has gone to another feature."""


class Cores(NamedTuple):
    """Convex cores of several pairs of shapes, by pair. away: (n,) mm from the origin. radius: of each pair, mm, by its number."""

    hulls: NDArray[np.object_]
    owner: Ints
    away: Floats
    radius: Floats

    def of(self, pairs: Ints) -> "Cores":
        """The cores of the chosen pairs, which keep their numbers."""
        chosen = np.isin(self.owner, pairs)
        return Cores(self.hulls[chosen], self.owner[chosen], self.away[chosen], self.radius)


def put_on_features(starts: Complexes, owner: Ints, cores: Cores, sagitta: float, tolerances: Tolerances) -> list[complex | None]:
    """For each point of a pair's outline the least translation that keeps the pair's radius from the cores that it lies on.

    starts, owner: (n,). None where it is not found near the point. Points of pairs without a radius lie on straight edges and stay.
    """
    search = _Search(starts, owner, cores, sagitta, tolerances)
    moves, lost = starts.copy(), np.zeros(len(starts), dtype=bool)
    rounded = live = np.flatnonzero(cores.radius[owner] > 0)
    for _ in range(ROUNDS):
        steps = search.steps(live, moves[live])
        stepped = np.array([step is not None for step in steps], dtype=bool)
        lost[live[~stepped]] = True
        live = live[stepped]
        before, moves[live] = moves[live], [step for step in steps if step is not None]
        live = live[np.abs(moves[live] - before) >= tolerances.arithmetic]
        if not len(live):
            break
    rounded = rounded[~lost[rounded]]
    lost[rounded] = ~search.kept(rounded, moves[rounded])
    return [None if gone else move for gone, move in zip(lost.tolist(), moves.tolist(), strict=True)]


class _Search:
    """The cores that each of the points may come to lie on."""

    def __init__(self, starts: Complexes, owner: Ints, cores: Cores, sagitta: float, tolerances: Tolerances) -> None:
        self._arithmetic = tolerances.arithmetic
        self._starts, self._radius, self._sagitta, self._hulls = starts, cores.radius[owner], sagitta, cores.hulls
        self._first = np.searchsorted(cores.owner, owner)
        self._after = np.searchsorted(cores.owner, owner, side="right")
        self._far = STRAY + 4 * sagitta
        counts = self._after - self._first
        which = np.repeat(np.arange(len(starts)), counts)
        core = np.arange(len(which)) + np.repeat(self._first - np.cumsum(counts) + counts, counts)
        away = shapely.distance(cores.hulls[core], shapely.points(starts.real, starts.imag)[which])
        # A point that strays no farther lies on none but these; for one that does, `_of` takes them all.
        close = away <= self._radius[which] + 4 * sagitta + self._far
        self._near = np.split(core[close], np.cumsum(np.bincount(which[close], minlength=len(starts)))[:-1])

    def steps(self, places: Ints, moves: Complexes) -> list[complex | None]:
        """The next move of each point: the least that keeps from the cores it touches; None where there are none, or no such move."""
        which, gap, normal = self._from_cores(places, moves)
        radius = self._radius[places][which]
        active = np.flatnonzero(gap < radius + 4 * self._sagitta)
        height = (radius - gap + (normal.conj() * moves[which]).real)[active].tolist()
        ends = np.searchsorted(which[active], np.arange(len(places) + 1)).tolist()
        normals = normal[active].tolist()
        return [_least_move(normals[start:end], height[start:end], self._arithmetic) for start, end in pairwise(ends)]

    def kept(self, places: Ints, moves: Complexes) -> NDArray[np.bool_]:
        """Whether each point keeps the radius from all cores, near where it began."""
        which, gap, _ = self._from_cores(places, moves)
        short = gap < self._radius[places][which] - 10 * self._arithmetic
        near: NDArray[np.bool_] = np.abs(moves - self._starts[places]) <= self._far
        near &= np.bincount(which[short], minlength=len(places)) == 0
        return near

    def _from_cores(self, places: Ints, moves: Complexes) -> tuple[Ints, Floats, Complexes]:
        """Which of the points, and its distance from each of its cores and the direction away from it."""
        strayed = np.abs(moves - self._starts[places]) > self._far
        for place in places[strayed].tolist():
            self._near[place] = np.arange(self._first[place], self._after[place])
        own = [self._near[place] for place in places.tolist()]
        which = np.repeat(np.arange(len(places)), [len(cores) for cores in own])
        core = np.concatenate([*own, np.zeros(0, dtype=np.int64)])
        there = shapely.points(moves.real, moves.imag)[which]
        lines = shapely.get_coordinates(shapely.shortest_line(self._hulls[core], there))
        away = moves[which] - lines[::2].copy().view(np.complex128).ravel()
        gap = np.abs(away)
        return which, gap, np.divide(away, gap, out=np.ones_like(away), where=gap > 0)


def _least_move(normals: list[complex], heights: list[float], arithmetic: float) -> complex | None:
    """The point nearest to the origin with n.t >= height for all (one or two bind in the plane); None if there is none."""
    candidates = [height * normal for normal, height in zip(normals, heights, strict=True)]
    for i, (one, high) in enumerate(zip(normals, heights, strict=True)):
        for other, low in zip(normals[:i], heights[:i], strict=True):
            cross = one.real * other.imag - one.imag * other.real
            if abs(cross) > arithmetic:
                candidates.append(1j * (high * other - low * one) / -cross)
    sides = list(zip(normals, heights, strict=True))
    met = [
        point
        for point in candidates
        if all(normal.real * point.real + normal.imag * point.imag >= height - arithmetic for normal, height in sides)
    ]
    return min(met, key=abs, default=None)
