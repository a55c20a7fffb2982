"""Which two bodies would a joint at a point join? Pure: a section and a point in, frozen answers out, the likeliest first.

A body is under a point where its material holds it, or where a hole or bore of it does: a pin stands in a hole. The inside of a
frame holds no pin. Two bodies that move as one already are not joined again.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import Literal

import msgspec

from app.board.hit_test import Target, hit_test, targets
from core.drawing.slabs import section_slabs
from core.model.holding import distance_from_body
from core.model.names import BodyName
from core.model.project import Body, Section
from core.model.shapes import Frame, Point
from core.motion.groups import rigid_groups
from core.tolerances import DEFAULT_TOLERANCES

Pair = tuple[BodyName, BodyName]
"""Reference and moved, as in a joint's `between`."""

Lack = Literal["no_body", "no_bay", "many_bays", "only_bay", "as_one"]
"""Why there is no pair. no_body: none lies there. no_bay, many_bays: one lies there, and the section has no body of the bay to put
it on, or several. only_bay: the one that lies there is the bay. as_one: all that lie there move as one."""


@dataclass(frozen=True, slots=True)
class Under:
    """The bodies under a point, low to high; of those in `hollow` it is a hole or bore that holds the point."""

    bodies: tuple[Body, ...]
    hollow: frozenset[BodyName] = frozenset()


@dataclass(frozen=True, slots=True)
class Guess:
    """The pairs that a joint could join, the likeliest first; where there are none, why, and the one body `alone` there.

    grounded: only one body lies there, and the bay is taken for the other.
    """

    pairs: tuple[Pair, ...] = ()
    grounded: bool = False
    lack: Lack | None = None
    alone: BodyName | None = None


def bodies_under(section: Section, at: Point) -> Under:
    """What is under `at`, mm, as drawn. Hidden bodies are not."""
    ready, near = _ready(section), DEFAULT_TOLERANCES.on_outline
    found: list[Body] = []
    hollow: set[BodyName] = set()
    bodies = {body.name: body for body in section.bodies}
    for name in dict.fromkeys(target.slab.body for target in ready):
        if hit_test(ready, {}, at, tolerance=near, only=(name,)) is not None:
            found.append(bodies[name])
        elif distance_from_body(_without_frames(bodies[name]), at) <= 0.0:
            found.append(bodies[name])
            hollow.add(name)
    return Under(tuple(found), frozenset(hollow))


@lru_cache(maxsize=2)
def _ready(section: Section) -> tuple[Target, ...]:
    """Kept, since the pointer asks of the same section again and again."""
    return targets(section_slabs(section))


def joinable(section: Section, at: Point) -> Guess:
    """The pairs that a joint at `at`, mm, could join.

    First those that are not joined to each other yet; then with a body that no joint holds; then neighbours in depth; then a moving
    body on the bay; then the higher ones, which hide the others.
    """
    under = bodies_under(section, at)
    group = {name: number for number, names in enumerate(rigid_groups(section)) for name in names}
    free = [pair for pair in combinations(enumerate(under.bodies), 2) if group[pair[0][1].name] != group[pair[1][1].name]]
    if free:
        ranked = sorted(free, key=lambda pair: _rank(section, under, *pair))
        return Guess(tuple(_in_order(section, one, other) for (_, one), (_, other) in ranked))
    return _grounded(section, under, group)


def carriers(section: Section, at: Point) -> tuple[BodyName, ...]:
    """The bodies that the end of a rod at `at`, mm, could be pinned to: moving ones first, the higher before the lower.

    Where none lies there, the one body of the bay, if there is just one.
    """
    under = bodies_under(section, at)
    order = sorted(enumerate(under.bodies), key=lambda entry: (entry[1].name in under.hollow, entry[1].fixed, -entry[0]))
    bay = [body.name for body in section.bodies if body.fixed]
    return tuple(body.name for _, body in order) or (tuple(bay) if len(bay) == 1 else ())


def _grounded(section: Section, under: Under, group: dict[BodyName, int]) -> Guess:
    if len(under.bodies) > 1:
        return Guess(lack="as_one", alone=under.bodies[-1].name)
    if not under.bodies:
        return Guess(lack="no_body")
    (alone,) = under.bodies
    bay = [body.name for body in section.bodies if body.fixed]
    if alone.fixed:
        return Guess(lack="only_bay", alone=alone.name)
    if len(bay) != 1:
        return Guess(lack="many_bays" if bay else "no_bay", alone=alone.name)
    if group[alone.name] == group[bay[0]]:
        return Guess(lack="as_one", alone=alone.name)
    return Guess(((bay[0], alone.name),), grounded=True, alone=alone.name)


def _rank(section: Section, under: Under, one: tuple[int, Body], other: tuple[int, Body]) -> tuple[float, ...]:
    (low, first), (high, second) = one, other
    pair = (first, second)
    joined = any({first.name, second.name} == set(joint.between) for joint in section.joints)
    loose = any(not body.fixed and not _jointed(section, body.name) for body in pair)
    return (
        joined,
        sum(body.name in under.hollow for body in pair),
        not loose,
        high - low,
        not (first.fixed or second.fixed),
        sum(_jointed(section, body.name) for body in pair),
        -low,
    )


def _in_order(section: Section, one: Body, other: Body) -> Pair:
    """Reference first: the bay, then what is held by it, then what has a joint, then the lower."""
    held = held_by_bay(section)

    def worth(body: Body) -> int:
        return 3 if body.fixed else 2 if body.name in held else int(_jointed(section, body.name))

    return (one.name, other.name) if worth(one) >= worth(other) else (other.name, one.name)


def held_by_bay(section: Section) -> frozenset[BodyName]:
    """The bodies that joints lead to from the bay, the bay among them."""
    held = {body.name for body in section.bodies if body.fixed}
    fresh: Iterable[BodyName] = held
    while fresh:
        reached = {name for joint in section.joints if held & set(joint.between) for name in joint.between}
        fresh = reached - held
        held |= reached
    return frozenset(held)


def _jointed(section: Section, name: BodyName) -> bool:
    return any(name in joint.between for joint in section.joints)


def _without_frames(body: Body) -> Body:
    shapes: Sequence[object] = [shape for shape in body.shapes if not isinstance(shape, Frame)]
    return msgspec.structs.replace(body, shapes=tuple(shapes))
