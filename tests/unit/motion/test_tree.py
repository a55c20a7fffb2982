"""Spanning trees of groups, and the rings that the other joints close."""

from core.motion.tree import Link, rings, spanning_tree


def link(index: int, one: int, other: int, *, rank: int = 2) -> Link:
    return Link(index, (one, other), rank)


def test_no_joints_leave_every_group_its_own_root():
    tree = spanning_tree([], groups=3)
    assert (tree.parents, tree.order, tree.closing, tree.idle) == ((-1, -1, -1), (0, 1, 2), (), ())


def test_driven_joints_become_part_of_the_tree_first():
    links = [link(0, 0, 1), link(1, 1, 2), link(2, 0, 2, rank=0)]
    tree = spanning_tree(links, groups=3)
    assert [closing.index for closing in tree.closing] == [1]
    assert tree.links == (-1, 0, 2)


def test_among_equals_the_joint_drawn_last_closes():
    tree = spanning_tree([link(index, index, (index + 1) % 4) for index in range(4)], groups=4)
    assert [closing.index for closing in tree.closing] == [3]
    assert tree.path(3) == (1, 2, 3)
    assert tree.root(3) == 0


def test_a_joint_inside_one_group_is_idle():
    tree = spanning_tree([link(0, 1, 1)], groups=2)
    assert [idle.index for idle in tree.idle] == [0]


def test_loops_that_share_a_tree_joint_are_one_ring_and_others_are_not():
    shared = [link(0, 0, 1), link(1, 1, 2), link(2, 0, 2), link(3, 2, 3), link(4, 1, 3)]
    assert len(rings(spanning_tree(shared, groups=4))) == 1
    apart = [link(0, 0, 1), link(1, 1, 2), link(2, 0, 2), link(3, 0, 3), link(4, 3, 4), link(5, 0, 4)]
    found = rings(spanning_tree(apart, groups=5))
    assert [(ring.root, len(ring.links), len(ring.closing)) for ring in found] == [(0, 2, 1), (0, 2, 1)]


def test_a_ring_carried_by_a_group_has_it_as_root():
    (ring,) = rings(spanning_tree([link(0, 0, 1), link(1, 1, 2), link(2, 2, 3), link(3, 1, 3)], groups=4))
    assert (ring.root, ring.links) == (1, (2, 3))
