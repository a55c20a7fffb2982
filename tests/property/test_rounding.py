"""What protects the proof from floating point: bounds held against 80-bit arithmetic, and gaps that are exactly what is asked.

Every bound gives `Tolerances.arithmetic` (1e-9 mm) away, far more than double precision loses at these sizes (some 1e-13 mm);
so no slack is allowed here. Where a machine's long double is a double, this shows no more than that the margin covers its rounding.
"""

import numpy as np
import pytest

from core.clearance.batch import Kind, batch_of
from core.clearance.distance import look
from core.clearance.motion_in_box import Boxes
from core.sweep.run import BOXES
from core.tolerances import DEFAULT_TOLERANCES
from tests.bays import bar, box, check, disc, slid, turned
from tests.property.test_bounds import Case

PI = 4 * np.arctan(np.longdouble(1))
SEEDS, CASES, SAMPLES = 6, 150, 8


def spin(degrees: np.longdouble) -> np.clongdouble:
    return np.exp(np.clongdouble(1j) * degrees * PI / 180)


def posed(steps, offset, points):
    """As `tests.property.test_bounds.posed`, in long doubles."""
    for step in reversed(steps):
        value = sum((np.longdouble(ratio) * offset[drive] for drive, ratio in step.ratios), np.longdouble(0))
        at, along = np.clongdouble(step.at), np.clongdouble(step.along)
        points = at + spin(value) * (points - at) if step.kind == "pivot" else points + value * along
    return points


def apart(first, second) -> np.longdouble:
    """The least distance of a vertex of one from an edge of the other, both ways."""
    least = np.longdouble(np.inf)
    for points, ring in ((first, second), (second, first)):
        start, edge = ring, np.roll(ring, -1) - ring
        size = np.maximum(np.abs(edge) ** 2, np.finfo(np.longdouble).tiny)
        share = np.clip(((points[:, None] - start) * np.conj(edge)).real / size, 0, 1)
        least = min(least, np.abs(points[:, None] - start - share * edge).min())
    return least


def exact_gap(case: Case, values) -> np.longdouble:
    """nan where convex cores overlap, whose depth is not measured here."""
    offset = values - case.drawn.astype(np.longdouble)
    a, b = (posed(chain, offset, own.astype(np.clongdouble)) for chain, own in zip(case.chains, (case.core.a, case.core.b), strict=True))
    radius = np.longdouble(case.core.radius)
    if case.core.kind == Kind.CONVEX:
        # the double sign of the gap is enough to tell overlaps from what is apart
        return apart(a, b) - radius if case.gap(values.astype(float)) > -case.core.radius else np.longdouble(np.nan)
    if case.core.kind == Kind.BORE:
        return radius - np.abs(a - b[0]).max()
    turns = (r * offset[d] for step in case.chains[1] if step.kind == "pivot" for d, r in step.ratios)
    return ((a - b[0]) * np.conj(np.clongdouble(case.core.normal) * spin(sum(turns, np.longdouble(0))))).real.min() - radius


@pytest.mark.parametrize("seed", range(SEEDS))
@pytest.mark.parametrize("kind", list(Kind), ids=lambda kind: kind.name.lower())
def test_no_bound_exceeds_the_gap_of_longer_arithmetic(kind, seed):
    rng = np.random.default_rng((7, seed, kind))
    cases = [Case(rng, kind) for _ in range(CASES)]
    ranges = [(case.drawn[list(case.motion.drives)] - 60, case.drawn[list(case.motion.drives)] + 60) for case in cases]
    batch = batch_of([case.core for case in cases], range(CASES), [case.pair_motion() for case in cases], ranges)
    # from no width at all, where a bound is the gap less the margin, to a tenth of a degree or mm
    half = np.where(batch.high > batch.low, np.where(rng.random((CASES, 1)) < 0.4, 0.0, 10 ** rng.uniform(-9, -1, (CASES, 1))), 0.0)
    centre = batch.low + rng.random(half.shape) * (batch.high - batch.low)
    seen = look(batch, Boxes(np.arange(CASES), centre, half), enough=np.full(CASES, np.inf), margin=DEFAULT_TOLERANCES.arithmetic)
    told = 0
    for number, case in enumerate(cases):
        drives = list(case.motion.drives)
        for sign in np.sign(rng.uniform(-1, 1, (SAMPLES, len(drives)))):
            values = case.drawn.astype(np.longdouble)
            values[drives] = centre[number, : len(drives)] + sign.astype(np.longdouble) * half[number, : len(drives)]
            gap = exact_gap(case, values)
            if np.isfinite(gap):
                told += 1
                assert seen.lower[number] <= gap, f"case {number}"
    assert told > CASES


EXACT = [(need, radius) for need in (0.1, 0.3, 0.7, 1.1, 2.3) for radius in (0.3, 1.7, 2.9, 5.1, 7.7) if (need + radius) - radius < need]


def test_sums_that_come_back_smaller_are_among_the_cases():
    assert len(EXACT) >= 3


@pytest.mark.parametrize(("need", "radius"), EXACT)
def test_a_gap_of_exactly_what_is_asked_is_clear_and_splits_nothing_for_ever(need, radius):
    # a disc along a flat wall, and an arm that ends in a disc on its own pin: the gap is what is asked all the way
    along = slid(box(0, -5, 100, 10), disc(0, round(need + radius, 6), radius), travel=(-20, 20), required_gap=need)
    about = turned(disc(round(2 * radius + need, 6), 0, radius), disc(0, 0, radius), travel=(-90, 90), required_gap=need)
    arm = turned(
        disc(0, 0, radius), bar((radius + need + 1, 0), (20 + radius + need, 0), 1), travel=(-90, 90), at=(0, 0), required_gap=need
    )
    for record in (along, about, arm):
        found = check(record)
        assert {row.verdict for row in found.checks} == {"clear"}
        # Along a circle a box is proved by `touch` alone while it is narrower than about sqrt(touch / radius): thousands of boxes,
        # but all sweeps together spend less than the cap of a single row, which one that splits for ever would spend.
        assert found.work.boxes < BOXES / 2
