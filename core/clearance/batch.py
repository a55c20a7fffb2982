"""Many core pairs side by side as flat arrays, so that one numpy pass looks at boxes of all of them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.reach import PairMotion

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


def ragged(counts: Sequence[int] | Ints) -> Ragged:
    """Rows laid end to end."""
    count = np.asarray(counts, dtype=np.int64)
    return Ragged(np.cumsum(count) - count, count)


@dataclass(frozen=True, slots=True, eq=False)
class Motions:
    """P motions padded to M terms and K drives; arrays as in PairMotion with a leading axis P.

    reach: (P, K) of the offset alone. low, high: (P, K) the travel of the drives (padding: both 0).
    """

    drawn: Floats
    vector: Complexes
    slide: Complexes
    shift: Floats
    turn: Floats
    turn_a: Floats
    turn_b: Floats
    phase_a: Floats
    phase_b: Floats
    reach: Floats
    low: Floats
    high: Floats


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
    circle_a: Floats
    circle_b: Floats
    features: Features
    reach: Floats
    low: Floats
    high: Floats
    motions: Motions

    @property
    def corners(self) -> Ints:
        """(T,) corners of both cores."""
        return self.points_a.length + self.points_b.length

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
            circle_a=self.circle_a[pairs],
            circle_b=self.circle_b[pairs],
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
    owner = np.array(owners, dtype=np.int64)
    points_a, points_b = ragged([len(pair.a) for pair in pairs]), ragged([len(pair.b) for pair in pairs])
    last_a = np.array([motion.last_a for motion in motions], dtype=complex)[owner]
    last_b = np.array([motion.last_b for motion in motions], dtype=complex)[owner]
    a = _flat([pair.a for pair in pairs]) - np.repeat(last_a, points_a.length)
    b = _flat([pair.b for pair in pairs]) - np.repeat(last_b, points_b.length)
    middle_a, radius_a, far_a = _circles_about(a, points_a)
    middle_b, radius_b, far_b = _circles_about(b, points_b)
    own = padded(motions, ranges)
    kind = np.array([pair.kind for pair in pairs], dtype=np.int64)
    own_turns = np.abs(own.turn_a)[owner] * far_a[:, None] + np.abs(own.turn_b)[owner] * far_b[:, None]
    return Batch(
        motion=owner,
        kind=kind,
        radius=np.array([pair.radius for pair in pairs], dtype=float),
        normal=np.array([pair.normal for pair in pairs], dtype=complex),
        points_a=points_a,
        points_b=points_b,
        a=a,
        b=b,
        middle_a=middle_a,
        middle_b=middle_b,
        circle_a=radius_a,
        circle_b=radius_b,
        features=_features(kind == Kind.CONVEX, (a, points_a), (b, points_b)),
        reach=own.reach[owner] + own_turns,
        low=own.low[owner],
        high=own.high[owner],
        motions=own,
    )


def _circles_about(points: Complexes, rows: Ragged) -> tuple[Complexes, Floats, Floats]:
    """For each row a circle that holds its points (middle of their bounding box, radius), and its farthest from 0."""
    if not len(rows.start):
        return np.zeros(0, dtype=complex), np.zeros(0), np.zeros(0)
    ends = [np.minimum.reduceat(part, rows.start) + np.maximum.reduceat(part, rows.start) for part in (points.real, points.imag)]
    middle = (ends[0] + 1j * ends[1]) / 2
    radius = np.maximum.reduceat(np.abs(points - np.repeat(middle, rows.length)), rows.start)
    return middle, np.nextafter(radius, np.inf), np.maximum.reduceat(np.abs(points), rows.start)


def _flat(rows: Sequence[Complexes]) -> Complexes:
    return np.concatenate([*rows, np.zeros(0, dtype=complex)])


def padded(motions: Sequence[PairMotion], ranges: Sequence[tuple[Floats, Floats]]) -> Motions:
    """Lay out motions side by side. ranges: (low, high) of each motion's drives, their units."""
    width = max((len(motion.drives) for motion in motions), default=0)
    terms = max((len(motion.vector) for motion in motions), default=0)
    count = len(motions)
    drawn, turn_a, turn_b, low, high, reach = (np.zeros((count, width)) for _ in range(6))
    vector, slide = (np.zeros((count, terms), dtype=complex) for _ in range(2))
    shift, turn = (np.zeros((count, terms, width)) for _ in range(2))
    for row, (motion, (start, end)) in enumerate(zip(motions, ranges, strict=True)):
        drives, own = len(motion.drives), len(motion.vector)
        drawn[row, :drives], turn_a[row, :drives], turn_b[row, :drives] = motion.drawn, motion.turn_a, motion.turn_b
        vector[row, :own], slide[row, :own] = motion.vector, motion.slide
        shift[row, :own, :drives], turn[row, :own, :drives] = motion.shift, motion.turn
        low[row, :drives], high[row, :drives] = start, end
        reach[row, :drives] = motion.reach(longest=np.maximum(np.abs(start - motion.drawn), np.abs(end - motion.drawn)))
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
        reach=reach,
        low=low,
        high=high,
    )


def _edges_of(points: Complexes, rows: Ragged) -> Complexes:
    """Edge vectors, one a point: a segment has two (there and back), a single point one of no length."""
    following = np.arange(len(points)) + 1
    following[rows.start + rows.length - 1] = rows.start
    return points[following] - points


def _features(convex: NDArray[np.bool_], side_a: tuple[Complexes, Ragged], side_b: tuple[Complexes, Ragged]) -> Features:
    """Every corner of each core over every edge of the other; of the pairs that are not convex there is none."""
    (a, rows_a), (b, rows_b) = side_a, side_b
    edges_a, edges_b = _edges_of(a, rows_a), _edges_of(b, rows_b)
    count_a, count_b = np.where(convex, rows_a.length, 0), np.where(convex, rows_b.length, 0)
    both = np.repeat(count_a * count_b, 2)
    owner = np.repeat(np.arange(len(both)), both)
    within = np.arange(len(owner)) - np.repeat(np.cumsum(both) - both, both)
    pair, on_b = owner // 2, owner % 2 == 0
    corners = np.where(on_b, count_a[pair], count_b[pair])
    edge, corner = within // np.maximum(corners, 1), within % np.maximum(corners, 1)
    at_a = rows_a.start[pair] + np.where(on_b, corner, edge)
    at_b = rows_b.start[pair] + np.where(on_b, edge, corner)
    vectors = np.where(on_b, edges_b[at_b], edges_a[at_a])
    lengths = np.abs(vectors)
    run = ragged(np.repeat(np.stack([count_a, count_b], axis=1), np.stack([count_b, count_a], axis=1).ravel()))
    return Features(
        pairs=ragged(2 * count_a * count_b),
        edges=ragged(count_a + count_b),
        corner=np.where(on_b, a[at_a], b[at_b]),
        first=np.where(on_b, b[at_b], a[at_a]),
        along=np.divide(vectors, lengths, out=np.zeros_like(vectors), where=lengths > 0),
        length=lengths,
        on_b=on_b,
        run=run,
        bears=lengths[run.start] > 0,
    )
