"""A hole finds room: in the middle of what is free, inside rounded corners, beside other holes."""

import pytest
from msgspec.structs import replace

from core.drawing.hole_place import ring_for_hole
from core.model.edit_bodies import add_body
from core.model.edit_project import DEPTH, new_project
from core.model.edit_shapes import as_polygon
from core.model.project import Body
from core.model.shapes import Box, Polygon
from core.model.validate import validate

L_SHAPE = Polygon(points=((0, 0), (60, 0), (60, 12), (14, 12), (14, 40), (0, 40)))


def findings(shape):
    project = new_project()
    body = Body(name="plate", fixed=True, depth=DEPTH, shapes=(shape,))
    return [finding.code for finding in validate(add_body(project, project.sections[0].name, body))]


@pytest.mark.parametrize("radius", [0.0, 1.0, 2.0])
@pytest.mark.parametrize("shape", [Box(centre=(5, -3), size=(40, 20), turn=30), L_SHAPE], ids=["box", "L"])
def test_holes_in_turn_leave_the_shape_sound(shape, radius):
    polygon = as_polygon(replace(shape, corner_radius=radius))
    for _ in range(1 if radius else 3):
        polygon = replace(polygon, holes=(*polygon.holes, ring_for_hole(polygon)))
    assert findings(polygon) == []


def test_the_first_hole_of_a_square_is_in_its_middle():
    ring = ring_for_hole(Box(centre=(10, 0), size=(20, 20)))
    assert len(ring) == 4
    assert sum(x for x, _ in ring) / 4 == pytest.approx(10, abs=0.05)
    assert sum(y for _, y in ring) / 4 == pytest.approx(0, abs=0.05)


@pytest.mark.parametrize("points", [(), ((0, 0),), ((0, 0), (10, 0)), ((0, 0), (10, 0), (20, 0))])
def test_an_outline_that_encloses_nothing_has_no_room(points):
    assert ring_for_hole(Polygon(points=points)) is None


def test_a_crossed_outline_has_no_room():
    assert ring_for_hole(Polygon(points=((0, 0), (20, 20), (20, 0), (0, 20)))) is None
