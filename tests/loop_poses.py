"""Poses of a mechanism with one section and one drive, as tests of closed loops ask for them."""

import cmath
import math

import numpy as np

from core.model.names import BodyName
from core.model.project import Project
from core.motion.linkage import linkage_of
from core.motion.loop_states import Reach, reach_of
from core.motion.pose import Poses, poses
from tests.mechanisms import Lengths, circles_meet, polar


def posed(project: Project, *values: float) -> Poses:
    linkage = linkage_of(project)
    return poses(linkage.sections[0], linkage, np.array(values, dtype=float)[:, None])


def turn_of(project: Project, found: Poses, body: str) -> np.ndarray:
    """Degrees that a body has turned from the drawn pose, at all positions."""
    group = linkage_of(project).sections[0].group_of(BodyName(body))
    return np.degrees(found.turn[:, group])


def point_of(project: Project, found: Poses, body: str, point: complex) -> np.ndarray:
    group = linkage_of(project).sections[0].group_of(BodyName(body))
    return found.posed(group, np.array([point]))[:, 0]


def reach(project: Project) -> Reach:
    travel = project.drives[0]
    return reach_of(linkage_of(project), 0, start=travel.start, end=travel.end)


def drawn_angles(lengths: Lengths, *, drawn: float, left: bool) -> tuple[float, float]:
    """Directions of coupler and follower as drawn, by intersecting two circles."""
    a, b, c, d = lengths
    crank_pin = polar(a, drawn)
    follower_pin = circles_meet(crank_pin, b, complex(d), c, left=left)
    return math.degrees(cmath.phase(follower_pin - crank_pin)), math.degrees(cmath.phase(follower_pin - d))
