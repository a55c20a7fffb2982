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
