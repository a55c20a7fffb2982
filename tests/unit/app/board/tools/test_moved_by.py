import pytest

from app.board.tools.moved_by import held_at
from core.model.names import BodyName, SectionName
from core.model.project import Body, Section
from core.model.shapes import Disc

CAM = Body(name=BodyName("cam"), fixed=False, depth=(0.0, 3.0), shapes=(Disc(centre=(50.0, 0.0), radius=8.0),))
POST = Body(name=BodyName("post"), fixed=True, depth=(0.0, 3.0), shapes=(Disc(centre=(0.3, 0.4), radius=4.0),))
SECTION = Section(name=SectionName("top"), bodies=(CAM, POST))


def test_held_near_its_centre_a_body_is_brought_centre_to_centre() -> None:
    assert held_at(SECTION, {CAM.name}, (50.4, 0.2), within=1.0, grid=1.0).moved_by((0.9, 0.5)) == pytest.approx((-49.7, 0.4))


def test_without_snapping_it_moves_as_the_pointer_does() -> None:
    assert held_at(SECTION, {CAM.name}, (50.4, 0.2), within=0.0, grid=1.0).moved_by((0.9, 0.5)) == pytest.approx((-49.5, 0.3))


def test_far_from_all_that_is_drawn_it_goes_to_the_grid() -> None:
    assert held_at(SECTION, {CAM.name}, (50.4, 0.2), within=1.0, grid=1.0).moved_by((60.7, 9.4)) == pytest.approx((10.0, 9.0))


def test_it_never_snaps_to_itself() -> None:
    assert held_at(SECTION, {CAM.name}, (50.0, 0.0), within=0.7, grid=1.0).moved_by((50.6, 0.0)) == pytest.approx((1.0, 0.0))
