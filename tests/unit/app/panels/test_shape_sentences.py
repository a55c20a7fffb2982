"""Every number of every shape can be typed in the side panel, and each changes that number alone."""

import msgspec
import pytest

from app.panels.shape_sentences import FIRST_SHAPES, of_shape
from core.model.edit_bodies import add_body
from core.model.edit_project import DEPTH, new_project
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon

SHAPES = (
    Disc(centre=(1, 2), radius=3),
    Bar(start=(1, 2), end=(4, 5), radius=3),
    Box(centre=(1, 2), size=(8, 9), turn=30, corner_radius=0.5),
    Polygon(
        points=((0, 0), (30, 0), (30, 31), (1, 32)), holes=(((2, 3), (5, 4), (6, 7)), ((10, 11), (13, 12), (14, 15))), corner_radius=0.25
    ),
    Bore(centre=(1, 2), radius=20, wall=3),
    Frame(centre=(1, 2), size=(80, 50), wall=3, turn=10),
)
KINDS = [type(shape).__name__ for shape in SHAPES]


def numbers_in(value):
    """Every number of a record with its path."""
    if isinstance(value, int | float):
        return {(): float(value)}
    if isinstance(value, tuple):
        return {(place, *path): number for place, one in enumerate(value) for path, number in numbers_in(one).items()}
    if isinstance(value, msgspec.Struct):
        return {(name, *path): n for name in value.__struct_fields__ for path, n in numbers_in(getattr(value, name)).items()}
    return {}


def project_with(shape):
    project = new_project()
    return add_body(project, project.sections[0].name, Body(name="plate", fixed=True, depth=DEPTH, shapes=(shape,)))


def untranslated(text):
    return text


@pytest.mark.parametrize("own_depth", [None, (2.0, 7.0)], ids=["as deep as its body", "own depth"])
@pytest.mark.parametrize("shape", SHAPES, ids=KINDS)
def test_each_number_of_a_shape_is_told_once_and_changes_it_alone(shape, own_depth):
    shape = msgspec.structs.replace(shape, depth=own_depth)
    project = project_with(shape)
    section = project.sections[0].name
    found = of_shape(section, "plate", 0, shape, untranslated)
    before = numbers_in(shape)
    changed = []
    for number in found.numbers:
        assert f"{{{number.key}}}" in found.text
        _text, edit = found.change(number.key, number.value + 0.125)
        after = numbers_in(edit(project).sections[0].bodies[0].shapes[0])
        paths = [path for path in before if after[path] != before[path]]
        assert [after[path] - before[path] for path in paths] == [0.125]
        assert before[paths[0]] == number.value
        changed += paths
    assert sorted(changed, key=str) == sorted(before, key=str)


@pytest.mark.parametrize("shape", SHAPES, ids=KINDS)
def test_the_numbers_of_a_shape_have_names_of_their_own(shape):
    names = [number.name for number in of_shape("Side", "plate", 0, shape, untranslated).numbers]
    assert len(set(names)) == len(names)
    assert all(name.startswith("plate, shape 1: ") for name in names)


def test_every_kind_of_shape_can_be_begun():
    assert {type(shape) for shape in FIRST_SHAPES.values()} == {type(shape) for shape in SHAPES}


def test_a_turn_is_told_in_degrees_and_all_else_in_millimetres():
    units = {number.key: number.unit for shape in SHAPES for number in of_shape("Side", "plate", 0, shape, untranslated).numbers}
    assert {key for key, unit in units.items() if unit == "deg"} == {"turn"}
