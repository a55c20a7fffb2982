"""Bounds of gaps over boxes of drive values, held against random samples in them that are posed by trigonometry of their own."""

import cmath
import math

import numpy as np
import pytest
import shapely

from core.clearance.batch import CorePair, Kind, batch_of
from core.clearance.distance import look
from core.clearance.motion_in_box import Boxes
from core.clearance.reach import PairMotion, between
from core.model.names import JointName
from core.motion.linkage import Step

ROUNDING = 1e-8
SEEDS, BOXES, SAMPLES = 12, 150, 20
"""Each seed looks at BOXES boxes with SAMPLES samples: 36,000 samples of each kind."""


def random_steps(rng: np.random.Generator, drives: int, count: int) -> tuple[Step, ...]:
    """Pivots and slides, each moved by one or two drives by random ratios."""
    steps = []
    for _ in range(count):
        pivots = rng.random() < 0.65
        moved = rng.choice(drives, size=min(drives, int(rng.integers(1, 3))), replace=False)
        ratios = tuple((int(drive), float(rng.choice([1, -1, 0.5, -1.7]) * (1 if pivots else 0.3))) for drive in moved)
        at = complex(*rng.uniform(-30, 30, 2))
        along = 0j if pivots else cmath.rect(1, rng.uniform(-math.pi, math.pi))
        steps.append(Step(joint=JointName("j"), kind="pivot" if pivots else "slide", at=at, along=along, ratios=ratios, free=False))
    return tuple(steps)


def posed(steps: tuple[Step, ...], offset: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Points drawn on the last body of a chain, moved joint by joint from the last to the first."""
    for step in reversed(steps):
        value = sum(ratio * offset[drive] for drive, ratio in step.ratios)
        turned = step.at + cmath.rect(1, math.radians(value)) * (points - step.at)
        points = turned if step.kind == "pivot" else points + value * step.along
    return points


def turn_of(steps: tuple[Step, ...], offset: np.ndarray) -> complex:
    turn = sum(ratio * offset[drive] for step in steps if step.kind == "pivot" for drive, ratio in step.ratios)
    return cmath.rect(1, math.radians(turn))


def convex(rng: np.random.Generator) -> np.ndarray:
    """A point, a segment or a convex polygon, counter-clockwise."""
    middle, corners = complex(*rng.uniform(-30, 30, 2)), int(rng.integers(1, 8))
    cloud = middle + rng.uniform(2, 15) * np.exp(2j * math.pi * np.sort(rng.random(corners))) * rng.uniform(0.6, 1, corners)
    if corners <= 2:
        return cloud
    ring = shapely.get_coordinates(shapely.MultiPoint(np.column_stack([cloud.real, cloud.imag])).convex_hull.exterior)[:-1]
    if not shapely.LinearRing(ring).is_ccw:
        ring = ring[::-1]
    return ring[:, 0] + 1j * ring[:, 1]


def signed_gap(first: np.ndarray, second: np.ndarray) -> float:
    """Distance of two convex cores by shapely; where they overlap minus the nearest face of their Minkowski difference."""
    one, other = (shapely.MultiPoint(np.column_stack([core.real, core.imag])).convex_hull for core in (first, second))
    distance = one.distance(other)
    if distance > 0:
        return distance
    hull = shapely.MultiPoint([(p.real, p.imag) for p in np.subtract.outer(first, second).ravel()]).convex_hull
    return -shapely.Point(0, 0).distance(hull.boundary) if hull.geom_type == "Polygon" and hull.covers(shapely.Point(0, 0)) else 0.0


class Case:
    """A random motion, a random core pair of a kind, and its gap at any drive values."""

    def __init__(self, rng: np.random.Generator, kind: Kind) -> None:
        drives = int(rng.integers(1, 4))
        shared = random_steps(rng, drives, int(rng.integers(0, 2)))
        self.chains = [(*shared, *random_steps(rng, drives, int(count))) for count in rng.integers(0, 3, 2)]
        if all(len(chain) == len(shared) for chain in self.chains):
            self.chains[0] = (*self.chains[0], *random_steps(rng, drives, 1))
        self.drawn = rng.uniform(-20, 20, drives)
        self.motion = between(*self.chains, drawn=self.drawn.tolist())
        a, b = convex(rng), convex(rng) if kind == Kind.CONVEX else np.array([complex(*rng.uniform(-30, 30, 2))])
        normal = cmath.rect(1, rng.uniform(-math.pi, math.pi)) if kind == Kind.FACE else 0j
        self.core = CorePair(kind, a, b, float(rng.uniform(0, 5) if kind != Kind.BORE else rng.uniform(20, 60)), normal)

    def pair_motion(self) -> PairMotion:
        return self.motion.in_frame_of_b() if self.core.kind == Kind.FACE else self.motion

    def gap(self, values: np.ndarray) -> float:
        """values: of all drives."""
        offset = values - self.drawn
        a, b = (posed(chain, offset, points) for chain, points in zip(self.chains, (self.core.a, self.core.b), strict=True))
        if self.core.kind == Kind.CONVEX:
            return signed_gap(a, b) - self.core.radius
        if self.core.kind == Kind.BORE:
            return self.core.radius - float(np.abs(a - b[0]).max())
        normal = self.core.normal * turn_of(self.chains[1], offset)
        return float(((a - b[0]) * np.conj(normal)).real.min()) - self.core.radius


@pytest.mark.parametrize("seed", range(SEEDS))
@pytest.mark.parametrize("kind", list(Kind), ids=lambda kind: kind.name.lower())
def test_no_sample_lies_outside_the_bounds_of_its_box(kind, seed):
    rng = np.random.default_rng((seed, kind))
    cases = [Case(rng, kind) for _ in range(BOXES)]
    ranges = []
    for case in cases:
        own = case.drawn[list(case.motion.drives)]
        ranges.append((own - rng.uniform(5, 90, len(own)), own + rng.uniform(5, 90, len(own))))
    batch = batch_of([case.core for case in cases], range(BOXES), [case.pair_motion() for case in cases], ranges)
    width = 0.5 * 10 ** rng.uniform(-3, 0, (BOXES, 1))
    half = width * (batch.high - batch.low) / 2
    centre = batch.low + half + rng.random(half.shape) * (batch.high - batch.low - 2 * half)
    seen = look(batch, Boxes(np.arange(BOXES), centre, half), enough=np.full(BOXES, np.inf), margin=1e-9)
    assert np.all(seen.lower <= seen.gap)
    assert np.all(seen.gap <= seen.upper)
    ways = rng.uniform(-1, 1, (BOXES, SAMPLES, half.shape[1]))
    # corners of the box are where bounds are tightest
    ways[:, : SAMPLES // 2] = np.sign(ways[:, : SAMPLES // 2])
    ways[:, 0] = 0
    for number, case in enumerate(cases):
        values = case.drawn.copy()
        for sample, way in enumerate(ways[number]):
            at = centre[number] + way * half[number]
            values[list(case.motion.drives)] = at[: len(case.motion.drives)]
            gap = case.gap(values)
            assert seen.lower[number] <= gap + ROUNDING, f"case {number}"
            assert gap <= seen.upper[number] + ROUNDING, f"case {number}"
            if sample == 0:
                assert seen.gap[number] == pytest.approx(gap, abs=1e-7), f"case {number}"


def test_bounds_close_in_on_the_gap_as_boxes_shrink():
    # A proof that never tightens would decide nothing: at a millionth of the travel the bounds lie within a thousandth of a mm or so.
    rng = np.random.default_rng(5)
    cases = [Case(rng, kind) for kind in Kind for _ in range(50)]
    count = len(cases)
    ranges = [(case.drawn[list(case.motion.drives)] - 50, case.drawn[list(case.motion.drives)] + 50) for case in cases]
    batch = batch_of([case.core for case in cases], range(count), [case.pair_motion() for case in cases], ranges)
    half = (batch.high - batch.low) * 1e-6
    seen = look(batch, Boxes(np.arange(count), (batch.low + batch.high) / 2, half), enough=np.full(count, np.inf), margin=1e-9)
    assert np.all(seen.gap - seen.lower < 2e-3)
    assert np.all(seen.upper - seen.gap < 2e-3)
