"""What state a loop is in at a position, and where along a drive's travel it leaves the state of being assembled."""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from core.model.names import DriveName, JointName, SectionName
from core.motion.closure import Closed, closed
from core.motion.linkage import Floats, Linkage, Loop, SectionLinkage
from core.motion.loop_path import DEAD_CENTRE, TURNING_POINT
from core.motion.loop_track import known_closure
from core.motion.play import play_needed
from core.motion.play_left import Left, left_by_play
from core.motion.pose import moved_from_drawn
from core.tolerances import DEFAULT_TOLERANCES, Tolerances

Code = Literal["assembled", "not-assembled", "dead-centre", "slot-end", "conflict", "undriven", "redundant"]

TRIES = 257
"""Positions looked at on the way from home to an end of travel, and again in each narrowing."""


@dataclass(frozen=True, slots=True)
class LoopState:
    """A loop at a position, or where a drive takes it out of being assembled.

    code: "assembled"; "redundant": assembled, with joints that forbid the same twice; "undriven": a freedom of it is moved by no
    drive; "not-assembled": the joints cannot meet; "dead-centre": the drives no longer settle it; "slot-end": a pin has
    come to the end of its slot; "conflict": redundant joints miss each other by `misfit` mm, more than their play takes up.
    drive, value: whose travel was looked along and where, drive units; "" and None at a single position. play: mm, the
    diametral play that every joint of the loop would need for the misfit to be taken up. left: what its play leaves open.
    """

    section: SectionName
    joints: tuple[JointName, ...]
    code: Code
    misfit: float = 0.0
    drive: DriveName | Literal[""] = ""
    value: float | None = None
    play: float = 0.0
    left: tuple[Left, ...] = ()


def states_at(
    section: SectionLinkage, linkage: Linkage, values: Floats, tolerances: Tolerances = DEFAULT_TOLERANCES
) -> tuple[LoopState, ...]:
    """The state of each loop of a section at one position, (D,) drive units; () where it has no loops."""
    moved = moved_from_drawn(linkage, values)
    states = (_state(section, loop, closed(loop, moved, tolerances), 0, tolerances) for loop in section.loops)
    return tuple(
        replace(state, left=left_by_play(section, linkage, loop, moved[0] + linkage.drawn, tolerances))
        for state, loop in zip(states, section.loops, strict=True)
    )


def _state(section: SectionLinkage, loop: Loop, found: Closed, at: int, tolerances: Tolerances) -> LoopState:
    closure = known_closure(loop, tolerances)
    state = LoopState(section.section, loop.joints, "assembled", float(found.misfit[at]))
    if found.end[at] == TURNING_POINT:
        return replace(state, code="not-assembled")
    if found.end[at] == DEAD_CENTRE:
        return replace(state, code="dead-centre")
    if not found.in_slots[at]:
        return replace(state, code="slot-end")
    if not found.fits[at]:
        return replace(state, code="conflict", play=play_needed(closure.equations, found.freedoms[:, at]))
    if closure.held.size:
        return replace(state, code="undriven")
    return replace(state, code="redundant") if closure.redundant else state


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a drive goes, the others at home. low, high: drive units, the travel where nothing stops it. ends: what stops it."""

    low: float
    high: float
    ends: tuple[LoopState, ...]


def reach_of(linkage: Linkage, drive: int, *, start: float, end: float, tolerances: Tolerances = DEFAULT_TOLERANCES) -> Reach:
    """The values of one drive about home, within start..end, that all loops reach; ends within the tolerance `sweep_end`.

    Where home itself is not reached low and high are home. Each loop that stops the drive is told by itself.
    """
    home = float(linkage.home[drive])
    reach = Reach(start, end, ())
    for section in linkage.sections:
        for loop in section.loops:
            if drive in loop.drives:
                for side in (start, end):
                    found = _stopped(section, linkage, loop, drive, side, tolerances)
                    if found is not None:
                        low, high = (max(reach.low, found[0]), reach.high) if side < home else (reach.low, min(reach.high, found[0]))
                        reach = Reach(low, high, (*reach.ends, found[1]))
    return reach


def _stopped(
    section: SectionLinkage, linkage: Linkage, loop: Loop, drive: int, side: float, tolerances: Tolerances
) -> tuple[float, LoopState] | None:
    """The last value reached from home towards `side`, and the state beyond it; None where all are reached."""
    near, far = float(linkage.home[drive]), side
    values, found = _along(linkage, loop, drive, near, far, tolerances)
    worst = int(np.argmax(np.where(found.end == 0, found.misfit, 0.0)))
    first = found
    while not found.reached.all():
        missed = int(np.argmin(found.reached))
        if missed == 0 or abs(values[missed] - values[missed - 1]) <= tolerances.sweep_end / TRIES:
            near, far = float(values[max(missed - 1, 0)]), float(values[missed])
            state = replace(_state(section, loop, found, missed, tolerances), drive=linkage.drives[drive], value=near)
            if state.code == "conflict":
                needed = play_needed(known_closure(loop, tolerances).equations, first.freedoms[:, worst])
                state = replace(state, misfit=float(first.misfit[worst]), play=needed)
            return near, state
        values, found = _along(linkage, loop, drive, float(values[missed - 1]), float(values[missed]), tolerances)
    return None


@dataclass(frozen=True, slots=True)
class WorstFit:
    """Where along a drive's travel, the others at home, redundant joints of a loop miss each other most, of what is reached.

    play: what every joint would need, mm; see `LoopState`.
    """

    value: float
    misfit: float
    play: float


def worst_fit(linkage: Linkage, loop: Loop, drive: int, *, start: float, end: float, tolerances: Tolerances) -> WorstFit:
    """Looked for at `TRIES` values each way from home; at home where nothing misses."""
    home = float(linkage.home[drive])
    worst = WorstFit(home, 0.0, 0.0)
    for side in (start, end):
        values, found = _along(linkage, loop, drive, home, side, tolerances)
        missed = np.where(found.reached, found.misfit, 0.0)
        at = int(np.argmax(missed))
        if missed[at] > max(worst.misfit, tolerances.misfit):
            needed = play_needed(known_closure(loop, tolerances).equations, found.freedoms[:, at])
            worst = WorstFit(float(values[at]), float(missed[at]), needed)
    return worst


def _along(linkage: Linkage, loop: Loop, drive: int, near: float, far: float, tolerances: Tolerances) -> tuple[Floats, Closed]:
    values = np.linspace(near, far, TRIES)
    every = np.tile(linkage.home, (TRIES, 1))
    every[:, drive] = values
    return values, closed(loop, moved_from_drawn(linkage, every), tolerances)
