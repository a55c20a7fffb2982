"""Drive values to poses: where every group of a section is, for many positions at once."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from core.motion.linkage import Floats, Linkage, Ratios, SectionLinkage, Step

Complexes = npt.NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Poses:
    """Where the G groups of a section are at n positions; p' = exp(i turn) p + shift takes drawn to posed.

    turn: (n, G) float, radians, counter-clockwise, not reduced to one turn. shift: (n, G) complex, mm, section frame.
    reached: (n,) bool, False where a loop cannot be followed from the drawn pose to the position. All read-only.
    """

    turn: Floats
    shift: Complexes
    reached: npt.NDArray[np.bool_]

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


def poses(section: SectionLinkage, linkage: Linkage, values: Floats) -> Poses:
    """The poses of all groups of one section at `values`, (n, D) float, drive units; n may be 0, one position may be (D,).

    At the drawn values every turn and shift is exactly 0. Free joints and groups that nothing holds stay as drawn.
    """
    moved = np.atleast_2d(np.asarray(values, dtype=np.float64)) - linkage.drawn
    turn = np.zeros((len(section.groups), len(moved)))
    shift = np.zeros(turn.shape, dtype=np.complex128)
    for group in section.order:
        parent = section.parents[group]
        if parent >= 0:
            turn[group], shift[group] = turn[parent], shift[parent]
            for step in section.steps[group]:
                turn[group], shift[group] = carried(step, joint_value(step.ratios, moved), turn[group], shift[group])
    reached = np.full(len(moved), not section.loops)
    for array in (turn, shift, reached):
        array.flags.writeable = False
    return Poses(turn.T, shift.T, reached)


def carried(step: Step, value: Floats, turn: Floats, shift: Complexes) -> tuple[Floats, Complexes]:
    """The pose (turn in radians, shift in mm) beyond one step of `value` degrees or mm, from the pose before it."""
    before = np.exp(1j * turn)
    if step.kind == "slide":
        return turn, shift + before * value * step.along
    after = turn + np.radians(value)
    return after, shift + (before - np.exp(1j * after)) * step.at
