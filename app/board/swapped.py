"""What has changed in a section, and what in how it is drawn? Pure: two states in."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.drawing.slabs import Slab
from core.model.joints import Joint
from core.model.names import BodyName
from core.model.project import Body, Section
from core.model.shapes import Band


@dataclass(frozen=True, slots=True)
class Swap:
    """The bodies and joints that have come in the place of others of their names; nothing else has changed."""

    bodies: tuple[Body, ...]
    joints: tuple[Joint, ...]


def swapped(before: Section, after: Section) -> Swap | None:
    """What has come in whose place; None where more has changed than outlines of moving bodies and places of joints.

    A body that came fills the same depth bands as the one it stands for, by as many shapes or others. Of two of one name none can be
    told which has come.
    """
    if not (_all_differ(after.bodies) and _all_differ(after.joints)):
        return None
    if len(before.bodies) != len(after.bodies) or len(before.joints) != len(after.joints):
        return None
    bodies = [(old, new) for old, new in zip(before.bodies, after.bodies, strict=True) if old is not new]
    joints = [(old, new) for old, new in zip(before.joints, after.joints, strict=True) if old is not new]
    if not all(_stands_alike(old, new) for old, new in bodies) or not all(_joins_alike(old, new) for old, new in joints):
        return None
    return Swap(tuple(new for _, new in bodies), tuple(new for _, new in joints))


def _all_differ(named: Sequence[Body] | Sequence[Joint]) -> bool:
    return len({one.name for one in named}) == len(named)


def _stands_alike(old: Body, new: Body) -> bool:
    alike = (old.name, old.view) == (new.name, new.view) and not old.fixed and not new.fixed
    return alike and _bands(old) == _bands(new)


def _bands(body: Body) -> set[Band]:
    """Those in which it has slabs, which lie in the order of their heights."""
    return {shape.depth or body.depth for shape in body.shapes}


def _joins_alike(old: Joint, new: Joint) -> bool:
    return type(old) is type(new) and (old.name, old.between) == (new.name, new.between)


def otherwise_drawn(before: Sequence[Slab], after: Sequence[Slab]) -> set[BodyName]:
    """The bodies that do not have the same slabs in both, told as objects."""
    one, other = ({id(slab): slab.body for slab in slabs} for slabs in (before, after))
    return {body for number, body in (one | other).items() if (number in one) != (number in other)}


def same_groups(one: Sequence[tuple[int, Sequence[Slab]]], other: Sequence[tuple[int, Sequence[Slab]]]) -> bool:
    """Whether groups of slabs, each with the place of its lowest, hold the same objects in the same order."""
    told = ([(first, [id(slab) for slab in slabs]) for first, slabs in groups] for groups in (one, other))
    return next(told) == next(told)
