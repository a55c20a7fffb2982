"""Which body lies under the pointer."""

import numpy as np
import pytest

from app.board.hit_test import Hit, any_at, hit_test, targets
from core.drawing.path import Pose
from core.drawing.slabs import section_slabs
from core.model.project import Body, Section
from core.model.shapes import Bore, Box, Disc

SECTION = Section(
    name="s",
    bodies=(
        Body(name="plate", fixed=True, depth=(0, 2), shapes=(Box(centre=(0, 0), size=(40, 40)),)),
        Body(name="hub", fixed=False, depth=(2, 5), shapes=(Disc(centre=(5, 0), radius=4),)),
        Body(name="cover", fixed=True, depth=(5, 9), shapes=(Bore(centre=(0, 0), radius=15, wall=3),)),
    ),
)
READY = targets(section_slabs(SECTION))


def hit(point, *, tolerance=0.0, poses=None, only=None):
    return hit_test(READY, poses or {}, point, tolerance=tolerance, only=only)


@pytest.mark.parametrize(
    ("point", "body"),
    [((5, 0), "hub"), ((8.9, 0), "hub"), ((9.1, 0), "plate"), ((16, 0), "cover"), ((0, -10), "plate"), ((19, 19), "plate")],
)
def test_the_topmost_body_is_hit(point, body):
    assert hit(point) == Hit(body, exact=True)


def test_beside_all_bodies_nothing_is_hit():
    assert hit((25, 0)) is None
    assert hit_test((), {}, (0, 0), tolerance=1.0) is None


def test_a_body_is_hit_where_it_is_posed():
    poses = {"hub": Pose(90)}
    assert hit((0, 5), poses=poses) == Hit("hub", exact=True)
    assert hit((5, 0), poses=poses) == Hit("plate", exact=True)


def test_near_a_body_counts_where_nothing_is_hit_exactly():
    assert hit((20.5, 0), tolerance=1.0) == Hit("plate", exact=False)
    assert hit((20.5, 0), tolerance=0.2) is None
    assert hit((9.5, 0), tolerance=1.0) == Hit("plate", exact=True)


def test_the_free_inside_of_a_bore_is_not_the_body():
    assert hit((0, 10), only={"cover"}) is None
    assert hit((0, 16), only={"cover"}) == Hit("cover", exact=True)


def test_only_the_bodies_asked_for_are_hit():
    assert hit((5, 0), only={"plate"}) == Hit("plate", exact=True)
    assert hit((5, 0), only=()) is None


def test_of_many_points_one_in_material_is_enough():
    assert any_at(READY, {}, np.array([(25.0, 0.0), (19.0, 19.0)]))
    assert not any_at(READY, {}, np.array([(25.0, 0.0), (0.0, 25.0)]))
    assert not any_at((), {}, np.array([(0.0, 0.0)]))


def test_many_points_are_asked_where_bodies_are_posed():
    hub = READY[1:2]
    assert [any_at(hub, {"hub": Pose(90, 100, 0)}, np.array([at])) for at in ((100.0, 5.0), (105.0, 0.0))] == [True, False]
