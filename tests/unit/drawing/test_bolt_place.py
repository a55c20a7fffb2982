"""Where the mark of two bolted bodies stands."""

import pytest

from core.drawing.bolt_place import WITHIN, bolt_place, bolt_places
from core.model.joints import Bolted, Pivot
from core.model.project import Body, Section
from core.model.shapes import Bore, Box, Disc

BOLT = Bolted(name="screw", between=("a", "b"))


def section(*shapes, joints=()):
    bodies = tuple(Body(name=name, fixed=False, depth=(0, 1), shapes=(shape,)) for name, shape in zip("ab", shapes, strict=True))
    return Section(name="s", bodies=bodies, joints=(*joints, BOLT))


def test_it_stands_where_both_bodies_are_widest():
    at = bolt_place(section(Box(centre=(0, 0), size=(20, 10)), Box(centre=(12, 0), size=(20, 10))), BOLT)
    assert at[0] == pytest.approx(6, abs=2)  # they share x from 2 to 10, y from -5 to 5
    assert at[1] == pytest.approx(0, abs=2)


def test_it_keeps_off_a_pin_in_the_middle_of_both():
    pin = Pivot(name="p", between=("a", "b"), at=(0, 0))
    shapes = (Box(centre=(0, 0), size=(30, 10)), Box(centre=(0, 0), size=(30, 10)))
    x, y = bolt_place(section(*shapes, joints=(pin,)), BOLT)
    assert abs(x) > 5
    assert abs(y) < 5


def test_bodies_side_by_side_have_it_between_their_nearest_points():
    at = bolt_place(section(Disc(centre=(0, 0), radius=2), Disc(centre=(10, 0), radius=4)), BOLT)
    assert at == pytest.approx((4, 0), abs=2 * WITHIN)


def test_a_body_inside_a_bore_that_holds_it_has_it_in_the_gap():
    x, y = bolt_place(section(Bore(centre=(0, 0), radius=6, wall=2), Disc(centre=(3, 0), radius=1)), BOLT)
    assert (x, y) == pytest.approx((5, 0), abs=2 * WITHIN)


def test_a_body_without_shapes_has_no_place_for_it():
    bodies = (
        Body(name="a", fixed=False, depth=(0, 1), shapes=()),
        Body(name="b", fixed=False, depth=(0, 1), shapes=(Disc(centre=(0, 0), radius=1),)),
    )
    assert bolt_place(Section(name="s", bodies=bodies, joints=(BOLT,)), BOLT) is None


def test_a_joint_that_is_still_to_come_has_the_place_it_would_have():
    before = section(Box(centre=(0, 0), size=(20, 10)), Box(centre=(12, 0), size=(20, 10)))
    bodies = Section(name="s", bodies=before.bodies)
    assert bolt_place(bodies, BOLT) == bolt_place(before, BOLT)


def test_a_joint_of_a_body_that_is_not_there_has_no_place():
    lost = Bolted(name="lost", between=("a", "nobody"))
    bodies = section(Disc(centre=(0, 0), radius=1), Disc(centre=(1, 0), radius=1)).bodies
    there = Section(name="s", bodies=bodies, joints=(lost, BOLT))
    assert bolt_places(there)["lost"] is None
    assert bolt_places(there)["screw"] == bolt_place(there, BOLT)
