"""How far the two sides of a joint with play can shift against each other, as coordinates beside the drives.

A joint with diametral play p lets its two bodies stand off by any vector of up to p / 2; turns are not loosened. What a mechanism
can take at given drive values is every set of poses that closes all its loops with such vectors. A joint's vector has two
coordinates, x and y of the frame that it stands in as drawn. For bounds its disc is covered by a regular polygon, which is the sum
of a few short segments: each runs over +- its half-length, so that play enters a bound just as drives do, and none is left out.
"""

import math
from dataclasses import replace

import numpy as np

from core.clearance.motion_in_box import Floats
from core.motion.linkage import Closing, Loop, Step

SEGMENTS = 6
"""Segments a disc: their sum is a polygon of twice as many sides, up to 3.5 % beyond the disc."""


def loose_joints(loop: Loop) -> dict[str, float]:
    """The joints of a loop that have play, mm, in their order."""
    return {joint: play for joint, play in zip(loop.joints, loop.plays, strict=True) if play > 0}


def radii(loop: Loop) -> Floats:
    """(S,) mm: how far each shift coordinate of a loop can go, two a joint with play."""
    return np.repeat(np.array([*loose_joints(loop).values()], dtype=float) / 2, 2)


def segments(loop: Loop) -> tuple[Floats, Floats]:
    """(S, Z) what a mm along each segment adds to the shift coordinates of a loop, and (Z,) mm, the segments' half-lengths."""
    turns = np.pi * np.arange(SEGMENTS) / SEGMENTS
    ways = np.kron(np.eye(len(loose_joints(loop))), np.stack([np.cos(turns), np.sin(turns)]))
    return ways, np.repeat(radii(loop)[::2], SEGMENTS) * math.tan(math.pi / (2 * SEGMENTS))


def first_shift(loop: Loop, joint: str) -> int:
    """The place of a joint's first shift coordinate among those of its loop."""
    return 2 * list(loose_joints(loop)).index(joint)


def shifted(joint: Step | Closing, *, first: int) -> tuple[Step, ...]:
    """Two slides that shift what comes after them; () where the joint has no play. first: the index of the first coordinate."""
    if joint.play <= 0:
        return ()
    along_x = Step(joint.joint, "slide", 0j, 1 + 0j, ((first, 1.0),), free=False)
    return along_x, replace(along_x, along=1j, ratios=((first + 1, 1.0),))
