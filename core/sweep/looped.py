"""The sight of pairs with closed loops on their path: the passive joints follow the drives inside proved tubes.

Where joints of a loop have play, every gap told here is the proved least that the play leaves, at the centre of a box too: the
shifts of its joints (`core.clearance.shifts`) run over their whole range in every box. Redundant rods are then enclosed in
several ways, each of which holds all that the play allows, so that the best bound of them counts.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Batch, CorePair, batch_of
from core.clearance.distance import Look, look_at
from core.clearance.enclosure import Enclosing, Tube, enclosing
from core.clearance.loop_rows import loop_rows, unit_step
from core.clearance.motion_in_box import Boxes, Floats, Ints, spread_over
from core.clearance.reach import PairMotion, between
from core.clearance.shifts import first_shift, radii, segments, shifted
from core.motion.linkage import Linkage, SectionLinkage, Step
from core.motion.loop_states import reach_of
from core.sweep.followed import Followed, followed
from core.tolerances import Tolerances

WIDEST_PASSIVE = 1e3
"""mm or radians: no passive freedom goes beyond, so that slides carried by turning parts have a first-order bound."""

AGREEMENT_BOXES = 8192
AGREEMENT_ROUNDS = 3
"""How finely the agreement of redundant rods is proved along a drive."""
PROBES, PROBE_SPARE = 128, 1.1
"""Boxes by which it is told how many are needed, since the bound of a misfit falls with their number squared; some more are taken."""

MOST_WAYS = 8
"""Ways to enclose the loops of one path that are tried; each costs a look."""

LOOSE_GRAIN = 0.02
"""Degrees or mm of a drive: half the width of the smallest boxes of a sweep of it alone over a loop with play."""

FINEST_SHARE = 1 / 1024
"""Share of a drive's travel below which a box that no tube can be proved for is left undecided."""


@dataclass(frozen=True, slots=True, eq=False)
class Chase:
    """One loop as the sweep needs it: enclosed, followed. drives: indices of those that move it; count: passive freedoms.

    ways: how it is enclosed, one way but for redundant rods with play. spread: what shifts its joints, `core.clearance.shifts.segments`.
    fits: (n, 2) intervals of its one drive over which redundant rods are proved to agree, or with play are found to fit; None
    where none are redundant and none has play.
    """

    ways: tuple[Enclosing, ...]
    path: Followed
    drives: tuple[int, ...]
    count: int
    spread: tuple[Floats, Floats]
    fits: Floats | None

    def agrees(self, centre: Floats, half: Floats) -> NDArray[np.bool_]:
        """Whether boxes of the loop's drives (N, D) lie where its rods agree; with play and several drives their corners do."""
        if self.fits is None:
            return self._corners_reached(centre, half) if len(self.drives) > 1 and len(self.spread[1]) else np.ones(len(centre), dtype=bool)
        if not len(self.fits):
            return np.zeros(len(centre), dtype=bool)
        low, high = centre[:, 0] - half[:, 0], centre[:, 0] + half[:, 0]
        place = np.clip(np.searchsorted(self.fits[:, 0], low, side="right") - 1, 0, len(self.fits) - 1)
        inside: NDArray[np.bool_] = (self.fits[place, 0] <= low) & (high <= self.fits[place, 1])
        return inside

    def _corners_reached(self, centre: Floats, half: Floats) -> NDArray[np.bool_]:
        reached = np.ones(len(centre), dtype=bool)
        for corner in product((-1.0, 1.0), repeat=len(self.drives)):
            still = np.flatnonzero(reached)
            reached[still] = self.path.near(centre[still] + half[still] * corner)[1]
        return reached


class Path(NamedTuple):
    """The loops on a row's path, with where their drives and passive freedoms stand.

    drives: the row's drives (project indices). chases: the loops. columns: for each loop the places of its drives among
    the row's. passive: for each loop the places of its passive freedoms in the motion's coordinates, after the drives.
    loose: for each loop the places of its shifts, after all passive freedoms. ways: for each way to look, that of each loop.
    """

    drives: tuple[int, ...]
    chases: tuple[Chase, ...]
    columns: tuple[tuple[int, ...], ...]
    passive: tuple[tuple[int, ...], ...]
    loose: tuple[tuple[int, ...], ...]
    ways: tuple[tuple[Enclosing, ...], ...]

    @property
    def shifts(self) -> Floats:
        """(Z,) mm: half-lengths of all segments that shift joints."""
        return np.concatenate([chase.spread[1] for chase in self.chases])


@dataclass(frozen=True, slots=True, eq=False)
class LoopSight:
    """T core pairs whose motions have drives first, then passive freedoms; see `core.sweep.sight.Sight`.

    path: (T,) index into paths. axis: (T,) the one drive that boxes run over while the others stand at `home`
    (T, drives), or -1 for all.
    """

    batch: Batch
    paths: tuple[Path, ...]
    path: Ints
    axis: Ints
    home: Floats
    low: Floats
    high: Floats
    reach: Floats
    finest: Floats
    grain: Floats
    unfolding: Floats

    def of(self, pairs: Ints, low: Floats, high: Floats) -> "LoopSight":
        """The chosen core pairs over other ranges."""
        return replace(
            self,
            batch=self.batch.of(pairs, self.batch.low[pairs], self.batch.high[pairs]),
            path=self.path[pairs],
            axis=self.axis[pairs],
            home=self.home[pairs],
            low=low,
            high=high,
            reach=self.reach[pairs],
            finest=self.finest[pairs],
            grain=self.grain[pairs],
            unfolding=self.unfolding[pairs],
        )

    def narrowed(self) -> "LoopSight":
        """Ranges cut down to the one drive that each pair's boxes run over, (T, 1)."""
        rows = np.arange(len(self.axis))
        parts = (values[rows, self.axis][:, None] for values in (self.low, self.high, self.reach, self.finest, self.grain, self.unfolding))
        low, high, reach, finest, grain, unfolding = parts
        return replace(self, low=low, high=high, reach=reach, finest=finest, grain=grain, unfolding=unfolding)

    def look(self, boxes: Boxes, *, enough: Floats, margin: float) -> Look:
        """Look at the boxes; where no tube is proved nothing is told."""
        count = len(boxes.pair)
        answer = Look(np.full(count, np.nan), np.full(count, -np.inf), np.full(count, np.inf))
        centre, half = self._all_drives(boxes)
        for number, path in enumerate(self.paths):
            own = np.flatnonzero(self.path[boxes.pair] == number)
            if len(own):
                width = len(path.drives)
                seen, sure = self._along(path, boxes.pair[own], centre[own, :width], half[own, :width], enough[own], margin)
                for whole, part in zip(answer, seen, strict=True):
                    whole[own[sure]] = part
        return answer

    def _all_drives(self, boxes: Boxes) -> tuple[Floats, Floats]:
        """Centres and half-widths over all drives of the rows; the boxes themselves may run over one of them."""
        axis = self.axis[boxes.pair]
        alone = np.flatnonzero(axis >= 0)
        if not len(alone):
            return boxes.centre, boxes.half
        centre, half = self.home[boxes.pair].copy(), np.zeros_like(self.home[boxes.pair])
        centre[alone, axis[alone]], half[alone, axis[alone]] = boxes.centre[alone, 0], boxes.half[alone, 0]
        return centre, half

    def _along(self, path: Path, pair: Ints, centre: Floats, half: Floats, enough: Floats, margin: float) -> tuple[Look, NDArray[np.bool_]]:
        if not len(path.shifts):
            return self._one_way(path, path.ways[0], pair, centre, half, enough, margin)
        seen = self._all_ways(path, pair, centre, half, enough, margin)
        near = np.flatnonzero(~(seen.lower >= enough))
        # The gap at a centre is what is proved of it alone, so that bounds come near it as boxes get small.
        at = self._all_ways(path, pair[near], centre[near], np.zeros_like(half[near]), np.full(len(near), np.inf), margin)
        seen.gap[near] = np.where(np.isfinite(at.lower), np.maximum(at.lower, seen.lower[near]) + margin, np.nan)
        sure = np.isfinite(seen.lower)
        return Look(seen.gap[sure], seen.lower[sure], seen.upper[sure]), sure

    def _all_ways(self, path: Path, pair: Ints, centre: Floats, half: Floats, enough: Floats, margin: float) -> Look:
        """The best bounds of all ways to look at boxes, which each hold all that the play allows; no gaps."""
        count = len(pair)
        best = Look(np.full(count, np.nan), np.full(count, -np.inf), np.full(count, np.inf))
        for ways in path.ways:
            left = np.flatnonzero(~(best.lower >= enough))
            seen, sure = self._one_way(path, ways, pair[left], centre[left], half[left], enough[left], margin)
            told = left[sure]
            best.lower[told] = np.maximum(best.lower[told], seen.lower)
            best.upper[told] = np.minimum(best.upper[told], seen.upper)
        return best

    def _one_way(
        self, path: Path, ways: tuple[Enclosing, ...], pair: Ints, centre: Floats, half: Floats, enough: Floats, margin: float
    ) -> tuple[Look, NDArray[np.bool_]]:
        width = self.batch.motions.drawn.shape[1]
        places, mix, errors, sure = tubes(path, ways, centre, half, width=width)
        spread = spread_over(
            self.batch.motions,
            self.batch.motion[pair[sure]],
            centre=places[sure],
            half=np.concatenate([half, errors], axis=1)[sure],
            mix=mix[sure],
        )
        return look_at(self.batch, pair[sure], spread, enough=enough[sure], margin=margin), sure


def tubes(
    path: Path, ways: tuple[Enclosing, ...], centre: Floats, half: Floats, *, width: int
) -> tuple[Floats, Floats, Floats, NDArray[np.bool_]]:
    """Coordinates (N, width), how they follow (N, width, K + E), the half-widths of errors and shifts (N, E), whether all is proved."""
    count, drives = centre.shape
    passive = sum(len(coordinates) for coordinates in path.passive)
    shifts = path.shifts
    places = np.zeros((count, width))
    places[:, :drives] = centre
    mix = np.zeros((count, width, drives + passive + len(shifts)))
    mix[:, range(drives), range(drives)] = 1.0
    errors = np.zeros((count, passive + len(shifts)))
    errors[:, passive:] = shifts
    sure = np.ones(count, dtype=bool)
    last = drives + passive
    for chase, way, columns, coordinates, loose in zip(path.chases, ways, path.columns, path.passive, path.loose, strict=True):
        tube = _shared_tube(chase, way, centre[:, columns], half[:, columns])
        sure &= tube.sure
        places[:, coordinates] = tube.centre
        mix[np.ix_(range(count), coordinates, columns)] = tube.slope[:, :, : len(columns)]
        mix[:, coordinates, coordinates] = 1.0
        errors[:, [column - drives for column in coordinates]] = tube.half
        if loose:
            ways_of_shifts, along = chase.spread[0], range(last, last + len(chase.spread[1]))
            mix[np.ix_(range(count), coordinates, along)] = tube.slope[:, :, len(columns) :] @ ways_of_shifts
            mix[np.ix_(range(count), loose, along)] = ways_of_shifts
            last += len(along)
    return places, mix, errors, sure & np.all(np.abs(places[:, drives:]) < WIDEST_PASSIVE, axis=1)


def _shared_tube(chase: Chase, way: Enclosing, centre: Floats, half: Floats) -> Tube:
    """The tube of each box of a loop's drives (N, D); pairs that look at the same box share it."""
    boxes, which = np.unique(np.concatenate([centre, half], axis=1), axis=0, return_inverse=True)
    centre, half = boxes[:, : len(chase.drives)], boxes[:, len(chase.drives) :]
    guess, reached = chase.path.near(centre)
    tube = way.over(guess, centre=centre, half=half)
    tube = tube._replace(sure=tube.sure & reached & chase.agrees(centre, half))
    which = which.ravel()
    return Tube(tube.centre[which], tube.slope[which], tube.half[which], tube.sure[which])


class LoopSights:
    """Prepared once a plan: enclosures and paths of every loop, and the sight of any core pairs that need them."""

    def __init__(self, linkage: Linkage, *, low: Floats, high: Floats, home: Floats, tolerances: Tolerances) -> None:
        self._linkage = linkage
        self._low, self._high, self._home = low, high, home
        self._tolerances = tolerances
        self._chases: dict[tuple[str, int], Chase | None] = {}
        self._reached: dict[int, tuple[float, float]] = {}
        self._paths: dict[tuple[str, tuple[int, ...], tuple[int, ...]], Path] = {}

    def chase(self, section: SectionLinkage, number: int) -> Chase | None:
        """Loop `number` of a section, or None where it cannot be enclosed at the drawn pose, or its rods conflict."""
        key = (section.section, number)
        if key not in self._chases:
            self._chases[key] = self._chase(section, number)
        return self._chases[key]

    def _chase(self, section: SectionLinkage, number: int) -> Chase | None:
        loop = section.loops[number]
        drives = loop.drives
        equations = loop_rows(loop)
        loose = len(equations.shifts) > 0
        drawn = np.concatenate([self._linkage.drawn[list(drives)], np.zeros(len(equations.shifts))])
        ready = enclosing(equations, drawn=drawn, tolerances=self._tolerances)
        if ready is None or not drives or (ready.spare and len(drives) > 1 and not loose):
            return None
        path = followed(section, self._linkage, loop, low=self._low, high=self._high)
        fits = _reached_spans(path) if loose else _agreement(ready, path, tolerances=self._tolerances) if ready.spare else None
        ways = ready.leaning() if loose else (ready,)
        return Chase(ways, path, drives, len(equations.passive), segments(loop), fits)

    def reached(self, section: SectionLinkage, groups: tuple[int, int], drive: int) -> tuple[float, float]:
        """How far the loops between two groups can be followed on one drive, the others at home; the travel where all is."""
        used, _ = self._chains(section, groups)
        if not any(drive in section.loops[number].drives for number in used):
            return float(self._low[drive]), float(self._high[drive])
        if drive not in self._reached:
            found = reach_of(self._linkage, drive, start=float(self._low[drive]), end=float(self._high[drive]), tolerances=self._tolerances)
            self._reached[drive] = found.low, found.high
        return self._reached[drive]

    def path(self, section: SectionLinkage, groups: tuple[int, int], drives: tuple[int, ...]) -> tuple[Path, PairMotion] | None:
        """The loops between two groups and their motion over drives, then passive freedoms; None where one cannot be enclosed."""
        used, chains = self._chains(section, groups)
        chases = [self.chase(section, number) for number in used]
        if any(chase is None for chase in chases):
            return None
        places = _offsets(section, len(self._linkage.drives))
        passive, loose = (tuple(place for number in used for place in coordinates[number]) for coordinates in places)
        drawn = np.concatenate([self._linkage.drawn, np.zeros(sum(len(own) for coordinates in places for own in coordinates))])
        motion = _over(between(*chains, drawn=drawn.tolist()), (*drives, *passive, *loose), drawn)
        key = (section.section, used, drives)
        if key not in self._paths:
            self._paths[key] = _path(drives, tuple(chase for chase in chases if chase is not None))
        return self._paths[key], motion

    def _chains(self, section: SectionLinkage, groups: tuple[int, int]) -> tuple[tuple[int, ...], tuple[tuple[Step, ...], ...]]:
        """The loops on the way between two groups, and the two chains with every passive step and every shift its own coordinate."""
        passive, loose = _offsets(section, len(self._linkage.drives))
        number = {
            step: place for own, loop in zip(passive, section.loops, strict=True) for place, step in zip(own, loop.passive, strict=True)
        }
        both = [section.chain(group) for group in groups]
        apart = [step for chain, theirs in (both, both[::-1]) for k, step in enumerate(chain) if theirs[: k + 1] != chain[: k + 1]]
        used = tuple(index for index, loop in enumerate(section.loops) if any(step in loop.passive for step in apart))
        first = {
            joint: loose[index][0] + first_shift(section.loops[index], joint)
            for index in used
            for joint, play in zip(section.loops[index].joints, section.loops[index].plays, strict=True)
            if play > 0
        }
        chains = []
        for chain in both:
            own: list[Step] = []
            for step in chain:
                own += shifted(step, first=first[step.joint]) if step.joint in first else ()
                own.append(unit_step(step, number[step]) if step.passive else step)
            chains.append(tuple(own))
        return used, tuple(chains)

    def sight(self, cores: Sequence[CorePair], motions: Sequence[PairMotion], paths: Sequence[Path], axes: Sequence[int]) -> LoopSight:
        """The sight of core pairs. motions, paths: of each; axes: of each the drive that runs, -1 for all."""
        moves = {id(motion): motion for motion in motions}
        place = {number: index for index, number in enumerate(moves)}
        ways = {id(path): path for path in paths}
        number_of = {number: index for index, number in enumerate(ways)}
        of_motion = {id(motion): path for motion, path in zip(motions, paths, strict=True)}
        ranges = [self._ranges(of_motion[number]) for number in moves]
        batch = batch_of(cores, [place[id(motion)] for motion in motions], list(moves.values()), ranges)
        path_of = np.array([number_of[id(path)] for path in paths], dtype=np.int64)
        width = max(len(path.drives) for path in paths)
        low, high, home, grain, unfolding = (np.zeros((len(ways), width)) for _ in range(5))
        reach = np.ones((len(cores), width))
        for number, path in enumerate(ways.values()):
            own = list(path.drives)
            low[number, : len(own)], high[number, : len(own)] = self._low[own], self._high[own]
            home[number, : len(own)] = self._home[own]
            grain[number] = LOOSE_GRAIN if len(path.shifts) else 0.0
            for column in {column for columns in path.columns for column in columns}:
                unfolding[number, column] = 1.0 / (high[number, column] - low[number, column])
            reach[path_of == number, : len(own)] = self._reach(batch, path, np.flatnonzero(path_of == number))
        found = LoopSight(
            batch=batch,
            paths=tuple(ways.values()),
            path=path_of,
            axis=np.array(axes, dtype=np.int64),
            home=home[path_of],
            low=low[path_of],
            high=high[path_of],
            reach=reach,
            finest=(high - low)[path_of] * FINEST_SHARE,
            grain=grain[path_of],
            unfolding=unfolding[path_of],
        )
        return found.narrowed() if axes and axes[0] >= 0 else found

    def _reach(self, batch: Batch, path: Path, pairs: Ints) -> Floats:
        """(n, K) mm a drive unit at home, by which boxes are split; it proves nothing."""
        own = list(path.drives)
        home = self._home[own][None]
        _, mix, _, sure = tubes(path, path.ways[0], home, np.zeros_like(home), width=batch.reach.shape[1])
        followed: Floats = batch.reach[pairs] @ np.abs(mix[0, :, : len(own)])
        return np.maximum(followed, self._tolerances.resolution) if sure[0] else np.ones((len(pairs), len(own)))

    def _ranges(self, path: Path) -> tuple[Floats, Floats]:
        """Ranges of drives and passive freedoms: what the followed loops take, for the bound of how far slides carry."""
        own = list(path.drives)
        wide = np.full(sum(len(coordinates) for coordinates in path.passive), WIDEST_PASSIVE)
        wide = np.concatenate([wide, *(chase.ways[0].equations.shifts for chase in path.chases)])
        return np.concatenate([self._low[own], -wide]), np.concatenate([self._high[own], wide])


def _reached_spans(path: Followed) -> Floats | None:
    """(n, 2) intervals of a loop's one drive between knots that are all reached; None where it has several drives."""
    if not len(path.knots):
        return None
    both = path.reached[:-1] & path.reached[1:]
    return _merged(np.stack([path.knots[:-1][both], path.knots[1:][both]], axis=1), join=0.0)


def _agreement(loop: Enclosing, path: Followed, *, tolerances: Tolerances) -> Floats:
    """(n, 2) intervals of the loop's one drive over which the redundant equations are proved to miss no more than `misfit`."""
    worst = float(_misfits(loop, path, *_parts(path, PROBES)).max())
    needed = PROBES * PROBE_SPARE * math.sqrt(worst / tolerances.misfit)
    low, high = _parts(path, math.ceil(needed) if PROBES <= needed < AGREEMENT_BOXES else AGREEMENT_BOXES)
    found = []
    for _ in range(AGREEMENT_ROUNDS):
        centre = ((low + high) / 2)[:, None]
        fits = _misfits(loop, path, low, high) <= tolerances.misfit
        found.append(np.stack([low[fits], high[fits]], axis=1))
        # Only a bound that is not far off can come right by halving.
        low, high = np.concatenate([low[~fits], centre[~fits, 0]]), np.concatenate([centre[~fits, 0], high[~fits]])
        if not len(low) or len(low) > AGREEMENT_BOXES:
            break
    return _merged(np.concatenate(found), join=tolerances.arithmetic)


def _parts(path: Followed, count: int) -> tuple[Floats, Floats]:
    """Where `count` equal parts of a loop's travel begin and end."""
    ends = np.linspace(path.knots[0], path.knots[-1], count + 1)
    return ends[:-1], ends[1:]


def _misfits(loop: Enclosing, path: Followed, low: Floats, high: Floats) -> Floats:
    """(n,) mm: what the redundant equations miss at most over parts of the travel; inf where that is not known, or not reached."""
    centre, half = ((low + high) / 2)[:, None], ((high - low) / 2)[:, None]
    guess, reached = path.near(centre)
    return np.where(reached, loop.misfit(guess, centre=centre, half=half), np.inf)


def _merged(spans: Floats, *, join: float) -> Floats:
    """Sorted spans with those that touch made one."""
    spans = spans[np.argsort(spans[:, 0])]
    if not len(spans):
        return spans
    first = np.flatnonzero(np.concatenate([[True], spans[1:, 0] > spans[:-1, 1] + join]))
    last = np.concatenate([first[1:] - 1, [len(spans) - 1]])
    return np.stack([spans[first, 0], spans[last, 1]], axis=1)


def _path(drives: tuple[int, ...], chases: tuple[Chase, ...]) -> Path:
    columns = tuple(tuple(drives.index(drive) for drive in chase.drives) for chase in chases)
    passive = _spans(len(drives), [chase.count for chase in chases])
    loose = _spans(len(drives) + sum(chase.count for chase in chases), [len(chase.spread[0]) for chase in chases])
    ways = tuple(product(*(chase.ways for chase in chases)))[:MOST_WAYS]
    return Path(drives, chases, columns, passive, loose, ways)


def _offsets(section: SectionLinkage, drives: int) -> tuple[tuple[tuple[int, ...], ...], tuple[tuple[int, ...], ...]]:
    """For each loop the coordinates of its passive freedoms, after the project's drives, and of its shifts, after all of those."""
    counts = [len(loop.passive) for loop in section.loops]
    return _spans(drives, counts), _spans(drives + sum(counts), [len(radii(loop)) for loop in section.loops])


def _spans(first: int, counts: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """Numbers side by side from `first`, so many each."""
    ends = np.cumsum([first, *counts]).tolist()
    return tuple(tuple(range(start, end)) for start, end in pairwise(ends))


def _over(motion: PairMotion, coordinates: tuple[int, ...], drawn: Floats) -> PairMotion:
    """The same motion over more coordinates, in the given order; those that it does not use have no effect."""
    places = [coordinates.index(index) for index in motion.drives]

    def wide(values: Floats) -> Floats:
        spread = np.zeros((*values.shape[:-1], len(coordinates)))
        spread[..., places] = values
        return spread

    return replace(
        motion,
        drives=coordinates,
        drawn=drawn[list(coordinates)],
        shift=wide(motion.shift),
        turn=wide(motion.turn),
        turn_a=wide(motion.turn_a),
        turn_b=wide(motion.turn_b),
    )
