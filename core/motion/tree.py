"""Which joints lead from the bay to each group, and which close loops."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.motion.groups import Merging


@dataclass(frozen=True, slots=True)
class Link:
    """A joint as an edge between two groups. `rank`: the lower, the rather it becomes part of the tree."""

    index: int
    groups: tuple[int, int]
    rank: int


@dataclass(frozen=True, slots=True)
class Tree:
    """A spanning tree of the groups, outward from group 0 and from one group of each part that floats free.

    parents: the group before each group, -1 for roots. links: index of the joint between the two, -1 for roots.
    order: all groups, each after its parent. closing: the joints that are not in the tree. idle: joints inside one group.
    """

    parents: tuple[int, ...]
    links: tuple[int, ...]
    order: tuple[int, ...]
    closing: tuple[Link, ...]
    idle: tuple[Link, ...]

    def path(self, group: int) -> tuple[int, ...]:
        """The groups from the root (left out) to `group`; empty for a root."""
        path: list[int] = []
        while self.parents[group] >= 0:
            path.append(group)
            group = self.parents[group]
        return tuple(reversed(path))

    def root(self, group: int) -> int:
        """The group at the start of the path to `group`."""
        path = self.path(group)
        return self.parents[path[0]] if path else group


def spanning_tree(links: Sequence[Link], *, groups: int) -> Tree:
    """The tree of least total rank; among equals the joint that was drawn first. Parts without joints are roots."""
    merging = Merging(range(groups))
    near: list[list[Link]] = [[] for _ in range(groups)]
    closing, idle = [], []
    for link in sorted(links, key=lambda link: (link.rank, link.index)):
        one, other = link.groups
        if one == other:
            idle.append(link)
        elif merging.merge(one, other):
            near[one].append(link)
            near[other].append(link)
        else:
            closing.append(link)
    parents, by = [-1] * groups, [-1] * groups
    order: list[int] = []
    met = [False] * groups
    for root in range(groups):
        waiting = [] if met[root] else [root]
        while waiting:
            group = waiting.pop(0)
            met[group] = True
            order.append(group)
            for link in near[group]:
                other = sum(link.groups) - group
                if not met[other]:
                    parents[other], by[other] = group, link.index
                    waiting.append(other)
    return Tree(tuple(parents), tuple(by), tuple(order), tuple(closing), tuple(idle))


@dataclass(frozen=True, slots=True)
class Ring:
    """Groups whose poses must be found together: loops that share a joint of the tree.

    root: the group that carries the ring; links: the groups reached by tree joints of the ring, each after its parent.
    """

    root: int
    links: tuple[int, ...]
    closing: tuple[Link, ...]


def rings(tree: Tree) -> tuple[Ring, ...]:
    """The loops of the tree, those that share a tree joint as one, in the order in which the tree meets them."""
    around = {link: _around(tree, link) for link in tree.closing}
    merging: Merging[int | Link] = Merging([*range(len(tree.parents)), *tree.closing])
    for link, passed in around.items():
        for group in passed:
            merging.merge(group, link)
    place = {group: index for index, group in enumerate(tree.order)}
    together: dict[int | Link, list[Link]] = {}
    for link in tree.closing:
        together.setdefault(merging.leader(link), []).append(link)
    found = []
    for closing in together.values():
        groups = sorted({group for link in closing for group in around[link]}, key=place.__getitem__)
        root = tree.parents[groups[0]]
        found.append(Ring(root, tuple(groups), tuple(sorted(closing, key=lambda link: link.index))))
    return tuple(sorted(found, key=lambda ring: (place[ring.root], place[ring.links[0]])))


def _around(tree: Tree, link: Link) -> tuple[int, ...]:
    """The groups whose tree joint lies on the loop that `link` closes."""
    one, other = (tree.path(group) for group in link.groups)
    shared = sum(1 for a, b in zip(one, other, strict=False) if a == b)
    return one[shared:] + other[shared:]
