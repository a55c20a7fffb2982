"""Drawings that share what stands alike are those made one by one; what moves, or is looked at otherwise, is drawn anew."""

import pytest

from core.drawing.path import Pose
from core.drawing.section import draw_section
from core.drawing.sheet import placed
from core.drawing.slabs import section_slabs
from core.drawing.standing import Standing
from tests.bays import bar, bay, body, bore, disc, drive, pivot, project

BODIES = [
    body("wall", bore(0, 0, 40), fixed=True),
    body("arm", bar((0, 0), (20, 0), 3), disc(20, 0, 5)),
    body("post", disc(30, 0, 4), fixed=True, depth=(5, 9)),
]
SECTION = project(bay(BODIES, [pivot("pin", "wall", "arm")], [drive("swing", (-9, 9), "pin")])).sections[0]
TURNED = {"arm": Pose(30.0, 1.0, 2.0)}
VIEWS = [
    {"poses": {}, "unit": 0.2},
    {"poses": TURNED, "unit": 0.2},
    {"poses": TURNED, "unit": 0.1},
    {"poses": TURNED, "unit": 0.1, "selected": {"arm"}},
    {"poses": {}, "unit": 0.2, "names": False},
]


@pytest.fixture
def standing():
    return Standing(section_slabs(SECTION))


def drawn(standing=None, *, poses, **keys):
    return draw_section(SECTION, poses, standing=standing, **keys)


def test_drawings_with_shared_parts_are_those_made_one_by_one(standing):
    for view in [*VIEWS, *VIEWS]:
        assert drawn(standing, **view) == drawn(**view)


def test_what_stands_the_same_is_the_same_object_and_what_moved_is_not(standing):
    before, after = (drawn(standing, poses=poses, unit=0.2, names=False, symbols=False).items for poses in ({}, TURNED))
    fills = [[item for item in items if hasattr(item, "outlines")] for items in (before, after)]
    same = [one is other for one, other in zip(*fills, strict=True)]
    assert same == [slab.body != "arm" for slab in standing.slabs]
    assert sorted(same) == [False, True, True]


def test_what_is_put_on_paper_at_another_scale_or_place_is_put_there_anew(standing):
    items = drawn(standing, **VIEWS[1]).items
    places = [{"scale": 2.0, "at": (5.0, 6.0)}, {"scale": 2.0, "at": (5.0, 7.0)}, {"scale": 1.5, "at": (5.0, 6.0)}]
    sheets = [standing.placed(items, **place) for place in [*places, *places]]
    assert sheets == [placed(items, **place) for place in [*places, *places]]
    assert sheets[0][0] is sheets[3][0]
    assert sheets[0][0] is not sheets[1][0]


def test_the_extent_follows_the_poses(standing):
    assert standing.extent({}) == standing.extent({"arm": Pose(10.0)}) == drawn(**VIEWS[0]).extent
    assert standing.extent({"arm": Pose(0.0, 100.0)})[2] == pytest.approx(125.0)
