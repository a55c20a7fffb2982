"""Where marks are after an edit: on the same end, edge, pin or place of their body; nowhere where that is gone."""

import math

import pytest
from msgspec.structs import replace

from app.board.marks import Distance, Gap, Held, Radius
from app.board.marks_followed import followed
from core.model.joints import Pivot
from core.model.names import BodyName, JointName, SectionName
from core.model.placing import moving, placed_body
from core.model.project import Body, Section
from core.model.shapes import Bar, Box, Disc, Polygon

ARM, HUB, WALL = BodyName("arm"), BodyName("hub"), BodyName("wall")


def _section() -> Section:
    return Section(
        name=SectionName("side"),
        bodies=(
            Body(name=WALL, fixed=True, depth=(0.0, 3.0), shapes=(Box(centre=(0.0, -20.0), size=(80.0, 6.0)),)),
            Body(name=ARM, fixed=False, depth=(0.0, 3.0), shapes=(Bar(start=(0.0, 0.0), end=(30.0, 0.0), radius=2.0),)),
            Body(name=HUB, fixed=False, depth=(0.0, 3.0), shapes=(Disc(centre=(10.0, 0.0), radius=5.0),)),
        ),
        joints=(Pivot(name=JointName("elbow"), between=(WALL, ARM), at=(1.0, 0.0)),),
    )


def _with(section: Section, body: Body) -> Section:
    return replace(section, bodies=tuple(body if one.name == body.name else one for one in section.bodies))


def _changed(name: BodyName, **shape: object) -> tuple[Section, Section]:
    before = _section()
    body = next(one for one in before.bodies if one.name == name)
    return before, _with(before, replace(body, shapes=(replace(body.shapes[0], **shape), *body.shapes[1:])))


def _at(held: Held, before: Section, after: Section) -> tuple[float, float] | None:
    fixed = Held((0.0, 99.0), "beside")
    mark = followed(Distance(held, fixed), before, after)
    return mark.first.at if isinstance(mark, Distance) else None


def test_an_end_stays_that_end_however_long_the_bar_becomes() -> None:
    before, after = _changed(ARM, end=(50.0, 10.0))
    assert _at(Held((30.0, 0.0), "end of arm", ARM), before, after) == (50.0, 10.0)
    assert _at(Held((15.0, 0.0), "middle of arm", ARM), before, after) == (25.0, 5.0)


def test_a_point_of_an_edge_stays_at_its_share_of_it() -> None:
    """A quarter along the under side of the box, whose width is doubled."""
    before, after = _changed(WALL, size=(160.0, 6.0))
    assert _at(Held((-20.0, -23.0), "edge of wall", WALL), before, after) == pytest.approx((-40.0, -23.0))


def test_a_point_of_a_rim_stays_at_its_share_of_it() -> None:
    before, after = _changed(HUB, radius=10.0)
    out = (math.cos(2.0), math.sin(2.0))
    assert _at(Held((10.0 + 5.0 * out[0], 5.0 * out[1]), "edge of hub", HUB), before, after) == pytest.approx(
        (10.0 + 10.0 * out[0], 10.0 * out[1])
    )


def test_a_radius_follows_the_radius() -> None:
    before, after = _changed(HUB, radius=7.5)
    mark = followed(Radius(Held((10.0, 0.0), "centre of hub", HUB), Held((15.0, 0.0), "edge of hub", HUB)), before, after)
    assert isinstance(mark, Radius)
    assert math.dist(mark.centre.at, mark.rim.at) == pytest.approx(7.5)


def test_a_place_inside_a_body_goes_with_it_where_it_is_moved_and_turned() -> None:
    before = _section()
    placing = moving(shift=(3.0, 4.0), turn=90.0, about=(0.0, 0.0))
    after = _with(before, placed_body(before.bodies[1], placing))
    assert _at(Held((20.0, 1.0), "a place on arm", ARM), before, after) == pytest.approx((2.0, 24.0), abs=1e-6)


def test_a_place_inside_a_body_of_another_form_is_gone() -> None:
    before, after = _changed(ARM, end=(50.0, 0.0))
    assert _at(Held((20.0, 1.0), "a place on arm", ARM), before, after) is None


def test_a_pin_goes_with_its_joint() -> None:
    before = _section()
    joint = replace(before.joints[0], at=(7.0, 8.0))
    assert _at(Held((1.0, 0.0), "pin of elbow", WALL, JointName("elbow")), before, replace(before, joints=(joint,))) == (7.0, 8.0)
    assert _at(Held((1.0, 0.0), "pin of elbow", WALL, JointName("elbow")), before, replace(before, joints=())) is None


def test_what_is_not_changed_stays_and_a_place_of_the_section_too() -> None:
    before, after = _changed(HUB, radius=9.0)
    mark = Distance(Held((30.0, 0.0), "end of arm", ARM), Held((5.0, 5.0), "(5.00, 5.00)"))
    assert followed(mark, before, after) == mark


def test_a_deleted_body_takes_its_marks_with_it() -> None:
    before = _section()
    after = replace(before, bodies=before.bodies[:2])
    assert followed(Gap((ARM, HUB)), before, after) is None
    assert followed(Distance(Held((10.0, 0.0), "centre of hub", HUB), Held((0.0, 0.0), "end of arm", ARM)), before, after) is None
    assert followed(Gap((WALL, ARM)), before, after) == Gap((WALL, ARM))


def test_a_renamed_body_keeps_its_marks_under_its_new_name() -> None:
    before = _section()
    crank = BodyName("crank")
    after = replace(before, bodies=(before.bodies[0], replace(before.bodies[1], name=crank), before.bodies[2]))
    assert followed(Gap((ARM, HUB)), before, after) == Gap((crank, HUB))
    mark = followed(Distance(Held((30.0, 0.0), "end of arm", ARM), Held((0.0, 0.0), "here")), before, after)
    assert isinstance(mark, Distance)
    assert mark.first == Held((30.0, 0.0), "end of crank", crank)


def test_another_shape_of_the_body_leaves_marks_on_the_first_where_they_are() -> None:
    before = _section()
    body = before.bodies[1]
    after = _with(before, replace(body, shapes=(*body.shapes, Disc(centre=(30.0, 0.0), radius=4.0))))
    assert _at(Held((30.0, 0.0), "end of arm", ARM), before, after) == (30.0, 0.0)
    assert _at(Held((20.0, 2.0), "edge of arm", ARM), before, after) == (20.0, 2.0)


def test_a_corner_that_is_taken_away_takes_its_mark_with_it() -> None:
    ring = ((0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (5.0, 12.0), (0.0, 8.0))
    section = _section()
    roof = Body(name=BodyName("roof"), fixed=True, depth=(0.0, 3.0), shapes=(Polygon(points=ring),))
    flat = replace(roof, shapes=(Polygon(points=(*ring[:3], ring[4])),))
    before, after = (replace(section, bodies=(*section.bodies, body)) for body in (roof, flat))
    assert _at(Held((5.0, 12.0), "end of roof", roof.name), before, after) is None
    assert _at(Held((10.0, 8.0), "end of roof", roof.name), before, after) == (10.0, 8.0)
