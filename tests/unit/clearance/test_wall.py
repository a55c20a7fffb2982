"""The way out of a room's wall for a body drawn across it. Lengths mm, angles degrees."""

import math

import numpy as np
import pytest

from core.clearance.overlap import way_out
from core.clearance.rounded import ring_of_room, rounded_of
from core.clearance.wall import wall_of, way_out_of_wall
from core.model.shapes import Bar, Bore, Disc, Frame, Polygon
from core.tolerances import DEFAULT_TOLERANCES
from tests.bays import bar, bore, box, disc, frame, gap, slid, turned

BORE = Bore(centre=(0.0, 0.0), radius=10.0, wall=2.0)


@pytest.mark.parametrize(
    ("room", "body", "way"),
    [
        (bore(0, 0, 10), disc(11.5, 0, 1), (1.5, 0)),  # closed form: out to 12 + 1
        (bore(0, 0, 10), disc(9.5, 0, 1), (-0.5, 0)),  # closed form: in to 10 - 1
        (bore(0, 0, 10), bar((0, 0), (0, 12), 1), (0, -3)),  # closed form: the far end in to 10 - 1
        (bore(0, 0, 10), bar((-4, 9), (4, 9), 1), (0, math.sqrt(81 - 16) - 9)),  # closed form: both ends on the circle R 9
        (bore(0, 0, 10), bar((-12, 0), (12, 0), 1), (0, 13)),  # closed form: too long for the bore, so off at right angles
        (frame(0, 0, 20, 10), box(9, 3, 4, 6), (-1, -1)),  # closed form: right edge 11 to 10, top 6 to 5
        (frame(0, 0, 20, 10), box(12.5, 0, 4, 4), (1.5, 0)),  # closed form: left edge 10.5 out to 12
        (frame(0, 0, 20, 10), box(0, 0, 30, 2), (0, 8)),  # closed form: too long, so off over the top, 7 + 1
    ],
)
def test_way_out_of_a_wall_is_the_shorter_of_out_and_in(room, body, way):
    found = gap(slid(room, body))
    assert found.gap == pytest.approx(-math.hypot(*way), abs=1e-6)
    assert tuple(map(abs, found.way_out)) == pytest.approx(tuple(map(abs, way)), abs=1e-6)
    # The other way round the room is the body that moves.
    assert gap(slid(body, room)).gap == pytest.approx(found.gap, abs=1e-9)


def test_wall_turns_with_its_room():
    # Closed form: a frame 20 x 10 turned by 30 with its box, as above.
    turn = math.radians(30)
    record = turned(
        disc(9 * math.cos(turn) - 3 * math.sin(turn), 9 * math.sin(turn) + 3 * math.cos(turn), 2.5), frame(0, 0, 20, 10), travel=(0, 60)
    )
    # In the frame's axes the disc at (9, 3) sticks out by 1.5 at the right and 0.5 at the top.
    found = gap(record, swing=30)
    assert found.gap == pytest.approx(-math.hypot(1.5, 0.5), abs=1e-6)
    # The frame, the second of the two, is moved the other way: toward where the disc sticks out.
    moved = complex(*found.way_out) * np.exp(-1j * turn)
    assert (moved.real, moved.imag) == pytest.approx((1.5, 0.5), abs=1e-6)


def test_body_free_of_the_wall_has_no_depth():
    inside, outside = rounded_of(Disc(centre=(3.0, 0.0), radius=2.0)), rounded_of(Disc(centre=(20.0, 0.0), radius=2.0))
    for body in (inside, outside):
        found = way_out_of_wall(wall_of(BORE, side=0), body.pieces, spin=1, shift=0, tolerances=DEFAULT_TOLERANCES)
        assert found.depth == 0


@pytest.mark.parametrize("seed", range(60))
def test_way_out_of_a_wall_is_that_of_its_ring_in_fine_chords(seed):
    # Held to the general depth of concave shapes, with the round wall as chords of 2e-5.
    rng = np.random.default_rng(seed)
    turns = (np.arange(7) + rng.uniform(-0.3, 0.3, 7)) * 2 * math.pi / 7
    ring = rng.uniform(-9, 9) + 1j * rng.uniform(-9, 9) + rng.uniform(1, 9, 7) * np.exp(1j * turns)
    points = tuple((float(point.real), float(point.imag)) for point in ring)
    body = Polygon(points=points) if seed % 3 else Bar(start=points[0], end=points[2], radius=1.0)
    free, wall = float(rng.uniform(4, 12)), float(rng.uniform(0.5, 3))
    bored = Bore(centre=(0.0, 0.0), radius=free, wall=wall)
    room = bored if seed % 2 else Frame(centre=(0.0, 0.0), size=(2 * free, 1.4 * free), wall=wall, turn=float(rng.uniform(-90, 90)))
    pieces = rounded_of(body).pieces
    expected = way_out(ring_of_room(room, chord=2e-5).pieces, pieces, tolerances=DEFAULT_TOLERANCES)
    found = way_out_of_wall(wall_of(room, side=0), pieces, spin=1, shift=0, tolerances=DEFAULT_TOLERANCES)
    assert found.depth == pytest.approx(expected.depth, abs=5e-4)
