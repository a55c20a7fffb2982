"""Which of many bodies come near a point? Told by how far they reach, of all at once."""

from collections.abc import Iterable

import numpy as np

from app.board.tools.places import places
from core.model.project import Body
from core.model.shapes import Point

_NOWHERE = (np.inf, np.inf, -np.inf, -np.inf)


class Nearby:
    """Bodies as drawn, in their order. Made once for a drag, and asked at each of its moves."""

    def __init__(self, bodies: Iterable[Body]) -> None:
        self.bodies = tuple(bodies)
        reaches = np.array([places(body).reach or _NOWHERE for body in self.bodies], float).reshape(-1, 4)
        self._low, self._high = reaches[:, :2], reaches[:, 2:]

    def of(self, at: Point, within: float) -> tuple[Body, ...]:
        """Those whose box comes within `within` mm of a point, mm."""
        near = np.all((self._low - within <= at) & (self._high + within >= at), axis=1)
        return tuple(self.bodies[number] for number in np.flatnonzero(near).tolist())
