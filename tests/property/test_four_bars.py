"""Random four-bars: the followed pose is the one on the drawn branch, and is reached exactly where the closed form says so."""

import math

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from core.model.names import BodyName
from core.motion.linkage import linkage_of
from core.motion.pose import poses
from tests.mechanisms import circles_meet, four_bar, polar

lengths = st.floats(10, 100)
NEAR_DEAD_CENTRE = 0.02
"""Share of the length of the diagonal within which a flat linkage counts as being at its dead centre."""
CHANGE_POINT = 1e-4


def room(a: float, b: float, c: float, d: float, angles: np.ndarray) -> np.ndarray:
    """Relative room to both ways in which coupler and follower lie in line; negative where they cannot meet. Closed form."""
    diagonal = np.abs(a * np.exp(1j * np.radians(angles)) - d)
    return np.minimum(b + c - diagonal, diagonal - abs(b - c)) / max(a, b, c, d)


@given(a=lengths, b=lengths, c=lengths, d=lengths, drawn=st.floats(-180, 180), left=st.booleans(), turn=st.floats(-360, 360))
def test_a_four_bar_keeps_its_branch_and_stops_where_it_cannot_be_assembled(a, b, c, d, drawn, left, turn):
    flat = np.array([angle for angle in range(-720, 721, 180) if min(drawn, drawn + turn) < angle < max(drawn, drawn + turn)])
    # the diagonal is longest and shortest at the ends of the way or where crank and ground are in line
    least = room(a, b, c, d, np.array([drawn, drawn + turn, *flat])).min()
    assume(room(a, b, c, d, np.array([drawn]))[0] > NEAR_DEAD_CENTRE)
    # closer to a change point than this the program may call it a dead centre
    assume(abs(least) > CHANGE_POINT)
    linkage = linkage_of(four_bar((a, b, c, d), drawn=drawn, left=left))
    section = linkage.sections[0]
    values = np.array([[drawn + turn], [drawn + turn / 3], [drawn]])
    found = poses(section, linkage, values)
    assert found.reached[0] == (least > 0)
    follower = section.group_of(BodyName("follower"))
    drawn_pin = circles_meet(polar(a, drawn), b, complex(d), c, left=left)
    for place in np.flatnonzero(found.reached):
        expected = circles_meet(polar(a, values[place, 0]), b, complex(d), c, left=left)
        pin = found.posed(follower, np.array([drawn_pin]))[place, 0]
        assert math.isclose(abs(pin - expected), 0, abs_tol=1e-6)
