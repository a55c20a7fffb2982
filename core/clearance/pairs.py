"""Who is checked against whom: every pair of shapes of two bodies of a section that can move relative to each other."""

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import count
from typing import Literal, NamedTuple

import numpy as np

from core.clearance.batch import CorePair, Kind
from core.clearance.knuckles import Relief, RunningFit, clipped, knuckle_of
from core.clearance.posed import drawn_gaps
from core.clearance.remembered import Remembered
from core.clearance.rounded import Piece, Rounded, Solids, complex_of, ring_of_room
from core.clearance.rules import Asked, asked_of
from core.model.joints import Bolted, Joint
from core.model.names import BodyName, JointName, SectionName
from core.model.project import Body, Project, Section
from core.model.shapes import Band, Bore, Frame, Room, Shape
from core.motion.linkage import Linkage, SectionLinkage
from core.tolerances import Tolerances

Pair = tuple[BodyName, BodyName]
Relation = Literal["solid", "room"]


@dataclass(frozen=True, slots=True, eq=False)
class ShapePair:
    """Two shapes of two bodies, as core pairs whose least signed gap is the gap of the shapes.

    shapes: their numbers in the two bodies. cores: CONVEX pairs of (first, second), or BORE or FACE pairs of
    (inner, room); room_first: the room belongs to the first body. across: mm between their depth bands (below 0: the
    bands overlap). radii: of the first and second core. exact: the signed gap of the cores is the overlap depth too
    (both convex, or a room); otherwise it overstates it. chord: mm by which the true gap may be larger.
    running: the least gap is a running fit's, which needs more than 0 only. pieces: of both, where both are solid.
    """

    shapes: tuple[int, int]
    cores: tuple[CorePair, ...]
    relation: Relation
    room_first: bool
    across: float
    radii: tuple[float, float]
    exact: bool
    chord: float = 0.0
    running: bool = False
    pieces: tuple[tuple[Piece, ...], tuple[Piece, ...]] = ((), ())


@dataclass(frozen=True, slots=True)
class Clipping:
    """A knuckle: two shapes of two bodies that hold one pin. relief: radius mm, or the radial play where `running`."""

    joint: JointName
    shapes: tuple[int, int]
    relief: float
    running: bool
    left: bool


@dataclass(frozen=True, eq=False)
class BodyPair:
    """Two bodies of a section, what the rules ask of them, and their shape pairs. groups: their rigid groups."""

    section: SectionName
    between: Pair
    groups: tuple[int, int]
    asked: Asked
    tolerance: float
    shape_pairs: tuple[ShapePair, ...]
    knuckles: tuple[Clipping, ...]

    @cached_property
    def passes_over(self) -> float | None:
        """The least distance across the section where every shape pair passes over far enough, else None."""
        if not self.shape_pairs or any(pair.across < 0 or pair.across < self.asked.depth_gap for pair in self.shape_pairs):
            return None
        return min(pair.across for pair in self.shape_pairs)

    @property
    def nothing_left(self) -> bool:
        """Whether knuckles took away all there was to check."""
        return not self.shape_pairs and bool(self.knuckles)


class SeenPairs:
    """Pairs laid out for the last projects asked about, so that only those of changed bodies are laid out anew.

    Two pairs are one where all that `BodyPair` tells is made from the same: bodies, joints between them, groups and rules.
    """

    def __init__(self, tolerances: Tolerances) -> None:
        self.tolerances = tolerances
        self._solids = Solids()
        self._bodies: Remembered[object, int] = Remembered()
        self._contexts: Remembered[object, int] = Remembered()
        self._pairs: Remembered[tuple[int, ...], _Laid] = Remembered()
        self._before: list[_Laid] = []
        self._numbers = count()

    def of(self, project: Project, linkage: Linkage) -> "AllPairs":
        """All pairs of a project."""
        for remembered in (self._solids, self._bodies, self._contexts, self._pairs):
            remembered.turn()
        found = AllPairs([], [])
        now: list[_Laid] = []
        for section in project.sections:
            self._of_section(project, section, linkage.section(section.name), found, now)
        self._before = now
        return found

    def _of_section(self, project: Project, section: Section, linkage: SectionLinkage, found: "AllPairs", now: "list[_Laid]") -> None:
        group = {body: index for index, group in enumerate(linkage.groups) for body in group}
        bodies = [(body, group[body.name], self._number(body)) for body in section.bodies]
        joints = _joints_by_pair(section.joints)
        nothing_asked = not any(rule.section == section.name for rule in project.gap_rules)
        plain = Asked(project.required_gap, project.required_depth_gap, None)
        plainly = self._context(section.name, plain, ())
        for place, (first, group_a, number_a) in enumerate(bodies):
            joined = joints.get(first.name, {})
            for second, group_b, number_b in bodies[place + 1 :]:
                between = joined.get(second.name, ())
                if group_a == group_b and any(isinstance(joint, Bolted) for joint in between):
                    continue
                asked = plain if nothing_asked else asked_of(project, section.name, (first.name, second.name))
                context = plainly if nothing_asked and not between else self._context(section.name, asked, between)
                key = (number_a, number_b, group_a, group_b, context)
                laid = self._pairs.known(key)
                if laid is None:
                    shop = _Shop(section.name, (group_a, group_b), asked, between, self.tolerances, self._solids)
                    laid = self._pairs.keep(key, _body_pair((first, second), shop, self._at_this_place(len(now))))
                now.append(laid)
                (found.moving if group_a != group_b else found.still).append(laid.pair)

    def _at_this_place(self, number: int) -> "_Laid | None":
        """The pair that was laid out as the same of all pairs in the last project: after most edits it is of the same bodies."""
        return self._before[number] if number < len(self._before) else None

    def _context(self, section: SectionName, asked: Asked, between: tuple[Joint, ...]) -> int:
        """A number for all that a pair takes from elsewhere than its bodies; the same for the same, and never for another."""
        return self._contexts.of((section, asked, between), lambda: next(self._numbers))

    def _number(self, body: Body) -> int:
        """A number for all that pairs tell of a body; the same for the same, and never for another."""
        return self._bodies.of((body.name, body.depth, body.shapes, body.outline_tolerance), lambda: next(self._numbers))


class AllPairs(NamedTuple):
    """Pairs in the file's order, exempt ones too.

    moving: of bodies that can move relative to each other. still: of those that never do, and are not bolted directly together.
    """

    moving: list[BodyPair]
    still: list[BodyPair]


def _joints_by_pair(joints: tuple[Joint, ...]) -> dict[BodyName, dict[BodyName, tuple[Joint, ...]]]:
    """By each body and another the joints that name both, in the file's order."""
    found: dict[BodyName, dict[BodyName, tuple[Joint, ...]]] = {}
    for joint in joints:
        one, other = joint.between
        if one != other:
            for first, second in ((one, other), (other, one)):
                own = found.setdefault(first, {})
                own[second] = (*own.get(second, ()), joint)
    return found


class _Shop(NamedTuple):
    """What a pair is made with."""

    section: SectionName
    groups: tuple[int, int]
    asked: Asked
    joints: tuple[Joint, ...]
    tolerances: Tolerances
    solids: Solids


_ShapePairFound = tuple[ShapePair | None, Clipping | None]


class _Laid(NamedTuple):
    """A pair with what it was made from. found: what became of each two shapes, those of the second body running first."""

    pair: BodyPair
    bodies: tuple[Body, Body]
    joints: tuple[Joint, ...]
    found: tuple[_ShapePairFound, ...]


def _body_pair(bodies: tuple[Body, Body], shop: _Shop, before: _Laid | None) -> _Laid:
    """All shape pairs of two bodies of one section, knuckles clipped.

    before: a pair laid out before; what comes of shapes that both bodies have in common with its is taken from it, so that an edit
    costs no more than the shapes it touches.
    """
    first, second = bodies
    before = before if before is not None and before.joints == shop.joints else None
    kept = [[False] * len(body.shapes) for body in bodies]
    if before is not None:
        kept = [
            [number < len(old.shapes) and old.shapes[number] == shape for number, shape in enumerate(body.shapes)]
            for body, old in zip(bodies, before.bodies, strict=True)
        ]
    found = []
    for i, one in enumerate(first.shapes):
        for j, other in enumerate(second.shapes):
            across = _across(_band(first, i), _band(second, j))
            known = _known(before, (i, j), across) if before is not None and kept[0][i] and kept[1][j] else None
            found.append(known if known is not None else _shape_pair((i, j), (one, other), across, shop))
    pair = BodyPair(
        section=shop.section,
        between=(first.name, second.name),
        groups=shop.groups,
        asked=shop.asked,
        tolerance=first.outline_tolerance + second.outline_tolerance,
        shape_pairs=tuple(shapes for shapes, _ in found if shapes is not None),
        knuckles=tuple(knuckle for _, knuckle in found if knuckle is not None),
    )
    return _Laid(pair, bodies, shop.joints, tuple(found))


def _known(before: _Laid, numbers: tuple[int, int], across: float) -> _ShapePairFound | None:
    """What became of two shapes that have not changed: all but how they pass over, where that changes nothing else."""
    first, second = before.bodies
    was = _across(_band(first, numbers[0]), _band(second, numbers[1]))
    if (was < 0) != (across < 0):
        return None
    pair, knuckle = before.found[numbers[0] * len(second.shapes) + numbers[1]]
    return (replace(pair, across=across) if pair is not None and was != across else pair), knuckle


def _band(body: Body, number: int) -> Band:
    """The depth band of one of its shapes."""
    return body.shapes[number].depth or body.depth


def _across(first: Band, second: Band) -> float:
    """Distance of two depth bands, mm; negative: they overlap."""
    return max(first[0] - second[1], second[0] - first[1])


def _shape_pair(
    numbers: tuple[int, int], shapes: tuple[Shape, Shape], across: float, shop: _Shop
) -> tuple[ShapePair | None, Clipping | None]:
    # Shapes that pass over each other need no relief, since nothing of them meets in the section, and a running fit no check.
    for joint in shop.joints:
        found = knuckle_of(joint, shapes, tolerances=shop.tolerances)
        if across >= 0 and isinstance(found, RunningFit):
            return None, Clipping(found.joint, numbers, found.play, running=True, left=True)
        if across < 0:
            if isinstance(found, RunningFit):
                fit = _room_pair(numbers, shapes, across, shop, room_first=isinstance(shapes[0], Bore), running=True)
                return fit, Clipping(found.joint, numbers, found.play, running=True, left=True)
            if isinstance(found, Relief):
                pair = _solid_pair(numbers, shapes, across, shop, relief=found)
                return pair, Clipping(found.joint, numbers, found.radius, running=False, left=pair is not None)
    for room_first in (True, False):
        room, inner = (shapes[0], shapes[1]) if room_first else (shapes[1], shapes[0])
        if isinstance(room, Bore | Frame) and _inside(shop.solids.of(inner), room) >= -shop.tolerances.touch:
            return _room_pair(numbers, shapes, across, shop, room_first=room_first), None
    return _solid_pair(numbers, shapes, across, shop), None


def _solid_pair(
    numbers: tuple[int, int], shapes: tuple[Shape, Shape], across: float, shop: _Shop, *, relief: Relief | None = None
) -> ShapePair | None:
    first, second = _as_drawn(shapes, shop, held=relief is not None)
    pieces_a, pieces_b = first.pieces, second.pieces
    if relief is not None:
        pieces_a, pieces_b = clipped(pieces_a, relief), clipped(pieces_b, relief)
    if not pieces_a or not pieces_b:
        return None
    return ShapePair(
        shapes=numbers,
        cores=tuple(_core_pair(a, b) for a in pieces_a for b in pieces_b),
        relation="solid",
        room_first=False,
        across=across,
        radii=(first.radius, second.radius),
        exact=len(pieces_a) == len(pieces_b) == 1,
        chord=first.chord + second.chord,
        pieces=(pieces_a, pieces_b),
    )


def _core_pair(a: Piece, b: Piece) -> CorePair:
    return CorePair(Kind.CONVEX, a.points, b.points, a.radius + b.radius)


def _as_drawn(shapes: tuple[Shape, Shape], shop: _Shop, *, held: bool) -> tuple[Rounded, Rounded]:
    """Both shapes as material: a room that the other is drawn across (or that holds their pin) as its wall ring."""
    solids = [shop.solids.of(shape) for shape in shapes]
    for number, shape in enumerate(shapes):
        if isinstance(shape, Bore | Frame) and (held or signed_gap(*solids) < -shop.tolerances.touch):
            solids[number] = ring_of_room(shape, chord=shop.tolerances.ring_chord)
    return solids[0], solids[1]


def _room_pair(
    numbers: tuple[int, int], shapes: tuple[Shape, Shape], across: float, shop: _Shop, *, room_first: bool, running: bool = False
) -> ShapePair:
    room, inner = (shapes[0], shapes[1]) if room_first else (shapes[1], shapes[0])
    if not isinstance(room, Bore | Frame):
        raise TypeError("a room pair needs a bore or a frame")
    solid = shop.solids.of(inner)
    radii = (0.0, solid.radius) if room_first else (solid.radius, 0.0)
    cores = room_cores(solid, room)
    return ShapePair(numbers, cores, "room", room_first, across, radii, exact=True, running=running)


def room_cores(inner: Rounded, room: Room) -> tuple[CorePair, ...]:
    """The core pairs of a body inside a room: one for a bore, one for each inner face of a frame."""
    corners = inner.rings[0]
    if isinstance(room, Bore):
        return (CorePair(Kind.BORE, corners, np.array([complex_of(room.centre)]), room.radius - inner.radius),)
    ahead = complex(np.exp(1j * np.radians(room.turn)))
    faces = []
    for normal, half in ((-ahead, room.size[0] / 2), (-1j * ahead, room.size[1] / 2)):
        faces.append(CorePair(Kind.FACE, corners, np.array([complex_of(room.centre) - half * normal]), inner.radius, normal))
        faces.append(CorePair(Kind.FACE, corners, np.array([complex_of(room.centre) + half * normal]), inner.radius, -normal))
    return tuple(faces)


def _inside(inner: Rounded, room: Room) -> float:
    """How far inside the room a shape is drawn, mm: its gap there; negative: not inside."""
    return float(drawn_gaps(room_cores(inner, room)).min())


def signed_gap(first: Rounded, second: Rounded) -> float:
    """The least signed gap of two shapes' pieces as drawn, mm; below 0 where they overlap."""
    return float(drawn_gaps([_core_pair(a, b) for a in first.pieces for b in second.pieces]).min())
