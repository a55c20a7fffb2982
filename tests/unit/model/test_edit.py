"""Edits: rounding, renaming (found by reflection), replacing, moving."""

from math import hypot

import msgspec
import pytest
from msgspec.structs import replace

from core.model.edit import (
    move_body,
    moved,
    rename_body,
    rename_drive,
    rename_joint,
    rename_section,
    replace_body,
    replace_drive,
    replace_joint,
    replace_section,
    rounded,
)
from core.model.joints import Bolted
from core.model.leaves import change_leaves, field_kinds, leaves
from core.model.names import BodyName, DriveName, JointName, SectionName
from core.model.outline import signed_area
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from core.model.validate import validate
from tests.unit.model.drawings import ELL, every_key, gate

NAMES = (BodyName, JointName, DriveName, SectionName)


def occurrences(project, kind, name):
    """How often `name` stands in a field of this kind, counted by a walk of our own over the annotations."""
    count = 0

    def visit(value, of):
        nonlocal count
        if isinstance(value, msgspec.Struct):
            for field, annotation in _annotated(type(value)).items():
                visit(getattr(value, field), annotation)
        elif isinstance(value, tuple):
            for item in value:
                visit(item, of)
        elif value == name and kind.__name__ in str(of):
            count += 1

    visit(project, None)
    return count


def _annotated(record):
    return {name: kind for base in record.__mro__ for name, kind in getattr(base, "__annotations__", {}).items()}


RENAMES = [
    (SectionName, "Head", lambda project, new: rename_section(project, "Head", new)),
    (BodyName, "lever", lambda project, new: rename_body(project, "Head", "lever", new)),
    (BodyName, "eye", lambda project, new: rename_body(project, "Head", "eye", new)),
    (JointName, "lid pin", lambda project, new: rename_joint(project, "Head", "lid pin", new)),
    (DriveName, "look", lambda project, new: rename_drive(project, "look", new)),
]


@pytest.mark.parametrize(("kind", "old", "rename"), RENAMES)
def test_renaming_reaches_every_field_of_that_kind(kind, old, rename):
    project = every_key()
    before = occurrences(project, kind, old)
    after = rename(project, "altogether new")
    assert before >= 2
    assert occurrences(after, kind, old) == 0
    assert occurrences(after, kind, "altogether new") == before
    assert validate(after) == ()
    assert rename(project, old) == project


def test_the_full_project_holds_a_name_in_every_field_typed_as_one():
    # so that the test above would see a field that renaming forgets
    project, seen = every_key(), set()

    def note(value):
        if isinstance(value, msgspec.Struct):
            for field in value.__struct_fields__:
                seen.add((type(value).__name__, field))
                note(getattr(value, field))
        elif isinstance(value, tuple):
            for item in value:
                note(item)

    note(project)
    typed = {
        (type_.__name__, field) for type_ in _records(type(project)) for field in field_kinds(type_) if _names(field_kinds(type_)[field])
    }
    assert len(typed) >= 12
    assert typed <= seen


def _records(kind, found=None):
    found = set() if found is None else found
    if isinstance(kind, type) and issubclass(kind, msgspec.Struct) and kind not in found:
        found.add(kind)
        for inner in field_kinds(kind).values():
            _records(inner, found)
    for inner in getattr(kind, "__args__", ()):
        _records(inner, found)
    return found


def _names(kind):
    return kind in NAMES or any(_names(inner) for inner in getattr(kind, "__args__", ()))


def test_a_body_of_the_same_name_in_another_section_keeps_it():
    project = replace(gate(), sections=(*gate().sections, replace(gate().sections[0], name="Side")))
    after = rename_body(project, "Side", "leaf", "mitre")
    assert [body.name for section in after.sections for body in section.bodies] == ["post", "leaf", "paddle", "post", "mitre", "paddle"]
    assert after.sections[1].joints[0].between == ("post", "mitre")
    assert after.sections[0] == project.sections[0]


def test_renaming_what_is_not_there_changes_nothing():
    assert rename_body(gate(), "Plan", "weir", "dam") == gate()
    assert rename_joint(gate(), "Plam", "heel", "toe") == gate()


def test_renaming_to_the_same_name_goes_through_nothing():
    project = gate()
    assert rename_body(project, "Plan", "leaf", "leaf") is project


def test_a_joint_called_as_a_body_is_left_alone():
    project = rename_joint(gate(), "Plan", "heel", "leaf")
    after = rename_body(project, "Plan", "leaf", "mitre")
    assert after.sections[0].joints[0].name == "leaf"


def test_rounding_keeps_six_decimals_and_no_negative_zero():
    project = rounded(gate(shapes=(Disc(centre=(1.23456789, -1e-9), radius=3),)))
    disc = project.sections[0].bodies[1].shapes[0]
    assert (disc.centre, str(disc.centre[1]), type(disc.radius)) == ((1.234568, 0.0), "0.0", float)


def test_rounding_twice_is_rounding_once_and_hands_the_same_record_on():
    once = rounded(gate(shapes=(Disc(centre=(1 / 3, 2 / 3), radius=1e9 / 7),)))
    assert rounded(once) is once


def test_rounding_leaves_whole_numbers_and_truths_alone():
    project = rounded(gate())
    assert (project.format, type(project.format), project.sections[0].bodies[0].fixed) == (1, int, True)


def test_replacing_puts_the_new_record_in_place():
    plan = gate().sections[0]
    leaf = replace(plan.bodies[1], depth=(1.00000049, 5.0))
    assert replace_body(gate(), "Plan", "leaf", leaf).sections[0].bodies[1].depth == (1.0, 5.0)
    assert replace_body(gate(), "Plan", "leaf", leaf).sections[0].bodies[0] == plan.bodies[0]
    bolted = Bolted(name="heel", between=("post", "leaf"))
    assert replace_joint(gate(), "Plan", "heel", bolted).sections[0].joints == (bolted, plan.joints[1])
    drive = replace(gate().drives[0], end=80.0)
    assert replace_drive(gate(), "swing", drive).drives == (drive,)
    assert replace_section(gate(), "Plan", replace(plan, notes="new")).sections[0].notes == "new"


@pytest.mark.parametrize(
    "edit",
    [
        lambda project: replace_body(project, "Plan", "weir", project.sections[0].bodies[0]),
        lambda project: replace_body(project, "Side", "leaf", project.sections[0].bodies[0]),
        lambda project: replace_joint(project, "Plan", "weir", project.sections[0].joints[0]),
        lambda project: replace_drive(project, "weir", project.drives[0]),
        lambda project: replace_section(project, "Side", project.sections[0]),
        lambda project: move_body(project, "Plan", "weir", shift=(1, 0)),
    ],
)
def test_replacing_what_is_not_there_is_a_key_error(edit):
    with pytest.raises(KeyError):
        edit(gate())


@pytest.mark.parametrize(
    ("shape", "after"),
    [
        (Disc(centre=(2, 0), radius=1), Disc(centre=(11, 4), radius=1)),
        (Bore(centre=(2, 0), radius=1, wall=1), Bore(centre=(11, 4), radius=1, wall=1)),
        (Bar(start=(2, 0), end=(3, 0), radius=1), Bar(start=(11, 4), end=(11, 5), radius=1)),
        (Box(centre=(2, 0), size=(4, 2), turn=30), Box(centre=(11, 4), size=(4, 2), turn=120)),
        (Frame(centre=(2, 0), size=(4, 2), wall=1), Frame(centre=(11, 4), size=(4, 2), wall=1, turn=90)),
        (
            Polygon(points=((2, 0), (3, 0), (3, 1)), holes=(((2, 0), (4, 0), (4, 1)),), depth=(0, 1)),
            Polygon(points=((11, 4), (11, 5), (10, 5)), holes=(((11, 4), (11, 6), (10, 6)),), depth=(0, 1)),
        ),
    ],
)
def test_a_shape_is_turned_about_a_point_and_then_shifted(shape, after):
    # by hand: a quarter turn about (1, 0) takes (2, 0) to (1, 1); the shift adds (10, 3)
    assert moved(shape, shift=(10, 3), turn=90, about=(1, 0)) == after


def test_moving_a_body_keeps_its_area_and_leaves_joints_alone():
    project = gate(shapes=(Polygon(points=ELL),))
    after = move_body(project, "Plan", "leaf", shift=(5, -5), turn=37, about=(3, 3))
    points = after.sections[0].bodies[1].shapes[0].points
    assert signed_area(points) == pytest.approx(64, abs=1e-4)
    assert hypot(points[1][0] - points[0][0], points[1][1] - points[0][1]) == pytest.approx(10, abs=2e-6)
    assert after.sections[0].joints == project.sections[0].joints
    assert rounded(after) is after


def test_leaves_come_with_their_path_in_the_file():
    found = dict(leaves(gate().sections[0]))
    assert found["bodies[1].shapes[0].centre[0]"] == 10.0
    assert found["joints[1].along"] == 90.0
    assert "joints[1].relief" not in found
    assert dict(leaves(gate().drives[0]))["from"] == 0.0


def test_a_walk_that_changes_nothing_gives_back_the_same_record():
    project = every_key()
    assert change_leaves(project, lambda leaf, _kind, _section: leaf) is project
