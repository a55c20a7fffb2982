"""Which bodies move as one: fixed bodies form the bay, bolted joints tie the others together."""

from collections.abc import Hashable, Iterable
from typing import Generic, TypeVar

from core.model.joints import Bolted
from core.model.names import BodyName
from core.model.project import Section

Item = TypeVar("Item", bound=Hashable)

BAY = 0
"""The group of all fixed bodies and of what is bolted to them; it is there even where no body is in it."""


class Merging(Generic[Item]):
    """Sets that are merged two at a time; every item starts in a set of its own."""

    def __init__(self, items: Iterable[Item]) -> None:
        self._above = {item: item for item in items}

    def leader(self, item: Item) -> Item:
        """The item that stands for the whole set of `item`."""
        while self._above[item] != item:
            self._above[item] = self._above[self._above[item]]
            item = self._above[item]
        return item

    def merge(self, one: Item, other: Item) -> bool:
        """Make one set of two; False where they were one already."""
        one, other = self.leader(one), self.leader(other)
        self._above[other] = one
        return one != other


def rigid_groups(section: Section) -> tuple[tuple[BodyName, ...], ...]:
    """The bodies of `section` in groups that move as one, group 0 the bay, the others in the order of their first body.

    Bodies keep their order inside a group. A section without bodies has the empty bay alone. KeyError where a joint
    names a body that is not in the section.
    """
    bay = None
    merging: Merging[BodyName | None] = Merging([bay, *(body.name for body in section.bodies)])
    for body in section.bodies:
        if body.fixed:
            merging.merge(bay, body.name)
    for joint in section.joints:
        if isinstance(joint, Bolted):
            merging.merge(*joint.between)
    members: dict[BodyName | None, list[BodyName]] = {merging.leader(bay): []}
    for body in section.bodies:
        members.setdefault(merging.leader(body.name), []).append(body.name)
    return tuple(tuple(group) for group in members.values())
