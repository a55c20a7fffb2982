"""Many core pairs side by side as flat arrays, so that one numpy pass looks at boxes of all of them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.reach import PairMotion, circle_about, farthest

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
Ints = NDArray[np.int64]


class Kind(IntEnum):
    """How the gap of a core pair is formed.

    CONVEX: signed distance of two convex cores less `radius`. BORE: `radius` (room less A's radius) less the farthest
    corner of A from B's one point. FACE: least height of A's corners over B's one point along `normal`, less `radius`.
    """

    CONVEX = 0
    BORE = 1
    FACE = 2


class CorePair(NamedTuple):
    """Two cores at the drawn pose, section frame, mm. normal: unit, into the room, drawn pose (FACE only)."""

    kind: Kind
    a: Complexes
    b: Complexes
    radius: float
    normal: complex = 0j


@dataclass(frozen=True, slots=True, eq=False)
class Ragged:
    """Rows of different length in one flat array: row r is at start[r] .. start[r] + length[r]."""

    start: Ints
    length: Ints

    def of(self, rows: Ints) -> "Ragged":
        """The chosen rows of the same flat array."""
        return Ragged(self.start[rows], self.length[rows])

    def spread(self, rows: Ints) -> tuple[Ints, Ints]:
        """For the chosen rows: (which of the chosen each element belongs to, its place in the flat array)."""
        counts = self.length[rows]
        owner = np.repeat(np.arange(len(rows)), counts)
        within = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
        return owner, self.start[rows][owner] + within


def ragged(counts: Sequence[int]) -> Ragged:
    """Rows laid end to end."""
    count = np.array(counts, dtype=np.int64)
    return Ragged(np.cumsum(count) - count, count)


@dataclass(frozen=True, slots=True, eq=False)
class Motions:
    """P motions padded to M terms and K drives; arrays as in PairMotion with a leading axis P."""

    drawn: Floats
    vector: Complexes
    slide: Complexes
    shift: Floats
    turn: Floats
    turn_a: Floats
    turn_b: Floats
    phase_a: Floats
    phase_b: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Features:
    """Corner-edge features of the CONVEX pairs, edge after edge: `pairs` finds a pair's features, `edges` its edges.

    A feature's corner is of the other core than its edge. on_b: its edge belongs to B (then all is in B's own frame),
    else to A. first, along (unit, 0 for a point), length: the edge. run: first feature of each edge, flat.
    bears: the edge has a length, so its outward normal can separate.
    """

    pairs: Ragged
    edges: Ragged
    corner: Complexes
    first: Complexes
    along: Complexes
    length: Floats
    on_b: NDArray[np.bool_]
    run: Ragged
    bears: NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Batch:
    """T core pairs ready for `core.clearance.distance`: own points count from the last pins of their motion.

    low, high, reach: (T, K) over the K padded drives of their motion (unused ones have low = high and reach 0).
    """

    motion: Ints
    kind: Ints
    radius: Floats
    normal: Complexes
    points_a: Ragged
    points_b: Ragged
    a: Complexes
    b: Complexes
    middle_a: Complexes
    middle_b: Complexes
    circles: Floats
    features: Features
    reach: Floats
    low: Floats
    high: Floats
    motions: Motions

    def __len__(self) -> int:
        """The number of core pairs."""
        return len(self.motion)

    def of(self, pairs: Ints, low: Floats, high: Floats) -> "Batch":
        """The chosen core pairs (repeats allowed) over other ranges (n, K), which lie inside those of before."""
        features = replace(self.features, pairs=self.features.pairs.of(pairs), edges=self.features.edges.of(pairs))
        return Batch(
            motion=self.motion[pairs],
            kind=self.kind[pairs],
            radius=self.radius[pairs],
            normal=self.normal[pairs],
            points_a=self.points_a.of(pairs),
            points_b=self.points_b.of(pairs),
            a=self.a,
            b=self.b,
            middle_a=self.middle_a[pairs],
            middle_b=self.middle_b[pairs],
            circles=self.circles[pairs],
            features=features,
            reach=self.reach[pairs],
            low=low,
            high=high,
            motions=self.motions,
        )


def batch_of(
    pairs: Sequence[CorePair],
    owners: Sequence[int],
    motions: Sequence[PairMotion],
    ranges: Sequence[tuple[Floats, Floats]],
) -> Batch:
    """Lay out core pairs. owners: index of each pair's motion; ranges: (low, high) of each motion's drives, their units."""
    own_a = [pair.a - motions[owner].last_a for pair, owner in zip(pairs, owners, strict=True)]
    own_b = [pair.b - motions[owner].last_b for pair, owner in zip(pairs, owners, strict=True)]
    circles_a, circles_b = [circle_about(points) for points in own_a], [circle_about(points) for points in own_b]
    width = max((len(motion.drives) for motion in motions), default=0)
    reach, low, high = (np.zeros((len(pairs), width)) for _ in range(3))
    for row, owner in enumerate(owners):
        motion, (start, end) = motions[owner], ranges[owner]
        count = len(motion.drives)
        longest = np.maximum(np.abs(start - motion.drawn), np.abs(end - motion.drawn))
        reach[row, :count] = motion.reach(farthest_a=farthest(own_a[row]), farthest_b=farthest(own_b[row]), longest=longest)
        low[row, :count], high[row, :count] = start, end
    return Batch(
        motion=np.array(owners, dtype=np.int64),
        kind=np.array([pair.kind for pair in pairs], dtype=np.int64),
        radius=np.array([pair.radius for pair in pairs], dtype=float),
        normal=np.array([pair.normal for pair in pairs], dtype=complex),
        points_a=ragged([len(points) for points in own_a]),
        points_b=ragged([len(points) for points in own_b]),
        a=_flat(own_a),
        b=_flat(own_b),
        middle_a=np.array([middle for middle, _ in circles_a], dtype=complex),
        middle_b=np.array([middle for middle, _ in circles_b], dtype=complex),
        circles=np.array([first + second for (_, first), (_, second) in zip(circles_a, circles_b, strict=True)], dtype=float),
        features=_features([pair.kind for pair in pairs], own_a, own_b),
        reach=reach,
        low=low,
        high=high,
        motions=_padded(motions, width),
    )


def _flat(rows: Sequence[Complexes]) -> Complexes:
    return np.concatenate([*rows, np.zeros(0, dtype=complex)])


def _padded(motions: Sequence[PairMotion], width: int) -> Motions:
    terms = max((len(motion.vector) for motion in motions), default=0)
    count = len(motions)
    drawn, turn_a, turn_b = (np.zeros((count, width)) for _ in range(3))
    vector, slide = (np.zeros((count, terms), dtype=complex) for _ in range(2))
    shift, turn = (np.zeros((count, terms, width)) for _ in range(2))
    for row, motion in enumerate(motions):
        drives, own = len(motion.drives), len(motion.vector)
        drawn[row, :drives], turn_a[row, :drives], turn_b[row, :drives] = motion.drawn, motion.turn_a, motion.turn_b
        vector[row, :own], slide[row, :own] = motion.vector, motion.slide
        shift[row, :own, :drives], turn[row, :own, :drives] = motion.shift, motion.turn
    return Motions(
        drawn=drawn,
        vector=vector,
        slide=slide,
        shift=shift,
        turn=turn,
        turn_a=turn_a,
        turn_b=turn_b,
        phase_a=np.array([motion.phase_a for motion in motions]),
        phase_b=np.array([motion.phase_b for motion in motions]),
    )


def _edges_of(points: Complexes) -> tuple[Complexes, Complexes]:
    """First points and vectors of a core's edges: a segment has two (there and back), a point one of no length."""
    if len(points) == 1:
        return points, np.zeros(1, dtype=complex)
    return points, np.roll(points, -1) - points


def _features(kinds: Sequence[Kind], own_a: Sequence[Complexes], own_b: Sequence[Complexes]) -> Features:
    corner, first, along, on_b, runs, feature_counts, edge_counts = [], [], [], [], [], [], []
    for kind, points_a, points_b in zip(kinds, own_a, own_b, strict=True):
        if kind != Kind.CONVEX:
            feature_counts.append(0)
            edge_counts.append(0)
            continue
        total = edges = 0
        for corners, others, is_b in ((points_a, points_b, True), (points_b, points_a, False)):
            starts, vectors = _edges_of(others)
            corner.append(np.tile(corners, len(starts)))
            first.append(np.repeat(starts, len(corners)))
            along.append(np.repeat(vectors, len(corners)))
            on_b.append(np.full(len(corners) * len(starts), is_b))
            runs.extend([len(corners)] * len(starts))
            total, edges = total + len(corners) * len(starts), edges + len(starts)
        feature_counts.append(total)
        edge_counts.append(edges)
    vectors = _flat(along)
    lengths = np.abs(vectors)
    run = ragged(runs)
    return Features(
        pairs=ragged(feature_counts),
        edges=ragged(edge_counts),
        corner=_flat(corner),
        first=_flat(first),
        along=np.divide(vectors, lengths, out=np.zeros_like(vectors), where=lengths > 0),
        length=lengths,
        on_b=np.concatenate([*on_b, np.zeros(0, dtype=bool)]).astype(bool),
        run=run,
        bears=lengths[run.start] > 0 if runs else np.zeros(0, dtype=bool),
    )
