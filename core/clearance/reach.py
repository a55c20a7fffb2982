"""How two bodies move relative to each other, as sums of rotating vectors, and how far that can take a point.

In the frame of the lowest common ancestor of two bodies A and B in the joint tree, with points as complex numbers,

    x_v - y_w = D(q) + e^{i a(q)} v - e^{i b(q)} w,    D(q) = sum_m (w_m + s_m(q) u_m) e^{i psi_m(q)},

where a, b, psi_m and s_m are affine in the drive values q: ratios and counter-turning joints are coefficients, a drive
on both sides cancels by itself. Only joints between the two bodies appear.
Source of the method: Schwarzer, Saha, Latombe, "Adaptive dynamic collision checking for single and multiple articulated
robots in complex environments" (2005), taken to second order.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.motion.linkage import Step

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]


@dataclass(frozen=True, slots=True, eq=False)
class PairMotion:
    """The relative motion of A and B over K drives with M vector terms; q counts from the drawn values.

    drives: K indices into the project's drives. drawn: (K,) drive units. vector (M,) complex mm, slide (M,) complex
    unit directions, shift (M, K) mm per drive unit, turn (M, K) radians per drive unit: the terms of D.
    turn_a, turn_b (K,): how A and B themselves turn; phase_a, phase_b radians are added to them.
    last_a, last_b: the pins that A's and B's own points are counted from.
    """

    drives: tuple[int, ...]
    drawn: Floats
    vector: Complexes
    slide: Complexes
    shift: Floats
    turn: Floats
    turn_a: Floats
    turn_b: Floats
    last_a: complex
    last_b: complex
    phase_a: float = 0.0
    phase_b: float = 0.0

    def in_frame_of_b(self) -> "PairMotion":
        """The same motion seen from B, which then stands still."""
        return replace(
            self,
            turn=self.turn - self.turn_b,
            turn_a=self.turn_a - self.turn_b,
            turn_b=np.zeros_like(self.turn_b),
        )

    def along(self, axis: int, values: Floats) -> "PairMotion":
        """The motion with one drive left free (index `axis` of `drives`) and the others held at `values` (K,)."""
        offset = values - self.drawn
        offset[axis] = 0.0
        spin = np.exp(1j * (self.turn @ offset))
        held = PairMotion(
            drives=(self.drives[axis],),
            drawn=self.drawn[axis : axis + 1],
            vector=(self.vector + (self.shift @ offset) * self.slide) * spin,
            slide=self.slide * spin,
            shift=self.shift[:, axis : axis + 1],
            turn=self.turn[:, axis : axis + 1],
            turn_a=self.turn_a[axis : axis + 1],
            turn_b=self.turn_b[axis : axis + 1],
            last_a=self.last_a,
            last_b=self.last_b,
            phase_a=self.phase_a + float(self.turn_a @ offset),
            phase_b=self.phase_b + float(self.turn_b @ offset),
        )
        return _merged(held)

    def reach(self, *, longest: Floats) -> Floats:
        """(K,) mm per drive unit: the offset D moves no faster.

        longest: (K,) the largest |q_k| of the sweep; it bounds how far slides can carry a turning part.
        """
        carried = np.abs(self.vector) + (np.abs(self.shift) @ longest) * np.abs(self.slide)
        speed: Floats = (np.abs(self.turn) * carried[:, None] + np.abs(self.shift) * np.abs(self.slide)[:, None]).sum(axis=0)
        return speed


def between(chain_a: Sequence[Step], chain_b: Sequence[Step], *, drawn: Sequence[float]) -> PairMotion:
    """The motion of A relative to B from their chains of joints, bay outward. drawn: one value a drive of the project.

    Joints that both chains begin with carry both bodies alike and drop out.
    """
    common = 0
    while common < min(len(chain_a), len(chain_b)) and chain_a[common] == chain_b[common]:
        common += 1
    own_a, own_b = chain_a[common:], chain_b[common:]
    drives = tuple(sorted({index for step in (*own_a, *own_b) for index, _ in step.ratios}))
    side_a, side_b = _terms(own_a, drives), _terms(own_b, drives)
    return _merged(
        PairMotion(
            drives=drives,
            drawn=np.array([drawn[index] for index in drives]),
            vector=np.concatenate([side_a.vector, -side_b.vector]),
            slide=np.concatenate([side_a.slide, -side_b.slide]),
            shift=np.concatenate([side_a.shift, side_b.shift]),
            turn=np.concatenate([side_a.turn, side_b.turn]),
            turn_a=side_a.turn_a,
            turn_b=side_b.turn_a,
            last_a=side_a.last_a,
            last_b=side_b.last_a,
        )
    )


def _terms(steps: Sequence[Step], drives: tuple[int, ...]) -> PairMotion:
    """One body's own terms (as the A side of a motion whose B stands still at the origin)."""
    place = {index: column for column, index in enumerate(drives)}
    turned, last = np.zeros(len(drives)), 0j
    vectors: list[complex] = []
    slides: list[complex] = []
    shifts: list[Floats] = []
    turns: list[Floats] = []
    for step in steps:
        rates = np.zeros(len(drives))
        for index, ratio in step.ratios:
            rates[place[index]] += ratio
        pivots = step.kind == "pivot"
        vectors.append(step.at - last if pivots else 0j)
        slides.append(0j if pivots else step.along)
        shifts.append(np.zeros(len(drives)) if pivots else rates)
        turns.append(turned.copy())
        if pivots:
            turned = turned + np.radians(rates)
            last = step.at
    count = len(drives)
    return PairMotion(
        drives=drives,
        drawn=np.zeros(count),
        vector=np.array(vectors, dtype=complex),
        slide=np.array(slides, dtype=complex),
        shift=np.array(shifts).reshape(len(vectors), count),
        turn=np.array(turns).reshape(len(vectors), count),
        turn_a=turned,
        turn_b=np.zeros(count),
        last_a=last,
        last_b=0j,
    )


def _merged(motion: PairMotion) -> PairMotion:
    """Terms that turn alike and do not slide are added up, so that what cancels costs nothing in the bounds."""
    sums: dict[tuple[float, ...], complex] = {}
    sliding = []
    for number in range(len(motion.vector)):
        if np.any(motion.shift[number]) and motion.slide[number] != 0:
            sliding.append(number)
        else:
            key = tuple(motion.turn[number].tolist())
            sums[key] = sums.get(key, 0j) + complex(motion.vector[number])
    kept = [(key, total) for key, total in sums.items() if total != 0]
    count = len(motion.drives)
    still = np.zeros((len(kept), count))
    return replace(
        motion,
        vector=np.array([total for _, total in kept] + [motion.vector[number] for number in sliding], dtype=complex),
        slide=np.array([0j] * len(kept) + [motion.slide[number] for number in sliding], dtype=complex),
        shift=np.concatenate([still, motion.shift[sliding].reshape(len(sliding), count)]),
        turn=np.concatenate(
            [np.array([key for key, _ in kept]).reshape(len(kept), count), motion.turn[sliding].reshape(len(sliding), count)]
        ),
    )
