import math

import numpy as np
import pytest
import shapely
import shapely.affinity
from shapely.geometry.base import BaseGeometry

from app.board.tools.snap import Candidate, candidates
from core.drawing.path import Arc, Pose, Segment
from core.model.joints import Bolted, Joint, PinSlot, Pivot
from core.model.names import BodyName, JointName
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Polygon, Shape


def _body(*shapes: Shape, name: str = "wall") -> Body:
    return Body(name=BodyName(name), fixed=True, shapes=shapes, depth=(0.0, 3.0))


WALL = _body(Box(centre=(0.0, 0.0), size=(20.0, 6.0)))
HUB = _body(Disc(centre=(0.0, 3.0), radius=5.0), name="hub")


def _told(found: tuple[Candidate, ...]) -> list[str]:
    return [one.told for one in found]


def _points(crossed: BaseGeometry) -> list[shapely.Point]:
    return [part for part in shapely.get_parts(crossed) if isinstance(part, shapely.Point) and not part.is_empty]


def test_the_nearest_drawn_place_comes_before_the_grid() -> None:
    found = candidates([_body(Disc(centre=(10.3, 0.0), radius=4.0))], (10.1, 0.0), within=1.0, grid=5.0)
    assert [(one.at, one.told) for one in found] == [((10.3, 0.0), "centre of wall"), ((10.0, 0.0), "grid")]


def test_nothing_near_snaps_to_nothing() -> None:
    assert candidates([_body(Disc(centre=(50.0, 0.0), radius=4.0))], (2.5, 2.5), within=1.0, grid=5.0) == ()


def test_a_body_without_shapes_offers_nothing() -> None:
    assert candidates([_body()], (0.0, 0.0), within=1.0, grid=0.0) == ()


@pytest.mark.parametrize(("at", "told"), [((0.1, 0.1), "end of wall"), ((10.1, 0.1), "middle of wall"), ((19.9, 0.1), "end of wall")])
def test_a_bar_has_two_ends_and_a_middle_and_tells_its_line(at: tuple[float, float], told: str) -> None:
    bar = Bar(start=(0.0, 0.0), end=(20.0, 0.0), radius=2.0)
    found = candidates([_body(bar)], at, within=1.0, grid=7.0)
    assert found[0].told == told
    assert found[0].line == ((0.0, 0.0), (20.0, 0.0))
    assert found[0].edges == (Segment((0.0, 0.0), (20.0, 0.0)),)


def test_the_corners_of_a_turned_box_are_where_they_are_drawn() -> None:
    box = Box(centre=(0.0, 0.0), size=(20.0, 10.0), turn=90.0)
    found = candidates([_body(box)], (5.1, 10.1), within=0.5, grid=100.0)
    assert _told(found)[0] == "end of wall"
    assert found[0].at == pytest.approx((5.0, 10.0))


def test_a_hole_has_ends_too() -> None:
    ring = ((-9.0, -9.0), (9.0, -9.0), (9.0, 9.0), (-9.0, 9.0))
    hole = ((-2.0, -2.0), (2.0, -2.0), (2.0, 2.0), (-2.0, 2.0))
    found = candidates([_body(Polygon(points=ring, holes=(hole,)))], (2.1, 2.1), within=0.5, grid=0.0)
    assert (found[0].told, found[0].at) == ("end of wall", (2.0, 2.0))


def test_a_rounded_corner_offers_its_centre_its_ends_and_the_corner_it_was() -> None:
    box = _body(Box(centre=(0.0, 0.0), size=(20.0, 10.0), corner_radius=2.0))
    found = candidates([box], (9.5, 4.5), within=2.5, grid=0.0)
    spots = {one.told: one.at for one in found}
    assert spots["corner of wall, before rounding"] == (10.0, 5.0)
    assert spots["centre of wall"] == (8.0, 3.0)
    assert {(one.at[0], one.at[1]) for one in found if one.told == "end of wall"} == {(10.0, 3.0), (8.0, 5.0)}
    arc = next(one for one in found if one.told == "middle of wall")
    assert arc.at == pytest.approx((8.0 + math.sqrt(2.0), 3.0 + math.sqrt(2.0)))
    assert isinstance(arc.edges[0], Arc)
    assert arc.line is None


def test_the_outer_wall_of_a_bore_is_an_edge_as_its_inside_is() -> None:
    bore = _body(Bore(centre=(0.0, 0.0), radius=10.0, wall=2.0))
    inner, outer = (candidates([bore], (x, 0.1), within=0.5, grid=0.0) for x in (10.2, 11.9))
    assert math.hypot(*inner[0].at) == pytest.approx(10.0)
    assert math.hypot(*outer[0].at) == pytest.approx(12.0)
    assert _told(inner) == _told(outer) == ["edge of wall"]


def test_where_a_wall_and_a_hub_cross_is_told_with_both_edges() -> None:
    """The top of the wall, y = 3, runs through the hub's centre: they cross at 5 from it."""
    found = candidates([WALL, HUB], (5.2, 3.1), within=0.5, grid=0.0)
    assert found[0].told == "where wall and hub cross"
    assert found[0].at == pytest.approx((5.0, 3.0))
    assert {type(edge) for edge in found[0].edges} == {Segment, Arc}
    assert _told(found)[1:] == ["edge of wall", "edge of hub"]


def test_shapely_sees_the_same_crossings_of_many_bodies() -> None:
    """The boundaries' intersection by shapely, on polygons of straight edges: exact to rounding."""
    rng = np.random.default_rng(5)
    bodies, rings = [], []
    for number in range(12):
        centre, turn = rng.uniform(-20.0, 20.0, 2), float(rng.uniform(0.0, 90.0))
        size = tuple(rng.uniform(6.0, 25.0, 2).tolist())
        bodies.append(_body(Box(centre=(float(centre[0]), float(centre[1])), size=size, turn=turn), name=f"box {number}"))
        spun = shapely.affinity.rotate(shapely.box(-size[0] / 2, -size[1] / 2, size[0] / 2, size[1] / 2), turn, origin=(0, 0))
        rings.append(shapely.affinity.translate(spun, *centre.tolist()).boundary)
    meetings = [point for i, one in enumerate(rings) for other in rings[:i] for point in _points(one.intersection(other))]
    assert len(meetings) > 40
    for point in meetings:
        at = (point.x + 0.02, point.y - 0.01)
        crossings = [one.at for one in candidates(bodies, at, within=0.1, grid=0.0) if one.kind == "crossing"]
        assert min(math.dist(there, (point.x, point.y)) for there in crossings) < 1e-9


def test_a_crossing_where_an_end_lies_is_that_end_alone() -> None:
    other = _body(Box(centre=(20.0, 6.0), size=(20.0, 6.0)), name="shelf")
    found = candidates([WALL, other], (10.1, 3.1), within=0.3, grid=0.0)
    assert [one.told for one in found if one.kind != "edge"] == ["end of wall", "end of shelf"]


def test_points_of_edges_come_after_all_points_however_near() -> None:
    found = candidates([WALL], (9.2, 3.05), within=1.0, grid=0.5)
    assert [one.kind for one in found] == ["end", "edge", "grid"]
    assert found[1].at == pytest.approx((9.2, 3.0))
    assert found[1].line == ((10.0, 3.0), (-10.0, 3.0))


def test_without_points_of_edges_only_points_are_told() -> None:
    assert candidates([WALL], (6.0, 3.1), within=0.5, grid=0.0, on_edges=False) == ()


def test_square_to_a_wall_is_the_foot_of_the_perpendicular_from_where_the_line_begins() -> None:
    found = candidates([WALL], (6.2, 3.1), within=0.5, grid=0.0, from_=(6.0, 30.0))
    assert (found[0].told, found[0].at) == ("square to wall", pytest.approx((6.0, 3.0)))


def test_touching_a_hub_from_thirteen_away_is_twelve_long() -> None:
    start = (13.0, 3.0)
    touch = (25.0 / 13.0, 3.0 + 60.0 / 13.0)
    found = candidates([HUB], (touch[0] + 0.1, touch[1]), within=0.5, grid=0.0, from_=start)
    assert found[0].told == "touching hub"
    assert found[0].at == pytest.approx(touch)
    assert math.dist(found[0].at, start) == pytest.approx(12.0)


def test_pins_of_joints_are_named_after_them_and_those_of_bolts_are_none() -> None:
    joints: list[Joint] = [
        Pivot(name=JointName("elbow"), between=(BodyName("wall"), BodyName("hub")), at=(1.0, 1.0)),
        PinSlot(name=JointName("yoke slot"), between=(BodyName("wall"), BodyName("hub")), at=(2.0, 1.0), along=0.0),
        Bolted(name=JointName("horn"), between=(BodyName("wall"), BodyName("hub"))),
    ]
    found = candidates([WALL, HUB], (1.2, 1.0), within=0.9, grid=0.0, joints=joints)
    assert _told(found) == ["pin of elbow", "pin of yoke slot"]


def test_bodies_are_snapped_to_where_they_are_posed() -> None:
    """A quarter turn about the origin takes the corner (10, 3) to (-3, 10), then 5 to the right."""
    pose = {BodyName("wall"): Pose(90.0, 5.0, 0.0)}
    joints = [Pivot(name=JointName("elbow"), between=(BodyName("wall"), BodyName("hub")), at=(10.0, 0.0))]
    found = candidates([WALL], (2.1, 10.1), within=0.5, grid=0.0, poses=pose, joints=joints)
    assert (found[0].told, found[0].at) == ("end of wall", pytest.approx((2.0, 10.0)))
    pin = candidates([WALL], (5.0, 10.1), within=0.3, grid=0.0, poses=pose, joints=joints)
    assert pin[0].at == pytest.approx((5.0, 10.0))
    assert pin[0].told == "pin of elbow"


def test_a_posed_arc_is_thickened_where_it_stands() -> None:
    half = _body(Bar(start=(0.0, 0.0), end=(10.0, 0.0), radius=2.0))
    found = candidates([half], (0.1, 12.05), within=0.4, grid=0.0, poses={BodyName("wall"): Pose(90.0, 0.0, 0.0)})
    arc = found[0].edges[0]
    assert isinstance(arc, Arc)
    assert (found[0].told, found[0].at) == ("middle of wall", pytest.approx((0.0, 12.0)))
    assert arc.point(0.5) == pytest.approx((0.0, 12.0))


def test_an_outline_of_too_few_points_offers_the_points_it_has() -> None:
    two = _body(Polygon(points=((0.0, 0.0), (10.0, 0.0))))
    ends = [found for found in candidates([two], (9.6, 0.1), within=1.0, grid=0.0, on_edges=False) if found.told == "end of wall"]
    assert (10.0, 0.0) in [found.at for found in ends]
    assert all(math.dist(found.at, (10.0, 0.0)) < 0.1 for found in ends)
    assert candidates([_body(Polygon(points=((0.0, 0.0),)))], (0.0, 0.0), within=1.0, grid=0.0) == ()
