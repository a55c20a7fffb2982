"""Which region does a body cover over a sweep? An outer region: no point of the body ever leaves it, and it is hardly larger.

The drives' box is cut into smaller ones, each covered by hulls grown by a rest of second order (`core.sweep.group_cover`). Boxes are
halved until twice the rest is within the bound that was asked for; those inside what is covered anyway are dropped. Along closed loops
the passive joints lie in proved tubes (`core.sweep.looped`), whose half-widths count to the rest.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from core.clearance.motion_in_box import Floats
from core.clearance.rounded import Piece
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.project import Project, Section
from core.model.shapes import Point
from core.motion.linkage import Linkage, SectionLinkage, linkage_of
from core.sweep.group_cover import Cover, GroupCover, cut_across, pieces_of, tips
from core.sweep.looped import LoopSights
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

BOUND = 0.05
"""mm: how much larger than what is truly covered the region may be, unless another bound is asked for."""

MOST_BOXES = 100_000
"""Boxes looked at for one group of bodies before the answer is that it takes too many."""

MOST_DRIVES = 6
"""Drives run together at most: the corners of a box are two to the power of their number."""

MANY_DRIVES = 2
"""Drives from which on each piece is covered by itself: in most boxes only an end of a rod reaches what nothing else covers."""

_CHORD_SHARE = 0.1
"""Share of the bound that goes into the chords of round outlines; the rest of it goes into the boxes."""

_WIDER = 1.5
"""Edges of a buffer's arc turn by at most this many times a quarter turn's share: GEOS rounds the number of edges of an arc."""

_BAYS = 0.01
"""Growing a shape that is not convex evens bays out that are shallower than this share of the distance (GEOS's own setting)."""

_FINEST = 2.0**-16
"""Share of a drive's travel below which a box that no tube is proved for is given up."""

Progress = Callable[[float], bool]
Bools = NDArray[np.bool_]
Shapes = NDArray[np.object_]


@dataclass(frozen=True, slots=True, eq=False)
class Envelope:
    """region: outer, mm, section frame. bound: mm, proved: no point of the region is farther from what is truly covered.

    drives: those that ran; the others stood at home. grow: mm, added all round as asked for; tolerance: mm, the largest of the bodies'
    outline tolerances, each of which is added to its body. Neither counts to `bound`. with_play: the play of joints on loops is held
    too, and counts to `bound`.
    """

    section: SectionName
    bodies: tuple[BodyName, ...]
    drives: tuple[DriveName, ...]
    region: BaseGeometry
    bound: float
    grow: float
    tolerance: float
    boxes: int
    with_play: bool

    @property
    def rings(self) -> tuple[tuple[Point, ...], ...]:
        """Outer rings counter-clockwise and holes clockwise, each without its last corner, which is its first."""
        parts = [part for part in shapely.get_parts(self.region) if isinstance(part, shapely.Polygon)]
        lines = [ring for part in map(shapely.orient_polygons, parts) for ring in (part.exterior, *part.interiors)]
        return tuple(tuple((float(x), float(y)) for x, y in np.asarray(ring.coords)[:-1]) for ring in lines)


Cause = Literal["no-shapes", "unheld", "undriven", "loop", "lost", "drives", "boxes", "stopped"]


@dataclass(frozen=True, slots=True)
class NotEnclosed:
    """Why there is no envelope. joints: those concerned. at: drive values near which no proof was found. limit: what was exceeded.

    no-shapes: nothing to cover. unheld, undriven: nothing holds the body, or no drive settles a joint. loop: a loop that cannot be
    enclosed (a dead centre as drawn, rods in conflict). lost: a proof fails near `at`. drives, boxes: too many. stopped: was told to.
    """

    body: BodyName
    cause: Cause
    joints: tuple[JointName, ...] = ()
    at: tuple[tuple[DriveName, float], ...] = ()
    limit: int = 0


def envelope_of(
    project: Project,
    section: Section,
    bodies: Sequence[BodyName],
    drives: Sequence[DriveName] | None = None,
    *,
    bound: float = BOUND,
    grow: float = 0.0,
    most_boxes: int = MOST_BOXES,
    progress: Progress | None = None,
    tolerances: Tolerances = DEFAULT_TOLERANCES,
) -> Envelope | NotEnclosed:
    """The envelope of `bodies` (at least one, of `section`) together.

    drives: those that run through their travel, None for all; the others stand at home. bound, grow: mm, bound above 0. Rules on
    which drives go together are not used: the region holds what they forbid too. progress: is given the share done, and says
    whether to go on.
    """
    # What growing the whole adds to the bound, at most half of it, is left out of the rest of it.
    sweep = _Sweep.of(project, section, drives, bound=max(bound / 2.0, bound - _grown_by(grow, bound)), tolerances=tolerances)
    groups = sorted({sweep.section.group_of(body) for body in bodies})
    found = []
    for number, group in enumerate(groups):
        members = [body for body in section.bodies if body.name in bodies and sweep.section.group_of(body.name) == group]
        ready = sweep.ready(group, members[0].name, pieces_of(members, chord=sweep.chord))
        if isinstance(ready, NotEnclosed):
            return ready
        share = _shared(progress, number, len(groups))
        covered = _search(ready.apart() if len(ready.run) >= MANY_DRIVES else (ready,), most=most_boxes, progress=share)
        if isinstance(covered, NotEnclosed):
            return covered
        found.append(covered)
    region = shapely.union_all([covered.region(tolerances=tolerances) for covered in found])
    return Envelope(
        section=section.name,
        bodies=tuple(body.name for body in section.bodies if body.name in bodies),
        drives=tuple(name for name in sweep.linkage.drives if any(name in covered.drives for covered in found)),
        region=_grown(np.array([region]), grow, chord=_CHORD_SHARE * bound)[0] if grow > 0.0 else region,
        bound=max(covered.bound for covered in found) + 3.0 * sweep.chord + _grown_by(grow, bound),
        grow=grow,
        tolerance=max((body.outline_tolerance for body in section.bodies if body.name in bodies), default=0.0),
        boxes=sum(covered.boxes for covered in found),
        with_play=any(covered.play > 0.0 for covered in found),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Ready:
    """A group of bodies and the box of its drives, (K,) each. run: places of the drives that run.

    rest: mm, what all is grown by, and what boxes must come down to. chord: mm, what arcs may be off, and single poses.
    """

    body: BodyName
    cover: GroupCover
    drives: tuple[DriveName, ...]
    run: tuple[int, ...]
    centre: Floats
    half: Floats
    rest: float
    chord: float

    def apart(self) -> tuple["_Ready", ...]:
        """The same a piece at a time, long bars cut across: all together they are the group."""
        return tuple(replace(self, cover=self.cover.alone(part)) for piece in self.cover.pieces for part in cut_across(piece))


@dataclass(frozen=True, slots=True, eq=False)
class _Sweep:
    """One project and section with the drives that run."""

    linkage: Linkage
    section: SectionLinkage
    sights: LoopSights
    running: frozenset[DriveName]
    low: Floats
    high: Floats
    bound: float
    chord: float

    @staticmethod
    def of(project: Project, section: Section, drives: Sequence[DriveName] | None, *, bound: float, tolerances: Tolerances) -> "_Sweep":
        linkage = linkage_of(project)
        low, high = (np.array([getattr(drive, end) for drive in project.drives], dtype=float) for end in ("start", "end"))
        sights = LoopSights(linkage, low=low, high=high, home=linkage.home, tolerances=tolerances)
        running = frozenset(linkage.drives if drives is None else drives)
        return _Sweep(linkage, linkage.section(section.name), sights, running, low, high, bound, _CHORD_SHARE * bound)

    def ready(self, group: int, body: BodyName, pieces: Sequence[Piece]) -> _Ready | NotEnclosed:
        """The group with its drives, or why it cannot be enclosed."""
        if not pieces:
            return NotEnclosed(body, "no-shapes")
        chain = self.section.chain(group)
        free = tuple(step.joint for step in chain if step.free)
        if group in self.section.unheld or free:
            return NotEnclosed(body, "undriven" if free else "unheld", free)
        loops = [self.section.loops[number] for number in self.section.loops_of(group)]
        moving = sorted({drive for step in chain for drive, _ in step.ratios} | {drive for loop in loops for drive in loop.drives})
        found = self.sights.path(self.section, (group, 0), tuple(moving))
        if found is None:
            return NotEnclosed(body, "loop", tuple(dict.fromkeys(joint for loop in loops for joint in loop.joints)))
        names = tuple(self.linkage.drives[drive] for drive in moving)
        run = tuple(place for place, name in enumerate(names) if name in self.running)
        if len(run) > MOST_DRIVES:
            return NotEnclosed(body, "drives", limit=MOST_DRIVES)
        runs = np.array([place in run for place in range(len(moving))], dtype=bool)
        centre = np.where(runs, (self.low[moving] + self.high[moving]) / 2.0, self.linkage.home[moving])
        half = np.where(runs, (self.high[moving] - self.low[moving]) / 2.0, 0.0)
        return _Ready(
            body, GroupCover(*found, pieces, run=run), names, run, centre, half, (self.bound - 3.0 * self.chord) / 2.0, self.chord
        )


@dataclass(slots=True)
class _Covered:
    """What is covered so far: hulls of cores by radius, mm, to be grown by it and by `rest` and `play`.

    inside: poses and hulls without either; what lies in it, but for `rest`, need not be looked at any closer. posed: whether
    single poses are in it. worst: mm, how far at most the region reaches beyond what is truly covered.
    """

    drives: tuple[DriveName, ...]
    chord: float
    hulls: dict[float, list[Shapes]] = field(default_factory=dict)
    inside: BaseGeometry = field(default_factory=shapely.Polygon)
    rest: float = 0.0
    play: float = 0.0
    boxes: int = 0
    posed: bool = False
    worst: float = 0.0

    @property
    def bound(self) -> float:
        """mm: how far the region may reach beyond what is truly covered, but for three times `chord`."""
        return self.rest + self.worst + 2.0 * self.play

    def take(self, cover: Cover, ready: _Ready) -> None:
        """Boxes that are fine enough."""
        if not len(cover.rest):
            return
        self.play = max(self.play, float(cover.play.max()))
        self.worst = max(self.worst, float((cover.rest + cover.mix).max()))
        grown = []
        for piece in ready.cover.pieces:
            hulls = cover.hulls(piece.points)
            self.hulls.setdefault(piece.radius, []).append(hulls)
            grown.append((hulls, piece.radius))
        self._show(grown)

    def take_poses(self, cover: Cover, ready: _Ready) -> None:
        """Boxes of no width: single poses."""
        self.posed |= bool(len(cover.rest))
        self._show([(cover.hulls(piece.points), piece.radius) for piece in ready.cover.pieces])

    def take_tips(self, cover: Cover, ready: _Ready) -> None:
        """The corners of pieces over boxes: they fill what single poses leave open between them."""
        near = cover.of(cover.sure & (cover.rest <= ready.rest / 2.0))
        turned = float(near.spread.max(initial=0.0))
        if turned == 0.0:
            return
        size = (ready.rest / 2.0) / turned
        self.worst = max(self.worst, ready.rest)
        self._show([(near.hulls(tip), piece.radius) for piece in ready.cover.pieces for tip in tips(piece, size=size)])

    def _show(self, hulls: Sequence[tuple[Shapes, float]]) -> None:
        shapes = [_grown(part, radius, chord=self.chord) for part, radius in hulls]
        self.inside = shapely.union_all([self.inside, *(shape for part in shapes for shape in part)])

    def holds(self, cover: Cover, ready: _Ready) -> Bools:
        """Which boxes add nothing to what is covered already."""
        held = np.full(len(cover.rest), not self.inside.is_empty)
        # Grown a little less than in the end, which makes up for bays that growing evens out.
        known = shapely.buffer(self.inside, (1.0 - 2.0 * _BAYS) * self.rest)
        shapely.prepare(known)
        for piece in ready.cover.pieces:
            more = cover.of(held)
            by = piece.radius + more.rest + np.maximum(more.play - self.play, 0.0)
            segments = _segments(float(by.max(initial=0.0)), chord=self.chord)
            hulls = shapely.buffer(more.hulls(piece.points), by * _outward(segments), quad_segs=segments)
            held[held] = shapely.covers(known, hulls)
        return held

    def region(self, *, tolerances: Tolerances) -> BaseGeometry:
        """The region; the chords of its arcs lie outside them, by `chord` mm at most."""
        more = self.rest + self.play + tolerances.arithmetic
        # Each hull is grown by itself: what is not convex has its bays cut short by a hundredth of the distance (`_BAYS`).
        grown = [_grown(part, radius + more, chord=self.chord) for radius, parts in sorted(self.hulls.items()) for part in parts]
        return shapely.union_all([*(shape for part in grown for shape in part), *_grown(np.array([self.inside]), more, chord=self.chord)])


def _grown_by(grow: float, bound: float) -> float:
    """mm: how far the growth of a region that is not convex may be off."""
    return _BAYS * grow + _CHORD_SHARE * bound if grow > 0.0 else 0.0


def _grown(hulls: Shapes, by: float, *, chord: float) -> Shapes:
    """Convex `hulls` grown outward: what is added reaches to between `by` and `by + chord` mm from them."""
    segments = _segments(by, chord=chord)
    grown: Shapes = shapely.buffer(hulls, by * _outward(segments), quad_segs=segments)
    return grown


def _segments(radius: float, *, chord: float) -> int:
    """How many edges to a quarter turn keep a buffer, enlarged by `_outward`, within `chord` mm of its arcs."""
    return max(2, math.ceil(_WIDER * math.pi / (4.0 * math.acos(radius / (radius + chord)))))


def _outward(segments: int) -> float:
    """What a buffer's distance is enlarged by: its corners lie on the arc, and now its edges touch the arc from outside."""
    return 1.0 / math.cos(_WIDER * math.pi / (4.0 * segments))


def _search(parts: Sequence[_Ready], *, most: int, progress: Progress | None) -> _Covered | NotEnclosed:
    """Cover the parts of a group one after another; what earlier ones cover need not be covered again."""
    first = parts[0]
    done = _Covered(tuple(first.drives[place] for place in first.run), first.chord, rest=first.rest)
    for number, ready in enumerate(parts):
        failed = _cover(done, ready, most=most, progress=_shared(progress, number, len(parts)))
        if failed is not None:
            return failed
    if not done.posed and len(parts) == 1:
        done.rest = done.worst
    return done


def _cover(done: _Covered, ready: _Ready, *, most: int, progress: Progress | None) -> NotEnclosed | None:
    """Halve boxes until each is covered finely enough, or adds nothing; or why that fails."""
    centre, half = ready.centre[None], ready.half[None]
    while len(centre):
        done.boxes += len(centre)
        if done.boxes > most:
            return NotEnclosed(ready.body, "boxes", limit=most)
        cover = ready.cover.over(centre, half)
        fine = cover.sure & (cover.rest + cover.mix <= ready.rest)
        lost = ~cover.sure & np.all(half <= _FINEST * ready.half, axis=1)
        if lost.any():
            return NotEnclosed(ready.body, "lost", at=tuple(zip(ready.drives, centre[np.argmax(lost)].tolist(), strict=True)))
        done.take(cover.of(fine), ready)
        open_ = _still_open(done, cover, ~fine, (centre, half), ready)
        if progress is not None and not progress(_share_done(half[open_], ready)):
            return NotEnclosed(ready.body, "stopped")
        centre, half = _halved(centre[open_], half[open_], cover.of(open_), ready)
    return None


def _still_open(done: _Covered, cover: Cover, open_: Bools, boxes: tuple[Floats, Floats], ready: _Ready) -> Bools:
    """The open boxes without those that lie inside what is covered, poses at the corners of the others included."""
    left = open_ & ~_held(done, cover, open_, ready)
    if left.any():
        posed = ready.cover.over(*_corners(boxes[0][left], boxes[1][left], ready))
        done.take_poses(posed.of(posed.sure & (posed.rest <= ready.chord)), ready)
        done.take_tips(cover.of(left), ready)
        left &= ~_held(done, cover, left, ready)
    return left


def _corners(centre: Floats, half: Floats, ready: _Ready) -> tuple[Floats, Floats]:
    """The corners of boxes, each once, as boxes of no width but along drives that only shift, which hulls hold exactly."""
    turning = [place for place, turns in zip(ready.run, ready.cover.turns, strict=True) if turns]
    signs = np.zeros((2 ** len(turning), centre.shape[1]))
    signs[:, turning] = [*product((-1.0, 1.0), repeat=len(turning))]
    still = half.copy()
    still[:, turning] = 0.0
    corners = (centre[:, None] + signs * half[:, None]).reshape(-1, centre.shape[1])
    both = np.unique(np.concatenate([corners, np.repeat(still, len(signs), axis=0)], axis=1), axis=0)
    return both[:, : centre.shape[1]], both[:, centre.shape[1] :]


def _held(done: _Covered, cover: Cover, chosen: Bools, ready: _Ready) -> Bools:
    """Which of the chosen boxes add nothing; none for which nothing is proved."""
    sure = chosen & cover.sure
    held = np.zeros(len(sure), dtype=bool)
    held[sure] = done.holds(cover.of(sure), ready)
    return held


def _halved(centre: Floats, half: Floats, cover: Cover, ready: _Ready) -> tuple[Floats, Floats]:
    """Each box in two, across the drive for which that tells most; where nothing is proved, across the one that is widest yet."""
    if not len(centre):
        return centre, half
    run, rows = np.array(ready.run, dtype=np.int64), np.arange(len(centre))
    width = half[:, run] / ready.half[run]
    gain = width.copy()
    if len(run) > 1:
        # The rest first: a hull that need not be grown much may lie inside what is covered, however its corners are mixed.
        fine_rest = cover.rest <= ready.rest / 2.0
        for column, place in enumerate(run):
            nearer = half.copy()
            nearer[:, place] /= 2.0
            seen = ready.cover.over(centre, nearer)
            better = cover.rest - seen.rest + fine_rest * (cover.mix - seen.mix)
            gain[:, column] = np.where(cover.sure & seen.sure & (width[:, column] > _FINEST), better, -np.inf)
        gain = np.where(cover.sure[:, None], gain, width)
    across = run[np.argmax(gain, axis=1)]
    smaller = half.copy()
    smaller[rows, across] /= 2.0
    low, high = centre.copy(), centre.copy()
    low[rows, across] -= smaller[rows, across]
    high[rows, across] += smaller[rows, across]
    return np.concatenate([low, high]), np.concatenate([smaller, smaller])


def _share_done(half: Floats, ready: _Ready) -> float:
    """Share of the drives' box that needs no further look."""
    run = list(ready.run)
    return 1.0 - float(np.prod(half[:, run] / ready.half[run], axis=1).sum())


def _shared(progress: Progress | None, number: int, count: int) -> Progress | None:
    """The progress of one of several groups."""
    return None if progress is None else lambda share: progress((number + share) / count)
