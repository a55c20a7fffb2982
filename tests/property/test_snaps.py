"""Whatever is drawn and wherever the pointer is: candidates lie near it, in their order, on what they name."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.board.tools.snap import candidates
from core.drawing.edge_points import nearest_point
from core.drawing.path import Pose, Segment
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Bar, Bore, Box, Disc, Frame

ORDER = {"edge": 1, "grid": 2}
places = st.tuples(st.floats(-20.0, 20.0), st.floats(-20.0, 20.0))
sizes = st.floats(0.5, 15.0)
shapes = st.one_of(
    st.builds(lambda at, r: Disc(centre=at, radius=r), places, sizes),
    st.builds(lambda at, r: Bore(centre=at, radius=r, wall=1.0), places, sizes),
    st.builds(lambda a, b, r: Bar(start=a, end=b, radius=r), places, places, sizes),
    st.builds(
        lambda at, w, h, t, c: Box(centre=at, size=(w, h), turn=t, corner_radius=c * min(w, h) / 2.0),
        places,
        sizes,
        sizes,
        st.floats(-90.0, 90.0),
        st.floats(0.0, 1.0),
    ),
    st.builds(lambda at, w, h, t: Frame(centre=at, size=(w, h), wall=1.0, turn=t), places, sizes, sizes, st.floats(-90.0, 90.0)),
)
poses = st.builds(Pose, st.floats(-180.0, 180.0), st.floats(-5.0, 5.0), st.floats(-5.0, 5.0))


@given(st.lists(st.lists(shapes, min_size=1, max_size=3), min_size=1, max_size=4), st.data(), places, st.floats(0.5, 6.0), places)
def test_candidates_are_near_in_order_and_on_their_edges(drawn, data, at, within, start):
    bodies = [Body(name=BodyName(f"body {number}"), fixed=False, depth=(0.0, 3.0), shapes=tuple(own)) for number, own in enumerate(drawn)]
    there = {body.name: data.draw(poses) for body in bodies}
    found = candidates(bodies, at, within=within, grid=1.0, poses=there, from_=start)
    assert all(math.dist(one.at, at) <= within + 1e-9 for one in found)
    ranks = [(ORDER.get(one.kind, 0), math.dist(one.at, at)) for one in found]
    assert all(a[0] < b[0] or (a[0] == b[0] and a[1] <= b[1] + 1e-9) for a, b in pairwise(ranks))
    for one in found:
        if one.kind in ("crossing", "edge", "square", "touching", "end"):
            assert all(math.dist(nearest_point(edge, one.at), one.at) < 1e-5 for edge in one.edges)
        if one.kind == "square":
            (edge,) = one.edges
            along = edge.heading(0.0) if isinstance(edge, Segment) else _tangent(edge, one.at)
            way = math.atan2(one.at[1] - start[1], one.at[0] - start[0])
            assert abs(math.cos(way - along)) * math.dist(one.at, start) < 1e-4
        if one.kind == "touching":
            (edge,) = one.edges
            way = math.atan2(one.at[1] - start[1], one.at[0] - start[0])
            assert abs(math.sin(way - _tangent(edge, one.at))) * math.dist(one.at, start) < 1e-4


def _tangent(arc, at):
    return math.atan2(at[1] - arc.centre[1], at[0] - arc.centre[0]) + math.pi / 2.0


@given(
    st.lists(st.lists(shapes, min_size=1, max_size=2), min_size=1, max_size=3),
    st.data(),
    places,
    st.floats(0.5, 4.0),
    st.floats(-180.0, 180.0),
)
def test_turning_all_bodies_and_the_pointer_turns_the_nearest_that_is_found(drawn, data, at, within, turn):
    bodies = [Body(name=BodyName(f"body {number}"), fixed=False, depth=(0.0, 3.0), shapes=tuple(own)) for number, own in enumerate(drawn)]
    whole = Pose(turn, data.draw(st.floats(-5.0, 5.0)), 2.0)
    as_drawn = candidates(bodies, at, within=within, grid=0.0)
    turned = candidates(bodies, whole.place(at), within=within, grid=0.0, poses=dict.fromkeys((body.name for body in bodies), whole))
    nearest, there = (
        min((math.dist(one.at, pointer) for one in found), default=None) for found, pointer in ((as_drawn, at), (turned, whole.place(at)))
    )
    if nearest is None or nearest > within - 1e-6:
        assert there is None or there > within - 1e-5
    else:
        assert there == pytest.approx(nearest, abs=1e-6)
