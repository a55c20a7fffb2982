"""A gap that is attained somewhere within the play of a loop's joints: what tells a breach from what only a bound cannot rule out."""

import numpy as np

from core.clearance.distance import look_at
from core.clearance.motion_in_box import Floats, Ints, spread_over
from core.clearance.shifts import first_shift, radii
from core.motion.freedom_left import Taken, loosened, pulled
from core.motion.loop_equations import drive_speeds, equations_of
from core.sweep.looped import Chase, LoopSight, Path

STEP = 1e-5
"""mm or radians by which slopes of a gap are measured."""
PULLS = 3


def attained(sight: LoopSight, pairs: Ints, values: Floats) -> float:
    """The least gap, mm, found for the core pairs of one row at `values` of its drives; inf where none was found.

    Each round pulls the joints the way that lessens the gap most, within their play, and measures where all of them hold.
    """
    path = sight.paths[int(sight.path[pairs[0]])]
    place = _centred(path, values)
    best = np.inf
    for _ in range(PULLS):
        slope = _slope(sight, pairs, place, first=len(path.drives))
        for chase, columns, coordinates, loose in zip(path.chases, path.columns, path.passive, path.loose, strict=True):
            taken = _pulled(chase, place[list(columns)], place[list(coordinates)], slope[list(coordinates)], slope[list(loose)])
            if not taken.settled:
                return best
            _put(chase, place, coordinates, loose, taken)
        best = min(best, float(_gaps(sight, pairs, place[None])[0]))
    return best


def _centred(path: Path, values: Floats) -> Floats:
    """(K,) coordinates with every pin centred, or where redundant rods disagree where the squares of that are least."""
    place = np.zeros(max((index for own in (*path.passive, *path.loose) for index in own), default=-1) + 1)
    place[: len(values)] = values
    for chase, columns, coordinates in zip(path.chases, path.columns, path.passive, strict=True):
        place[list(coordinates)] = chase.path.near(values[list(columns)][None])[0][0]
    return place


def _gaps(sight: LoopSight, pairs: Ints, places: Floats) -> Floats:
    """(n,) mm: the least gap of the core pairs at coordinates (n, K)."""
    count, batch = len(places), sight.batch
    pair = np.tile(pairs, count)
    width = batch.motions.drawn.shape[1]
    centre = np.zeros((len(pair), width))
    centre[:, : places.shape[1]] = np.repeat(places, len(pairs), axis=0)
    spread = spread_over(batch.motions, batch.motion[pair], centre=centre, half=np.zeros_like(centre))
    seen = look_at(batch, pair, spread, enough=np.full(len(pair), np.inf), margin=0.0)
    found: Floats = seen.gap.reshape(count, len(pairs)).min(axis=1)
    return found


def _slope(sight: LoopSight, pairs: Ints, place: Floats, *, first: int) -> Floats:
    """(K,) mm a unit: how the gap changes with each coordinate from `first` on."""
    ways = np.eye(len(place))[first:] * STEP
    there = _gaps(sight, pairs, np.concatenate([place + ways, place - ways]))
    slope = np.zeros(len(place))
    slope[first:] = (there[: len(ways)] - there[len(ways) :]) / (2 * STEP)
    return slope


def _pulled(chase: Chase, values: Floats, passive: Floats, aim: Floats, loose: Floats) -> Taken:
    """The configuration of one loop that goes farthest against a slope over its passive freedoms and shifts."""
    loop, linkage = chase.path.loop, chase.path.linkage
    equations, wide = equations_of(loop), loosened(loop)
    moved = values - linkage.drawn[list(loop.drives)]
    speeds = [drive_speeds(equations, drive) for drive in loop.drives]
    freedoms = sum((speed[0] * by for speed, by in zip(speeds, moved, strict=True)), np.zeros(len(equations.steps)))
    rows = sum((speed[1] * by for speed, by in zip(speeds, moved, strict=True)), np.zeros(len(equations.drive_rows)))
    cost = np.zeros(len(equations.steps))
    own = list(equations.passive)
    freedoms[own], cost[own] = passive, aim
    joints = [first_shift(loop, wide.equations.steps[x].joint) for x, _ in wide.shifts]
    return pulled(wide, freedoms, rows, cost, np.array([complex(loose[k], loose[k + 1]) for k in joints], dtype=complex))


def _put(chase: Chase, place: Floats, coordinates: tuple[int, ...], loose: tuple[int, ...], taken: Taken) -> None:
    """Take over a configuration; the shifts of closing joints carry no body."""
    loop, wide = chase.path.loop, loosened(chase.path.loop)
    place[list(coordinates)] = taken.freedoms[list(equations_of(loop).passive)]
    shifts = np.zeros(len(radii(loop)))
    for (x, _), shift in zip(wide.shifts, taken.shifts, strict=True):
        first = first_shift(loop, wide.equations.steps[x].joint)
        shifts[first : first + 2] = shift.real, shift.imag
    place[list(loose)] = shifts
