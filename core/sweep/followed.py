"""The passive freedoms of a loop near any drive values: guesses for the enclosure, and whether the values are reached."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.clearance.motion_in_box import Complexes, Floats
from core.motion.linkage import Linkage, Loop, SectionLinkage, Step
from core.motion.pose import Poses, poses

KNOTS = 513
"""Poses along the travel of a loop's only drive; between them the guess is a straight line."""


@dataclass(frozen=True, slots=True, eq=False)
class Followed:
    """A loop followed from the drawn pose.

    knots: (n,) values of its one drive with the passive freedoms (n, P) and whether each is reached; empty where the
    loop has several drives, which are then followed pose by pose.
    """

    section: SectionLinkage
    linkage: Linkage
    loop: Loop
    knots: Floats
    passive: Floats
    reached: NDArray[np.bool_]

    def near(self, values: Floats) -> tuple[Floats, NDArray[np.bool_]]:
        """Passive freedoms (N, P), radians and mm, near `values` (N, D) of the loop's drives; reached (N,)."""
        if not len(self.knots):
            return passive_at(self.section, self.linkage, self.loop, self._all(values))
        place = np.clip(np.searchsorted(self.knots, values[:, 0]), 1, len(self.knots) - 1)
        low, high = place - 1, place
        share = np.clip((values[:, 0] - self.knots[low]) / (self.knots[high] - self.knots[low]), 0.0, 1.0)
        share = np.where(self.reached[low], np.where(self.reached[high], share, 0.0), 1.0)
        guess = self.passive[low] * (1 - share)[:, None] + self.passive[high] * share[:, None]
        return guess, self.reached[low] | self.reached[high]

    def _all(self, values: Floats) -> Floats:
        everything = np.tile(self.linkage.drawn, (len(values), 1))
        everything[:, list(self.loop.drives)] = values
        return everything


def followed(section: SectionLinkage, linkage: Linkage, loop: Loop, *, low: Floats, high: Floats) -> Followed:
    """Follow a loop. low, high: (D,) the travel of all drives of the project."""
    none = np.zeros(0)
    if len(loop.drives) != 1:
        return Followed(section, linkage, loop, none, none, none.astype(bool))
    drive = loop.drives[0]
    drawn = float(linkage.drawn[drive])
    knots = np.linspace(min(float(low[drive]), drawn), max(float(high[drive]), drawn), KNOTS)
    values = np.tile(linkage.drawn, (KNOTS, 1))
    values[:, drive] = knots
    return Followed(section, linkage, loop, knots, *passive_at(section, linkage, loop, values))


def passive_at(section: SectionLinkage, linkage: Linkage, loop: Loop, values: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Passive freedoms (N, P) at values (N, all drives), and whether each is reached."""
    posed = poses(section, linkage, values)
    found = [
        freedom
        for group, parent, steps in zip(loop.groups, loop.parents, loop.steps, strict=True)
        for freedom in _freedoms(posed, group, parent, steps)
    ]
    return np.stack(found, axis=1) if found else np.zeros((len(values), 0)), posed.reached


def _freedoms(posed: Poses, group: int, parent: int, steps: tuple[Step, ...]) -> list[Floats]:
    """The values of one joint's passive steps from the poses of its two groups."""
    if not any(step.passive for step in steps):
        return []
    turn = posed.turn[:, group] - posed.turn[:, parent]
    shift = (posed.shift[:, group] - posed.shift[:, parent]) * np.exp(-1j * posed.turn[:, parent])
    return [turn if step.kind == "pivot" else _slid(step, steps, turn, shift) for step in steps]


def _slid(step: Step, steps: tuple[Step, ...], turn: Floats, shift: Complexes) -> Floats:
    """How far a slide step has moved; the turn of a pivot before it carries its direction."""
    kinds = [own.kind for own in steps]
    spin = np.exp(1j * turn) if "pivot" in kinds else np.ones(len(turn), dtype=complex)
    pin = next((own.at for own in steps if own.kind == "pivot"), 0j)
    along = spin * step.along if kinds[0] == "pivot" else step.along + 0 * spin
    moved: Floats = (np.conj(along) * (shift - pin + spin * pin)).real
    return moved
