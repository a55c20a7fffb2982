import pytest

from app.board.tools.snap import candidates
from core.model.names import BodyName
from core.model.project import Body
from core.model.shapes import Bar, Box, Disc, Shape


def _body(*shapes: Shape) -> Body:
    return Body(name=BodyName("wall"), fixed=True, shapes=shapes, depth=(0.0, 3.0))


def test_the_nearest_drawn_place_comes_before_the_grid() -> None:
    found = candidates([_body(Disc(centre=(10.3, 0.0), radius=4.0))], (10.1, 0.0), within=1.0, grid=5.0)
    assert [(one.at, one.told) for one in found] == [((10.3, 0.0), "centre of wall"), ((10.0, 0.0), "grid")]


def test_nothing_near_snaps_to_nothing() -> None:
    assert candidates([_body(Disc(centre=(50.0, 0.0), radius=4.0))], (2.5, 2.5), within=1.0, grid=5.0) == ()


@pytest.mark.parametrize(("at", "told"), [((0.1, 0.1), "end of wall"), ((10.1, 0.1), "middle of wall"), ((19.9, 0.1), "end of wall")])
def test_a_bar_has_two_ends_and_a_middle_and_tells_its_line(at: tuple[float, float], told: str) -> None:
    bar = Bar(start=(0.0, 0.0), end=(20.0, 0.0), radius=2.0)
    found = candidates([_body(bar)], at, within=1.0, grid=7.0)
    assert found[0].told == told
    assert found[0].line == ((0.0, 0.0), (20.0, 0.0))


def test_the_corners_of_a_turned_box_are_where_they_are_drawn() -> None:
    box = Box(centre=(0.0, 0.0), size=(20.0, 10.0), turn=90.0)
    found = candidates([_body(box)], (5.1, 10.1), within=0.5, grid=100.0)
    assert [one.told for one in found] == ["end of wall"]
    assert found[0].at == pytest.approx((5.0, 10.0))
