"""Which shapes of two bodies are judged against each other, by what requirement, and as what: solids, rooms, clipped knuckles."""

import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from shapely.geometry import Point

from tests.checker import outline as shapes_as
from tests.checker.gap import convex_depths, depth, depth_of_pieces, distances, moved_geometries, moved_points, nearer
from tests.checker.outline import Bools, Floats, Outline

Record = dict[str, Any]
TOUCH = 3e-6
ON_OUTLINE = 1e-6
RELIEF_FACTOR = 1.5
DEPTH_ERROR, KNUCKLE_ERROR = 2e-3, 1e-3
"""Finest chords by which overlap depths of concave shapes (ten times coarser while searching), and clipped knuckles, are told."""
LEAST_RELIEF = math.cos(math.radians(7.5))
"""Of the relief, how much any inscribed polygon of 24 sides takes away however it is turned: a program may clip as little."""


@dataclass(frozen=True)
class Rules:
    """What the gap rules ask of two bodies. The best-ranked rule that gives a key decides it: exact, one `*`, two."""

    project: Record

    def _best(self, section: str, a: str, b: str, keys: tuple[str, ...]) -> Record | None:
        found: tuple[int, Record] | None = None
        for rule in self.project.get("gap_rules", []):
            if rule["section"] != section or not any(key in rule for key in keys):
                continue
            for p, q in (rule["between"], rule["between"][::-1]):
                if p in (a, "*") and q in (b, "*"):
                    rank = (p == "*") + (q == "*")
                    if found is None or rank < found[0]:
                        found = rank, rule
        return found[1] if found else None

    def exempt(self, section: str, a: str, b: str) -> str | None:
        """The reason why two bodies are not checked, where a rule says so and no closer rule asks a gap of them."""
        rule = self._best(section, a, b, ("unchecked", "required_gap"))
        return rule.get("unchecked") if rule else None

    def required(self, section: str, a: str, b: str) -> float:
        """Required gap of two bodies whose depth bands overlap."""
        rule = self._best(section, a, b, ("required_gap",)) or self.project
        return float(rule["required_gap"])

    def required_depth(self, section: str, a: str, b: str) -> float:
        """Required gap of two bodies that pass over each other."""
        rule = self._best(section, a, b, ("required_depth_gap",)) or self.project
        return float(rule.get("required_depth_gap", 0.0))


def depth_apart(body_a: Record, shape_a: Record, body_b: Record, shape_b: Record) -> float:
    """dz: above 0 how far apart two depth bands lie, below 0 how far they overlap."""
    low_a, high_a = shape_a.get("depth") or body_a["depth"]
    low_b, high_b = shape_b.get("depth") or body_b["depth"]
    return float(max(low_a - high_b, low_b - high_a))


def holds(shape: Record, at: tuple[float, float], *, error: float) -> bool:
    """Whether the material of a shape contains a point, its outline included."""
    if shape["kind"] in shapes_as.ROOMS:
        return bool(shapes_as.material(shape, error=error, outer=False).distance(Point(at)) <= ON_OUTLINE)
    core, radius = shapes_as.core_of(shape, error=error)
    return bool(core.distance(Point(at)) <= radius + ON_OUTLINE)


@dataclass
class Kept:
    """Outlines of the shapes of one bay, each made once however many pairs it is in. The shapes must outlive this."""

    _made: dict[tuple[int, bool, float, bool], Outline] = field(default_factory=dict, repr=False)

    def outline(self, shape: Record, *, filled: bool, error: float, outer: bool) -> Outline:
        """The outline of a shape's material, or of all that lies inside its outer outline."""
        key = (id(shape), filled, error, outer)
        if key not in self._made:
            make = shapes_as.filled if filled else shapes_as.material
            curved = shape["kind"] in ("disc", "bar", "bore") or shape.get("corner_radius", 0.0) > 0.0
            self._made[key] = shapes_as.outline(make(shape, error=error, outer=outer), error=error if curved else 0.0)
        return self._made[key]


@dataclass(eq=False)
class Part:
    """Two shapes that are judged: how, and the outlines they are judged by at any chord error."""

    shape_a: Record
    shape_b: Record
    indices: tuple[int, int]
    dz: float
    need: float
    mode: str
    """"solid", "a is the room" or "b is the room"; "filled" where a room is judged from outside."""
    running_fit: bool = False
    joint: str | None = None
    relief: float = 0.0
    pin: tuple[float, float] = (0.0, 0.0)
    kept: Kept = field(default_factory=Kept, repr=False)
    _made: dict[tuple[float, bool], tuple[Outline, Outline]] = field(default_factory=dict, repr=False)

    @property
    def passes_over(self) -> bool:
        """Whether one shape passes over the other."""
        return self.dz >= 0.0

    @property
    def asked(self) -> tuple[bool, bool, float]:
        """What the part is asked as: passing over, running, and the gap it needs."""
        return self.passes_over, self.running_fit, self.need

    def outlines(self, error: float, *, outer: bool = False) -> tuple[Outline, Outline]:
        """The two outlines within a chord error; inside the true shapes, or around them (of knuckles, all that may be left)."""
        key = (error, outer)
        if key not in self._made:
            self._made[key] = (self._outline(self.shape_a, error, outer=outer), self._outline(self.shape_b, error, outer=outer))
        return self._made[key]

    def _outline(self, shape: Record, error: float, *, outer: bool) -> Outline:
        if self.joint is not None:
            knuckle_error = max(error, KNUCKLE_ERROR)
            core, radius = (
                shapes_as.core_of(shape, error=knuckle_error)
                if shape["kind"] not in shapes_as.ROOMS
                else (shapes_as.material(shape, error=knuckle_error, outer=outer), 0.0)
            )
            relief = self.relief * LEAST_RELIEF if outer else self.relief
            clipped = core.difference(shapes_as.circle(self.pin, relief, error=knuckle_error, outer=not outer))
            return shapes_as.outline(shapes_as.grown(clipped, radius, error=knuckle_error, outer=outer), error=2.0 * knuckle_error)
        return self.kept.outline(shape, filled=self.mode != "solid", error=error, outer=outer)

    def error(self, error: float) -> float:
        """How much less the true gap may be than the one computed, where the shapes are apart or convex."""
        a, b = self.outlines(error)
        return {"a is the room": b.error, "b is the room": a.error}.get(self.mode, a.error + b.error)

    def gone(self, error: float) -> bool:
        """Whether relief has taken away all of one shape."""
        return any(side.empty for side in self.outlines(error))

    def _room_gaps(self, turns: Floats, shifts: Floats, error: float, *, outer: bool) -> Floats:
        a, b = self.outlines(error, outer=outer)
        if self.mode == "b is the room":
            return shapes_as.room_gap(self.shape_b, moved_points(a.vertices, turns, shifts))
        c, s = np.cos(turns), np.sin(turns)
        back = -np.column_stack([c * shifts[:, 0] + s * shifts[:, 1], -s * shifts[:, 0] + c * shifts[:, 1]])
        return shapes_as.room_gap(self.shape_a, moved_points(b.vertices, -turns, back))

    def _over(self, gaps: Floats) -> Floats:
        return np.hypot(np.maximum(gaps, 0.0), self.dz) if self.passes_over else gaps

    def rough(self, turns: Floats, shifts: Floats, error: float) -> Floats:
        """Gaps of poses of a in b's drawn frame; where solids overlap only a number that grows with the overlap."""
        if "room" in self.mode:
            return self._over(self._room_gaps(turns, shifts, error, outer=False))
        a, b = self.outlines(error)
        gaps = distances(a, b, turns, shifts)
        met = np.flatnonzero(gaps == 0.0)
        if len(met) and not self.passes_over:
            moved = np.array(moved_geometries(a.geometry, turns[met], shifts[met]))
            gaps[met] = -np.sqrt(np.array([m.intersection(b.geometry).area for m in moved]))
        return self._over(gaps)

    def nearer(self, turns: Floats, shifts: Floats, than: float, error: float) -> Bools:
        """Whether the gap is less than `than` mm for poses of a in b's drawn frame; (n,).

        Under 0 it is asked of the depths of convex overlaps, and of rough numbers where a shape is concave.
        """
        near = self.far(turns, shifts, error) < than
        if "room" in self.mode:
            near[near] = self._over(self._room_gaps(turns[near], shifts[near], error, outer=False)) < than
        elif self.passes_over and near.any():
            flat = math.sqrt(max(than * than - self.dz * self.dz, 0.0))
            near[near] = nearer(*self.outlines(error), turns[near], shifts[near], flat)
        elif near.any():
            near[near] = nearer(*self.outlines(error), turns[near], shifts[near], max(than, 0.0))
            if than <= 0.0 and near.any():
                measure = self.exact if all(side.convex for side in self.outlines(error)) else self.rough
                near[near] = measure(turns[near], shifts[near], error) < than
        return near

    def exact(self, turns: Floats, shifts: Floats, error: float, *, outer: bool = False) -> Floats:
        """Gaps of poses of a in b's drawn frame, overlap depths included."""
        if "room" in self.mode:
            return self._over(self._room_gaps(turns, shifts, error, outer=outer))
        a, b = self.outlines(error, outer=outer)
        gaps = distances(a, b, turns, shifts)
        met = np.flatnonzero(gaps == 0.0)
        if len(met) and not self.passes_over:
            if a.convex and b.convex:
                gaps[met] = -convex_depths(a, b, turns[met], shifts[met])
            else:
                gaps[met] = [-self._depth(turns[[k]], shifts[[k]], max(10.0 * error, DEPTH_ERROR), outer=outer) for k in met]
        return self._over(gaps)

    def _depth(self, turn: Floats, shift: Floats, error: float, *, outer: bool) -> float:
        a, b = self.outlines(error, outer=outer)
        return depth_of_pieces([moved_points(piece, turn, shift)[0] for piece in a.pieces], b.pieces)[0]

    def far(self, turns: Floats, shifts: Floats, error: float) -> Floats:
        """A lower bound of the gaps by circles around both outlines; minus infinity for rooms."""
        if "room" in self.mode:
            return np.full(len(turns), -math.inf)
        (ca, ra), (cb, rb) = (_circle_about(side.vertices) for side in self.outlines(error))
        centres = moved_points(ca[None, :], turns, shifts)[:, 0, :]
        return self._over(np.hypot(*(centres - cb).T) - ra - rb)


def _circle_about(points: Floats) -> tuple[Floats, float]:
    centre = (points.min(axis=0) + points.max(axis=0)) / 2.0
    return centre, float(np.max(np.hypot(*(points - centre).T)))


def mode_of(shape_a: Record, shape_b: Record, kept: Kept, *, error: float) -> str:
    """How two shapes are judged, from where they are drawn.

    Inside: the filled outline lies in the free inside (or sticks out by no more than `TOUCH`). Outside: the filled outlines
    do not overlap deeper than `TOUCH`. Across: everything else.
    """
    rooms = [shape["kind"] in shapes_as.ROOMS for shape in (shape_a, shape_b)]
    if not any(rooms):
        return "solid"
    filled = [kept.outline(shape, filled=True, error=error, outer=False).geometry for shape in (shape_a, shape_b)]
    points = [np.array(f.exterior.coords) for f in filled]
    if rooms[1] and shapes_as.room_gap(shape_b, points[0]) >= -TOUCH:
        return "b is the room"
    if rooms[0] and shapes_as.room_gap(shape_a, points[1]) >= -TOUCH:
        return "a is the room"
    if filled[0].disjoint(filled[1]):
        return "filled"
    rough = [kept.outline(shape, filled=True, error=0.05, outer=False).geometry for shape in (shape_a, shape_b)]
    deep = depth(*rough)[0] > TOUCH or depth(*filled)[0] > TOUCH
    return "solid" if deep else "filled"


def relief_of(joint: Record, shapes: tuple[Record, Record], *, error: float) -> float:
    """Radius of the joint's relief disc: its key, else 1.5 x the larger distance from the pin to the outlines of the two shapes."""
    if joint.get("relief") is not None:
        return float(joint["relief"])
    at = Point(joint["at"])
    return RELIEF_FACTOR * max(at.distance(shapes_as.material(shape, error=error, outer=False).boundary) for shape in shapes)


def _is_running_fit(shape_a: Record, shape_b: Record, joints: list[Record]) -> bool:
    if {shape_a["kind"], shape_b["kind"]} != {"disc", "bore"}:
        return False
    pins = [joint["at"] for joint in joints if joint["kind"] == "pivot"]
    return any(all(math.dist(pin, shape["centre"]) <= ON_OUTLINE for shape in (shape_a, shape_b)) for pin in pins)


def parts_of(section: Record, rules: Rules, body_a: Record, body_b: Record, *, error: float, kept: Kept | None = None) -> list[Part]:
    """Every pair of shapes of two bodies, knuckles clipped; the ones that pass over far enough are among them.

    kept: outlines made before of shapes of the same bay.
    """
    kept = kept or Kept()
    names = {body_a["name"], body_b["name"]}
    pins = [j for j in section.get("joints", []) if j["kind"] != "bolted" and set(j["between"]) == names]
    parts = []
    for i, shape_a in enumerate(body_a["shapes"]):
        for j, shape_b in enumerate(body_b["shapes"]):
            dz = depth_apart(body_a, shape_a, body_b, shape_b)
            ask = rules.required_depth if dz >= 0.0 else rules.required
            need = ask(section["name"], body_a["name"], body_b["name"])
            fit = _is_running_fit(shape_a, shape_b, pins)
            mode = (
                ("a is the room" if shape_a["kind"] == "bore" else "b is the room") if fit else mode_of(shape_a, shape_b, kept, error=error)
            )
            part = Part(shape_a, shape_b, (i, j), dz, 0.0 if fit else need, mode, running_fit=fit, kept=kept)
            for joint in pins if not fit and dz < 0.0 else ():
                if holds(shape_a, joint["at"], error=error) and holds(shape_b, joint["at"], error=error):
                    part.joint, part.pin = joint["name"], tuple(joint["at"])
                    part.relief = relief_of(joint, (shape_a, shape_b), error=error)
                    part.mode = "solid"
                    break
            parts.append(part)
    return parts
