"""Where the vector terms of many boxes of drive values stand at the centre, how fast they move, and what is left over."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Batch

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
Ints = NDArray[np.int64]


class Boxes(NamedTuple):
    """N boxes of drive values: pair (N,) into the batch, centre and half (N, K) drive units."""

    pair: Ints
    centre: Floats
    half: Floats

    def of(self, chosen: NDArray[np.bool_] | Ints) -> "Boxes":
        """The chosen boxes."""
        return Boxes(self.pair[chosen], self.centre[chosen], self.half[chosen])


class Spread(NamedTuple):
    """Over N boxes: x_v - y_w = offset + spin_a v - spin_b w at the centre, mm.

    slope: (N, K) complex, d offset / dq. rate_a, rate_b: (N, K) radians per drive unit. rest: (N,) mm, bound of what
    the first order leaves out of the offset; rest_a, rest_b: (N,) the same per mm of |v| and |w|. half: (N, K).
    """

    offset: Complexes
    slope: Complexes
    rest: Floats
    spin_a: Complexes
    rate_a: Floats
    rest_a: Floats
    spin_b: Complexes
    rate_b: Floats
    rest_b: Floats
    half: Floats

    def of(self, chosen: NDArray[np.bool_] | Ints) -> "Spread":
        """The chosen boxes."""
        return Spread(
            self.offset[chosen],
            self.slope[chosen],
            self.rest[chosen],
            self.spin_a[chosen],
            self.rate_a[chosen],
            self.rest_a[chosen],
            self.spin_b[chosen],
            self.rate_b[chosen],
            self.rest_b[chosen],
            self.half[chosen],
        )


def spread_of(batch: Batch, boxes: Boxes) -> Spread:
    """The motion over each box, second order: Taylor's remainder with |q_k - centre_k| <= half_k."""
    motions, row = batch.motions, batch.motion[boxes.pair]
    delta = boxes.centre - motions.drawn[row]
    turn, shift, slide = motions.turn[row], motions.shift[row], motions.slide[row]
    spin = np.exp(1j * np.einsum("nmk,nk->nm", turn, delta))
    carried = motions.vector[row] + np.einsum("nmk,nk->nm", shift, delta) * slide
    terms = carried * spin
    slope = np.einsum("nm,nmk->nk", 1j * terms, turn) + np.einsum("nm,nmk->nk", slide * spin, shift)
    turned = np.einsum("nmk,nk->nm", np.abs(turn), boxes.half)
    slid = np.einsum("nmk,nk->nm", np.abs(shift), boxes.half) * np.abs(slide)
    rest = (slid * turned + (np.abs(carried) + slid) * turned**2 / 2).sum(axis=1)
    rate_a, rate_b = motions.turn_a[row], motions.turn_b[row]
    return Spread(
        offset=terms.sum(axis=1),
        slope=slope,
        rest=rest,
        spin_a=np.exp(1j * (np.einsum("nk,nk->n", rate_a, delta) + motions.phase_a[row])),
        rate_a=rate_a,
        rest_a=np.einsum("nk,nk->n", np.abs(rate_a), boxes.half) ** 2 / 2,
        spin_b=np.exp(1j * (np.einsum("nk,nk->n", rate_b, delta) + motions.phase_b[row])),
        rate_b=rate_b,
        rest_b=np.einsum("nk,nk->n", np.abs(rate_b), boxes.half) ** 2 / 2,
        half=boxes.half,
    )


def dot(first: Complexes, second: Complexes) -> Floats:
    """Scalar product of complex vectors, element by element."""
    product: Floats = first.real * second.real + first.imag * second.imag
    return product
