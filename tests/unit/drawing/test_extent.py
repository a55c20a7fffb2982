"""How far outlines reach, against closed forms."""

import math

import pytest

from core.drawing.extent import edge_extent, extent, joined_extent
from core.drawing.outline import outline
from core.drawing.path import Arc, Pose, Segment
from core.drawing.silhouette import CHORD, Silhouettes
from core.drawing.slabs import body_slabs
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame


def test_a_quarter_arc_reaches_to_its_ends_alone():
    assert edge_extent(Arc((0, 0), 2, 0.1, 1.0)) == pytest.approx(
        (2 * math.cos(1.1), 2 * math.sin(0.1), 2 * math.cos(0.1), 2 * math.sin(1.1))
    )


@pytest.mark.parametrize("sweep", [math.pi, -math.pi])
def test_half_a_circle_reaches_to_the_top_it_passes(sweep):
    arc = Arc((0, 0), 2, 0.0, sweep)
    top = 2.0 if sweep > 0 else 0.0
    assert edge_extent(arc) == pytest.approx((-2, top - 2, 2, top))


def test_a_segment_reaches_to_its_ends():
    assert edge_extent(Segment((3, -1), (-2, 4))) == (-2, -1, 3, 4)


@pytest.mark.parametrize("turn", [0, 17, 45, 90, 210])
def test_a_turned_box_reaches_as_its_sides_say(turn):
    # Half extents of a w x h box turned by t: (w |cos t| + h |sin t|) / 2 and (w |sin t| + h |cos t|) / 2.
    c, s = abs(math.cos(math.radians(turn))), abs(math.sin(math.radians(turn)))
    x, y = (40 * c + 20 * s) / 2, (40 * s + 20 * c) / 2
    path = outline(Box(centre=(0, 0), size=(40, 20)))
    assert extent(path, Pose(turn, 5, -3)) == pytest.approx((5 - x, -3 - y, 5 + x, -3 + y))


def test_a_disc_reaches_its_radius_at_every_pose():
    path = outline(Disc(centre=(3, 4), radius=2))
    assert extent(path, Pose(90)) == pytest.approx((-6, 1, -2, 5))


def test_nothing_has_no_extent():
    assert extent(()) is None
    assert joined_extent([None, None]) is None
    assert joined_extent([None, (0, 0, 1, 1), (2, -1, 3, 0.5)]) == (0, -1, 3, 1)


def slab_of(*shapes, name="b", depth=(0, 5), fixed=False):
    return body_slabs(Body(name=name, fixed=fixed, depth=depth, shapes=shapes))[0]


@pytest.mark.parametrize("turn", [0.0, 33.0, 120.0])
def test_a_side_view_is_as_high_as_the_exact_extent(turn):
    slabs = [slab_of(Bar(start=(0, 0), end=(20, 3), radius=4)), slab_of(Box(centre=(9, 9), size=(8, 3), corner_radius=1), name="c")]
    poses = {"b": Pose(turn, 2, 1), "c": Pose(-turn)}
    for slab, view in Silhouettes(slabs).seen(poses):
        exact = slab.extent(poses[slab.body])
        assert (view.low, view.high) == pytest.approx((exact[1], exact[3]), abs=CHORD)
        assert view.cut == ((view.low, view.high),)


def test_bodies_farther_right_are_drawn_later():
    slabs = [slab_of(Disc(centre=(50, 0), radius=3), name="near"), slab_of(Disc(centre=(-50, 0), radius=3), name="far")]
    assert [slab.body for slab, _ in Silhouettes(slabs).seen({})] == ["far", "near"]
    assert [slab.body for slab, _ in Silhouettes(slabs).seen({"near": Pose(180)})] == ["near", "far"]


def test_rooms_are_cut_open_and_drawn_first():
    frame = slab_of(Frame(centre=(0, 0), size=(80, 50), wall=2), Disc(centre=(0, 0), radius=3), name="housing", fixed=True)
    slabs = [slab_of(Disc(centre=(-50, 0), radius=3)), frame]
    first, _ = Silhouettes(slabs).seen({})
    assert first[0].body == "housing"
    assert first[1].open
    assert [end for span in first[1].cut for end in span] == pytest.approx([-27, -25, -3, 3, 25, 27], abs=CHORD)
    assert (first[1].low, first[1].high) == pytest.approx((-27, 27))


def test_a_bore_shows_its_walls():
    ((_, view),) = Silhouettes([slab_of(Bore(centre=(0, 10), radius=19, wall=14))]).seen({})
    assert [end for span in view.cut for end in span] == pytest.approx([-23, -9, 29, 43], abs=CHORD)


def test_an_empty_section_has_no_side_view():
    assert Silhouettes([]).seen({}) == ()


def test_views_asked_for_again_and_taken_over_are_those_of_new_silhouettes():
    slabs = [slab_of(Disc(centre=(5.0 * number, 3.0), radius=2.0 + number), name=f"disc {number}") for number in range(4)]
    kept = Silhouettes(slabs)
    poses = {}
    for turn in (10.0, 25.0, 25.0, -40.0):
        before = {slab.body: view for slab, view in kept.seen(poses)}
        poses = {**poses, "disc 2": Pose(turn, 1.0, 0.0)}
        seen = kept.seen(poses)
        assert seen == Silhouettes(slabs).seen(poses)
        assert all(view is before[slab.body] for slab, view in seen if slab.body != "disc 2")
    others = [slabs[3], *slabs[:2], slab_of(Disc(centre=(0.0, 40.0), radius=1.0), name="new")]
    assert Silhouettes(others, kept).seen(poses) == Silhouettes(others).seen(poses)
    assert Silhouettes(others, kept).seen({}) == Silhouettes(others).seen({})
