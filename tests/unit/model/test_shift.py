"""A body that was only shifted is told from one of which anything else has changed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields, replace

from core.model.placing import moving, placed_body
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from core.model.shift import PLACES, places, shift_between
from core.tolerances import DEFAULT_TOLERANCES

SHAPES = (
    Disc(centre=(1, 2), radius=3),
    Bar(start=(0, 0), end=(10, 2), radius=2),
    Box(centre=(-3, 4), size=(8, 5), turn=20, corner_radius=1),
    Polygon(points=((0, 0), (9, 0), (9, 7), (0, 7)), holes=(((2, 2), (4, 2), (3, 5)),), corner_radius=0.5),
    Bore(centre=(5, 5), radius=9, wall=2),
    Frame(centre=(0, 1), size=(30, 20), wall=2, turn=5),
)
IDS = [type(shape).__name__ for shape in SHAPES]


def body(*shapes):
    return Body(name="plate", fixed=False, depth=(0, 3), shapes=shapes)


def test_of_every_kind_of_shape_it_is_said_which_fields_are_places():
    assert PLACES.keys() == {type(shape) for shape in SHAPES}
    for shape in SHAPES:
        assert set(PLACES[type(shape)]) <= {field.name for field in fields(shape)}


@given(
    st.lists(st.sampled_from(SHAPES), min_size=1, max_size=4),
    st.tuples(*[st.floats(-300, 300, allow_nan=False)] * 2),
    st.tuples(*[st.floats(-300, 300, allow_nan=False)] * 2),
)
def test_what_was_shifted_is_told_with_its_shift_to_the_grain_of_the_file(shapes, first, shift):
    before = placed_body(body(*shapes), moving(shift=first))
    found = shift_between(before, placed_body(before, moving(shift=shift)))
    assert found == pytest.approx(shift, abs=1.1e-6)


@pytest.mark.parametrize("shape", SHAPES, ids=IDS)
def test_nothing_else_of_a_shape_may_have_changed(shape):
    before, there = body(shape), placed_body(body(shape), moving(shift=(4, -1)))
    (new,) = there.shapes
    assert shift_between(before, there) == pytest.approx((4, -1))
    for field in fields(shape):
        if field.name not in PLACES[type(shape)]:
            old = getattr(new, field.name)
            other = {"depth": (1, 2), "notes": "bent"}.get(field.name) or ((old[0] + 1, old[1]) if isinstance(old, tuple) else old + 1)
            assert shift_between(before, body(replace(new, **{field.name: other}))) is None, field.name


@pytest.mark.parametrize("shape", SHAPES, ids=IDS)
def test_one_point_that_did_not_go_along_is_no_shift(shape):
    off = 2 * DEFAULT_TOLERANCES.touch
    (new,) = placed_body(body(shape, SHAPES[0]), moving(shift=(4, -1))).shapes[:1]
    still = body(SHAPES[0])
    assert shift_between(body(shape, *still.shapes), body(new, *still.shapes)) is None
    for name in PLACES[type(shape)]:
        old = getattr(new, name)
        if name == "points":
            other = (*old[:-1], (old[-1][0] + off, old[-1][1]))
        elif name == "holes":
            other = (((old[0][0][0], old[0][0][1] - off), *old[0][1:]),)
        else:
            continue
        assert shift_between(body(shape), body(replace(new, **{name: other}))) is None, name


def test_a_bar_that_was_turned_is_not_shifted():
    assert shift_between(body(SHAPES[1]), body(replace(SHAPES[1], end=(9, 4)))) is None


def test_shapes_that_came_or_went_or_are_of_another_kind_are_no_shift():
    disc, bore = SHAPES[0], SHAPES[4]
    assert shift_between(body(disc), body(disc, disc)) is None
    assert shift_between(body(disc), body(replace(bore, centre=disc.centre, radius=disc.radius))) is None
    assert shift_between(body(), body()) is None
    hole = SHAPES[3].holes[0]
    split = replace(SHAPES[3], holes=(hole[:2], hole[2:]))
    assert shift_between(body(SHAPES[3]), body(split)) is None


def test_depth_name_and_view_of_the_body_are_not_asked_for():
    before = body(*SHAPES)
    after = replace(placed_body(before, moving(shift=(1, 1))), name="lid", depth=(3, 9))
    assert shift_between(before, after) == pytest.approx((1, 1))
    assert len(places(SHAPES[3])) == 7
