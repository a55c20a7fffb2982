"""Pairs of bodies laid out once: what changes is laid out anew, what does not is the same record."""

import copy

import pytest
from msgspec.structs import replace

from core.clearance.pairs import SeenPairs
from core.model.project import Project
from core.motion.linkage import linkage_of
from core.tolerances import DEFAULT_TOLERANCES
from tests.bench.ring_bay import ring_bay

BAY = ring_bay(2)


def laid_out(seen: SeenPairs, project: Project) -> dict:
    found = seen.of(project, linkage_of(project))
    return {pair.between: pair for pair in (*found.moving, *found.still)}


def with_body(number: int, **changes: object) -> Project:
    (section,) = BAY.sections
    bodies = [replace(body, **changes) if place == number else body for place, body in enumerate(section.bodies)]
    return replace(BAY, sections=(replace(section, bodies=tuple(bodies)),))


@pytest.fixture
def seen() -> SeenPairs:
    return SeenPairs(DEFAULT_TOLERANCES)


def test_equal_project_gives_the_same_pairs(seen):
    before = laid_out(seen, BAY)
    after = laid_out(seen, copy.deepcopy(BAY))
    assert all(after[between] is pair for between, pair in before.items())


def test_changed_body_is_laid_out_anew_in_its_own_pairs_alone(seen):
    before = laid_out(seen, BAY)
    changed = BAY.sections[0].bodies[7].name
    after = laid_out(seen, with_body(7, depth=(1, 9)))
    assert {between for between, pair in after.items() if pair is not before[between]} == {b for b in before if changed in b}


def test_required_gap_and_bolts_are_part_of_a_pair(seen):
    before = laid_out(seen, BAY)
    asked = laid_out(seen, replace(BAY, required_gap=0.75))
    assert not set(map(id, before.values())) & set(map(id, asked.values()))
    assert all(pair.asked.gap == 0.75 for pair in asked.values())


def test_pairs_are_remembered_for_one_project_more(seen):
    before = laid_out(seen, BAY)
    laid_out(seen, with_body(7, depth=(1, 9)))
    again = laid_out(seen, BAY)
    assert all(again[between] is pair for between, pair in before.items())


def cores_of(pairs: dict) -> dict:
    """Of all pairs the cores of their shape pairs, which are the same records where nothing was cut anew."""
    return {between: [shapes.cores for shapes in pair.shape_pairs] for between, pair in pairs.items()}


def told(pair) -> tuple:
    """All that a pair tells, in numbers."""
    shapes = [
        (one.shapes, one.relation, one.room_first, one.across, one.radii, one.exact, one.chord, one.running) for one in pair.shape_pairs
    ]
    cores = [(core.kind, core.a.tolist(), core.b.tolist(), core.radius, core.normal) for one in pair.shape_pairs for core in one.cores]
    return pair.between, pair.groups, pair.asked, pair.tolerance, shapes, cores, pair.knuckles


EDITS = {
    "depth": {"depth": (1, 9)},
    "depth apart": {"depth": (40, 50)},
    "outline tolerance": {"outline_tolerance": 0.1},
    "shape moved": {"shapes": (replace(BAY.sections[0].bodies[7].shapes[0], notes="moved"), *BAY.sections[0].bodies[7].shapes[1:])},
    "shape gone": {"shapes": BAY.sections[0].bodies[7].shapes[1:]},
    "shape more": {"shapes": (*BAY.sections[0].bodies[7].shapes, BAY.sections[0].bodies[6].shapes[0])},
    "shapes swapped": {"shapes": BAY.sections[0].bodies[7].shapes[::-1]},
    "shape of its own depth": {
        "shapes": (replace(BAY.sections[0].bodies[7].shapes[0], depth=(40, 50)), *BAY.sections[0].bodies[7].shapes[1:])
    },
}


@pytest.mark.parametrize("number", [0, 3, 7])
@pytest.mark.parametrize("edit", EDITS)
def test_what_is_taken_from_before_an_edit_is_what_would_be_made_anew(seen, edit, number):
    laid_out(seen, BAY)
    project = with_body(number, **EDITS[edit])
    after, anew = laid_out(seen, project), laid_out(SeenPairs(DEFAULT_TOLERANCES), project)
    assert {between: told(pair) for between, pair in after.items()} == {between: told(pair) for between, pair in anew.items()}


def test_joints_that_move_clip_anew(seen):
    before = laid_out(seen, BAY)
    (section,) = BAY.sections
    joint = next(
        joint for joint in section.joints if any(pair.knuckles for pair in before.values() if set(pair.between) == set(joint.between))
    )
    moved = tuple(replace(each, relief=0.5) if each is joint else each for each in section.joints)
    project = replace(BAY, sections=(replace(section, joints=moved),))
    after, anew = laid_out(seen, project), laid_out(SeenPairs(DEFAULT_TOLERANCES), project)
    assert {between: told(pair) for between, pair in after.items()} == {between: told(pair) for between, pair in anew.items()}
    between = next(between for between in after if set(between) == set(joint.between))
    assert told(after[between]) != told(before[between])


def test_cores_are_cut_anew_only_for_shapes_that_change(seen):
    before = cores_of(laid_out(seen, BAY))
    body = BAY.sections[0].bodies[7]
    deeper = cores_of(laid_out(seen, with_body(7, depth=(1, 9))))
    assert any(body.name in between for between in before)
    assert all(one is other for between, cores in before.items() for one, other in zip(cores, deeper[between], strict=True))


@pytest.mark.parametrize("order", ["one gone", "one more in front", "backwards", "shapes of another"])
def test_other_bodies_in_the_places_of_those_before_are_laid_out_as_anew(seen, order):
    laid_out(seen, BAY)
    (section,) = BAY.sections
    bodies = section.bodies
    other = {
        "one gone": bodies[:3] + bodies[4:],
        "one more in front": (bodies[0], replace(bodies[6], name="one more"), *bodies[1:]),
        "backwards": bodies[::-1],
        "shapes of another": tuple(replace(body, shapes=bodies[(place + 1) % len(bodies)].shapes) for place, body in enumerate(bodies)),
    }[order]
    named = {body.name for body in other}
    joints = tuple(joint for joint in section.joints if named.issuperset(joint.between))
    project = replace(BAY, drives=(), sections=(replace(section, bodies=other, joints=joints),))
    after, anew = laid_out(seen, project), laid_out(SeenPairs(DEFAULT_TOLERANCES), project)
    assert {between: told(pair) for between, pair in after.items()} == {between: told(pair) for between, pair in anew.items()}
