import numpy as np

from app.board.tools.nearby import Nearby
from app.board.tools.places import places
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Disc


def disc(name: str, x: float, y: float, radius: float = 2.0) -> Body:
    return Body(name=BodyName(name), fixed=True, depth=(0.0, 3.0), shapes=(Disc(centre=(x, y), radius=radius),))


def test_the_bodies_near_a_point_are_those_whose_places_say_so_one_by_one() -> None:
    random = np.random.default_rng(4)
    bodies = [disc(str(number), *random.uniform(-40.0, 40.0, 2), float(random.uniform(0.5, 6.0))) for number in range(60)]
    nearby = Nearby(bodies)
    asked = [((float(x), float(y)), float(within)) for x, y, within in random.uniform((-45.0, -45.0, 0.0), (45.0, 45.0, 8.0), (200, 3))]
    found = [nearby.of(at, within) for at, within in asked]
    assert found == [tuple(body for body in bodies if not places(body).far(at, within)) for at, within in asked]
    assert 0 < sum(map(len, found)) < len(asked) * len(bodies)


def test_a_point_at_the_very_reach_is_near() -> None:
    assert Nearby([disc("one", 0.0, 0.0)]).of((3.0, 0.0), 1.0)
    assert not Nearby([disc("one", 0.0, 0.0)]).of((3.001, 0.0), 1.0)


def test_a_body_without_shapes_is_near_nothing() -> None:
    bare = Body(name=BodyName("bare"), fixed=True, depth=(0.0, 3.0), shapes=())
    assert Nearby([bare]).of((0.0, 0.0), 100.0) == ()
    assert Nearby([]).of((0.0, 0.0), 100.0) == ()
