"""Where the vector terms of many boxes of drive values stand at the centre, how fast they move, and what is left over."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Batch, Motions

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
    widest: (N, K') half-widths that the batch's reach is counted with; the same as half unless joints are passive.
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
    widest: Floats

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
            self.widest[chosen],
        )


def spread_of(batch: Batch, boxes: Boxes) -> Spread:
    """The motion of the boxes' pairs over each box."""
    return spread_over(batch.motions, batch.motion[boxes.pair], centre=boxes.centre, half=boxes.half)


def spread_over(motions: Motions, row: Ints, *, centre: Floats, half: Floats, mix: Floats | None = None) -> Spread:
    """The motions `row` (N,) over boxes of their coordinates, second order (Taylor's remainder).

    centre: (N, K). Without `mix` each coordinate runs over +- half (N, K) of its own. With it the coordinates are
    centre + mix t, mix (N, K, J), |t_j| <= half (N, J): passive joints follow the drives but for a bounded error.
    """
    delta = centre - motions.drawn[row]
    turn, shift, slide = motions.turn[row], motions.shift[row], motions.slide[row]
    rate_a, rate_b = motions.turn_a[row], motions.turn_b[row]
    spin = np.exp(1j * np.einsum("nmk,nk->nm", turn, delta))
    carried = motions.vector[row] + np.einsum("nmk,nk->nm", shift, delta) * slide
    spin_a = np.exp(1j * (np.einsum("nk,nk->n", rate_a, delta) + motions.phase_a[row]))
    spin_b = np.exp(1j * (np.einsum("nk,nk->n", rate_b, delta) + motions.phase_b[row]))
    if mix is not None:
        turn, shift = np.einsum("nmk,nkj->nmj", turn, mix), np.einsum("nmk,nkj->nmj", shift, mix)
        rate_a, rate_b = np.einsum("nk,nkj->nj", rate_a, mix), np.einsum("nk,nkj->nj", rate_b, mix)
    terms = carried * spin
    slope = np.einsum("nm,nmk->nk", 1j * terms, turn) + np.einsum("nm,nmk->nk", slide * spin, shift)
    turned = np.einsum("nmk,nk->nm", np.abs(turn), half)
    slid = np.einsum("nmk,nk->nm", np.abs(shift), half) * np.abs(slide)
    rest = (slid * turned + (np.abs(carried) + slid) * turned**2 / 2).sum(axis=1)
    return Spread(
        offset=terms.sum(axis=1),
        slope=slope,
        rest=rest,
        spin_a=spin_a,
        rate_a=rate_a,
        rest_a=np.einsum("nk,nk->n", np.abs(rate_a), half) ** 2 / 2,
        spin_b=spin_b,
        rate_b=rate_b,
        rest_b=np.einsum("nk,nk->n", np.abs(rate_b), half) ** 2 / 2,
        half=half,
        widest=half if mix is None else np.einsum("nkj,nj->nk", np.abs(mix), half),
    )


def dot(first: Complexes, second: Complexes) -> Floats:
    """Scalar product of complex vectors, element by element."""
    product: Floats = first.real * second.real + first.imag * second.imag
    return product
