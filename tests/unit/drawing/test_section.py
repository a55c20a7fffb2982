"""A section as a display list, and the joint symbols in it."""

import math

import pytest
from msgspec.structs import replace

from core.drawing.display_list import Fill, Stroke, Text, Tint
from core.drawing.gap_mark import GapMark
from core.drawing.lines import LINES
from core.drawing.path import Arc, Pose
from core.drawing.section import body_paints, draw_section, placed_symbols
from core.drawing.symbols import PIVOT_RADIUS, joint_symbol
from core.model.joints import Bolted, PinSlot, Pivot, Slide
from core.model.project import Section
from tests.unit.board.lamp import about, lamp, turned

LAMP = lamp().sections[0]
PIVOT = Pivot(name="p", between=("a", "b"), at=(3, 4))
SLIDE = Slide(name="s", between=("a", "b"), at=(3, 4), along=30)
SLOT = PinSlot(name="y", between=("a", "b"), at=(3, 4), along=90, reach=(-22, 22))


def circles(items):
    return [edge for item in items if isinstance(item, Stroke) for run in item.path for edge in run.edges if isinstance(edge, Arc)]


def test_lines_follow_iso_128_in_width_and_dash():
    # ISO 128-2: narrow lines are half as wide as wide ones; long-dash double-dot has two dots between its dashes.
    assert LINES["wide"].width == 2 * LINES["narrow"].width
    assert [len(LINES[name].dashes) for name in ("wide", "selected", "narrow", "dashed", "centre", "ends")] == [0, 0, 0, 2, 4, 6]
    assert LINES["selected"].width > LINES["wide"].width


def test_every_body_is_filled_low_to_high_and_names_come_last():
    items = draw_section(LAMP, {}, unit=0.4).items
    paints = [item.paint for item in items if isinstance(item, Fill)]
    assert paints.index(Tint("sage", 0)) < paints.index(Tint("pewter", 1)) < paints.index(Tint("sky", 2))
    assert isinstance(items[-1], Text)


def test_what_can_lie_underneath_is_dashed():
    lines = [item.line for item in draw_section(LAMP, {}, unit=0.4).items if isinstance(item, Stroke)]
    bodies = len(LAMP.bodies)
    assert lines.count("dashed") == bodies - 1
    assert lines.count("centre") == 1  # the ring's; posts are too small for any at this scale


def test_selection_is_a_heavier_line_and_no_other_change():
    plain, chosen = (draw_section(LAMP, {}, unit=0.4, selected=names).items for names in ((), ("petal 2",)))
    changed = [(a, b) for a, b in zip(plain, chosen, strict=True) if a != b]
    assert [(a.line, b.line, a.paint == b.paint, a.path == b.path) for a, b in changed] == [("wide", "selected", True, True)]


def test_bodies_are_drawn_at_their_poses():
    pose = Pose(*about(turned((0, 42), 72), 60))
    still, turned_list = draw_section(LAMP, {}, unit=0.4), draw_section(LAMP, {"petal 2": pose}, unit=0.4)
    assert turned_list.extent != still.extent
    assert sum(a != b for a, b in zip(still.items, turned_list.items, strict=False)) >= 3


def test_names_that_fit_stand_in_their_bodies():
    names = {item.words for item in draw_section(LAMP, {}, unit=0.4).items if isinstance(item, Text)}
    assert {"petal 1", "petal 5"} <= names
    assert "lead clip" not in names
    assert not [item for item in draw_section(LAMP, {}, unit=0.4, names=False).items if isinstance(item, Text)]


def test_a_gap_is_drawn_with_its_number():
    mark = GapMark(((0, 0), (0, 2)), 2.0, 1.0, ("petal 2", "petal 3"))
    words = [item.words for item in draw_section(LAMP, {}, unit=0.4, mark=mark, names=False).items if isinstance(item, Text)]
    assert words == ["2.00 mm"]


def test_an_empty_section_is_an_empty_sheet():
    drawing = draw_section(Section(name="s", bodies=()), {}, unit=1)
    assert drawing.items == ()
    assert drawing.extent is None


def test_the_bay_has_no_tint_and_movers_take_theirs_by_name_or_order():
    paints = body_paints(LAMP)
    assert paints["ring"] == "board"
    assert paints["petal 1"] == Tint("sky", 2)


@pytest.mark.parametrize("unit", [0.1, 0.5])
def test_symbols_keep_their_size_at_every_scale_and_stand_on_the_pin(unit):
    (placed,) = placed_symbols(PIVOT, {"b": Pose(90)}, unit=unit, grounded=True)
    assert (placed.pose.x, placed.pose.y) == pytest.approx((-4, 3))
    assert placed.pose.turn == 0  # a pivot's symbol stays upright
    assert circles(placed.symbol)[0].radius == PIVOT_RADIUS
    drawn = [item for item in draw_section(LAMP, {}, unit=unit, names=False).items if isinstance(item, Stroke)]
    assert any(isinstance(edge, Arc) and math.isclose(edge.radius, PIVOT_RADIUS * unit) for item in drawn for edge in item.path[0].edges)


def test_a_slides_symbol_runs_along_its_reference_body():
    (placed,) = placed_symbols(SLIDE, {"a": Pose(15), "b": Pose(15, 5, 0)}, unit=1, grounded=False)
    assert placed.pose.turn == 45
    assert (placed.pose.x, placed.pose.y) == pytest.approx(Pose(15, 5, 0).place((3, 4)))


def test_a_slot_goes_with_its_body_and_is_as_long_as_the_pin_runs():
    slot, pin = placed_symbols(SLOT, {"a": Pose(0, 0, 7), "b": Pose(0, 2, 0)}, unit=0.5, grounded=False)
    assert (slot.pose.x, slot.pose.y, slot.pose.turn) == (5, 4, 90)
    assert (pin.pose.x, pin.pose.y) == (3, 11)
    ends = [arc.centre[0] for arc in circles(slot.symbol)]
    assert sorted(ends) == [-44, 44]  # 22 mm each way, 0.5 mm to a unit


def test_the_mark_of_bolted_bodies_is_an_upright_cross_with_a_dot_that_goes_with_them():
    bolted = Bolted(name="h", between=("a", "b"))
    (placed,) = placed_symbols(bolted, {"b": Pose(90)}, unit=1, grounded=True, bolt=(3, 4))
    assert (placed.pose.x, placed.pose.y, placed.pose.turn) == pytest.approx((-4, 3, 0))
    (cross,) = (item for item in placed.symbol if isinstance(item, Stroke))
    assert [(run.edges[0].start, run.edges[0].end) for run in cross.path] == [((-5.5, 0), (5.5, 0)), ((0, -5.5), (0, 5.5))]
    assert [item.paint for item in placed.symbol if isinstance(item, Fill)] == ["board", "ink"]


def test_bolted_bodies_with_no_place_for_their_mark_have_none():
    assert placed_symbols(Bolted(name="h", between=("a", "b")), {}, unit=1, grounded=True) == ()


def test_every_pair_of_bolted_bodies_of_the_lamp_has_its_mark():
    bolts = [joint for joint in LAMP.joints if isinstance(joint, Bolted)]
    with_them = draw_section(LAMP, {}, unit=0.4).items
    without = draw_section(replace(LAMP, joints=tuple(joint for joint in LAMP.joints if joint not in bolts)), {}, unit=0.4).items
    assert bolts
    mark = joint_symbol(bolts[0], grounded=False)
    assert len([item for item in with_them if isinstance(item, Stroke)]) == len(
        [item for item in without if isinstance(item, Stroke)]
    ) + len(bolts) * sum(isinstance(item, Stroke) for item in mark)


@pytest.mark.parametrize("joint", [PIVOT, SLIDE])
def test_a_fixed_member_adds_ticks(joint):
    assert len(joint_symbol(joint, grounded=True)) > len(joint_symbol(joint, grounded=False))
