"""Where does every body stand for given drive values? Plain trigonometry outward from the fixed bodies.

A pose is (turn, shift): p' = R(turn) p + shift takes a drawn point to where it is; turns in radians, shifts in mm. Arrays run
over n sets of drive values at once.
"""

import math
from collections import deque
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from tests.checker.outline import Floats

Record = dict[str, Any]
Pose = tuple[Floats, Floats]


def spun(turns: Floats, points: Floats) -> Floats:
    """Points (n, 2) or (2,) turned by turns (n,): (n, 2)."""
    c, s = np.cos(turns), np.sin(turns)
    points = np.broadcast_to(points, (len(turns), 2))
    return np.column_stack([c * points[:, 0] - s * points[:, 1], s * points[:, 0] + c * points[:, 1]])


def after(outer: Pose, inner: Pose) -> Pose:
    """The pose that does `inner` first and then `outer`."""
    return outer[0] + inner[0], spun(outer[0], inner[1]) + outer[1]


def inverse(pose: Pose) -> Pose:
    """The pose that undoes `pose`."""
    return -pose[0], spun(-pose[0], -pose[1])


def at_home(n: int) -> Pose:
    """n times the drawn pose."""
    return np.zeros(n), np.zeros((n, 2))


@dataclass
class Drives:
    """The drives of a project by name, and which joints each one moves."""

    records: dict[str, Record]
    names: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.names = list(self.records)

    def column(self, name: str) -> int:
        """The place of a drive in a row of values."""
        return self.names.index(name)

    def home(self) -> Floats:
        """Every drive parked."""
        return np.array([float(self.records[name]["home"]) for name in self.names])

    def drawn(self) -> Floats:
        """The values of the drawn pose."""
        return np.array([float(r.get("drawn", r["home"])) for r in self.records.values()])

    def spans(self) -> Floats:
        """Travels, (drives, 2)."""
        return np.array([[float(r["from"]), float(r["to"])] for r in self.records.values()]).reshape(-1, 2)

    def movers(self, section: str, joint: str) -> list[tuple[int, float]]:
        """(column, ratio) of every drive that moves a joint."""
        return [
            (k, float(move.get("ratio", 1.0)))
            for k, name in enumerate(self.names)
            for move in self.records[name]["moves"]
            if move["section"] == section and move["joint"] == joint
        ]

    def joint_value(self, section: str, joint: str, values: Floats) -> Floats:
        """How far a driven joint is from its drawn pose: sum of ratio x (value - drawn); (n,), degrees or mm."""
        drawn = self.drawn()
        total = np.zeros(len(values))
        for k, ratio in self.movers(section, joint):
            total = total + ratio * (values[:, k] - drawn[k])
        return total


def joint_pose(joint: Record, amount: Floats) -> Pose:
    """How the moved body of a joint stands against its reference, both at their drawn places, for n amounts."""
    n = len(amount)
    if joint["kind"] == "pivot":
        turns = np.radians(amount)
        at = np.asarray(joint["at"], float)
        return turns, at - spun(turns, at)
    if joint["kind"] == "slide":
        along = math.radians(joint["along"])
        return np.zeros(n), amount[:, None] * np.array([math.cos(along), math.sin(along)])
    return at_home(n)


@dataclass(frozen=True)
class Chain:
    """How a body hangs on the bay: (joint, True where it is reached as the moved body), outward from the bay."""

    links: tuple[tuple[Record, bool], ...]


def chains(section: Record) -> tuple[dict[str, Chain], bool]:
    """The way to each body from the fixed ones, and whether joints are left over that close loops.

    Bodies that no joint holds to the bay are not in the answer.
    """
    found: dict[str, Chain] = {body["name"]: Chain(()) for body in section["bodies"] if body["fixed"]}
    joints = section.get("joints", [])
    used: set[str] = set()
    queue = deque(found)
    while queue:
        name = queue.popleft()
        for joint in joints:
            if joint["kind"] == "pin_slot" or joint["name"] in used or name not in joint["between"]:
                continue
            reference, moved = joint["between"]
            other = moved if name == reference else reference
            if other in found:
                continue
            used.add(joint["name"])
            found[other] = Chain((*found[name].links, (joint, other == moved)))
            queue.append(other)
    return found, len(used) < len(joints)


def tree_poses(section: Record, drives: Drives, values: Floats) -> dict[str, Pose]:
    """Poses of every body of a section without loops, for values (n, drives)."""
    poses = {}
    for body, chain in chains(section)[0].items():
        pose = at_home(len(values))
        for joint, outward in chain.links:
            step = joint_pose(joint, drives.joint_value(section["name"], joint["name"], values))
            pose = after(pose, step if outward else inverse(step))
        poses[body] = pose
    return poses


def columns_on_path(section: Record, drives: Drives, a: str, b: str) -> tuple[set[int], bool]:
    """Columns of the drives that move a against b, and whether a joint that nothing drives lies between them."""
    ways = chains(section)[0]
    links_a, links_b = (ways[name].links if name in ways else () for name in (a, b))
    shared = 0
    while shared < min(len(links_a), len(links_b)) and links_a[shared][0] is links_b[shared][0]:
        shared += 1
    columns: set[int] = set()
    loose = a not in ways or b not in ways
    for joint, _ in (*links_a[shared:], *links_b[shared:]):
        if joint["kind"] == "bolted":
            continue
        movers = drives.movers(section["name"], joint["name"])
        loose = loose or not movers
        columns |= {k for k, ratio in movers if ratio != 0.0}
    return columns, loose
