"""What a grip snaps to, and where a step by key takes it."""

import math

import pytest

from app.drawing.grip_snaps import around, loose, next_of, snaps, stepped
from app.drawing.grips_of import dragged, grips_of
from core.model.joints import Pivot
from core.model.names import BodyName, JointName, SectionName
from core.model.project import Body, Section, View
from core.model.shapes import Bar, Box, Disc, Polygon

AWAY = 4.0
PLATE = Box(centre=(0, 0), size=(40, 20), turn=10)
HUB = Disc(centre=(60.3, 0.2), radius=5)


def body(name, *shapes, hidden=False):
    return Body(name=BodyName(name), fixed=False, depth=(0, 3), shapes=shapes, view=View(hidden=hidden))


def section(*bodies, joints=()):
    return Section(name=SectionName("Side"), bodies=bodies, joints=joints)


def grip(shape, kind, place=0):
    return next(one for one in grips_of(shape, away=AWAY) if (one.kind, one.place) == (kind, place))


def told(shape, held, at, there, within=1.0):
    return [one.told for one in snaps(shape, held, at, there, within=within, whole="whole")]


def test_other_bodies_and_other_shapes_of_the_body_are_snapped_to_but_never_the_shape_itself():
    plate = body("plate", PLATE, Disc(centre=(30.2, 30.4), radius=2))
    there = around(section(plate, body("hub", HUB), body("ghost", HUB, hidden=True)), plate, 0, grip(PLATE, "corner"))
    assert [one.name for one in there.bodies] == ["hub", "plate"]
    assert [len(one.shapes) for one in there.bodies] == [1, 1]
    held = grip(PLATE, "corner", 2)
    assert not any("plate" in words for words in told(PLATE, held, held.at, there))
    assert told(PLATE, held, (30.3, 30.3), there)[0] == "centre of plate"
    assert told(PLATE, held, (60.4, 0.1), there)[0] == "centre of hub"


def test_the_pins_that_a_body_takes_along_are_not_snapped_to_by_its_centre():
    hub, plate = body("hub", HUB), body("plate", PLATE)
    pins = tuple(
        Pivot(name=JointName(name), between=(hub.name, moved), at=(60, 0)) for name, moved in (("own", plate.name), ("other", hub.name))
    )
    whole = section(hub, plate, joints=pins[:1])
    assert around(whole, plate, 0, grip(PLATE, "centre")).joints == ()
    assert around(whole, plate, 0, grip(PLATE, "corner")).joints == pins[:1]
    assert around(whole, hub, 0, grip(HUB, "centre")).joints == pins[:1]


def test_numbers_are_caught_at_whole_ones_and_points_at_the_grid():
    there = around(section(body("plate", PLATE)), body("plate", PLATE), 0, grip(PLATE, "side"))
    turn = grip(PLATE, "turn")
    at = tuple(30 * f(math.radians(14.2)) for f in (math.cos, math.sin))
    (caught,) = snaps(PLATE, turn, at, there, within=1.0, whole="whole 5")
    assert (caught.told, dragged(PLATE, turn, caught.at).turn) == ("whole 5", pytest.approx(15))
    bar = Bar(start=(0, 0), end=(20, 0), radius=3)
    assert told(bar, grip(bar, "end", 1), (25.2, 7.1), there)[-1] == "grid"
    assert told(bar, grip(bar, "radius"), (10, 4.9), there)[-1] == "whole"


def test_a_rounding_snaps_to_no_body():
    box = Box(centre=(0, 0), size=(40, 20))
    there = around(
        section(body("plate", box), body("hub", Disc(centre=(14.3, 10), radius=1))), body("plate", box), 0, grip(box, "rounding")
    )
    assert told(box, grip(box, "rounding"), (14.3, 10), there, within=0.5) == ["whole"]


def test_what_is_loose_is_rounded_to_hundredths_of_what_it_changes():
    bar = Bar(start=(0, 0), end=(20, 0), radius=3)
    assert loose(bar, grip(bar, "end"), (1.23456, -0.98765)) == (1.23, -0.99)
    assert dragged(bar, grip(bar, "radius"), loose(bar, grip(bar, "radius"), (7.77777, 4.44444))).radius == pytest.approx(4.44)


@pytest.mark.parametrize(
    ("kind", "place", "way", "expected"),
    [
        ("side", 0, (1, 0), {"size": (41, 20)}),
        ("side", 0, (-1, 0), {"size": (39, 20)}),
        ("side", 2, (-1, 0), {"size": (41, 20)}),
        ("side", 1, (0, 1), {"size": (40, 21)}),
        ("turn", 0, (0, 1), {"turn": 1}),
        ("turn", 0, (-1, 0), {"turn": -1}),
        ("rounding", 0, (1, 0), {"corner_radius": 3}),
        ("rounding", 0, (0, -1), {"corner_radius": 1}),
    ],
)
def test_arrows_change_numbers_by_a_step(kind, place, way, expected):
    box = Box(centre=(0, 0), size=(40, 20), corner_radius=2)
    held = grip(box, kind, place)
    after = dragged(box, held, stepped(box, held, way, 1.0))
    for name, value in expected.items():
        assert getattr(after, name) == pytest.approx(value)


def test_an_arrow_across_the_way_of_a_side_moves_nothing():
    box = Box(centre=(0, 0), size=(40, 20))
    assert stepped(box, grip(box, "side", 0), (0, 1), 1.0) is None


def test_a_point_may_be_square_to_an_edge_from_the_one_before():
    wall = body("wall", Box(centre=(0, 50), size=(200, 20)))
    web = Polygon(points=((3.5, 0), (30, 0), (30, 20)))
    there = around(section(wall, body("web", web)), body("web", web), 0, grip(web, "point", 1))
    assert "square to wall" in told(web, grip(web, "point", 1), (3.7, 40.2), there)


def test_candidates_are_gone_through_round_and_round():
    there = around(section(body("hub", HUB)), body("plate", PLATE), 0, grip(PLATE, "corner"))
    found = snaps(PLATE, grip(PLATE, "corner"), (60.3, 0.2), there, within=0.6, whole="")
    assert next_of(found, 0) == next_of(found, len(found)) == found[0]
    assert next_of((), 3) is None
