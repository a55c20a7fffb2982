"""Small bays as project files in code, and what the program says of them. Lengths mm, angles degrees."""

import json
from typing import Any

from core.model.names import DriveName
from core.model.project import Project
from core.project_file.read import project_from_bytes
from core.sweep.at_pose import PoseGap, PoseGaps
from core.sweep.result import Check, SweepResult
from core.sweep.run import check_project

Record = dict[str, Any]
SIDE = "Side"
AWAY = (500.0, 500.0)
"""A pin that no shape holds, so that no knuckle takes anything away."""


def disc(x, y, radius, **keys):
    return {"kind": "disc", "centre": [x, y], "radius": radius, **keys}


def bar(start, end, radius, **keys):
    return {"kind": "bar", "from": list(start), "to": list(end), "radius": radius, **keys}


def box(x, y, width, height, turn=0.0, corner_radius=0.0, **keys):
    return {"kind": "box", "centre": [x, y], "size": [width, height], "turn": turn, "corner_radius": corner_radius, **keys}


def polygon(*points, holes=(), corner_radius=0.0, **keys):
    rings = [[list(point) for point in ring] for ring in (points, *holes)]
    return {"kind": "polygon", "points": rings[0], "holes": rings[1:], "corner_radius": corner_radius, **keys}


def bore(x, y, radius, wall=2.0, **keys):
    return {"kind": "bore", "centre": [x, y], "radius": radius, "wall": wall, **keys}


def frame(x, y, width, height, wall=2.0, turn=0.0, **keys):
    return {"kind": "frame", "centre": [x, y], "size": [width, height], "wall": wall, "turn": turn, **keys}


def body(name, *shapes, fixed=False, depth=(0, 5), **keys):
    return {"name": name, "fixed": fixed, "depth": list(depth), "shapes": list(shapes), **keys}


def pivot(name, reference, moved, at=(0, 0), **keys):
    return {"kind": "pivot", "name": name, "between": [reference, moved], "at": list(at), **keys}


def slide(name, reference, moved, along=0.0, at=AWAY, **keys):
    return {"kind": "slide", "name": name, "between": [reference, moved], "at": list(at), "along": along, **keys}


def bolted(name, reference, moved):
    return {"kind": "bolted", "name": name, "between": [reference, moved]}


def drive(name, travel, *joints, unit="deg", home=0.0, **keys):
    """A drive over `travel`; each of `joints` is a name or (name, ratio)."""
    moves = [{"section": SIDE, "joint": joint} if isinstance(joint, str) else _move(*joint) for joint in joints]
    return {"name": name, "unit": unit, "from": travel[0], "to": travel[1], "home": home, "speed": 60, "moves": moves, **keys}


def _move(joint, ratio):
    return {"section": SIDE, "joint": joint, "ratio": ratio}


def rule(one, other, **keys):
    return {"section": SIDE, "between": [one, other], **keys}


def bay(bodies, joints=(), drives=(), *, required_gap=0.0, **keys):
    section = {"name": SIDE, "bodies": list(bodies), "joints": list(joints)}
    record = {"baysweep": 1, "name": "Small bay", "required_gap": required_gap, "sections": [section], "drives": list(drives)}
    return {**record, **keys}


def slid(fixed, moving, *, travel=(-1, 1), along=0.0, **keys):
    """A body "bay" with shapes `fixed` and a body "sled" with shapes `moving` that the drive "push" shifts."""
    bodies = [body("bay", *_several(fixed), fixed=True), body("sled", *_several(moving))]
    return bay(bodies, [slide("rail", "bay", "sled", along)], [drive("push", travel, "rail", unit="mm", home=max(0, travel[0]))], **keys)


def turned(fixed, moving, *, travel, at=(0, 0), **keys):
    """A body "bay" with shapes `fixed` and a body "arm" with shapes `moving` that the drive "swing" turns about `at`."""
    bodies = [body("bay", *_several(fixed), fixed=True), body("arm", *_several(moving))]
    return bay(bodies, [pivot("pin", "bay", "arm", at)], [drive("swing", travel, "pin", home=max(0, travel[0]), drawn=0)], **keys)


def _several(shapes):
    return [shapes] if isinstance(shapes, dict) else list(shapes)


def project(record: Record) -> Project:
    """The project as read from the bytes of its file: only what is valid passes."""
    return project_from_bytes(json.dumps(record).encode(), file=None)


def check(record: Record, **options: Any) -> SweepResult:
    return check_project(project(record), **options)


def check_of(result: SweepResult, one: str, other: str, *, sweep: str = "solo", drive: str | None = None) -> Check:
    """The one check of two bodies in a sweep."""
    own = [check for check in result.of_sweep(sweep) if set(check.between) == {one, other} and drive in (None, *check.drives)]
    assert len(own) == 1, f"{len(own)} checks of {one} and {other}"
    return own[0]


def only(record: Record, sweep: str = "solo", **options: Any) -> Check:
    """The check of a bay that has only one pair and one drive."""
    (found,) = check(record, **options).of_sweep(sweep)
    return found


def gaps(record: Record, **values: float) -> tuple[PoseGap, ...]:
    """The gaps of all checked pairs, at home where no drive is named."""
    return PoseGaps(project(record)).at({DriveName(name): value for name, value in values.items()})


def gap(record: Record, **values: float) -> PoseGap:
    """The gap of the only pair."""
    (found,) = gaps(record, **values)
    return found
