"""Random small bays as project files, the same for the same seed.

Two to five bodies on one to four drives: pivots, slides and bolted riders, carried chains, ratios, one drive on two joints, all
six shapes, concave outlines, holes, rooms with bodies inside, outside and across, depth bands by body and by shape, gap rules,
outline tolerances. Obstacles are put near the rim of what a moving body reaches, so that about a third of the bays breach, a third
are clear by a few millimetres and the rest lie anywhere.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from shapely.geometry import Polygon

Record = dict[str, Any]
KINDS = ("disc", "bar", "box", "polygon", "concave", "holed")
SECTION = "Side"
MANY_CORNERED = 7
"""Every so manyth bay also has a convex outline of 12 to 40 corners with a disc inside it, across it or just beside it."""


@dataclass(frozen=True)
class Mix:
    """What may turn up. `joints`: fewest and most driven joints."""

    joints: tuple[int, int] = (1, 4)
    kinds: tuple[str, ...] = KINDS
    rooms: bool = True
    depths: bool = True
    knuckles: bool = True
    rules: bool = True
    tolerances: bool = True
    together: bool = True
    slides: bool = True


@dataclass
class _Mover:
    name: str
    pin: tuple[float, float]
    heading: float
    length: float


def random_bay(seed: int, mix: Mix | None = None, **kind: Any) -> Record:
    """A valid project file as plain data. `kind` sets fields of `Mix`."""
    return _Maker(seed, mix or Mix(**kind)).project(seed)


def _round(*values: float) -> list[float]:
    return [round(float(value), 3) + 0.0 for value in values]


class _Maker:
    def __init__(self, seed: int, mix: Mix) -> None:
        self.rng = np.random.default_rng(seed)
        self.mix = mix

    def chance(self, p: float) -> bool:
        return bool(self.rng.random() < p)

    def some(self, low: float, high: float) -> float:
        return round(float(self.rng.uniform(low, high)), 3)

    def one_of(self, *items: Any) -> Any:
        return items[int(self.rng.integers(len(items)))]

    # shapes

    def shape(self, at: tuple[float, float], heading: float, length: float) -> Record:
        """A shape from `at` towards `heading` (radians), about `length` long."""
        kind = self.one_of(*self.mix.kinds)
        c, s = math.cos(heading), math.sin(heading)
        middle = _round(at[0] + c * length / 2, at[1] + s * length / 2)
        width = self.some(0.12, 0.3) * length
        if kind == "disc":
            return {"kind": "disc", "centre": middle, "radius": round(length / 2, 3)}
        if kind == "bar":
            r = round(width / 2, 3)
            far = _round(at[0] + c * (length - r), at[1] + s * (length - r))
            return {"kind": "bar", "from": _round(*at), "to": far, "radius": r}
        if kind == "box":
            corner = self.one_of(0, 0, 0.2, 0.4) * width
            return {"kind": "box", "centre": middle, "size": _round(length, width), "turn": round(math.degrees(heading), 3),
                    "corner_radius": round(corner, 3)}  # fmt: skip
        return self.polygon(kind, middle, heading, length)

    def polygon(self, kind: str, middle: list[float], heading: float, length: float) -> Record:
        """A star-shaped outline about `middle`, squashed across the heading; convex for the kind "polygon"."""
        n = int(self.rng.integers(4, 7)) if kind == "polygon" else int(self.rng.integers(6, 12))
        turns = (np.arange(n) + self.rng.uniform(-0.3, 0.3, n)) * 2 * math.pi / n
        radii = np.full(n, 0.5) if kind == "polygon" else self.rng.uniform(0.25, 0.5, n)
        ring = np.column_stack([np.cos(turns), np.sin(turns)]) * radii[:, None] * [length, length * self.some(0.4, 0.9)]
        c, s = math.cos(heading), math.sin(heading)
        ring = ring @ np.array([[c, s], [-s, c]])
        points = [_round(*(np.array(middle) + p)) for p in ring]
        holes = [[_round(*(np.array(middle) + 0.45 * p)) for p in ring]] if kind == "holed" else []
        corner = self.some(0.2, 0.8) if self.chance(0.4) else 0
        if corner and not _rounds_well(points, holes, corner):
            corner = 0
        return {"kind": "polygon", "points": points, "holes": holes, "corner_radius": corner}

    def room(self, centre: tuple[float, float], reach: float) -> Record:
        """A bore or frame about what lies within `reach` of `centre`, a little too small or large."""
        free, wall = max(4.0, reach + self.some(0, 7)), self.some(1, 3)
        at = _round(centre[0] + self.some(-1, 1), centre[1] + self.some(-1, 1))
        if self.chance(0.5):
            return {"kind": "bore", "centre": at, "radius": round(free, 3), "wall": wall}
        size = _round(2 * free, 2 * free * self.some(0.9, 1.3))
        return {"kind": "frame", "centre": at, "size": size, "wall": wall, "turn": self.one_of(0, 0, self.some(-60, 60))}

    # bodies

    def depth(self) -> list[float]:
        if not self.mix.depths or self.chance(0.6):
            return [0, 5]
        return self.one_of([3, 8], [2, 4], [5, 9], [6, 9], [-2, 1])

    def body(self, name: str, shapes: list[Record], *, fixed: bool) -> Record:
        body: Record = {"name": name, "fixed": fixed, "depth": self.depth(), "shapes": shapes}
        if self.mix.depths and self.chance(0.2):
            shapes[-1]["depth"] = self.one_of([1, 6], [5, 7], [7, 8], [0, 10])
        if self.mix.tolerances and self.chance(0.25):
            body["outline_tolerance"] = self.one_of(0.05, 0.1, 0.2)
        if self.chance(0.2):
            body["trust"] = self.one_of("measured", "typical", "guessed")
        return body

    def lift(self, body: Record) -> None:
        """Put a carried body over its carrier, where it would nearly always overlap it."""
        body["depth"] = [6, 9]
        for shape in body["shapes"]:
            shape.pop("depth", None)

    def spread(self, fixed: list[Record], bodies: list[Record]) -> None:
        """Give every moving body a layer of its own, all within the depth of the bay."""
        for k, body in enumerate(bodies):
            self.lift(body)
            body["depth"] = [10 * k, 10 * k + 6]
        for body in fixed:
            self.lift(body)
            body["depth"] = [0, 50]

    def movers(self, count: int, names: list[str]) -> tuple[list[_Mover], list[Record], list[Record]]:
        """Moving bodies, each on the bay or on one before it, and their joints."""
        movers: list[_Mover] = []
        bodies, joints = [], []
        for k in range(count):
            carrier = self.one_of(*movers) if movers and self.chance(0.45) else None
            pin, heading = (self.some(-90, 90), self.some(-90, 90)), self.some(-math.pi, math.pi)
            if carrier is not None:
                tip = carrier.length * self.some(0.6, 1.1)
                pin = (carrier.pin[0] + tip * math.cos(carrier.heading), carrier.pin[1] + tip * math.sin(carrier.heading))
                heading = carrier.heading + self.some(-1.2, 1.2)
            mover = _Mover(f"arm {k + 1}", pin, heading, self.some(9, 32))
            bodies.append(self.body(mover.name, self.mover_shapes(mover), fixed=False))
            if carrier is not None and self.mix.depths and self.chance(0.92):
                self.lift(bodies[-1])
            joints.append(self.joint(k, carrier.name if carrier else self.one_of(*names), mover))
            movers.append(mover)
        return movers, bodies, joints

    def mover_shapes(self, mover: _Mover) -> list[Record]:
        c, s = math.cos(mover.heading), math.sin(mover.heading)
        start = self.one_of(0.0, 0.0, -3.0, 4.0)
        at = (mover.pin[0] + start * c, mover.pin[1] + start * s)
        shapes = [self.shape(at, mover.heading, mover.length - start)]
        if self.chance(0.3):
            along = mover.length * self.some(0.4, 0.9)
            foot = (mover.pin[0] + along * c, mover.pin[1] + along * s)
            shapes.append(self.shape(foot, mover.heading + self.some(-2, 2), self.some(4, 9)))
        if self.mix.rooms and self.chance(0.06):
            shapes.append(self.room(mover.pin, self.some(6, 12)))
        if self.mix.knuckles and self.chance(0.15):
            shapes.append({"kind": "disc", "centre": _round(*mover.pin), "radius": self.some(2, 4)})
        return shapes

    def joint(self, k: int, carrier: str, mover: _Mover) -> Record:
        between = [carrier, mover.name] if not self.chance(0.08) else [mover.name, carrier]
        at = _round(*mover.pin)
        if self.mix.slides and self.chance(0.25):
            return {"kind": "slide", "name": f"rail {k + 1}", "between": between, "at": at, "along": self.some(-180, 180)}
        if k and self.chance(0.06):
            return {"kind": "bolted", "name": f"bolt {k + 1}", "between": between}
        joint = {"kind": "pivot", "name": f"pin {k + 1}", "between": between, "at": at}
        if self.mix.knuckles and self.chance(0.15):
            joint["relief"] = self.some(3, 8)
        return joint

    def hinge(self, joint: Record, bodies: dict[str, Record]) -> None:
        """Give both bodies of a pivot something at its pin: discs (a knuckle), or a disc that turns in a bore (a running fit)."""
        if joint["kind"] != "pivot" or not self.mix.knuckles or self.chance(0.75):
            return
        first, second = (bodies[name] for name in joint["between"])
        radius, pin = self.some(1.5, 4), joint["at"]
        second["shapes"].append({"kind": "disc", "centre": pin, "radius": radius})
        if self.mix.rooms and self.chance(0.4):
            first["shapes"].append({"kind": "bore", "centre": pin, "radius": round(radius + 0.1, 3), "wall": 1})
        else:
            first["shapes"].append({"kind": "disc", "centre": pin, "radius": self.some(1, 5)})

    def fixed_shape(self, movers: list[_Mover]) -> Record:
        """An obstacle whose nearest point is about where a mover's tip passes, or a room about a mover."""
        mover = self.one_of(*movers)
        if self.mix.rooms and self.chance(0.3):
            if self.chance(0.7):
                return self.room(mover.pin, mover.length)
            return self.room((mover.pin[0] + self.one_of(-1, 1) * (mover.length + 16), mover.pin[1]), 8)
        towards = mover.heading + self.some(-1.8, 1.8)
        away = mover.length + self.some(-1, 16)
        at = (mover.pin[0] + away * math.cos(towards), mover.pin[1] + away * math.sin(towards))
        return self.shape(at, towards + self.some(-0.5, 0.5), self.some(4, 14))

    def many_cornered(self, seed: int, fixed: Record, moving: Record, mover: _Mover) -> None:
        """A round outline of many corners and a disc at the mover's tip, from numbers of their own: all else stays as it was."""
        rng = np.random.default_rng([seed, MANY_CORNERED])
        count, size, radius = int(rng.integers(12, 41)), rng.uniform(6, 14), rng.uniform(0.5, 3)
        tip = mover.pin + mover.length * np.array([math.cos(mover.heading), math.sin(mover.heading)])
        away = rng.choice([rng.uniform(0, size - radius), size, size + radius + rng.uniform(-0.1, 1.5)])
        turn = rng.uniform(-math.pi, math.pi)
        middle = tip + away * np.array([math.cos(turn), math.sin(turn)])
        turns = (np.arange(count) + rng.uniform(-0.3, 0.3, count)) * 2 * math.pi / count
        points = [_round(*(middle + size * np.array([math.cos(t), math.sin(t)]))) for t in turns]
        fixed["shapes"].append({"kind": "polygon", "points": points, "holes": [], "corner_radius": 0})
        moving["shapes"].append({"kind": "disc", "centre": _round(*tip), "radius": round(float(radius), 3)})

    # drives and rules

    def drives(self, joints: list[Record]) -> list[Record]:
        drives: list[Record] = []
        for joint in joints:
            if joint["kind"] == "bolted":
                continue
            turns = joint["kind"] == "pivot"
            if drives and self.chance(0.25):
                drive = self.one_of(*drives)
                same = (drive["unit"] == "deg") == turns
                ratio = self.one_of(1, -1, 0.5, -1.5) if same else self.one_of(4, -3) if turns else self.one_of(0.1, -0.2)
                drive["moves"].append({"section": SECTION, "joint": joint["name"], "ratio": ratio})
                continue
            drives.append(self.drive(f"drive {len(drives) + 1}", joint["name"], turns=turns))
        return drives

    def drive(self, name: str, joint: str, *, turns: bool) -> Record:
        low, high = (self.some(-55, -3), self.some(3, 55)) if turns else (self.some(-8, -1), self.some(1, 10))
        home = self.one_of(0, 0, round(0.5 * low, 3), high)
        drive = {"name": name, "unit": "deg" if turns else "mm", "from": low, "to": high, "home": home,
                 "speed": 100, "moves": [{"section": SECTION, "joint": joint, "ratio": self.one_of(1, 1, 1, -1, 0.5, 1.7)}]}  # fmt: skip
        if home != 0 and self.chance(0.7):
            drive["drawn"] = 0
        return drive

    def rules(self, names: list[str]) -> list[Record]:
        """At most one rule of a rank, so that no two of equal rank meet."""
        if not self.mix.rules or self.chance(0.65):
            return []
        a, b = (names[k] for k in self.rng.permutation(len(names))[:2])
        rules = []
        for between in ([a, b], [a, "*"], ["*", "*"]):
            if self.chance(0.5):
                gap, depth_gap = self.one_of(0, 0.3, 1.5, 3), self.one_of(0, 0.5, 2)
                rules.append({"section": SECTION, "between": between, "required_gap": gap, "required_depth_gap": depth_gap})
        if len(names) > 3 and self.chance(0.2):
            rules = [{"section": SECTION, "between": [a, b], "unchecked": "printed in one piece"}, *rules[1:]]
        return rules

    def together(self, drives: list[Record]) -> list[Record]:
        if not self.mix.together or len(drives) < 2 or self.chance(0.8):
            return []
        first, second = drives[0], drives[1]
        start = round(first["home"] + 0.4 * (first["to"] - first["home"]), 3)
        if start >= first["to"] or first["home"] >= start:
            return []
        low = round((second["from"] + second["home"]) / 2, 3)
        high = round((second["to"] + second["home"]) / 2, 3)
        keep = {"drive": second["name"], "from": low, "to": high}
        return [{"while": {"drive": first["name"], "from": start, "to": first["to"]}, "keep": keep, "reason": "room for both"}]

    def project(self, seed: int) -> Record:
        fixed_names = ["bay", "post"][: int(self.rng.integers(1, 3))]
        count = int(self.rng.integers(self.mix.joints[0], min(self.mix.joints[1], 5 - len(fixed_names)) + 1))
        movers, bodies, joints = self.movers(count, fixed_names)
        fixed = [self.body(n, [self.fixed_shape(movers) for _ in range(1 + self.chance(0.3))], fixed=True) for n in fixed_names]
        drives = self.drives(joints)
        project: Record = {"baysweep": 1, "name": f"random bay {seed}", "required_gap": self.one_of(0, 0.5, 1, 1, 2)}
        if self.mix.depths and self.chance(0.2):
            project["required_depth_gap"] = self.one_of(0.5, 1.5)
        if self.mix.depths and self.chance(0.35):
            self.spread(fixed, bodies)
        if seed % MANY_CORNERED == 5 and {"disc", "polygon"} <= set(self.mix.kinds):
            self.many_cornered(seed, fixed[0], bodies[0], movers[0])
        bodies = [*fixed, *bodies]
        for joint in joints:
            self.hinge(joint, {body["name"]: body for body in bodies})
        rules, together = self.rules([body["name"] for body in bodies]), self.together(drives)
        project["sections"] = [{"name": SECTION, "bodies": bodies, "joints": joints}]
        project |= {"drives": drives, "gap_rules": rules, "allowed_together": together}
        return project


def _rounds_well(points: list[list[float]], holes: list[list[list[float]]], radius: float) -> bool:
    """Whether rounding leaves a whole outline: arcs fit on every edge, and shrunk by a little more it stays in one piece."""
    shell = np.array(Polygon(points).exterior.normalize().coords)[:-1][::-1]
    rings = [shell, *(np.array(Polygon(hole).exterior.normalize().coords)[:-1] for hole in holes)]
    if not all(_arcs_fit(ring, 1.05 * radius) for ring in rings):
        return False
    shrunk = Polygon(points, holes).buffer(-1.1 * radius, join_style="mitre", mitre_limit=20)
    return isinstance(shrunk, Polygon) and not shrunk.is_empty and len(shrunk.interiors) == len(holes)


def _arcs_fit(ring: np.ndarray, radius: float) -> bool:
    """Whether tangent arcs fit on the edges of a ring with the material on its left."""
    ahead = np.roll(ring, -1, axis=0) - ring
    headings = np.arctan2(ahead[:, 1], ahead[:, 0])
    turns = (headings - np.roll(headings, 1) + math.pi) % (2 * math.pi) - math.pi
    cuts = radius * np.tan(np.maximum(turns, 0) / 2)
    return bool(np.all(cuts + np.roll(cuts, -1) <= np.hypot(*ahead.T)))
