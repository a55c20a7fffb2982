"""Which slabs a section shows, in which order."""

import pytest

from core.drawing.drawable import bare_lines
from core.drawing.outline import outline
from core.drawing.path import Pose
from core.drawing.slabs import body_slabs, section_slabs, shifted
from core.model.placing import moving, placed_body
from core.model.project import Body, Section, View
from core.model.shapes import Bore, Box, Disc, Frame, Polygon
from tests.unit.drawing.measure import length


def body(name, depth, *shapes, fixed=False, hidden=False):
    return Body(name=name, fixed=fixed, depth=depth, shapes=shapes, view=View(hidden=hidden))


def test_shapes_with_a_depth_of_their_own_are_slabs_of_their_own():
    case, ear, boss = Box(centre=(0, 0), size=(23, 12)), Box(centre=(0, 0), size=(32, 12)), Disc(centre=(5, 0), radius=6, depth=(20, 23))
    slabs = body_slabs(body("motor", (10, 20), case, boss, ear))
    assert [(slab.depth, slab.shapes) for slab in slabs] == [((10, 20), (0, 2)), ((20, 23), (1,))]
    assert length(slabs[0].lines) == 2 * (32 + 12)


def test_order_is_low_to_high_and_fixed_before_moving_at_one_height():
    disc = Disc(centre=(0, 0), radius=1)
    section = Section(
        name="s",
        bodies=(
            body("high", (8, 9), disc),
            body("tall", (0, 9), disc),
            body("moving", (0, 3), disc),
            body("plate", (0, 3), disc, fixed=True),
            body("low", (0, 2), disc),
        ),
    )
    assert [slab.body for slab in section_slabs(section)] == ["low", "plate", "moving", "tall", "high"]


def test_hidden_bodies_are_left_out():
    disc = Disc(centre=(0, 0), radius=1)
    section = Section(name="s", bodies=(body("a", (0, 1), disc), body("b", (0, 1), disc, hidden=True), body("c", (0, 1), disc)))
    assert [slab.body for slab in section_slabs(section, hidden={"c"})] == ["a"]


def test_rooms_tell_their_walls():
    (slab,) = body_slabs(
        body("h", (0, 1), Frame(centre=(0, 0), size=(8, 8), wall=2), Disc(centre=(0, 0), radius=1), Bore(centre=(0, 0), radius=3, wall=1))
    )
    assert slab.walls == (2, None, 1)


def test_a_body_without_shapes_has_no_slab_and_an_empty_section_none():
    assert body_slabs(body("a", (0, 1))) == ()
    assert section_slabs(Section(name="s", bodies=())) == ()


def test_extent_of_a_slab_follows_its_pose():
    (slab,) = body_slabs(body("a", (0, 1), Disc(centre=(5, 0), radius=1), Disc(centre=(0, 0), radius=2)))
    assert slab.extent() == (-2, -2, 6, 2)
    assert slab.extent(Pose(0, 1, 1)) == (-1, -1, 7, 3)


def test_a_slab_shifted_is_that_of_the_body_shifted():
    motor = body("motor", (10, 20), Box(centre=(0, 0), size=(23, 12)), Disc(centre=(12, 0), radius=6))
    there = placed_body(motor, moving(shift=(3, -4)))
    for base in (motor, body("post", (0, 3), Disc(centre=(1, 1), radius=2)), body("none", (0, 3))):
        for slab in body_slabs(base):
            moved = shifted(slab, (3.0, -4.0))
            (exact,) = body_slabs(placed_body(base, moving(shift=(3, -4))))
            assert (moved.body, moved.depth, moved.shapes, moved.walls) == (exact.body, exact.depth, exact.shapes, exact.walls)
            assert moved.extent() == pytest.approx(exact.extent())
            assert length(moved.lines) == pytest.approx(length(exact.lines))
    assert there != motor


def test_hairs_keep_their_lines_where_they_cross_and_hide_none():
    bow_tie = Polygon(points=((0, 0), (10, 10), (10, 0), (0, 10)))
    disc, hairs = Disc(centre=(5, 5), radius=3), bare_lines(bow_tie)
    (slab,) = body_slabs(body("a", (0, 1), *hairs, disc))
    assert len(slab.fills) == 5
    assert length(slab.lines) == pytest.approx(sum(length(outline(shape)) for shape in (*hairs, disc)))
