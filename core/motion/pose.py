"""Drive values to poses: where every group of a section is, for many positions at once."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from core.motion.closure import Closed, closed
from core.motion.linkage import Floats, Linkage, Ratios, SectionLinkage, Step
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

Complexes = npt.NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Poses:
    """Where the G groups of a section are at n positions; p' = exp(i turn) p + shift takes drawn to posed.

    turn: (n, G) float, radians, counter-clockwise, not reduced to one turn. shift: (n, G) complex, mm, section frame.
    reached: (n,) bool, False where a loop of the section cannot be brought to the position along the straight line from
    the drawn pose; bodies on the loop are then posed as at the last place reached, those that its drives move too.
    misfit: (n,) float, mm, the most that joints of a loop miss each other by in the pose told. All read-only.
    """

    turn: Floats
    shift: Complexes
    reached: npt.NDArray[np.bool_]
    misfit: Floats

    def posed(self, group: int, points: Complexes) -> Complexes:
        """(n, k) complex, mm: the drawn `points` (k,) of one group at all positions."""
        turned: Complexes = np.exp(1j * self.turn[:, group, None]) * points + self.shift[:, group, None]
        return turned


def joint_value(ratios: Ratios, moved: Floats) -> Floats:
    """(n,) float, degrees or mm: the value of a joint; `moved` is (n, D) float, drive values less drawn values."""
    value = np.zeros(len(moved))
    for drive, ratio in ratios:
        value += ratio * moved[:, drive]
    return value


def moved_from_drawn(linkage: Linkage, values: Floats) -> Floats:
    """(n, D) float: drive values less drawn values, from (n, D) or one position (D,)."""
    moved: Floats = np.atleast_2d(np.asarray(values, dtype=np.float64)) - linkage.drawn
    return moved


def poses(section: SectionLinkage, linkage: Linkage, values: Floats, tolerances: Tolerances = DEFAULT_TOLERANCES) -> Poses:
    """The poses of all groups of one section at `values`, (n, D) float, drive units; n may be 0, one position may be (D,).

    At the drawn values every turn and shift is exactly 0. Free joints and groups that nothing holds stay as drawn.
    """
    moved = moved_from_drawn(linkage, values)
    found = [closed(loop, moved, tolerances) for loop in section.loops]
    follows = _followed_steps(section, found)
    turn = np.zeros((len(section.groups), len(moved)))
    shift = np.zeros(turn.shape, dtype=np.complex128)
    turned = np.ones(turn.shape, dtype=np.complex128)
    for group in section.order:
        parent = section.parents[group]
        if parent >= 0:
            turn[group], turned[group], shift[group] = turn[parent], turned[parent], shift[parent]
            for place, step in enumerate(section.steps[group]):
                value = follows[group][place] if group in follows else _driven(step, moved)
                if step.kind == "slide":
                    shift[group] += turned[group] * (value * step.along)
                else:
                    turn[group] += value
                    before = turned[group].copy()
                    turned[group] = np.exp(1j * turn[group])
                    shift[group] += (before - turned[group]) * step.at
    reached, misfit = np.ones(len(moved), dtype=bool), np.zeros(len(moved))
    for each in found:
        reached &= each.reached
        np.maximum(misfit, each.misfit, out=misfit)
    for array in (turn, shift, reached, misfit):
        array.flags.writeable = False
    return Poses(turn.T, shift.T, reached, misfit)


def _driven(step: Step, moved: Floats) -> Floats:
    """(n,) radians or mm."""
    value = joint_value(step.ratios, moved)
    return np.radians(value) if step.kind == "pivot" else value


def _followed_steps(section: SectionLinkage, found: list[Closed]) -> dict[int, Floats]:
    """Per group on a loop the values of its steps, (steps, n), radians or mm."""
    follows: dict[int, Floats] = {}
    for loop, each in zip(section.loops, found, strict=True):
        first = 0
        for group, steps in zip(loop.groups, loop.steps, strict=True):
            follows[group] = each.freedoms[first : first + len(steps)]
            first += len(steps)
    return follows
