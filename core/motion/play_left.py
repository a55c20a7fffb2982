"""What the play of a loop's joints leaves open at given drive values: how far each body that hangs on the loop's root may stand."""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from core.model.names import BodyName, JointName
from core.model.project import Unit
from core.motion.closure import closed
from core.motion.freedom_left import Loosened, farthest, loosened
from core.motion.linkage import Floats, Linkage, Loop, SectionLinkage
from core.motion.loop_equations import drive_speeds, equations_of
from core.tolerances import Tolerances


@dataclass(frozen=True, slots=True)
class Left:
    """How far bodies that a joint of a loop holds may stand: low, high, degrees or mm from where they are drawn (`unit`).

    nominal: where they are told to stand, all pins centred or, where redundant rods disagree, where the squares of that are least.
    """

    joint: JointName
    bodies: tuple[BodyName, ...]
    unit: Unit
    low: float
    high: float
    nominal: float


@lru_cache(maxsize=128)
def _known(loop: Loop) -> Loosened:
    return loosened(loop)


def left_by_play(section: SectionLinkage, linkage: Linkage, loop: Loop, values: Floats, tolerances: Tolerances) -> tuple[Left, ...]:
    """What play leaves at one position, (D,) drive units; () where no joint of the loop has play, or it is not reached there.

    Told are the joints on the loop's root that no drive moves: of a four-bar its follower, of push-pull rods their lever.
    """
    if not any(play > 0 for play in loop.plays):
        return ()
    moved = (np.asarray(values, dtype=float) - linkage.drawn)[None]
    found = closed(loop, moved, tolerances)
    if not found.reached[0]:
        return ()
    equations, freedoms = equations_of(loop), found.freedoms[:, 0]
    rows = sum((drive_speeds(equations, drive)[1] * moved[0, drive] for drive in loop.drives), np.zeros(len(equations.drive_rows)))
    told = []
    for joint, group, unit, aim in _outputs(loop):
        scale = math.degrees(1.0) if unit == "deg" else 1.0
        ends = [farthest(_known(loop), freedoms, rows, way * aim) for way in (1.0, -1.0)]
        if all(end.settled for end in ends):
            low, high = (way * end.value * scale for way, end in zip((1.0, -1.0), ends, strict=True))
            told.append(Left(joint, section.groups[group], unit, low, high, float(aim @ freedoms) * scale))
    return tuple(told)


def _outputs(loop: Loop) -> list[tuple[JointName, int, Unit, Floats]]:
    """(joint, group it holds, unit, (K,) what its value is of the freedoms) for the loose joints on the root."""
    equations = equations_of(loop)
    found: list[tuple[JointName, int, Unit, Floats]] = []
    for group, parent, steps in zip(loop.groups, loop.parents, loop.steps, strict=True):
        if parent == loop.root and len(steps) == 1 and steps[0].passive:
            unit: Unit = "deg" if steps[0].kind == "pivot" else "mm"
            found.append((steps[0].joint, group, unit, equations.carried[group]))
    for closing in loop.closing:
        if loop.root in closing.groups and closing.kind == "pivot" and not closing.ratios:
            group = sum(closing.groups) - loop.root
            found.append((closing.joint, group, "deg", equations.carried[group] * equations.turning))
    return found
