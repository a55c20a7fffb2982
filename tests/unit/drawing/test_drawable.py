"""A drawing with faults can be drawn: outlines that enclose nothing as their lines, everything else as it is."""

import pytest
from msgspec.structs import replace

from core.drawing.drawable import bare_lines, drawable
from core.drawing.section import draw_section
from core.model.joints import Pivot
from core.model.shapes import Bar, Bore, Box, Disc, Frame, Polygon
from core.model.validate import is_valid, validate
from tests.unit.model.drawings import BOW_TIE, SQUARE, gate, in_plan

NAN = float("nan")
FAULTY = {
    "disc without radius": Disc(centre=(0, 0), radius=0),
    "disc nowhere": Disc(centre=(NAN, 0), radius=2),
    "bar of one point": Bar(start=(0, 0), end=(0, 0), radius=1),
    "bar without width": Bar(start=(0, 0), end=(4, 0), radius=0),
    "box without width": Box(centre=(0, 0), size=(0, 5)),
    "box too round": Box(centre=(0, 0), size=(4, 5), corner_radius=9),
    "no points": Polygon(points=()),
    "one point": Polygon(points=((0, 0),)),
    "two points": Polygon(points=((0, 0), (3, 3))),
    "flat": Polygon(points=((0, 0), (3, 3), (6, 6))),
    "crossed": Polygon(points=BOW_TIE),
    "crossed and round": Polygon(points=BOW_TIE, corner_radius=1),
    "too round": Polygon(points=SQUARE, corner_radius=20),
    "hole outside": Polygon(points=SQUARE, holes=(((20, 20), (30, 20), (30, 30)),)),
    "hole of two points": Polygon(points=SQUARE, holes=(((5, 5), (6, 6)),)),
    "point twice": Polygon(points=((0, 0), (0, 0), (10, 0), (10, 10))),
    "bore without radius": Bore(centre=(0, 0), radius=0, wall=1),
    "frame without wall": Frame(centre=(0, 0), size=(5, 5), wall=0),
    "no depth": Disc(centre=(0, 0), radius=3, depth=(5, 5)),
}


@pytest.mark.parametrize("name", FAULTY)
def test_a_section_with_a_faulty_shape_is_drawn(name):
    project = gate(shapes=(FAULTY[name], Disc(centre=(10.0, 0.0), radius=4.0)))
    findings = validate(project)
    assert not is_valid(findings)
    shown = drawable(project, findings)
    drawing = draw_section(shown.sections[0], {}, unit=0.2)
    assert drawing.items
    assert drawing.extent is not None
    # the sound shape beside it is drawn as it is
    assert Disc(centre=(10.0, 0.0), radius=4.0) in shown.sections[0].bodies[1].shapes


def test_a_crossed_outline_is_drawn_as_its_lines():
    assert [(bar.start, bar.end) for bar in bare_lines(Polygon(points=BOW_TIE))] == list(
        zip(BOW_TIE, (*BOW_TIE[1:], BOW_TIE[0]), strict=True)
    )


def test_a_joint_of_a_body_that_is_not_there_is_left_out():
    project = in_plan(joints=(*gate().sections[0].joints, Pivot(name="lost", between=("post", "weir"), at=(0, 0))))
    shown = drawable(project, validate(project))
    assert [joint.name for joint in shown.sections[0].joints] == ["heel", "rack"]
    assert draw_section(shown.sections[0], {}, unit=0.2).items


def test_a_sound_project_is_drawn_as_it_is():
    assert drawable(gate(), validate(gate())) == gate()
    assert drawable(replace(gate(), required_gap=-1.0), validate(replace(gate(), required_gap=-1.0))).sections == gate().sections


def test_a_body_in_which_nothing_is_wrong_stays_the_object_it_is():
    project = gate(shapes=(FAULTY["crossed"], Disc(centre=(10.0, 0.0), radius=4.0)))
    before, after = project.sections[0].bodies, drawable(project, validate(project)).sections[0].bodies
    changed = [old.name for old, new in zip(before, after, strict=True) if old is not new]
    assert changed == [old.name for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 1
    assert len(before) > 1
