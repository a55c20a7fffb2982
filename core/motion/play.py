"""By how much the joints of a loop miss each other, and how much of that their play takes up."""

from collections import Counter

import numpy as np

from core.model.names import JointName
from core.motion.linkage import Floats, Loop
from core.motion.loop_equations import Equations, Walked, meeting, walked


def parted(equations: Equations, at: Walked, drives: Floats) -> Floats:
    """(C, n) float, mm: the gap at each closing joint; turns count by the loop's size. `drives`: (driven closings, n), mm."""
    gaps = []
    driven = iter(drives)
    for closing in equations.loop.closing:
        found = meeting(closing, at)
        angle = (at.turn[closing.groups[1]] - at.turn[closing.groups[0]]) * equations.size
        seen = found.line.conj() * found.offset
        gap = np.abs(found.offset) if closing.kind == "pivot" else np.abs(seen.imag)
        if closing.kind == "slide":
            gap = np.hypot(gap, angle)
        if closing.ratios:
            gap = np.hypot(gap, (seen.real if closing.kind == "slide" else angle) - next(driven))
        gaps.append(gap)
    return np.stack(gaps)


def taken_up(equations: Equations, plays: Floats) -> Floats:
    """(C,) float, mm: the gap at each closing joint that the play of its own loop takes up; `plays`: mm, of the loop's joints.

    Each pin gives way by half its diametral play, in any direction. Only joints that lie on no other loop count,
    since a pin that two loops share cannot give way to both. Turns are not taken up: a slide that closes a loop gives 0.
    """
    around = [_around(equations, index) for index in range(len(equations.loop.closing))]
    shared = Counter(joint for joints in around for joint in joints)
    play = dict(zip(equations.loop.joints, plays.tolist(), strict=True))
    own = [sum(play[joint] for joint in joints if shared[joint] == 1) / 2 for joints in around]
    yielding = [0.0 if closing.kind == "slide" or closing.ratios else 1.0 for closing in equations.loop.closing]
    return np.array(own) * yielding


def _around(equations: Equations, index: int) -> frozenset[JointName]:
    """The joints on the loop that one closing joint closes."""
    closing = equations.loop.closing[index]
    one, other = (set(equations.paths[group]) for group in closing.groups)
    return frozenset({equations.steps[column].joint for column in one ^ other} | {closing.joint})


def inside_slots(equations: Equations, freedoms: Floats, at: Walked, *, slack: float) -> Floats:
    """(n,) float, mm: how far inside the reach of its slot the worst pin is, negative outside, inf where no slot has a reach."""
    room = np.full(freedoms.shape[1], np.inf)
    for step, value in zip(equations.steps, freedoms, strict=True):
        if step.reach:
            room = np.minimum(room, np.minimum(value - step.reach[0], step.reach[1] - value))
    for closing in equations.loop.closing:
        if closing.reach:
            found = meeting(closing, at)
            along = (found.line.conj() * found.offset).real
            room = np.minimum(room, np.minimum(along - closing.reach[0], closing.reach[1] - along))
    return room + slack


def has_reach(loop: Loop) -> bool:
    """Whether a slot of the loop has an end."""
    steps = (step.reach for own in loop.steps for step in own)
    return any(steps) or any(closing.reach for closing in loop.closing)


def play_needed(equations: Equations, freedoms: Floats) -> float:
    """mm: the diametral play that each joint would need for the gaps at `freedoms` (K,) to be taken up; inf where none does.

    A turn that does not fit, or a drive that is held against another, is not helped by play.
    """
    one_each = taken_up(equations, np.ones(len(equations.loop.joints)))
    apart = parted(equations, walked(equations, freedoms[:, None]), np.zeros((len(equations.drive_rows), 1)))[:, 0]
    needed = np.divide(apart, one_each, out=np.full_like(apart, np.inf), where=one_each > 0)
    return float(np.where(apart > 0, needed, 0.0).max(initial=0.0))
