"""Drive values to poses: where every group of a section is, for many positions at once."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from core.motion.closure import BATCH, Closed, closed
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
    count, shape = len(moved), (len(section.groups), len(moved))
    turn, shift = np.zeros(shape), np.zeros(shape, dtype=np.complex128)
    reached, misfit = np.ones(count, dtype=bool), np.zeros(count)
    # A batch at a time all the way, so that what is known of a loop is still in the processor's cache where its groups are placed.
    for first in range(0, max(count, 1), BATCH):
        part = slice(first, first + BATCH)
        found = [closed(loop, moved[part], tolerances) for loop in section.loops]
        follows = _followed_steps(section, found)
        if count == 1:
            turn[:, 0], shift[:, 0] = _placed_once(section, moved[0].tolist(), follows)
        else:
            _placed(section, moved[part], follows, turn[:, part], shift[:, part])
        for each in found:
            reached[part] &= each.reached
            np.maximum(misfit[part], each.misfit, out=misfit[part])
    for array in (turn, shift, reached, misfit):
        array.flags.writeable = False
    return Poses(turn.T, shift.T, reached, misfit)


class _Followed(NamedTuple):
    """What the closure of a loop says of the steps to a group: values (steps, n), radians or mm, and rotors as in `Closed`.

    root: the group whose frame the rotors count in.
    """

    values: Floats
    rotors: Sequence[Complexes | None]
    root: int


_Follows = dict[int, _Followed]


def _followed_steps(section: SectionLinkage, found: list[Closed]) -> _Follows:
    """Per group on a loop what its closure says."""
    follows: _Follows = {}
    for loop, each in zip(section.loops, found, strict=True):
        first = 0
        for group, steps in zip(loop.groups, loop.steps, strict=True):
            own = slice(first, first + len(steps))
            follows[group] = _Followed(each.freedoms[own], each.rotors[own], loop.root)
            first += len(steps)
    return follows


def _placed(section: SectionLinkage, moved: Floats, follows: _Follows, turn: Floats, shift: Complexes) -> None:
    """Fill in turn and shift (G, n), which are 0."""
    # None: the group is not turned, and needs no multiplying by 1.
    rotors: dict[int, Complexes | None] = {}
    for group in section.order:
        parent = section.parents[group]
        rotor = rotors[group] = rotors.get(parent)
        if parent >= 0:
            turn[group], shift[group] = turn[parent], shift[parent]
            followed = follows.get(group)
            for place, step in enumerate(section.steps[group]):
                value = followed.values[place] if followed else _driven(step, moved)
                if step.kind == "slide":
                    along = value * step.along
                    shift[group] += along if rotor is None else rotor * along
                else:
                    turn[group] += value
                    turned = _known_rotor(followed, place, rotors)
                    turned = np.exp(1j * turn[group]) if turned is None else turned
                    way = (1.0 if rotor is None else rotor) - turned
                    way *= step.at
                    shift[group] += way
                    rotor = turned
            rotors[group] = rotor


def _known_rotor(followed: _Followed | None, place: int, rotors: dict[int, Complexes | None]) -> Complexes | None:
    """The rotor after a step, where its loop's closure met it: sines cost more than all the rest."""
    known = followed.rotors[place] if followed and followed.rotors else None
    root = rotors[followed.root] if followed else None
    return known if known is None or root is None else root * known


def _placed_once(section: SectionLinkage, moved: list[float], follows: _Follows) -> tuple[list[float], list[complex]]:
    """Turn and shift of all groups at one position: the same as `_placed`, number by number, which is faster than arrays of one."""
    turns, rotors, shifts = [0.0] * len(section.groups), [1 + 0j] * len(section.groups), [0j] * len(section.groups)
    for group in section.order:
        parent = section.parents[group]
        if parent >= 0:
            turn, rotor, shift = turns[parent], rotors[parent], shifts[parent]
            followed = follows.get(group)
            for place, step in enumerate(section.steps[group]):
                value = float(followed.values[place, 0]) if followed else _driven_once(step, moved)
                if step.kind == "slide":
                    shift += rotor * (value * step.along)
                else:
                    turn += value
                    before, rotor = rotor, complex(math.cos(turn), math.sin(turn))
                    shift += (before - rotor) * step.at
            turns[group], rotors[group], shifts[group] = turn, rotor, shift
    return turns, shifts


def _driven(step: Step, moved: Floats) -> Floats:
    """(n,) radians or mm."""
    value = joint_value(step.ratios, moved)
    return np.radians(value) if step.kind == "pivot" else value


def _driven_once(step: Step, moved: list[float]) -> float:
    """Radians or mm."""
    value = 0.0
    for drive, ratio in step.ratios:
        value += ratio * moved[drive]
    return math.radians(value) if step.kind == "pivot" else value
