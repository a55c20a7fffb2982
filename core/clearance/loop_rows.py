"""What must vanish for a loop to close, as sums of rotating vectors: value, slope and a bound of the rest over boxes.

The unknowns are the loop's freedoms in the order of its steps: radians for pivots, mm for slides, 0 as drawn. Where joints have play,
the coordinates of their shifts follow (`core.clearance.shifts`), and the rows vanish for every set of poses that the play allows.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from core.clearance.batch import Motions, padded
from core.clearance.motion_in_box import Complexes, Floats, Spread, spread_over
from core.clearance.reach import between
from core.clearance.shifts import first_shift, radii, shifted
from core.motion.linkage import Closing, Loop, Step

PER_RADIAN = math.degrees(1.0)
"""The ratio that makes a pivot's step turn by one radian a unit."""


class Rows(NamedTuple):
    """The closure of a loop over N boxes: value (N, R), slope (N, R, J), rest (N, R) that the first order leaves out.

    Lengths mm; turns are brought to mm by the loop's size. J coordinates: the F freedoms, or those of a mix.
    """

    value: Floats
    slope: Floats
    rest: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Joint:
    """One closing joint: the motion of the point that must meet the pin, rail or slot, and where each freedom stands.

    own: indices of the freedoms in the motion. point_a, point_b: from their last pins. line: unit direction in B's
    frame, 0 for a pivot. turns: (F,) how the moved body turns relative to the reference, 0 where it may.
    """

    motions: Motions
    own: tuple[int, ...]
    point_a: complex
    point_b: complex
    line: complex
    turns: Floats | None
    driven_along: bool
    driven: bool


@dataclass(frozen=True, slots=True, eq=False)
class LoopRows:
    """The equations of one loop. drives: indices of the drives that move it; size: mm, stands for one radian.

    passive: which freedoms the closure settles. moved: (F, D + S) what a drive unit, or a shift coordinate, adds to each freedom;
    sought: (R, D + S) what it takes off each row, where a drive moves a closing joint. shifts: (S,) how far each goes, mm.
    """

    loop: Loop
    drives: tuple[int, ...]
    passive: tuple[int, ...]
    moved: Floats
    sought: Floats
    shifts: Floats
    size: float
    joints: tuple[_Joint, ...]

    @property
    def joint_of_row(self) -> tuple[int, ...]:
        """For each row the number of its closing joint."""
        return tuple(number for number, closing in enumerate(self.loop.closing) for _ in range(_rows_of(closing)))

    def over(self, freedoms: Floats, half: Floats, mix: Floats) -> Rows:
        """The rows at `freedoms` (N, F) and over freedoms + mix t, mix (N, F, J), |t_j| <= half (N, J).

        What drives ask of closing joints is left out.
        """
        parts = [self._joint_rows(joint, freedoms, half, mix) for joint in self.joints]
        return Rows(
            np.concatenate([part.value for part in parts], axis=1),
            np.concatenate([part.slope for part in parts], axis=1),
            np.concatenate([part.rest for part in parts], axis=1),
        )

    def _joint_rows(self, joint: _Joint, freedoms: Floats, half: Floats, mix: Floats) -> Rows:
        own = list(joint.own)
        row = np.zeros(len(freedoms), dtype=np.int64)
        spread = spread_over(joint.motions, row, centre=freedoms[:, own], half=half, mix=mix[:, own])
        value, slope, rest = _apart(spread, joint)
        if joint.line == 0:
            values, slopes, rests = [value.real, value.imag], [slope.real, slope.imag], [rest, rest]
        else:
            back = np.conj(joint.line)
            values, slopes, rests = [(back * value).imag], [(back * slope).imag], [rest]
        if joint.turns is not None and (joint.line != 0 or joint.driven):
            values.append(freedoms @ joint.turns * self.size)
            slopes.append(np.einsum("f,nfj->nj", joint.turns * self.size, mix))
            rests.append(np.zeros(len(freedoms)))
        if joint.driven_along:
            values.append((np.conj(joint.line) * value).real)
            slopes.append((np.conj(joint.line) * slope).real)
            rests.append(rest)
        return Rows(np.stack(values, axis=1), np.stack(slopes, axis=1), np.stack(rests, axis=1))


def _apart(spread: Spread, joint: _Joint) -> tuple[Complexes, Complexes, Floats]:
    """A's point less B's point: (N,) mm, its slope (N, J), and the bound of the rest (N,)."""
    arm_a, arm_b = spread.spin_a * joint.point_a, spread.spin_b * joint.point_b
    slope = spread.slope + 1j * spread.rate_a * arm_a[:, None] - 1j * spread.rate_b * arm_b[:, None]
    rest = spread.rest + spread.rest_a * abs(joint.point_a) + spread.rest_b * abs(joint.point_b)
    return spread.offset + arm_a - arm_b, slope, rest


def loop_rows(loop: Loop) -> LoopRows:
    """The equations of a loop, in its root's frame."""
    steps = [step for own in loop.steps for step in own]
    chains = _chains(loop)
    drives, shifts = loop.drives, radii(loop)
    count = len(steps) + len(shifts)
    moved = np.zeros((count, len(drives) + len(shifts)))
    moved[len(steps) :, len(drives) :] = np.eye(len(shifts))
    for number, step in enumerate(steps):
        for index, ratio in step.ratios:
            moved[number, drives.index(index)] += ratio if step.kind == "slide" else math.radians(ratio)
    size = max((abs(one.at - other.at) for one in steps for other in steps), default=1.0) or 1.0
    joints = tuple(_joint(loop, closing, chains, len(steps), count) for closing in loop.closing)
    sought = np.concatenate([_sought(closing, drives, size) for closing in loop.closing])
    return LoopRows(
        loop=loop,
        drives=drives,
        passive=tuple(number for number, step in enumerate(steps) if step.passive),
        moved=moved,
        sought=np.concatenate([sought, np.zeros((len(sought), len(shifts)))], axis=1) if len(shifts) else sought,
        shifts=shifts,
        size=size,
        joints=joints,
    )


def _chains(loop: Loop) -> dict[int, tuple[Step, ...]]:
    """For each group of the loop its steps from the root, every freedom its own pseudo drive."""
    chains: dict[int, tuple[Step, ...]] = {loop.root: ()}
    number, count = 0, sum(len(own) for own in loop.steps)
    for group, parent, steps in zip(loop.groups, loop.parents, loop.steps, strict=True):
        own: list[Step] = []
        for step in steps:
            own += shifted(step, first=count + first_shift(loop, step.joint)) if step.play else ()
            own.append(unit_step(step, number))
            number += 1
        chains[group] = (*chains[parent], *own)
    return chains


def unit_step(step: Step, number: int) -> Step:
    """The step moved by coordinate `number` alone: a radian or a mm a unit."""
    return replace(step, ratios=((number, PER_RADIAN if step.kind == "pivot" else 1.0),))


def _joint(loop: Loop, closing: Closing, chains: dict[int, tuple[Step, ...]], steps: int, count: int) -> _Joint:
    """steps: freedoms without shifts. count: with them."""
    reference, moved = (chains[group] for group in closing.groups)
    # A pin-in-slot's line belongs to the moved body, a slide's to the reference: B is the body with the line.
    first, second = (moved, reference) if closing.kind == "slide" else (reference, moved)
    first = (*first, *shifted(closing, first=steps + first_shift(loop, closing.joint))) if closing.play else first
    motion = between(first, second, drawn=(0.0,) * count)
    if closing.kind != "pivot":
        motion = motion.in_frame_of_b()
    turns = _turns(moved, count) - _turns(reference, count) if closing.kind == "slide" or closing.ratios else None
    return _Joint(
        motions=padded([motion], [(np.zeros(len(motion.drives)),) * 2]),
        own=motion.drives,
        point_a=closing.at - motion.last_a,
        point_b=closing.at - motion.last_b,
        line=closing.along,
        turns=turns,
        driven_along=closing.kind == "slide" and bool(closing.ratios),
        driven=bool(closing.ratios),
    )


def _turns(chain: Sequence[Step], count: int) -> Floats:
    turns = np.zeros(count)
    for step in chain:
        if step.kind == "pivot":
            turns[step.ratios[0][0]] += 1.0
    return turns


def _sought(closing: Closing, drives: tuple[int, ...], size: float) -> NDArray[np.float64]:
    """(rows of the joint, D): what each drive asks of the joint, mm a drive unit."""
    asked = np.zeros((_rows_of(closing), len(drives)))
    for index, ratio in closing.ratios:
        asked[-1, drives.index(index)] += ratio if closing.kind == "slide" else math.radians(ratio) * size
    return asked


def _rows_of(closing: Closing) -> int:
    return {"pivot": 2, "pin_slot": 1, "slide": 2}[closing.kind] + bool(closing.ratios)
